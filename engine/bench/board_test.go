package bench_test

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/card"
	"slipring/engine/circuit"
	"slipring/engine/machine"
	"slipring/engine/sweeptest"
	"slipring/engine/tell"
)

// wiringFile reads a file of the demonstration's wiring.
func wiringFile(t testing.TB, name string) []byte {
	t.Helper()
	source, err := os.ReadFile("../../lessons/wiring/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return source
}

// shippedWiring reads the demonstration's board.
func shippedWiring(t testing.TB) circuit.Wiring {
	t.Helper()
	w, messages := card.ReadWiring("parts.toml", wiringFile(t, "parts.toml"), "wires.csv", wiringFile(t, "wires.csv"))
	for _, m := range append(messages, w.Lacks([]string{"fr"})...) {
		t.Error(m)
	}
	return w.Wiring
}

func shippedCard(t testing.TB) machine.Card {
	t.Helper()
	source, err := os.ReadFile("../../lessons/cards/bell-current-set.toml")
	if err != nil {
		t.Fatal(err)
	}
	c, messages := card.Read("bell-current-set.toml", source)
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	return c
}

// wired gives the demonstration's board, at rest.
func wired(t testing.TB) *bench.Wiring {
	s := bench.New([]machine.Card{shippedCard(t)})
	s.Wire(shippedWiring(t))
	return s.Wiring()
}

func looks(t *testing.T, when string, w *bench.Wiring, rings bool, lit ...string) {
	t.Helper()
	if got := w.Lit(); !slices.Equal(got, lit) || w.Rings() != rings {
		t.Errorf("%s: lit %q, rings %v; want %q, %v", when, got, w.Rings(), lit, rings)
	}
}

// The board starts and stops the set, says each trouble by a lamp, and rings
// once with each new one. The lamp of the wharf line is rightly lit.
func TestBoard(t *testing.T) {
	rest := wired(t)
	const wharf = "wharf line"
	looks(t, "at rest", rest.At(5), false)
	looks(t, "starting", rest.Press("start").At(2), false)
	up := rest.Press("start").At(12)
	looks(t, "up", up, false, wharf)
	if v := up.Meter("BV"); math.Abs(v-80) > 2 {
		t.Errorf("bell voltage %v", v)
	}
	looks(t, "stopped", up.Press("stop").At(20), false)
	if up.Press("stop").At(13).Operated("K1") || !up.Operated("K1") {
		t.Error("the contactor does not hold itself, or not through the stop key")
	}

	fuse := up.Blow("F12").At(13)
	looks(t, "fuse blown", fuse, true, "line fuse", "upper landing line", wharf)
	silent := fuse.Press("silence").At(14)
	looks(t, "silenced", silent, false, "line fuse", "upper landing line", wharf)
	second := silent.Cut(wireBetween(t, "TS2.7", "D2.A1")).At(15)
	looks(t, "a second trouble", second, true, "low tone missing", "line fuse", "upper landing line", wharf)
	looks(t, "silenced again", second.Press("silence").At(16), false, "low tone missing", "line fuse", "upper landing line", wharf)

	over := up.Press("changeover").At(13)
	looks(t, "changed over", over, true, "bell voltage missing", "changed over")
	looks(t, "and back", over.Press("silence").At(14).Press("changeover").At(16), false, wharf)
	looks(t, "rings when it happens again", over.Press("silence").At(14).Press("changeover").At(16).Press("changeover").At(17), true, "bell voltage missing", "changed over")
	// The set that still turns feeds the board backwards, through the contactor
	// that it so holds: an open switch is not yet a dead board.
	off := up.Press("isolate")
	looks(t, "switch open", off.At(13), false, wharf)
	if v := off.At(13).Volts("TS1.1", "TS1.5"); v < 20 {
		t.Errorf("%v V are left a second after the switch was opened", v)
	}
	looks(t, "dead", off.At(40), false)
	if v := off.At(40).Volts("TS1.1", "TS1.5"); v > 1 || off.At(40).Operated("K1") {
		t.Errorf("%v V are left", v)
	}

	again := up.Press("stop").At(13).Press("start").At(25)
	looks(t, "started again while it turned", again, false, wharf)
	if a := up.Press("stop").At(13).Press("start").At(13.5).Amps("SET"); a > 10 {
		t.Errorf("a set that still turns takes %v A", a)
	}
}

func wireBetween(t *testing.T, a, b string) string {
	t.Helper()
	for _, w := range shippedWiring(t).Wires {
		if w.From == a && w.To == b || w.From == b && w.To == a {
			return w.Name
		}
	}
	t.Fatalf("no wire between %s and %s", a, b)
	return ""
}

// The board's start is the machine's own with the same steps of a starter at the
// same times: the armature's current, which the board solves as a network, is
// that which the machine integrates. What differs is what else hangs on the
// battery: less than an ampere in 0.06 ohm, over 0.6 ohm.
func TestStartIsTheMachines(t *testing.T) {
	w := wired(t).Press("start")
	c := shippedCard(t)
	const first, second, third = 0.06, 1.56, 2.56
	for name, at := range map[string]float64{"K1": first, "K2": second, "K3": third} {
		if got := w.At(12).When(name); math.Abs(got-at) > 1e-9 {
			t.Errorf("%s at %v s", name, got)
		}
	}
	ohm := 0.0025 + 0.002 // ammeter and fuse
	sim, err := machine.New(c, machine.Setup{AtRest: true, Starter: 2 + ohm}, machine.Load{})
	if err != nil {
		t.Fatal(err)
	}
	for at, left := range map[float64]float64{second: 0.6, third: 0} {
		if err := sim.Plan(machine.Change{At: at - first, What: machine.SetStarter, Amount: left + ohm}); err != nil {
			t.Fatal(err)
		}
	}
	rec, err := sim.Record(8, "armature current", "output")
	if err != nil {
		t.Fatal(err)
	}
	current := rec.Signals[0]
	mean := func(at, over float64) (sum float64) {
		n := 0
		for i, x := range current.T {
			if math.Abs(x+first-at) <= over/2 {
				sum += current.Y[i]
				n++
			}
		}
		return sum / float64(n)
	}
	for at := 0.1; at < 6; at += 0.25 {
		over := 0.06
		for _, step := range []float64{first, second, third} {
			if at > step && at < step+0.5 {
				over = 0.01
			}
		}
		if got, want := w.At(at).Amps("SET"), mean(at, over); math.Abs(got-want) > 0.15 {
			t.Errorf("at %.1f s the board has %.3f A, the machine %.3f A", at, got, want)
		}
	}
	// The contactor's own resistor is the card's battery and nothing else.
	b := new(machine.Battery)
	c.Read("battery", b)
	if p, _ := shippedWiring(t).Part("BAT"); p.Values["voltage"].SI != b.Voltage || p.Values["resistance"].SI != b.Resistance {
		t.Error("the board's battery is not that of the card")
	}
	// The current stays below what melts the fuses, and the second step is not
	// higher than the first.
	if most := slices.Max(current.Y); most > 20 {
		t.Errorf("the start takes %v A", most)
	}
}

// Whatever goes wrong, the board ends within its bounds, and each fault changes
// what is seen, or is known to change nothing before the next start.
func TestEachFault(t *testing.T) {
	rest := wired(t)
	sound := fmt.Sprint(rest.Press("start").At(12).Lamps())
	seen, hidden := 0, 0
	for _, name := range sweeptest.Sample(t, rest.Faults(), 12) {
		func() {
			defer func() {
				if m, ok := recover().(tell.Misuse); ok {
					if !strings.Contains(m.Text, "buzzes") {
						t.Errorf("%s: %s", name, m.Text)
					}
					seen++
				}
			}()
			w := rest.Fail(name).Press("start").At(12)
			if fmt.Sprint(w.Lamps()) != sound || w.Rings() || math.Abs(w.Meter("BV")-80) > 2 {
				seen++
			} else {
				hidden++
			}
		}()
	}
	if seen == 0 || hidden == 0 {
		t.Errorf("%d faults are seen, %d are not", seen, hidden)
	}
}

// The colours of the board's lamps are those that IEC 60073 (second hand) gives
// to what they say of the equipment: red faulty, yellow abnormal, green normal;
// white has no meaning of its own. The start key is no red one and the stop key no
// green one: our keys have no colour.
func TestLampColours(t *testing.T) {
	for _, l := range wired(t).Lamps() {
		want := "yellow"
		switch l.Text {
		case "bell voltage missing":
			want = "red" // nobody can be signalled to
		case "changed over":
			want = "white"
		}
		if l.Colour != want {
			t.Errorf("the lamp %q is %s, want %s", l.Text, l.Colour, want)
		}
	}
}

// A meter between terminals, with all power off.
func TestBoardOhms(t *testing.T) {
	w := wired(t).At(1)
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-6*want {
			t.Errorf("%s: %v ohm, want %v", what, got, want)
		}
	}
	near("starting resistor", w.Ohms("K1.14", "TS2.1"), 2/(1+2/(62+24.98+0.52))) // beside it field, its resistor, and armature
	near("a line with its far end and its relay", w.Blow("F11").Ohms("TS3.12", "F11.2"), 4040+150)
	if wharf := w.Blow("F15"); !math.IsInf(wharf.Ohms("TS3.12", "F15.2"), 1) || wharf.Joined("TS3.12", "F15.2", 2) {
		t.Error("the wharf line is not open")
	}
	if !w.Joined("TS1.1", "TS1.4", 2) {
		t.Error("the plus side is not joined")
	}
}

