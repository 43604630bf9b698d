package plot

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"slipring/engine/tell"
)

const (
	widestName = 0.26 // of the figure, before a name is broken into lines
	lineHeight = 1.15 // of a name in several lines, in parts of the text's size
	markSpace  = 0.9  // for a mark before its name, in the same parts
	keyLength  = 2.2  // of a piece of the line before its name, in the same parts
	keyGap     = 0.45 // behind that piece
)

// name is what a line is called, written at its right end.
type name struct {
	index int
	lines []string
}

// nameLines breaks the names of lines where there is more than one in a pane,
// and finds how wide and high they are together.
func (l *layout) nameLines() {
	for i := range l.panes {
		p := &l.panes[i]
		if len(p.Lines) < 2 {
			continue
		}
		height := 0.0
		for k, line := range p.Lines {
			n := name{k, l.broken(l.said.told(line.Label))}
			for _, s := range n.lines {
				l.names = max(l.names, l.letter.width(s, l.text)+sampleSpace(line)*l.text)
			}
			height += n.height(l.text)
			p.names = append(p.names, n)
		}
		p.height, p.least = max(p.height, height), max(p.least, height)
	}
}

// broken breaks a name into lines between words.
func (l *layout) broken(words string) []string {
	var lines []string
	for _, w := range strings.Fields(words) {
		last := len(lines) - 1
		if last >= 0 && l.letter.width(lines[last]+" "+w, l.text) <= widestName*l.width {
			lines[last] += " " + w
		} else {
			lines = append(lines, w)
		}
	}
	return lines
}

func (n name) height(text float64) float64 { return (float64(len(n.lines))*lineHeight + 0.3) * text }

// sampleSpace gives the room before a name, in parts of the text's size, for
// what shows how its line is drawn: a mark, or a piece of it. Who prints in
// black and white then finds a line even where several end in one point.
func sampleSpace(line tell.Line) float64 {
	if line.Marks {
		return markSpace
	}
	return keyLength + keyGap
}

// drawNames writes the names of a pane's lines at their right ends, moved
// apart where they would touch, each behind a sample of its line, with a thin
// line from the end to there. In
// a figure with frames the names stay where the ends are on the average, and
// the thin lines move.
func (l *layout) drawNames(c *canvas, g *plot.Plot, index int, area draw.Canvas) {
	p := &l.panes[index]
	if len(p.names) == 0 {
		return
	}
	x, y := g.Transforms(&area)
	names := slices.Clone(p.names)
	end := func(line tell.Line) vg.Point {
		last := 0
		for i := range line.X {
			if line.X[i] >= line.X[last] {
				last = i
			}
		}
		return vg.Point{X: x(line.X[last]), Y: y(line.Y[last])}
	}
	middle := func(n name) float64 { // from the top
		sum := 0.0
		for _, panes := range l.frames {
			sum += l.height - float64(end(panes[index].Lines[n.index]).Y)
		}
		return sum / float64(len(l.frames))
	}
	slices.SortStableFunc(names, func(a, b name) int { return cmp.Compare(middle(a), middle(b)) })
	wanted, heights := make([]float64, len(names)), make([]float64, len(names))
	for i, n := range names {
		wanted[i] = middle(n)
		heights[i] = n.height(l.text)
	}
	middles := spread(wanted, heights, p.top, p.top+p.height)
	gap := vg.Length(nameGap * l.text)
	for i, n := range names {
		at := vg.Point{X: area.Max.X + gap, Y: vg.Length(l.height - middles[i])}
		c.SetColor(moving(numbered("leader", n.index)))
		c.SetLineWidth(1)
		stroke(area, end(p.Lines[n.index]), at.Add(vg.Point{X: -0.25 * vg.Length(l.text)}))
		if l.movesOnly {
			continue
		}
		if p.Lines[n.index].Marks {
			c.SetColor(numbered("marks", n.index))
			var sample vg.Path
			mark(&sample, n.index, at.Add(vg.Point{X: markRadius}))
			area.Fill(sample)
		} else {
			c.SetColor(role(fmt.Sprintf("key line-%d", n.index%styles+1)))
			stroke(area, at, at.Add(vg.Point{X: keyLength * vg.Length(l.text)}))
		}
		at.X += vg.Length(sampleSpace(p.Lines[n.index]) * l.text)
		c.SetColor(numbered("name", n.index))
		top := middles[i] - float64(len(n.lines))*lineHeight*l.text/2
		for k, s := range n.lines {
			base := top + (float64(k)*lineHeight+(lineHeight+digitHeight)/2)*l.text
			c.text(vg.Point{X: at.X, Y: vg.Length(l.height - base)}, "start", s)
		}
	}
}

// spread moves boxes, sorted by where their middles are wanted, apart so that
// none touches another and all lie between low and high, each moved as little
// as the others let it: boxes that touch move as one to the mean of what they
// want, as in isotonic regression by pooling neighbours.
func spread(wanted, heights []float64, low, high float64) []float64 {
	type block struct {
		first, n    int
		top, height float64
		sum         float64 // of the tops that its boxes want for the block
	}
	var blocks []block
	place := func(b *block) {
		b.top = min(max(b.sum/float64(b.n), low), max(high-b.height, low))
	}
	for i := range wanted {
		b := block{first: i, n: 1, height: heights[i], sum: wanted[i] - heights[i]/2}
		place(&b)
		for len(blocks) > 0 && blocks[len(blocks)-1].top+blocks[len(blocks)-1].height > b.top {
			a := blocks[len(blocks)-1]
			blocks = blocks[:len(blocks)-1]
			b = block{first: a.first, n: a.n + b.n, height: a.height + b.height, sum: a.sum + b.sum - float64(b.n)*a.height}
			place(&b)
		}
		blocks = append(blocks, b)
	}
	out := make([]float64, len(wanted))
	for _, b := range blocks {
		top := b.top
		for i := b.first; i < b.first+b.n; i++ {
			out[i] = top + heights[i]/2
			top += heights[i]
		}
	}
	return out
}
