package tell

// Draw tells a figure in the short form: what it is drawn over, then what each
// pane shows.
//
//	tell.Draw("lean", tell.Over("push", "N m").
//		Show("speed", "Hz", tell.Curve("motor", pushes, speeds), tell.Point("here", push, speed)).
//		Show("current", "A", tell.Curve("motor", pushes, currents)))
//
// Figure tells what the short form has no words for, such as a stepped line.
func (s *Sheet) Draw(name string, f Figure) {
	f.Name = name
	s.Figure(f)
}

// Over begins a figure with the label and the unit of its horizontal axis,
// which all its panes share.
func Over(label, unit string) Figure {
	return Figure{X: Axis{Label: label, Unit: unit}}
}

// Show gives the figure with one more pane at the bottom, with the label and
// the unit of its upright axis, and with its lines.
func (f Figure) Show(label, unit string, lines ...Line) Figure {
	f.Panes = append(f.Panes[:len(f.Panes):len(f.Panes)], Pane{Y: Axis{Label: label, Unit: unit}, Lines: lines})
	return f
}

// Curve is a line through points. The lists x and y are equally long.
func Curve(label string, x, y []float64) Line { return Line{Label: label, X: x, Y: y} }

// Level is a level line at the height y, from one x to another.
func Level(label string, from, to, y float64) Line {
	return Curve(label, []float64{from, to}, []float64{y, y})
}

// Points marks points without a line through them, such as measured ones. The
// lists x and y are equally long.
func Points(label string, x, y []float64) Line {
	return Line{Label: label, X: x, Y: y, Marks: true}
}

// Measured is a line through points that were measured, such as a channel of a
// capture. It is drawn in dots, over the computed ones; bench.Capture.Line makes
// one with its band of doubt.
func Measured(label string, x, y []float64) Line {
	return Line{Label: label, X: x, Y: y, Measured: true}
}

// Point marks one point, such as where a knob stands.
func Point(label string, x, y float64) Line {
	return Points(label, []float64{x}, []float64{y})
}

// Steps gives the numbers that n steps of one size lead through, both ends
// counted: Steps(0, 0.5, 3) gives 0, 0.5, 1 and 1.5.
func Steps(from, size float64, n int) []float64 {
	var out []float64
	for i := 0; i <= n; i++ {
		out = append(out, from+size*float64(i))
	}
	return out
}

// Each gives what a function makes of each number.
func Each(of []float64, f func(x float64) float64) []float64 {
	out := make([]float64, len(of))
	for i, x := range of {
		out[i] = f(x)
	}
	return out
}
