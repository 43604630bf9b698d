package page

import (
	"strings"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
)

// knobbed is a small lesson under a knob.
func knobbed(t *testing.T, source string, tellIt func(s *tell.Sheet)) Input {
	t.Helper()
	l, messages := lesson.Parse("lesson.md", []byte("```lesson\ntitle = \"Knobs\"\n```\n\n"+source))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	var s tell.Sheet
	tellIt(&s)
	report, messages := proof.Check(l, s.Result(), nil, []*lesson.Lesson{l})
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	return Input{Checked: proof.Checked{Lesson: l, Result: s.Result(), Report: report}}
}

func line(x float64) tell.Figure {
	return tell.Figure{Name: "f", Panes: []tell.Pane{{Lines: []tell.Line{{Label: "l", X: []float64{0, 1}, Y: []float64{0, x}}}}}}
}

// What is told can hold anything, and must not end the element with the data.
func TestKnobDataStayInside(t *testing.T) {
	c, messages := NewCourse(knobbed(t, "![f](figure:f)\n\n![t](table:t)\n", func(s *tell.Sheet) {
		s.Knob("k", tell.Range{From: 0, To: 1, Steps: 2, Label: "</script><b>", Unit: "</script>&"}, func(x float64) {
			f := line(x)
			f.Panes[0].Y.Label = "</script><script>"
			s.Figure(f)
			s.Table(tell.Table{Name: "t", Columns: []tell.Column{{Head: "h"}}, Rows: [][]tell.Entry{{tell.Text("</ScRiPt>" + Exact(x))}}})
		})
	}), links())
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	root := parsed(t, string(c.Body+c.Knobs))
	if scripts := find(root, "script", ""); len(scripts) != 1 || attr(scripts[0], "id") != KnobData || !strings.HasSuffix(scripts[0].FirstChild.Data, "}") {
		t.Errorf("%d scripts", len(scripts))
	}
	if len(find(root, "b", "")) > 0 || text(find(root, "label", "")[0]) != "</script><b>" {
		t.Error("a label is not escaped")
	}
}

// A text is kept once, however many frames have it.
func TestKnobTextsAreKeptOnce(t *testing.T) {
	c, messages := NewCourse(knobbed(t, "It is [1.0 V][v], again [1.0 V][v], and [1 V][v].\n\n![f](figure:f)\n", func(s *tell.Sheet) {
		s.Knob("k", tell.Range{From: 0, To: 99, Steps: 100, Label: "knob"}, func(x float64) {
			s.Value("v", 1+x/1e6, "V")
			s.Figure(line(x))
		})
	}), links())
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	data := strings.ReplaceAll(string(c.Knobs), "\u00a0", " ")
	if strings.Count(data, `"1.0 V"`) != 1 || strings.Count(data, `"number"`) != 1+2 {
		t.Errorf("the data are %.600s", data)
	}
}

// A figure whose frames cannot share axes is named with the position.
func TestKnobFrameThatCannotBeDrawn(t *testing.T) {
	s := knobbed(t, "![f](figure:f)\n", func(s *tell.Sheet) {
		s.Knob("k", tell.Range{From: 0, To: 1, Steps: 3, Label: "load", Unit: "A"}, func(x float64) { s.Figure(line(x)) })
	})
	s.Result.Figures[0].Frames[1][0].Lines[0].X = nil
	_, messages := NewCourse(s, links())
	if len(messages) != 1 || !strings.Contains(messages[0].Text, "with load at 0.5 A") || messages[0].Hint == "" {
		t.Errorf("got %v", messages)
	}
}