// What the board's meters show of a set that runs is what the set takes: the
// motor's meter, armature and field; at rest, with the armature's lead off, the
// field through its resistor, from Ohm's law.
func TestBoardMeters(t *testing.T) {
	w := wired(t)
	run := bench.New([]machine.Card{shippedCard(t)}).Open("bell-current-set").Steady(machine.Load{})
	up := w.Press("start").At(9)
	lifted := w.Cut("W12").Press("start").At(3)
	for what, x := range map[string]struct{ got, want, within float64 }{
		// the EMF that a board is given is thinned to 0.05 V, over 0.52 ohm
		"motor":         {up.Meter("AM"), run.ArmatureCurrent + run.FieldCurrent, 0.1},
		"field":         {lifted.Meter("AM"), 48 / (0.06 + 62 + 24.98), 0.005},
		"field voltage": {lifted.Volts("TS2.3", "TS2.4"), 48, 0.2},
		"bells":         {up.Meter("BV"), run.OutputVoltage, 0.3},
		"bus":           {up.Volts("BAT.+", "BAT.-"), run.BusVoltage, 0.05},
	} {
		if math.Abs(x.got-x.want) > x.within {
			t.Errorf("%s: the board has %v, want %v", what, x.got, x.want)
		}
	}
}

func TestTimeline(t *testing.T) {
	w := wired(t).Press("start").At(8)
	set := w.Timeline("start", "K1", "K2", "K3", "D1", "H15", "K5")
	want := map[string]string{"start, start": "[0 0.5 8] [1 0 0]", "K1, contactor": "[0 0.06 8] [0 1 1]", "K2": "[0 1.56 8] [0 1 1]", "K5, battery low": "[0 8] [1 1]"}
	found := 0
	for _, s := range set.Signals {
		if w, ok := want[s.Name]; ok {
			found++
			if got := fmt.Sprint(s.T, s.Y); got != w {
				t.Errorf("%s: %s, want %s", s.Name, got, w)
			}
		}
		if len(s.T) != len(s.Y) || s.T[0] != 0 || s.T[len(s.T)-1] != 8 {
			t.Errorf("%s: %v %v", s.Name, s.T, s.Y)
		}
	}
	if found != len(want) {
		t.Errorf("%d of %d parts are in the timeline", found, len(want))
	}
	if n := len(w.Timeline().Signals); n < 10 {
		t.Errorf("%d parts change", n)
	}
}

