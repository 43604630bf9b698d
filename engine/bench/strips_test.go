package bench_test

import (
	"slices"
	"strings"
	"testing"

	"slipring/engine/tell"
)

// The strips have each wire as the drawings' own answers have it, and a page can
// show them.
func TestStrips(t *testing.T) {
	d := demoDrawings(t)
	s := d.Strips()
	var sheet tell.Sheet
	sheet.Strips("wires", s)
	wires := d.Wires()
	if len(s.Wires) != len(wires) || len(s.Sheets) != 4 {
		t.Fatalf("%d wires of %d, on %d drawings", len(s.Wires), len(wires), len(s.Sheets))
	}
	open := map[string]int{}
	for i, w := range s.Wires {
		one := wires[i]
		var on []string
		for _, k := range w.Drawn {
			on = append(on, s.Sheets[k].Name)
		}
		if w.From != one.From || w.To != one.To || w.Verdict != one.Verdict || w.Chance != one.Chance || strings.Join(on, ", ") != one.Drawn {
			t.Errorf("%+v is told as %+v", one, w)
		}
		// The same reason in the words of the list of wires.
		switch says := one.Because; w.Why.Kind {
		case tell.ByClosed, tell.ByOpen:
			if !strings.HasPrefix(says, w.Why.From+" to "+w.Why.To+" "+w.Why.Kind) {
				t.Errorf("%q is told as %+v", says, w.Why)
			}
		case tell.ByOther, tell.ByLikeness:
			if !strings.Contains(says, w.Why.From+" to "+w.Why.To) {
				t.Errorf("%q is told as %+v", says, w.Why)
			}
		case tell.ByPlace:
			if !strings.HasPrefix(says, "drawn nowhere; beside") {
				t.Errorf("%q is told as %+v", says, w.Why)
			}
		default:
			if !strings.HasPrefix(says, "drawn on "+one.Drawn) {
				t.Errorf("%q is told as %+v", says, w.Why)
			}
		}
		for _, part := range slices.Compact([]string{tell.TerminalOf(w.From).Part, tell.TerminalOf(w.To).Part}) {
			if w.Verdict == tell.WireQuestion {
				open[part]++
			}
		}
	}
	// What is most in doubt comes first.
	for i := 1; i < len(s.Parts); i++ {
		if a, b := s.Parts[i-1].Name, s.Parts[i].Name; open[a] < open[b] {
			t.Errorf("%s, with %d open questions, stands before %s, with %d", a, open[a], b, open[b])
		}
	}
}

// Some parts have their own wires alone, wherever these lead.
func TestStripsOfParts(t *testing.T) {
	d := demoDrawings(t)
	s := d.Strips("K1", "TS2")
	var sheet tell.Sheet
	sheet.Strips("some", s)
	if len(s.Parts) != 2 {
		t.Errorf("the parts are %+v", s.Parts)
	}
	n := 0
	for _, w := range d.Wires() {
		if w := (tell.StripWire{From: w.From, To: w.To}); w.At("K1") || w.At("TS2") {
			n++
		}
	}
	if len(s.Wires) != n || n == 0 {
		t.Errorf("%d wires, want %d", len(s.Wires), n)
	}
	for _, c := range []struct {
		part, says string
	}{{"K9", `"K9"`}, {"", `""`}} {
		func() {
			defer func() {
				if m, ok := recover().(tell.Misuse); !ok || !strings.Contains(m.Text, c.says) || m.Hint == "" {
					t.Errorf("%+v, want %s", m, c.says)
				}
			}()
			d.Strips(c.part)
		}()
	}
}
