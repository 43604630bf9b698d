package plot

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

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

// name is what a line is called, written at the right of the pane, or near a
// point of the line.
type name struct {
	index int
	lines []string
	near  bool
	side  int // that is tried first; see sides
}

// nameLines breaks the names of lines where there is more than one in a pane,
// and finds how high they are together.
func (l *layout) nameLines() {
	for i := range l.panes {
		p := &l.panes[i]
		if len(p.Lines) < 2 {
			continue
		}
		height := 0.0
		for k, line := range p.Lines {
			n := name{index: k, lines: l.broken(l.said.told(line.Label), widestName*l.width)}
			height += n.height(l.text)
			p.names = append(p.names, n)
		}
		p.height, p.least = max(p.height, height), max(p.least, height)
	}
	l.atRight()
}

// atRight finds how wide the names are that stand at the right, and what they
// leave for the data.
func (l *layout) atRight() {
	l.names = 0
	for _, p := range l.panes {
		for _, n := range p.names {
			for _, s := range n.lines {
				if line := p.Lines[n.index]; !n.near {
					l.names = max(l.names, l.letter.width(s, l.text)+sampleSpace(line)*l.text)
				}
			}
		}
	}
	l.left, l.right = l.frame()
}

// broken breaks a name into lines of a width between words.
func (l *layout) broken(words string, width float64) []string {
	var lines []string
	for _, w := range strings.Fields(words) {
		last := len(lines) - 1
		if last >= 0 && l.letter.width(lines[last]+" "+w, l.text) <= width {
			lines[last] += " " + w
		} else {
			lines = append(lines, w)
		}
	}
	return lines
}

// tall is how high the lines of a name are, and height with the room around
// them at the right.
func (n name) tall(text float64) float64   { return float64(len(n.lines)) * lineHeight * text }
func (n name) height(text float64) float64 { return n.tall(text) + 0.3*text }

// sampleSpace gives the room before a name, in parts of the text's size, for
// what shows how its line is drawn: a mark, or a piece of it. Who prints in
// black and white then finds a line even where several end in one point.
func sampleSpace(line tell.Line) float64 {
	if line.Marks {
		return markSpace
	}
	return keyLength + keyGap
}

// drawNames writes the names of a pane's lines: those that stand near a point
// there, with a thin line to it where they had to stand off; the others at the
// right, moved apart where they would touch, each behind a sample of its line,
// with a thin line from the end to there. In a figure with frames all of them
// move with their lines.
func (l *layout) drawNames(c *canvas, index int, area draw.Canvas) {
	p := &l.panes[index]
	for _, t := range l.tags(index, p.Lines) {
		l.drawTag(c, t, area)
	}
	names := slices.DeleteFunc(slices.Clone(p.names), func(n name) bool { return n.near })
	ends, wanted, heights := make([]vg.Point, len(names)), make([]float64, len(names)), make([]float64, len(names))
	order := make([]int, len(names))
	for i, n := range names {
		x, y := l.end(index, p.Lines[n.index])
		ends[i], order[i] = l.point(x, y), i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(ends[b].Y, ends[a].Y) })
	for place, i := range order {
		wanted[place] = l.height - float64(ends[i].Y) // from the top
		heights[place] = names[i].height(l.text)
	}
	middles := make([]float64, len(names))
	for place, middle := range spread(wanted, heights, p.top, p.top+p.height) {
		middles[order[place]] = middle
	}
	for i, n := range names {
		at := vg.Point{X: area.Max.X + nameGap*vg.Length(l.text), Y: vg.Length(l.height - middles[i])}
		c.SetColor(moving(numbered("leader", n.index)))
		c.SetLineWidth(1)
		stroke(area, ends[i], at.Add(vg.Point{X: -0.25 * vg.Length(l.text)}))
		if p.Lines[n.index].Marks {
			c.SetColor(moving(numbered("marks", n.index)))
			var sample vg.Path
			mark(&sample, n.index, vg.Point{})
			c.fillMarks(shape(sample), []vg.Point{at.Add(vg.Point{X: markRadius}).Add(sample[0].Pos)})
		} else {
			c.SetColor(moving(inDots(p.Lines[n.index], role(fmt.Sprintf("key line-%d", n.index%styles+1)))))
			stroke(area, at, at.Add(vg.Point{X: keyLength * vg.Length(l.text)}))
		}
		c.SetColor(moving(numbered("name", n.index)))
		l.write(c, n, float64(at.X)+sampleSpace(p.Lines[n.index])*l.text, middles[i]-n.tall(l.text)/2)
	}
}

// write writes the lines of a name from its upper left corner, in px.
func (l *layout) write(c *canvas, n name, left, top float64) {
	for k, s := range n.lines {
		base := top + (float64(k)*lineHeight+(lineHeight+digitHeight)/2)*l.text
		c.text(l.point(left, base), "start", s)
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