// A shelf that is given what an earlier one kept runs no machine again, and gives
// the same.
func TestWiredRunsAreKept(t *testing.T) {
	cards := []machine.Card{shippedCard(t)}
	first, second := bench.New(cards), bench.New(cards)
	w := shippedWiring(t)
	first.Wire(w)
	up := first.Wiring().Press("start").At(9)
	a := up.Amps("SET")
	second.Wire(w)
	second.Recall(first.Kept())
	if b := second.Wiring().Press("start").At(9).Amps("SET"); a != b {
		t.Errorf("%v A, and recalled %v A", a, b)
	}
	if len(first.Kept()) == 0 || len(second.Kept()) > 0 {
		t.Errorf("%d runs kept, %d made again", len(first.Kept()), len(second.Kept()))
	}
}

// A start of the board, with the set's own start given, in board time: ns/op is
// for one simulated second of ten.
func BenchmarkStart(b *testing.B) {
	w := shippedWiring(b)
	s := bench.New([]machine.Card{shippedCard(b)})
	s.Wire(w)
	set := s.Wiring().Press("start").At(9.9).Given("SET")
	const seconds = 10
	b.ReportMetric(float64(len(set.Record)), "instants")
	for b.Loop() {
		board, err := circuit.New(w)
		if err != nil {
			b.Fatal(err)
		}
		if err := board.Feed("SET", set); err != nil {
			b.Fatal(err)
		}
		if err := board.Press("start"); err != nil {
			b.Fatal(err)
		}
		if err := board.AdvanceTo(seconds); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/seconds/1e6, "ms/simulated-s")
}

// What a cell asks wrongly is told with a next step.
func TestWiringMisuse(t *testing.T) {
	w := wired(t)
	for want, ask := range map[string]func(){
		`there is no key called "strat"`:          func() { w.Press("strat") },
		"a wiring at 3 s cannot be looked at":     func() { w.At(3).At(2) },
		`there is no wire called "W999"`:          func() { w.Cut("W999") },
		`the wiring can have no fault called "x"`: func() { w.Fail("x") },
		`no meter is called "XY"`:                 func() { w.Meter("XY") },
		`no part has the terminal "TS1.99"`:       func() { w.Volts("TS1.99", "TS1.1") },
		`no part is called "Q"`:                   func() { w.Timeline("Q") },
		"K2 does not operate until 0.1 s":         func() { w.Press("start").At(0.1).When("K2") },
		"the house has no wiring":                 func() { bench.New(nil).Wiring() },
	} {
		func() {
			defer func() {
				if m, ok := recover().(tell.Misuse); !ok || m.Hint == "" || !strings.HasPrefix(m.Text, want) {
					t.Errorf("%v, want %s", m, want)
				}
			}()
			ask()
		}()
	}
}
