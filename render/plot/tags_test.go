package plot

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"slipring/engine/tell"
)

// pointed gives figures as lessons have them, always the same: one or two
// lines that rise, fall or turn, with one to three marks on them that a knob
// moves along. All numbers are invented.
func pointed(t *testing.T, n int) []tell.Figure {
	t.Helper()
	r := rand.New(rand.NewSource(11))
	var out []tell.Figure
	for range n {
		slope, bend, wave := r.NormFloat64(), 3*r.NormFloat64(), r.Float64()
		lines, points := 1+r.Intn(2), 1+r.Intn(3)
		label := []string{"here", "the set when idle", "n"}[r.Intn(3)]
		var s tell.Sheet
		s.Knob("k", tell.Range{From: 0, To: 1, Steps: 6, Start: 0.4, Label: "place"}, func(at float64) {
			curve := func(k int) func(float64) float64 {
				return func(x float64) float64 {
					return float64(k) + slope*x + bend*(x-0.5)*(x-0.5) + wave*math.Sin(5*x+float64(k))
				}
			}
			pane := tell.Pane{Y: tell.Axis{Label: "speed", Unit: "Hz"}}
			for k := range lines {
				x, y := series(80, 0, 1, curve(k))
				pane.Lines = append(pane.Lines, tell.Line{Label: []string{"by the formula", "as the set does it"}[k], X: x, Y: y})
			}
			for k := range points {
				x := math.Mod(at+0.31*float64(k), 1)
				pane.Lines = append(pane.Lines, tell.Line{Label: label, X: []float64{x}, Y: []float64{curve(k % lines)(x)}, Marks: true})
			}
			s.Figure(tell.Figure{Name: "pointed", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{pane}})
		})
		out = append(out, s.Result().Figures...)
	}
	return out
}

// A point's name stands near it, in every frame: no name touches another, a
// mark or the frame, hardly any lies across a line (those that find no room
// elsewhere), and the thin line to it, where there is one, is short.
func TestNamesStandNear(t *testing.T) {
	const longest = 4.0 // of a thin line, in parts of the text's size
	names, across := 0, 0
	for i, f := range pointed(t, 40) {
		for k := range f.Frames {
			f.Panes = f.Frames[k]
			for _, s := range []Settings{{Still: true}, {Width: 740, Height: 425, Text: 21, Tallest: 425, Still: true}} {
				where := fmt.Sprintf("figure %d, frame %d, text of %g px", i, k, s.Text)
				root := drawn(t, f, s)
				pane := root.with("pane")[0]
				size := root.number(t, "font-size")
				frame := rect{root.number(t, "data-left"), root.number(t, "data-top"), root.number(t, "data-right"), root.number(t, "data-bottom")}
				all := boxes(t, root, "name")
				for a, ba := range all {
					for b, bb := range all {
						if a != b && ba.touches(bb) {
							t.Errorf("%s: name %q touches %q", where, a, b)
						}
					}
					if ba.left > frame.right {
						continue // at the right, where TestTextHasRoom looks
					}
					names++
					box := rect{ba.left, ba.top, ba.right, ba.bottom}
					if !box.within(frame.wider(0.1)) { // tenths are rounded
						t.Errorf("%s: name %q at %v leaves the frame %v", where, a, box, frame)
					}
					for _, line := range pane.with("line") {
						x, y := vertices(t, line.attr("d"))
						crosses := false
						for j := 1; j < len(x); j++ {
							crosses = crosses || box.inside(x[j-1], y[j-1], x[j], y[j]) > 0
						}
						if crosses {
							across++
						}
					}
				}
				for _, leader := range root.with("leader") {
					x, y := vertices(t, leader.attr("d"))
					if last := len(x) - 1; math.Hypot(x[last]-x[0], y[last]-y[0]) > longest*size {
						t.Errorf("%s: a thin line goes from %.0f, %.0f to %.0f, %.0f", where, x[0], y[0], x[last], y[last])
					}
				}
			}
		}
	}
	if names < 400 {
		t.Errorf("only %d names stand near their points", names)
	}
	if 100*across > names {
		t.Errorf("%d of %d names lie across a line", across, names)
	}
}

// The point of a lesson's usual figure, a falling curve: its name stands above
// and to the right of it, where the curve leaves room, and touches it.
func TestNameOfOnePoint(t *testing.T) {
	x, y := series(50, 0, 20, func(at float64) float64 { return 20 * math.Exp(-at/6) })
	f := tell.Figure{Name: "coast", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{{Y: tell.Axis{Label: "speed", Unit: "Hz"}, Lines: []tell.Line{
		{Label: "shaft speed", X: x, Y: y}, {Label: "here", X: x[10:11], Y: y[10:11], Marks: true}}}}}
	root := drawn(t, f, Settings{})
	if n := len(root.with("leader-2")); n != 0 {
		t.Errorf("%d thin lines lead to the point", n)
	}
	name := root.with("name-2")[0]
	px, py := vertices(t, root.with("marks-2")[0].attr("d"))
	if dx, dy := name.number(t, "x")-px[0], py[0]-name.number(t, "y"); dx < 0 || dx > 14 || dy < 0 || dy > 14 {
		t.Errorf("the name begins %.1f px to the right of its point and %.1f px above it", dx, dy)
	}
}

func TestInside(t *testing.T) {
	r := rect{10, 10, 20, 30}
	for _, c := range []struct{ x1, y1, x2, y2, want float64 }{
		{0, 20, 40, 20, 10}, // right through
		{15, 0, 15, 100, 20},
		{12, 12, 15, 16, 5},             // all of it
		{0, 0, 40, 40, math.Sqrt2 * 10}, // from 10, 10 to 20, 20
		{0, 0, 9, 100, 0},
		{21, 0, 21, 100, 0},
		{15, 15, 15, 15, 0}, // no way to go
		{0, 40, 40, 31, 0},
	} {
		for _, back := range []bool{false, true} {
			if back {
				c.x1, c.y1, c.x2, c.y2 = c.x2, c.y2, c.x1, c.y1
			}
			if got := r.inside(c.x1, c.y1, c.x2, c.y2); math.Abs(got-c.want) > 1e-9 {
				t.Errorf("from %v, %v to %v, %v there are %v px in the box, want %v", c.x1, c.y1, c.x2, c.y2, got, c.want)
			}
		}
	}
}
