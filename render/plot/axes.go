package plot

import (
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// digitHeight is how far digits of the Go typeface rise above the base line,
// in parts of its size.
const digitHeight = 0.72

// grid draws a line through each numbered tick. It is a plot.Plotter.
type grid struct{ x, y []plot.Tick }

func (g grid) Plot(to draw.Canvas, p *plot.Plot) {
	to.SetColor(role("grid"))
	to.SetLineWidth(1)
	x, y := p.Transforms(&to)
	for _, t := range g.x {
		if !t.IsMinor() {
			stroke(to, vg.Point{X: x(t.Value), Y: to.Min.Y}, vg.Point{X: x(t.Value), Y: to.Max.Y})
		}
	}
	for _, t := range g.y {
		if !t.IsMinor() {
			stroke(to, vg.Point{X: to.Min.X, Y: y(t.Value)}, vg.Point{X: to.Max.X, Y: y(t.Value)})
		}
	}
}

// axes draws the axes of a pane with their ticks and numbers, and names their
// quantities: the vertical one above the pane, where it reads without turning
// one's head. It is a plot.Plotter.
type axes struct {
	canvas *canvas
	layout *layout
	pane   *pane
	x, y   []plot.Tick
	lowest bool
}

func (a axes) Plot(to draw.Canvas, p *plot.Plot) {
	text := vg.Length(a.layout.text)
	x, y := p.Transforms(&to)

	to.SetColor(role("axis"))
	to.SetLineWidth(1)
	stroke(to, vg.Point{X: to.Min.X, Y: to.Max.Y}, to.Min, vg.Point{X: to.Max.X, Y: to.Min.Y})

	to.SetColor(role("tick"))
	length := func(t plot.Tick) vg.Length {
		if t.IsMinor() {
			return tickLength / 2 * text
		}
		return tickLength * text
	}
	for _, t := range a.y {
		stroke(to, vg.Point{X: to.Min.X - length(t), Y: y(t.Value)}, vg.Point{X: to.Min.X, Y: y(t.Value)})
	}
	if a.lowest {
		for _, t := range a.x {
			stroke(to, vg.Point{X: x(t.Value), Y: to.Min.Y - length(t)}, vg.Point{X: x(t.Value), Y: to.Min.Y})
		}
	}

	to.SetColor(role("label"))
	for _, t := range a.y {
		if !t.IsMinor() {
			at := vg.Point{X: to.Min.X - (tickLength+numberGap)*text, Y: y(t.Value) - digitHeight/2*text}
			a.canvas.text(at, "end", t.Label)
		}
	}
	foot := to.Min.Y - (tickLength+0.2+digitHeight)*text
	if a.lowest {
		for _, t := range a.x {
			if !t.IsMinor() {
				a.canvas.text(vg.Point{X: x(t.Value), Y: foot}, "middle", t.Label)
			}
		}
	}

	to.SetColor(role("quantity"))
	for i, line := range a.pane.title {
		a.name(vg.Point{X: 0, Y: to.Max.Y + (0.6+vg.Length(more(a.pane.title[i:])))*text}, "start", line)
	}
	if !a.lowest {
		return
	}
	for i, line := range a.layout.foot {
		half := vg.Length(a.layout.letter.width(line, a.layout.text) / 2)
		middle := min(max((to.Min.X+to.Max.X)/2, half), vg.Length(a.layout.width)-half)
		a.name(vg.Point{X: middle, Y: foot - (1.5+vg.Length(more(a.layout.foot[:i+1])))*text}, "middle", line)
	}
}

// name writes a line of the name of a quantity, if it has one.
func (a axes) name(at vg.Point, anchor, line string) {
	if line != "" {
		a.canvas.text(at, anchor, line)
	}
}

func stroke(to draw.Canvas, through ...vg.Point) {
	var p vg.Path
	p.Move(through[0])
	for _, pt := range through[1:] {
		p.Line(pt)
	}
	to.Stroke(p)
}
