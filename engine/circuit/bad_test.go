package circuit_test

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"slipring/engine/circuit"
)

const lampOn = "B battery voltage=48 resistance=0.1\nL lamp resistance=500 voltage=48\n"

// Whatever is wrong is one finding that names the parts and says what to do next.
func TestFindings(t *testing.T) {
	for name, c := range map[string]struct{ wiring, want, parts string }{
		"no such part":       {lampOn + "B.+ L.X1\nL.X2 C.-", `no part has the terminal "C.-"`, ""},
		"no such terminal":   {lampOn + "B.+ L.X1\nL.X3 B.-", `no part has the terminal "L.X3"`, ""},
		"itself":             {lampOn + "B.+ L.X1\nL.X2 B.-\nL.X1 L.X1", "leads from L.X1 to itself", ""},
		"twice":              {lampOn + "B.+ L.X1\nL.X2 B.-\nL.X1 B.+", "joins what W1 joins already", ""},
		"part twice":         {lampOn + "L lamp resistance=500 voltage=48\nB.+ L.X1\nL.X2 B.-", "the part L stands twice", "L"},
		"unknown kind":       {lampOn + "M lamb resistance=500\nB.+ L.X1\nL.X2 B.-", `"lamb" is no kind of part`, "M"},
		"no release":         {lampOn + "K relay resistance=500 pick-up=0.02 pick-up-time=0.01 release-time=0.01\nB.+ L.X1 K.A1\nL.X2 B.- K.A2", "the relay K has no release", "K"},
		"releases too late":  {lampOn + "K relay resistance=500 pick-up=0.02 release=0.02 pick-up-time=0.01 release-time=0.01\nB.+ L.X1 K.A1\nL.X2 B.- K.A2", "would fall back at 0.02, and operates at 0.02", "K"},
		"no contact":         {lampOn + "K key contacts=13-15\nB.+ L.X1\nL.X2 B.-", `"13-15" is no contact`, "K"},
		"key without":        {lampOn + "K key\nB.+ L.X1\nL.X2 B.-", "the key K has no contact", "K"},
		"mark twice":         {lampOn + "K key contacts=13-14,13-24\nB.+ L.X1\nL.X2 B.-", `the mark "13" stands twice`, "K"},
		"strip":              {lampOn + "T strip\nB.+ L.X1\nL.X2 B.-", "a strip cannot have 0 terminals", "T"},
		"colour":             {"B battery voltage=48 resistance=0.1\nL lamp resistance=500 voltage=48 colour=pink\nB.+ L.X1\nL.X2 B.-", `the lamp L cannot be "pink"`, "L"},
		"loose":              {lampOn + "B.+ L.X1", "floats: no wire ends at its terminal", "B"},
		"unfed":              {lampOn + "M lamp resistance=500 voltage=48\nR resistor resistance=1\nB.+ L.X1\nL.X2 B.-\nM.X1 R.1\nM.X2 R.2", "M and R float: no source feeds them", "M R"},
		"shorted":            {lampOn + "K key contacts=13-14\nB.+ L.X1\nL.X2 B.-\nB.+ K.13\nK.14 B.-", "a contact of K shorts B: both of its terminals are joined, after 20 s, with K pressed", "B"},
		"shorted by a wire":  {lampOn + "B.+ L.X1\nL.X2 B.-\nB.+ B.-", "the wire W3 shorts B: both of its terminals are joined, at rest", "B"},
		"no solution":        {"A battery voltage=48 resistance=0\nC battery voltage=24 resistance=0\nR resistor resistance=1\nA.+ C.+ R.1\nA.- C.- R.2", "the network has no solution: A and C stand against each other", "A C"},
		"buzzes":             {lampOn + "K relay contacts=11-12" + quick + "\nB.+ L.X1 K.11\nK.12 K.A1\nL.X2 B.- K.A2", "K buzzes without end", "K"},
		"zero ohm":           {"B battery voltage=48 resistance=0.1\nL lamp resistance=0 voltage=48\nB.+ L.X1\nL.X2 B.-", "resistance of the lamp L cannot be 0 ohm", "L"},
		"a set without card": {lampOn + "S set\nB.+ L.X1\nL.X2 B.-", "does not say which set it is", "S"},
	} {
		flaws := lay(c.wiring).Check()
		n := 0
		for _, f := range flaws {
			if strings.Contains(f.Reason, c.want) && f.Next != "" && strings.Join(f.Parts, " ") == c.parts || c.parts == "" && f.Wire != "" && strings.Contains(f.Reason, c.want) && f.Next != "" {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%s: %+v, want one of %q about %q", name, flaws, c.want, c.parts)
		}
	}
}

// flaw gives the finding that an error is.
func flaw(t *testing.T, err error) circuit.Flaw {
	t.Helper()
	var f circuit.Flaw
	if !errors.As(err, &f) || f.Next == "" {
		t.Fatalf("%v is no finding with a next step", err)
	}
	return f
}

// What is asked of a board wrongly is refused, and changes nothing.
func TestRefusals(t *testing.T) {
	b := board(t, holding)
	for want, act := range map[string]func() error{
		`there is no key called "STRAT"`:         func() error { return b.Press("STRAT") },
		"the relay M is no key":                  func() error { return b.Press("M") },
		`there is no lamp called "L"`:            func() error { return b.BurnOut("L") },
		`there is no wire called "X"`:            func() error { return b.Cut("X") },
		`no part has the terminal "M.99"`:        func() error { _, err := b.Volts("M.99", "B.-"); return err },
		`there is no set called "S"`:             func() error { return b.Feed("S", circuit.Set{}) },
		"a board cannot be watched until +Inf s": func() error { return b.Advance(math.Inf(1)) },
		"a board cannot be watched until -1 s":   func() error { return b.Advance(-1) },
		`no current flows through a part`:        func() error { _, err := b.Amps("START"); return err },
	} {
		if f := flaw(t, act()); !strings.Contains(f.Reason, want) {
			t.Errorf("%q, want %q", f.Reason, want)
		}
	}
	if len(b.Events()) > 0 || b.Time() != 0 {
		t.Error("a refusal changed the board")
	}
}

// A timeline without end is bounded: an interrupter goes on for ever, and is named.
func TestWithoutEnd(t *testing.T) {
	b := board(t, lampOn+`
		F flasher resistance=2000 pick-up=30 off-time=0.02 on-time=0.02 contacts=13-14
		B.+ F.A1 F.13
		F.A2 B.- L.X2
		F.14 L.X1`)
	if f := flaw(t, b.Settle(10)); len(f.Parts) != 1 || f.Parts[0] != "F" || !strings.Contains(f.Reason, "does not come to rest within 10 s") {
		t.Errorf("%+v", f)
	}
	if f := flaw(t, b.AdvanceTo(circuit.MostSeconds)); !strings.Contains(f.Reason, "more than 20000 moves") || f.Parts[0] != "F" {
		t.Errorf("%+v", f)
	}
}

// Faults do what they say, each with one call, and the list holds each once.
func TestFaults(t *testing.T) {
	const text = `
		B battery voltage=48 resistance=0.1
		F fuse resistance=0.1 melting-current=1 melting-time=0.5 contacts=97-98
		K relay contacts=13-14` + quick + `
		L lamp resistance=500 voltage=48
		A lamp resistance=500 voltage=48
		B.+ F.1 F.97
		F.98 A.X1
		F.2 K.A1 K.13
		K.14 L.X1
		L.X2 B.- K.A2 A.X2`
	faults := lay(text).Faults()
	if len(faults) != 9+1+2+2 {
		t.Errorf("%d faults", len(faults))
	}
	seen := map[string]bool{}
	for _, f := range faults {
		if seen[f.Name()] {
			t.Errorf("%s twice", f.Name())
		}
		seen[f.Name()] = true
		b := board(t, text)
		must(t, b.Fail(f))
		must(t, b.Settle(10))
		lit := func(i int) bool { return b.Seen().Lamps[i].Is == circuit.Lit }
		wires := map[string][2]bool{ // the lamp L, and the alarm's lamp A
			"W1 open": {false, false}, "W2 open": {true, false}, "W3 open": {true, false}, "W4 open": {false, false}, "W5 open": {true, false},
			"W6 open": {false, false}, "W7 open": {false, false}, "W8 open": {false, false}, "W9 open": {true, false},
		}
		want := [2]bool{true, false}
		if w, ok := wires[f.Name()]; ok {
			want = w
		}
		switch f.Name() {
		case "W5 open": // it feeds the lamp behind the relay
			want = [2]bool{false, false}
		case "F blown":
			want = [2]bool{false, true}
		case "L burnt out", "K stuck released":
			want[0] = false
		}
		if got := [2]bool{lit(0), lit(1)}; got != want {
			t.Errorf("%s: lamps %v, want %v", f.Name(), got, want)
		}
	}
}

// A fuse melts when it has carried too much for its time, and its alarm is given.
func TestFuse(t *testing.T) {
	b := board(t, `
		B battery voltage=48 resistance=0.1
		F fuse resistance=0.1 melting-current=1 melting-time=0.5 contacts=97-98
		K key contacts=13-14
		R resistor resistance=10
		A lamp resistance=500 voltage=48
		B.+ F.1 F.97
		F.2 K.13
		K.14 R.1
		F.98 A.X1
		R.2 B.- A.X2`)
	must(t, b.Press("K"))
	must(t, b.Advance(0.49))
	must(t, b.LetGo("K"))
	must(t, b.Advance(1))
	if b.Pressed("F") {
		t.Fatal("it melted too soon")
	}
	must(t, b.Press("K"))
	must(t, b.Advance(0.6))
	if !b.Pressed("F") || b.Seen().Lamps[0].Is != circuit.Lit || math.Abs(amps(t, b, "R")) > 1e-12 {
		t.Error("it did not melt")
	}
}

// With all power off: relays at rest, keys as they are held, no source.
func TestOhms(t *testing.T) {
	b := board(t, holding)
	ohms := func(from, to string) float64 {
		r, err := b.Ohms(from, to)
		must(t, err)
		return r
	}
	must(t, b.Press("V"))
	if r := ohms("B.+", "M.A1"); !math.IsInf(r, 1) {
		t.Errorf("%v ohm through an open key", r)
	}
	near(t, "the coil", ohms("M.A1", "B.-"), 1000, 1e-9)
	near(t, "a wire", ohms("V.14", "STOP.12"), 0, 0)
	must(t, b.Press("START"))
	must(t, b.Advance(0.1))
	near(t, "through the key", ohms("B.+", "M.A2"), 1000, 1e-9)
	must(t, b.LetGo("START"))
	if r := ohms("B.+", "M.A1"); !math.IsInf(r, 1) || !b.Pressed("M") {
		t.Errorf("%v ohm through a relay that has no power to hold itself", r)
	}
}

// Twice the same gives the same, to the last bit.
func TestSameAgain(t *testing.T) {
	run := func() ([]circuit.Event, circuit.Seen) {
		b := board(t, sequence("A.5"))
		must(t, b.Press("TROUBLE"))
		must(t, b.Advance(math.Pi))
		must(t, b.Press("SEEN"))
		must(t, b.Advance(math.E))
		return b.Events(), b.Seen()
	}
	e1, s1 := run()
	e2, s2 := run()
	if !reflect.DeepEqual(e1, e2) || !reflect.DeepEqual(s1, s2) || len(e1) < 20 {
		t.Errorf("%v\n%v", e1, e2)
	}
}

// A board that goes on and on takes no more memory.
func TestMemoryIsFlat(t *testing.T) {
	b := board(t, sequence("A.5"))
	must(t, b.Press("TROUBLE"))
	must(t, b.Advance(5))
	if n := testing.AllocsPerRun(20, func() {
		b.Forget()
		must(t, b.Advance(5))
	}); n > 0 {
		t.Errorf("%v allocations in five seconds of flashing", n)
	}
}

// A detector operates as the set's voltage reaches its level on the way up: half
// way from 0 to 80 V in 2 s, less what the lead takes, then after its own time. It
// does not hear what is outside of its band.
func TestDetector(t *testing.T) {
	text := `
		S set card=set
		R resistor resistance=500
		D detector resistance=1500 pick-up=30 release=20 lowest-frequency=10 highest-frequency=25 pick-up-time=0.05 release-time=0.2
		X detector resistance=1e6 pick-up=1 release=0.5 lowest-frequency=100 highest-frequency=200 pick-up-time=0.05 release-time=0.2
		P battery voltage=1 resistance=1
		Z resistor resistance=1
		P.+ Z.1 S.A1 S.E1
		P.- Z.2 S.A2 S.E2
		S.U1 R.1
		R.2 D.A1
		D.A2 S.U2 X.A2
		X.A1 S.U1
		S.L1 S.H1 Z.1
		S.L2 S.H2 Z.2`
	b := board(t, text)
	must(t, b.Feed("S", circuit.Set{
		Low: circuit.Winding{Resistance: 1}, High: circuit.Winding{Resistance: 1},
		Record: []circuit.Instant{{At: 1, Hz: 16}, {At: 3, Rings: 80, Hz: 16}, {At: 5, Rings: 80, Hz: 16}, {At: 7, Rings: 0, Hz: 16}}}))
	must(t, b.Advance(10))
	var up, down float64
	for _, e := range b.Events() {
		switch {
		case e.Part != "D":
			t.Errorf("%+v", e)
		case e.Is == circuit.Up:
			up = e.At
		default:
			down = e.At
		}
	}
	near(t, "up", up, 1+2*40/80.0+0.05, 1e-6)
	near(t, "down", down, 5+2*(80-20/0.75)/80+0.2, 1e-6)
}
