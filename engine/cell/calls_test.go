package cell

import (
	"slices"
	"strings"
	"testing"

	"slipring/engine/cell/symbols"
	"slipring/engine/lesson"
)

// words and meanings of each call, in order.
func callsOf(t *testing.T, cells ...string) [][2]string {
	t.Helper()
	source := "```lesson\ntitle = \"Calls\"\n```\n"
	for _, c := range cells {
		source += "\n```go\n" + c + "\n```\n"
	}
	l, messages := lesson.Parse("lesson.md", []byte(source))
	for _, m := range messages {
		t.Fatal(m)
	}
	p, messages := Assemble(l)
	for _, m := range messages {
		t.Fatal(m)
	}
	var out [][2]string
	for _, c := range p.Calls() {
		if _, ok := symbols.Doc(c.Name); !ok {
			// a field stands with its type
			owner := c.Name[:strings.LastIndexByte(c.Name, '.')]
			e, _ := symbols.Doc(owner)
			if !slices.ContainsFunc(e.Fields, func(f symbols.Field) bool { return owner+"."+f.Name == c.Name }) {
				t.Errorf("nothing is said about %s", c.Name)
			}
		}
		out = append(out, [2]string{l.Cells[c.Cell].Source[c.From:c.To], c.Name})
	}
	return out
}

func TestCalls(t *testing.T) {
	for _, c := range []struct {
		name  string
		cells []string
		want  [][2]string
	}{
		{"methods and chains",
			[]string{"set := bench.Open(\"s\")\nidle := set.WithoutGravity().Steady(machine.Load{Torque: 0.3})",
				"tell.Chart(\"a\", idle.Traces(\"output\").Turns(3))\ntell.Value(\"f\", idle.Frequency, \"Hz\")"},
			[][2]string{{"bench.Open", "bench.Shelf.Open"}, {"WithoutGravity", "bench.Set.WithoutGravity"}, {"Steady", "bench.Set.Steady"},
				{"machine.Load", "machine.Load"}, {"Torque", "machine.Load.Torque"},
				{"tell.Chart", "tell.Sheet.Chart"}, {"Traces", "bench.Run.Traces"}, {"Turns", "bench.Traces.Turns"},
				{"tell.Value", "tell.Sheet.Value"}, {"Frequency", "bench.Run.Frequency"}}},
		{"functions, constants and types of packages",
			[]string{"tell.Figure(tell.Figure{Name: \"a\"})\ntell.Value(\"g\", machine.Gravity*machine.Regulation(2, 1)*math.Pi, \"\")"},
			[][2]string{{"tell.Figure", "tell.Sheet.Figure"}, {"tell.Figure", "tell.Figure"}, {"Name", "tell.Figure.Name"},
				{"tell.Value", "tell.Sheet.Value"}, {"machine.Gravity", "machine.Gravity"}, {"machine.Regulation", "machine.Regulation"}}},
		{"functions of cells, used before the cell that declares them, and values that are called",
			[]string{"tell.Value(\"a\", twice(machine.Gravity), \"\")", "// more\nfunc twice(x float64) float64 {\n\tf := machine.Regulation\n\treturn f(x, 1)\n}\n\nvar s waveform.Signal\nm, err := s.Mean()\ntell.Claim(\"e\", errors.Is(err, waveform.ErrTooFew) && m == 0)"},
			[][2]string{{"tell.Value", "tell.Sheet.Value"}, {"machine.Gravity", "machine.Gravity"},
				{"machine.Regulation", "machine.Regulation"}, {"waveform.Signal", "waveform.Signal"}, {"Mean", "waveform.Signal.Mean"},
				{"tell.Claim", "tell.Sheet.Claim"}, {"waveform.ErrTooFew", "waveform.ErrTooFew"}}},
		{"names with another meaning, and text",
			[]string{"type own struct{ Gravity, Torque float64 }\n\nfunc f(mine own) float64 { return mine.Gravity } // machine.Gravity\ntell.Value(\"machine.Gravity\", f(own{Torque: 1})+machine.Gravity, strings.TrimSpace(\"\"))"},
			[][2]string{{"tell.Value", "tell.Sheet.Value"}, {"machine.Gravity", "machine.Gravity"}}},
	} {
		if got := callsOf(t, c.cells...); !slices.Equal(got, c.want) {
			t.Errorf("%s:\n%q, want\n%q", c.name, got, c.want)
		}
	}
}

// A program answers each caller anew.
func TestCallsAreCopies(t *testing.T) {
	l, _ := lesson.Parse("lesson.md", []byte("```lesson\ntitle = \"Calls\"\n```\n\n```go\ntell.Value(\"g\", machine.Gravity, \"\")\n```\n"))
	p, messages := Assemble(l)
	for _, m := range messages {
		t.Fatal(m)
	}
	p.Calls()[0].Name = "other"
	if got := p.Calls()[0].Name; got != "tell.Sheet.Value" {
		t.Errorf("a caller changed the program's answer to %s", got)
	}
}
