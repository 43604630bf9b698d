package plot

import (
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"slipring/engine/tell"
)

// fades is of how many areas a band is made. They lie on each other, the
// outermost as wide as the band, so that it fades outward without a colour
// gradient, which paper and a screen in few colours would break into steps.
const fades = 3

func banded(l tell.Line) bool { return l.Low != nil }

// band draws the area between the edges of a line's doubt. It is a
// plot.Plotter.
type band struct {
	tell.Line
	index int
}

func (b band) Plot(to draw.Canvas, p *plot.Plot) {
	to.SetColor(moving(numbered("band", b.index)))
	x, y := p.Transforms(&to)
	at := b.drawn(to, p)
	for fade := fades; fade > 0; fade-- {
		part := float64(fade) / fades
		var path vg.Path
		edge := func(i int, edge float64) {
			pt := vg.Point{X: x(b.X[i]), Y: y(b.Y[i] + part*(edge-b.Y[i]))}
			if path == nil {
				path.Move(pt)
			} else {
				path.Line(pt)
			}
		}
		for _, i := range at {
			edge(i, b.High[i])
		}
		for _, i := range slices.Backward(at) {
			edge(i, b.Low[i])
		}
		to.Fill(path)
	}
}

// drawn gives the indexes of the points at which a band is drawn: those at
// which either of its edges bends.
func (b band) drawn(to draw.Canvas, p *plot.Plot) []int {
	var at []int
	for _, edge := range [][]float64{b.Low, b.High} {
		at = append(at, inPixels(tell.Line{X: b.X, Y: edge}, to, p).thinned(most)...)
	}
	slices.Sort(at)
	return slices.Compact(at)
}

// swatch draws a piece of a band before its name.
func swatch(to draw.Canvas, c *canvas, at vg.Point, width, height vg.Length, index int) {
	c.SetColor(moving(numbered("band", index)))
	for fade := fades; fade > 0; fade-- {
		half := height / 2 * vg.Length(fade) / fades
		var path vg.Path
		path.Move(at.Add(vg.Point{Y: half}))
		path.Line(at.Add(vg.Point{X: width, Y: half}))
		path.Line(at.Add(vg.Point{X: width, Y: -half}))
		path.Line(at.Add(vg.Point{Y: -half}))
		to.Fill(path)
	}
}
