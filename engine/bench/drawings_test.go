package bench_test

import (
	"os"
	"strings"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/card"
	"slipring/engine/circuit"
	"slipring/engine/folder"
	"slipring/engine/reconcile"
	"slipring/engine/tell"
)

// demoDrawings gives what the demonstration's drawings and readings say.
func demoDrawings(t *testing.T) *bench.Drawings {
	t.Helper()
	if testing.Short() {
		t.Skip("nothing of drawings runs side by side, and the race detector would take a minute for each")
	}
	const dir = "../../lessons/"
	in := folder.Open(dir)
	defer in.Close()
	var text [2][]byte
	for i, name := range []string{"parts.toml", "wires.csv"} {
		var err error
		if text[i], err = os.ReadFile(dir + "wiring/" + name); err != nil {
			t.Fatal(err)
		}
	}
	w, messages := card.ReadWiring("parts.toml", text[0], "wires.csv", text[1])
	sheets, readings, more := reconcile.ReadAll(in, w.Wiring)
	for _, m := range append(messages, more...) {
		t.Fatal(m)
	}
	shelf := bench.New(nil)
	shelf.Wire(w.Wiring)
	shelf.Draw(reconcile.Papers{Sheets: sheets, Readings: readings})
	return shelf.Wiring().Drawings()
}

// What cells ask of drawings is what readings make of them.
func TestDrawings(t *testing.T) {
	d := demoDrawings(t)
	none := d.First(0)
	if d.Readings() != 40 || none.Count("found") != 0 || d.Count("found") < 10 || none.Count("not there") != 0 {
		t.Errorf("%d readings, found %d, and %d without readings", d.Readings(), d.Count("found"), none.Count("found"))
	}
	sum := 0
	for _, v := range []string{"found", "likely", "open question", "not there"} {
		sum += d.Count(v)
	}
	if sum != len(d.Wires()) {
		t.Errorf("%d of %d wires have a verdict", sum, len(d.Wires()))
	}
	if s := d.Sheets(); len(s) != 4 || s[0].Date != "1911" || s[0].Name != "a" || s[0].Wires < 100 {
		t.Errorf("%+v", s)
	}
	// All three that show it have it, and no reading was taken of it.
	agreed := d.Wire("TS2.3", "SET.U1")
	if agreed.Verdict != "likely" || agreed.Drawn != "a, b, c" || !agreed.Power {
		t.Errorf("%+v", agreed)
	}
	// A reading against another is one of a pair, and names the third.
	if w := d.Wire("D14.11", "D15.11"); w.Verdict != "not there" || !strings.Contains(w.Because, "D14.11 to D15.11 open, 2026-09-12") {
		t.Errorf("%+v", w)
	}
	c := d.Read("D14.11", "D15.11", "closed").Contradictions()
	if len(c) != 1 || !strings.Contains(c[0].One+c[0].Other, "D14.11 to D15.11 open") || c[0].Chance < 0.8 || c[0].SettleFrom == "" {
		t.Errorf("%+v", c)
	}
	if tests := d.Tests(3); len(tests) != 3 || tests[0].Gain < 1 || tests[0].IfClosed == "" {
		t.Errorf("%+v", tests)
	}
	for _, c := range []struct {
		says string
		do   func()
	}{
		{"there are not 41 readings", func() { d.First(41) }},
		{`"beep" is no reading`, func() { d.Read("TS1.1", "TS1.2", "beep") }},
		{`"sure" is no verdict`, func() { d.Count("sure") }},
		{"no drawing has a wire from TS1.1 to TS3.9", func() { d.Wire("TS1.1", "TS3.9") }},
		{`the drawing "z" shows no wire at "TS1"`, func() { d.Fit("TS1", "z") }},
		{"the house has no drawings", func() { s := bench.New(nil); s.Wire(circuit.Wiring{}); s.Wiring().Drawings() }},
	} {
		func() {
			defer func() {
				if m, ok := recover().(tell.Misuse); !ok || !strings.HasPrefix(m.Text, c.says) || m.Hint == "" {
					t.Errorf("%+v, want %s", m, c.says)
				}
			}()
			c.do()
		}()
	}
	if f := d.Fit("TS1", "b"); f < 0.5 || f > 1 {
		t.Errorf("drawing b fits TS1 by %v", f)
	}
}
