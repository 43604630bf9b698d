package tell

import (
	"reflect"
	"slices"
	"testing"
)

// The short form gives what the long one does.
func TestDraw(t *testing.T) {
	x, y := []float64{1, 2}, []float64{3, 4}
	var short, long Sheet
	short.Draw("lean", Over("push", "N m").
		Show("speed", "Hz", Curve("motor", x, y), Level("nameplate", 0, 6, 16.67), Point("here", 1.5, 3.5)).
		Show("current", "", Points("measured", x, y)))
	long.Figure(Figure{
		Name: "lean",
		X:    Axis{Label: "push", Unit: "N m"},
		Panes: []Pane{
			{Y: Axis{Label: "speed", Unit: "Hz"}, Lines: []Line{
				{Label: "motor", X: x, Y: y},
				{Label: "nameplate", X: []float64{0, 6}, Y: []float64{16.67, 16.67}},
				{Label: "here", X: []float64{1.5}, Y: []float64{3.5}, Marks: true},
			}},
			{Y: Axis{Label: "current"}, Lines: []Line{{Label: "measured", X: x, Y: y, Marks: true}}},
		},
	})
	if !reflect.DeepEqual(short.Result(), long.Result()) {
		t.Errorf("short form:\n%+v\nlong form:\n%+v", short.Result(), long.Result())
	}
}

// A figure that two others begin with keeps to itself.
func TestShowSharesNothing(t *testing.T) {
	line := Curve("a", []float64{1}, []float64{1})
	begun := Over("time", "s").Show("one", "", line).Show("two", "", line).Show("three", "", line)
	left, right := begun.Show("left", "", line), begun.Show("right", "", line)
	if got := left.Panes[3].Y.Label; got != "left" {
		t.Errorf("the fourth pane of the first is %q", got)
	}
	if len(begun.Panes) != 3 || right.Panes[3].Y.Label != "right" {
		t.Errorf("begun with %d panes; the fourth of the second is %q", len(begun.Panes), right.Panes[3].Y.Label)
	}
}

func TestDrawRefuses(t *testing.T) {
	line := Curve("a", []float64{1}, []float64{1})
	for _, c := range []struct {
		what   string
		do     func(s *Sheet)
		text   string
		advice string
	}{
		{"no pane", func(s *Sheet) { s.Draw("a", Over("x", "")) }, `figure "a" has no pane`, "give it at least one pane with one line"},
		{"no line", func(s *Sheet) { s.Draw("a", Over("x", "").Show("y", "")) }, `figure "a" has a pane without a line`, "give each pane at least one line"},
		{"lists of unequal length", func(s *Sheet) { s.Draw("a", Over("x", "").Show("y", "", Curve("b", []float64{1}, nil))) },
			`line "b" of figure "a" has 1 x values and 0 y values`, "give each point of the line both an x and a y"},
		{"a name twice", func(s *Sheet) {
			s.Draw("a", Over("x", "").Show("y", "", line))
			s.Draw("a", Over("x", "").Show("y", "", line))
		}, `"a" was told before, as a figure`, "give each value, claim, figure and table of a lesson a name of its own"},
	} {
		t.Run(c.what, func(t *testing.T) {
			defer func() {
				m, ok := recover().(Misuse)
				if !ok || m.Text != c.text || m.Hint != c.advice {
					t.Errorf("got %+v", m)
				}
			}()
			c.do(new(Sheet))
			t.Error("nothing was refused")
		})
	}
}

func TestStepsAndEach(t *testing.T) {
	for _, c := range []struct {
		from, size float64
		n          int
		want       []float64
	}{
		{0, 0.5, 3, []float64{0, 0.5, 1, 1.5}},
		{2, -1, 2, []float64{2, 1, 0}},
		{7, 1, 0, []float64{7}},
		{7, 1, -1, nil},
	} {
		if got := Steps(c.from, c.size, c.n); !slices.Equal(got, c.want) {
			t.Errorf("Steps(%v, %v, %v) gives %v, want %v", c.from, c.size, c.n, got, c.want)
		}
	}
	if got := Each([]float64{1, 2, 3}, func(x float64) float64 { return x * x }); !slices.Equal(got, []float64{1, 4, 9}) {
		t.Errorf("squares of 1, 2 and 3: %v", got)
	}
}

func TestTurn(t *testing.T) {
	for _, c := range []struct{ short, long Range }{
		{Turn("gravity", 0, 20, "%"), Range{Label: "gravity", From: 0, To: 20, Unit: "%", Steps: 11, Start: 0}},
		{Turn("brake", 0.5, 6, "N m").In(12), Range{Label: "brake", From: 0.5, To: 6, Unit: "N m", Steps: 12, Start: 0.5}},
		{Turn("rotor", 30, 100, "%").In(8).At(100), Range{Label: "rotor", From: 30, To: 100, Unit: "%", Steps: 8, Start: 100}},
	} {
		if c.short != c.long {
			t.Errorf("short %+v, long %+v", c.short, c.long)
		}
	}
}
