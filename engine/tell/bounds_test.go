package tell

import (
	"strings"
	"testing"
)

// refusal gives what a sheet says against what is told to it, or nothing.
func refusal(told func()) (m Misuse) {
	defer func() {
		if p := recover(); p != nil {
			m = p.(Misuse)
		}
	}()
	told()
	return Misuse{}
}

func lineOf(n int) Figure {
	x := make([]float64, n)
	return Figure{Name: "f", Panes: []Pane{{Lines: []Line{{X: x, Y: x}}}}}
}

// All points of a lesson count together, in every frame.
func TestPoints(t *testing.T) {
	row := []Entry{Number(1), Number(2)}
	table := Table{Name: "t", Columns: []Column{{Head: "a"}, {Head: "b"}}, Rows: [][]Entry{row, row}}
	for points, refused := range map[int]bool{16: false, 15: true} {
		s := Bounded(Bounds{Points: points})
		m := refusal(func() {
			s.Figure(lineOf(6))
			s.Knob("k", Range{To: 1, Steps: 3, Label: "k"}, func(float64) {
				g := lineOf(2)
				g.Name = "g"
				s.Figure(g)
			})
			s.Table(table)
		})
		if (m.Text != "") != refused || refused && (!strings.Contains(m.Text, "there are 16 points") || !strings.Contains(m.Hint, "-points")) {
			t.Errorf("%d points: %+v", points, m)
		}
	}
	var s Sheet
	if m := refusal(func() { s.Figure(lineOf(MostPoints)) }); m.Text != "" {
		t.Error(m)
	}
	var other Sheet
	if m := refusal(func() { other.Figure(lineOf(MostPoints + 1)) }); m.Text == "" {
		t.Error("more than the default is taken")
	}
}

func TestFrames(t *testing.T) {
	for frames, refused := range map[int]bool{6: false, 5: true} {
		s := Bounded(Bounds{Frames: frames})
		m := refusal(func() {
			s.Knob("k", Range{To: 1, Steps: 2, Label: "k"}, func(float64) {
				s.Knob("l", Range{To: 1, Steps: 3, Label: "l"}, func(float64) { s.Value("v", 1, "") })
			})
		})
		if (m.Text != "") != refused || refused && !strings.Contains(m.Hint, "-frames") {
			t.Errorf("%d frames: %+v", frames, m)
		}
	}
}
