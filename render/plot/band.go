package plot

import (
	"fmt"
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

// nameBands makes room for what names the bands of a figure, behind the name of
// the quantity above the first pane with one. One does for all: they mean the
// same, and none needs room beside the data.
func (l *layout) nameBands() {
	i := slices.IndexFunc(l.panes, func(p pane) bool { return slices.ContainsFunc(p.Lines, banded) })
	if i < 0 {
		return
	}
	p := &l.panes[i]
	key := keySpace*l.text + l.letter.width(l.said.words.Text("figure.as-known"), l.text)
	last := len(p.title) - 1
	p.known = l.letter.width(p.title[last], l.text) + keyApart*l.text
	if p.known+key > l.width && p.title[last] != "" {
		p.title = append(p.title, "")
		p.known = 1
	}
	if p.known+key > l.width && l.err == nil {
		l.err = fmt.Errorf("%g px are too narrow for what names its bands", l.width)
	}
}

const (
	keySpace = keyLength + keyGap // for the piece of a band before its name
	keyApart = 1.5                // from the name of the quantity
)

// bandKey names the bands of a figure behind a piece of one. It is a
// plot.Plotter.
type bandKey struct {
	*pane
	layout *layout
	canvas *canvas
}

func (k bandKey) Plot(to draw.Canvas, _ *plot.Plot) {
	text := vg.Length(k.layout.text)
	at := vg.Point{X: vg.Length(k.known), Y: to.Max.Y + 0.6*text}
	to.SetColor(role(numbered("band", slices.IndexFunc(k.Lines, banded))))
	for fade := fades; fade > 0; fade-- {
		half := 0.45 * text * vg.Length(fade) / fades
		middle := at.Add(vg.Point{Y: digitHeight / 2 * text})
		var path vg.Path
		path.Move(middle.Add(vg.Point{Y: half}))
		path.Line(middle.Add(vg.Point{X: keyLength * text, Y: half}))
		path.Line(middle.Add(vg.Point{X: keyLength * text, Y: -half}))
		path.Line(middle.Add(vg.Point{Y: -half}))
		to.Fill(path)
	}
	to.SetColor(role("label"))
	k.canvas.text(at.Add(vg.Point{X: keySpace * text}), "start", k.layout.said.words.Text("figure.as-known"))
}
