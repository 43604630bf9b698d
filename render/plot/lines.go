package plot

import (
	"fmt"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"slipring/engine/tell"
)

// styles is how many lines of a pane look different; the next ones begin
// again, and are still told apart by their names.
const styles = 6

// numbered gives the role of the line of an index in its pane.
func numbered(class string, i int) role {
	return role(fmt.Sprintf("%s %s-%d", class, class, i%styles+1))
}

// inDots gives a line's role, with a word where it was measured.
func inDots(l tell.Line, as role) role {
	if l.Measured {
		as += " measured"
	}
	return as
}

// inPixels gives the points of a line where they are drawn.
func inPixels(l tell.Line, to draw.Canvas, p *plot.Plot) points {
	x, y := p.Transforms(&to)
	var out points
	for i := range l.X {
		out.add(float64(x(l.X[i])), float64(y(l.Y[i])))
	}
	return out
}

func (p points) point(i int) vg.Point { return vg.Point{X: vg.Length(p.x[i]), Y: vg.Length(p.y[i])} }

// drawn gives the indexes of the points at which a line is drawn. The points
// are all that the line has, in px.
func (p points) drawn(l tell.Line) []int {
	switch {
	case l.Marks && len(p.x) > most:
		return p.banded(most)
	case l.Marks:
		return indexes(len(p.x), func(int) bool { return true })
	case l.Stepped:
		return p.stepped(most / 2) // each step takes two points of the path
	}
	return p.thinned(most)
}

// trace draws a line, stepped or straight from point to point. It is a
// plot.Plotter.
type trace struct {
	tell.Line
	index int
}

func (t trace) Plot(to draw.Canvas, p *plot.Plot) {
	line := plotter.Line{LineStyle: draw.LineStyle{Color: moving(inDots(t.Line, numbered("line", t.index))), Width: 1}}
	if t.Stepped {
		line.StepStyle = plotter.PostStep
	}
	for _, i := range inPixels(t.Line, to, p).drawn(t.Line) {
		line.XYs = append(line.XYs, plotter.XY{X: t.X[i], Y: t.Y[i]})
	}
	if len(line.XYs) == 1 { // a dot, with round ends
		px := (p.X.Max - p.X.Min) / float64(to.Max.X-to.Min.X)
		line.XYs = append(line.XYs, plotter.XY{X: t.X[0] + 0.1*px, Y: t.Y[0]})
	}
	line.Plot(to, p)
}

// marks draws points, in a shape that the line's index decides. It is a
// plot.Plotter.
type marks struct {
	tell.Line
	index  int
	canvas *canvas
}

func (m marks) Plot(to draw.Canvas, p *plot.Plot) {
	to.SetColor(moving(numbered("marks", m.index)))
	pts := inPixels(m.Line, to, p)
	pts = pts.at(pts.drawn(m.Line))
	var path vg.Path
	mark(&path, m.index, vg.Point{})
	var at []vg.Point
	for i := range pts.x {
		at = append(at, pts.point(i).Add(path[0].Pos))
	}
	m.canvas.fillMarks(shape(path), at)
}

// shape gives the path data of a mark from its first point on.
func shape(mark vg.Path) string {
	var d pathData
	newCanvas(0).add(&d, mark[:1])
	first := len(d.String())
	d = pathData{}
	newCanvas(0).add(&d, mark)
	return d.String()[first:]
}

const markRadius = 4 // px, about

// mark adds a circle, diamond, square or triangle of about the same weight.
func mark(path *vg.Path, index int, at vg.Point) {
	const r = markRadius
	corners := func(n int, radius, first float64) {
		for k := range n {
			sin, cos := math.Sincos(first + 2*math.Pi*float64(k)/float64(n))
			pt := at.Add(vg.Point{X: vg.Length(radius * cos), Y: vg.Length(radius * sin)})
			if k == 0 {
				path.Move(pt)
			} else {
				path.Line(pt)
			}
		}
		path.Close()
	}
	switch index % 4 {
	case 0:
		path.Move(at.Add(vg.Point{X: r}))
		path.Arc(at, r, 0, 2*math.Pi)
		path.Close()
	case 1:
		corners(4, 1.25*r, 0)
	case 2:
		corners(4, 1.3*r, math.Pi/4)
	case 3:
		corners(3, 1.4*r, math.Pi/2)
	}
}
