package circuit_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/circuit"
	"slipring/engine/sweeptest"
)

// The demonstration's board against ngspice, an independent program: its voltages
// at some instants of a start, and the times at which its relays move. Nothing
// of the input below is made by the package under test but the list of parts and
// wires.

// ran runs the program and gives its numbers by their names.
func ran(t *testing.T, input string) map[string]float64 {
	t.Helper()
	program, err := exec.LookPath("ngspice")
	if err != nil {
		sweeptest.Missing(t, "ngspice", "there is no ngspice to compare with")
	}
	file := filepath.Join(t.TempDir(), "board.cir")
	if err := os.WriteFile(file, []byte(input), 0o600); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	run := exec.Command(program, "-b", file)
	run.Stdout, run.Stderr = &out, &out
	if err := run.Run(); err != nil {
		t.Fatalf("%v\n%.3000s", err, out.String())
	}
	numbers := map[string]float64{}
	for _, m := range regexp.MustCompile(`(?m)^([a-z0-9_]+) *= *([-+.0-9e]+)`).FindAllStringSubmatch(out.String(), -1) {
		x, err := strconv.ParseFloat(m[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		numbers[m[1]] = x
	}
	if len(numbers) == 0 {
		t.Fatalf("no numbers:\n%.3000s", out.String())
	}
	return numbers
}

// deck is the input for ngspice, with a name for each terminal: those that wires
// join have one.
type deck struct {
	strings.Builder
	w    circuit.Wiring
	name map[string]string
	n    int
}

func newDeck(w circuit.Wiring, closed [][2]string) *deck {
	d := &deck{w: w, name: map[string]string{}}
	for _, p := range w.Parts {
		marks, _ := p.Marks()
		for _, m := range marks {
			at := p.Name + "." + m
			d.name[at] = strings.NewReplacer(".", "_", "+", "plus", "-", "minus").Replace(strings.ToLower(at))
		}
	}
	for _, wire := range w.Wires {
		closed = append(closed, [2]string{wire.From, wire.To})
	}
	for _, joined := range closed {
		keep, lose := d.name[joined[0]], d.name[joined[1]]
		for at, name := range d.name {
			if name == lose {
				d.name[at] = keep
			}
		}
	}
	d.line("* the board")
	d.line(".options reltol=1e-9 abstol=1e-15 vntol=1e-12 gmin=1e-15 pivtol=1e-18")
	had := map[string]bool{}
	for _, name := range d.name {
		if !had[name] {
			had[name] = true
			d.line("rg%d %s 0 1e10", len(had), name)
		}
	}
	return d
}

func (d *deck) line(format string, args ...any) { fmt.Fprintf(&d.Builder, format+"\n", args...) }

func (d *deck) resistor(a, b string, ohm float64) {
	d.n++
	d.line("rr%d %s %s %.12g", d.n, d.name[a], d.name[b], ohm)
}

// ends are the marks between which parts have their resistance.
var ends = map[string][2]string{
	"resistor": {"1", "2"}, "fuse": {"1", "2"}, "voltmeter": {"1", "2"}, "ammeter": {"1", "2"}, "bell": {"1", "2"},
	"lamp": {"X1", "X2"}, "relay": {"A1", "A2"}, "detector": {"A1", "A2"},
}

// legs are the pairs of marks of a part's contacts, and whether each makes.
func legs(p circuit.Part) (out []struct {
	a, b  string
	makes bool
}) {
	for _, c := range p.Contacts {
		marks := strings.Split(c, "-")
		for _, m := range marks[1:] {
			makes := strings.ContainsAny(m[len(m)-1:], "48")
			out = append(out, struct {
				a, b  string
				makes bool
			}{p.Name + "." + marks[0], p.Name + "." + m, makes})
		}
	}
	return out
}

// resistances writes all that is there at any time.
func (d *deck) resistances() {
	for _, p := range d.w.Parts {
		if e, ok := ends[p.Kind]; ok {
			d.resistor(p.Name+"."+e[0], p.Name+"."+e[1], p.Values["resistance"].SI)
		}
		if p.Kind == "battery" {
			d.line("vbat %s batmid %.12g", d.name[p.Name+".+"], p.Values["voltage"].SI)
			d.line("rbat batmid %s %.12g", d.name[p.Name+".-"], p.Values["resistance"].SI)
		}
	}
}

func shippedBoard(t *testing.T) circuit.Wiring {
	t.Helper()
	var sources [2][]byte
	for i, name := range []string{"parts.toml", "wires.csv"} {
		var err error
		if sources[i], err = os.ReadFile(filepath.Join("..", "..", "lessons", "wiring", name)); err != nil {
			t.Fatal(err)
		}
	}
	w, messages := card.ReadWiring("parts.toml", sources[0], "wires.csv", sources[1])
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	return w.Wiring
}

// someSet comes up as ours does, by numbers of this test's own.
var someSet = circuit.Set{
	Armature: 0.52, Field: 75, Low: circuit.Winding{Resistance: 6}, High: circuit.Winding{Resistance: 6},
	Record: []circuit.Instant{
		{At: 1.06, Hz: 16.65, LowHz: 133.2, HighHz: 349.65},
		{At: 2.53, Back: 40.1, FieldBack: -3.7, Rings: 7.7, Hz: 16.65, Low: 8.9, LowHz: 133.2, High: 9.1, HighHz: 349.65},
		{At: 3.11, Back: 45.2, FieldBack: -6.1, Rings: 22.3, Hz: 16.65, Low: 9.7, LowHz: 133.2, High: 10.2, HighHz: 349.65},
		{At: 3.87, Back: 46.9, FieldBack: -5.2, Rings: 80.2, Hz: 16.65, Low: 9.8, LowHz: 133.2, High: 10.3, HighHz: 349.65},
		{At: 9, Back: 47.0, FieldBack: -5.4, Rings: 80.0, Hz: 16.65, Low: 9.8, LowHz: 133.2, High: 10.3, HighHz: 349.65},
	},
}

// started presses the start key at 1 s for half a second, and goes on.
func started(t *testing.T, w circuit.Wiring, is circuit.Set, until float64) *circuit.Board {
	t.Helper()
	b, err := circuit.New(w)
	must(t, err)
	must(t, b.Feed("SET", is))
	for _, step := range []struct {
		at  float64
		act func(string) error
	}{{1, b.Press}, {1.5, b.LetGo}} {
		if step.at > until {
			break
		}
		must(t, b.AdvanceTo(step.at))
		must(t, step.act("start"))
	}
	must(t, b.AdvanceTo(until))
	return b
}

// Voltages over every part at some instants, direct and alternating, to a
// millionth of the largest.
func TestVoltagesAgainstNgspice(t *testing.T) {
	w := shippedBoard(t)
	is := someSet
	is.Low.Inductance, is.High.Inductance = 0.012, 0.005
	for _, at := range []float64{0.5, 1.3, 2.9, 3.3, 5, 8} {
		b := started(t, w, is, at)
		var now circuit.Instant
		for i, x := range is.Record {
			if x.At > at {
				if i > 0 {
					a := is.Record[i-1]
					part := (at - a.At) / (x.At - a.At)
					now = circuit.Instant{
						Back: a.Back + part*(x.Back-a.Back), FieldBack: a.FieldBack + part*(x.FieldBack-a.FieldBack), Rings: a.Rings + part*(x.Rings-a.Rings),
						Low: a.Low + part*(x.Low-a.Low), High: a.High + part*(x.High-a.High)}
				}
				break
			}
		}
		var closed [][2]string
		for _, p := range w.Parts {
			for _, l := range legs(p) {
				if l.makes == b.Pressed(p.Name) {
					closed = append(closed, [2]string{l.a, l.b})
				}
			}
		}
		base := newDeck(w, closed)
		base.resistances()
		base.line("varm %s armmid %.15g", base.name["SET.A1"], now.Back)
		base.line("rarm armmid %s %.12g", base.name["SET.A2"], is.Armature)
		base.line("vfield %s fieldmid %.15g", base.name["SET.E1"], now.FieldBack)
		base.line("rfield fieldmid %s %.12g", base.name["SET.E2"], is.Field)
		// direct, then each of three frequencies, of which one source gives one
		for i, hz := range []float64{0, 16.65, 133.2, 349.65} {
			d := &deck{name: base.name}
			d.WriteString(base.String())
			give := [4]float64{1: now.Rings, 2: now.Low, 3: now.High}
			for k := 1; k < 4; k++ {
				volts := 0.0
				if k == i {
					volts = give[k]
				}
				ends := [4][2]string{1: {"SET.U1", "SET.U2"}, 2: {"SET.L1", "SET.L2"}, 3: {"SET.H1", "SET.H2"}}[k]
				inner := [4]circuit.Winding{2: is.Low, 3: is.High}[k]
				d.line("vac%d %s acr%d dc 0 ac %.15g", k, d.name[ends[0]], k, volts)
				d.line("rac%d acr%d acl%d %.12g", k, k, k, max(inner.Resistance, 1e-9))
				d.line("lac%d acl%d %s %.12g", k, k, d.name[ends[1]], max(inner.Inductance, 1e-12))
			}
			run, function := "op", "v"
			if hz > 0 {
				run, function = fmt.Sprintf("ac lin 1 %.12g %.12g", hz, hz), "mag"
			}
			d.line(".control\nset numdgt=12\n%s", run)
			var parts []string
			for _, p := range w.Parts {
				e, ok := ends[p.Kind]
				if !ok {
					continue
				}
				parts = append(parts, p.Name)
				x, y := d.name[p.Name+"."+e[0]], d.name[p.Name+"."+e[1]]
				if function == "v" {
					d.line("let z_%s = v(%s) - v(%s)", strings.ToLower(p.Name), x, y)
				} else {
					d.line("let z_%s = mag(v(%s) - v(%s))", strings.ToLower(p.Name), x, y)
				}
				d.line("print z_%s", strings.ToLower(p.Name))
			}
			d.line("quit 0\n.endc\n.end")
			got := ran(t, d.String())
			for _, name := range parts {
				p, _ := w.Part(name)
				e := ends[p.Kind]
				var have float64
				var err error
				if hz == 0 {
					have, err = b.Volts(name+"."+e[0], name+"."+e[1])
				} else {
					have, err = b.SwingAt(name+"."+e[0], name+"."+e[1], hz)
				}
				must(t, err)
				want, ok := got["z_"+strings.ToLower(name)]
				if !ok || math.Abs(have-want) > 1e-6*80 {
					t.Errorf("at %v s, %v Hz, %s: %.9f V, ngspice has %.9f V (%v)", at, hz, name, have, want, ok)
				}
			}
		}
	}
}

// The times at which relays move, to a millisecond. In ngspice a relay is a
// capacitor that is charged while its coil is fed, in its pick-up time, and
// discharged while it is not; the r.m.s. voltages of the set stand as direct
// ones, since all that they feed is resistance.
func TestTimesAgainstNgspice(t *testing.T) {
	if testing.Short() {
		t.Skip("a reference tool is not run with -short")
	}
	const until = 8.0
	w := shippedBoard(t)
	b := started(t, w, someSet, until)
	d := newDeck(w, nil)
	d.resistances()
	d.line("vone one 0 1")
	d.line(".model make sw vt=0.5 vh=0 ron=1e-3 roff=1e9\n.model break sw vt=-0.5 vh=0 ron=1e-3 roff=1e9\n.model latch sw vt=0.5 vh=0.4999 ron=1 roff=1e12")
	var moved []string
	for _, p := range w.Parts {
		u := "u_" + strings.ToLower(p.Name)
		for i, l := range legs(p) {
			name := fmt.Sprintf("s%s%d %s %s", strings.ToLower(p.Name), i, d.name[l.a], d.name[l.b])
			if l.makes {
				d.line("%s %s 0 make", name, u)
			} else {
				d.line("%s 0 %s break", name, u)
			}
		}
		switch p.Kind {
		case "key", "fuse":
			if p.Name == "start" {
				d.line("v%s %s 0 pwl(0 0 1 0 1.00001 1 1.5 1 1.50001 0)", u, u)
			} else {
				d.line("v%s %s 0 0", u, u)
			}
		case "relay", "detector":
			moved = append(moved, p.Name)
			level := func(key string) float64 {
				if p.Kind == "relay" {
					return p.Values[key].SI * p.Values["resistance"].SI // as a voltage
				}
				return p.Values[key].SI
			}
			c := strings.ToLower(p.Name)
			drive := fmt.Sprintf("abs(v(%s)-v(%s))", d.name[p.Name+".A1"], d.name[p.Name+".A2"])
			d.line("bw%s w_%s 0 v = %s >= %.12g ? 1 : (%s <= %.12g ? 0 : (v(%s) > 0.5 ? 1 : 0))", c, c, drive, level("pick-up"), drive, level("release"), u)
			d.line("bp%s 0 p_%s i = v(w_%s) > 0.5 ? (v(p_%s) < 1 ? %.12g : 0) : (v(p_%s) > 0 ? %.12g : 0)", c, c, c, c, 1/p.Values["pick-up-time"].SI, c, -1/p.Values["release-time"].SI)
			d.line("cp%s p_%s 0 1 ic=0\nrp%s p_%s 0 1e9", c, c, c, c)
			d.line("sl%s one %s p_%s 0 latch off\nrl%s %s 0 1e6", c, u, c, c, u)
		}
	}
	var back, field, rings, low, high strings.Builder
	for _, x := range someSet.Record {
		fmt.Fprintf(&back, " %g %g", x.At, x.Back)
		fmt.Fprintf(&field, " %g %g", x.At, x.FieldBack)
		fmt.Fprintf(&rings, " %g %g", x.At, x.Rings)
		fmt.Fprintf(&low, " %g %g", x.At, x.Low)
		fmt.Fprintf(&high, " %g %g", x.At, x.High)
	}
	d.line("varm %s armmid pwl(0 0%s)\nrarm armmid %s %.12g", d.name["SET.A1"], &back, d.name["SET.A2"], someSet.Armature)
	d.line("vfield %s fieldmid pwl(0 0%s)\nrfield fieldmid %s %.12g", d.name["SET.E1"], &field, d.name["SET.E2"], someSet.Field)
	d.line("vrings %s %s pwl(0 0%s)", d.name["SET.U1"], d.name["SET.U2"], &rings)
	d.line("vlow %s lowmid pwl(0 0%s)\nrlow lowmid %s 6", d.name["SET.L1"], &low, d.name["SET.L2"])
	d.line("vhigh %s highmid pwl(0 0%s)\nrhigh highmid %s 6", d.name["SET.H1"], &high, d.name["SET.H2"])
	d.line(".options reltol=1e-4 abstol=1e-9 vntol=1e-6 method=gear")
	d.line(".tran 0.25m %g 0 0.25m uic", until)
	for _, name := range moved {
		d.line(".meas tran t_%s when v(u_%s)=0.5 rise=1", strings.ToLower(name), strings.ToLower(name))
		d.line(".meas tran f_%s when v(u_%s)=0.5 fall=1", strings.ToLower(name), strings.ToLower(name))
	}
	d.line(".end")
	got := ran(t, d.String())
	compared := 0
	for _, name := range moved {
		var up, down []float64
		for _, e := range b.Events() {
			switch {
			case e.Part != name:
			case e.Is == circuit.Up:
				up = append(up, e.At)
			default:
				down = append(down, e.At)
			}
		}
		if name == "K5" {
			continue // up before the board's time begins
		}
		for prefix, have := range map[string][]float64{"t_": up, "f_": down} {
			want, moves := got[prefix+strings.ToLower(name)]
			if moves != (len(have) > 0) {
				t.Errorf("%s%s: moves at %v, in ngspice at %v (%v)", prefix, name, have, want, moves)
				continue
			}
			if moves {
				compared++
				if math.Abs(have[0]-want) > 1e-3 {
					t.Errorf("%s%s: at %.5f s, in ngspice at %.5f s", prefix, name, have[0], want)
				}
			}
		}
	}
	if compared < 11 {
		t.Errorf("only %d moves compared", compared)
	}
}
