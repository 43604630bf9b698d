package plot

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"slipring/engine/tell"
)

// A name whose line ends far from the right of its pane would need a long thin
// line across the data. It stands near a point of its line instead.

// All in parts of the text's size.
const (
	farEnd    = 3    // a line that ends further from the right than this has its name near
	nearGap   = 0.35 // between a point and a name that touches it
	ringStep  = 0.75 // how much further off the next places are
	rings     = 5    // how many there are; all but the first have a thin line to the point
	lineClear = 0.12 // between a name and the lines around it
	foreign   = 1    // between the name of a line and any other line, so that nobody takes it for that one's
	nameClear = 0.3  // between two names
)

// anchors is at how many points of a line places are looked for: at its last
// marks, or from its end on at even distances along it.
const anchors = 12

// sides are the places around a point, the better ones first: to the right 1,
// to the left -1, above it and beginning or ending there a half; above -1,
// below 1.
var sides = [12][2]float64{
	{1, 0}, {1, -1}, {1, 1}, {0, -1}, {0, 1}, {-1, 0}, {-1, -1}, {-1, 1},
	{0.5, -1}, {0.5, 1}, {-0.5, -1}, {-0.5, 1},
}

// rect is a box in px, from the upper left corner of the figure.
type rect struct{ left, top, right, bottom float64 }

func (r rect) wider(by float64) rect {
	return rect{r.left - by, r.top - by, r.right + by, r.bottom + by}
}

func (r rect) touches(o rect) bool {
	return r.left < o.right && o.left < r.right && r.top < o.bottom && o.top < r.bottom
}

func (r rect) within(o rect) bool {
	return r.left >= o.left && r.right <= o.right && r.top >= o.top && r.bottom <= o.bottom
}

// nearest gives the point of a box that is nearest to another.
func (r rect) nearest(x, y float64) (float64, float64) {
	return min(max(x, r.left), r.right), min(max(y, r.top), r.bottom)
}

// inside gives how much of the way from one point to another lies in the box,
// in px: the line is cut at each edge in turn, as Liang and Barsky do (ACM
// Transactions on Graphics 3(1), 1984, pages 1 to 22).
func (r rect) inside(x1, y1, x2, y2 float64) float64 {
	from, to := 0.0, 1.0
	for _, edge := range [4][2]float64{{x1 - x2, x1 - r.left}, {x2 - x1, r.right - x1}, {y1 - y2, y1 - r.top}, {y2 - y1, r.bottom - y1}} {
		along, left := edge[0], edge[1]
		switch {
		case along == 0 && left < 0:
			return 0
		case along < 0:
			from = max(from, left/along)
		case along > 0:
			to = min(to, left/along)
		}
	}
	if to <= from {
		return 0
	}
	return (to - from) * math.Hypot(x2-x1, y2-y1)
}

// tag is a name that stands near a point of its line. off says that it stands
// off, with a thin line between.
type tag struct {
	name
	rect
	x, y float64 // px, of the point
	off  bool
}

// crowd is what a pane shows in one frame.
type crowd struct {
	area  rect
	lines []points // px
	marks []bool   // of each of them
	tags  []tag
}

// at gives where a point of a pane's data stands, in px.
func (l *layout) at(index int, x, y float64) (float64, float64) {
	p := &l.panes[index]
	return l.left + (x-l.x.low)/l.x.span()*(l.right-l.left), p.top + p.height - (y-p.y.low)/p.y.span()*p.height
}

// point gives a point in px as a canvas takes it.
func (l *layout) point(x, y float64) vg.Point {
	return vg.Point{X: vg.Length(x), Y: vg.Length(l.height - y)}
}

// end gives where the last point of a line stands, in px.
func (l *layout) end(index int, line tell.Line) (x, y float64) {
	last := 0
	for i := range line.X {
		if line.X[i] >= line.X[last] {
			last = i
		}
	}
	return l.at(index, line.X[last], line.Y[last])
}

// nameNear decides which names stand near a point of their lines: those of
// which the line ends far from the right in some frame, as long as there is a
// place in every frame. The name of a line may cover no line, but that of marks
// may where there is no better place, since they are hard to find from afar.
func (l *layout) nameNear() {
	for i := range l.panes {
		for k := range l.panes[i].names {
			n := &l.panes[i].names[k]
			for _, panes := range l.frames {
				x, _ := l.end(i, panes[i].Lines[n.index])
				n.near = n.near || l.right-x > farEnd*l.text
			}
		}
	}
	for again := true; again; {
		again = false
		l.atRight()
		for i := range l.panes {
			again = !l.place(i) || again
		}
	}
}

// place chooses the side that each near name of a pane takes where it can, one
// name after the other: the side that is free in most frames. A name with no
// place in some frame goes to the right, and place gives false.
func (l *layout) place(index int) bool {
	p := &l.panes[index]
	if !slices.ContainsFunc(p.names, func(n name) bool { return n.near }) {
		return true
	}
	all := make([]crowd, len(l.frames))
	for k, panes := range l.frames {
		all[k] = l.crowd(index, panes[index].Lines)
	}
	for i := range p.names {
		n := &p.names[i]
		if !n.near {
			continue
		}
		free := [len(sides)]int{}
		for k := range all {
			for s := range sides {
				if _, blocked, ok := l.best(&all[k], *n, 1, []int{s}); ok && blocked == 0 {
					free[s]++
				}
			}
		}
		n.side = 0
		for s := range free {
			if free[s] > free[n.side] {
				n.side = s
			}
		}
		for k := range all {
			t, ok := l.tag(&all[k], *n)
			if !ok {
				n.near = false
				return false
			}
			all[k].tags = append(all[k].tags, t)
		}
	}
	return true
}

// tags places the near names of a pane with lines of one frame.
func (l *layout) tags(index int, lines []tell.Line) []tag {
	var c crowd
	for _, n := range l.panes[index].names {
		if !n.near {
			continue
		}
		if c.lines == nil {
			c = l.crowd(index, lines)
		}
		if t, ok := l.tag(&c, n); ok {
			c.tags = append(c.tags, t)
		}
	}
	return c.tags
}

// crowd gives what stands in a pane before its near names do.
func (l *layout) crowd(index int, lines []tell.Line) crowd {
	p := &l.panes[index]
	c := crowd{area: rect{l.left + 2, p.top, l.right, p.top + p.height}}
	for _, line := range lines {
		var pts points
		for i := range line.X {
			pts.add(l.at(index, line.X[i], line.Y[i]))
		}
		pts = pts.at(pts.drawn(line))
		if line.Stepped && !line.Marks {
			var steps points
			for i := range pts.x {
				if i > 0 {
					steps.add(pts.x[i], pts.y[i-1])
				}
				steps.add(pts.x[i], pts.y[i])
			}
			pts = steps
		}
		c.lines, c.marks = append(c.lines, pts), append(c.marks, line.Marks)
	}
	return c
}

// tag places one name: as near as it can without covering a line, or else, of
// marks, where it covers least.
func (l *layout) tag(c *crowd, n name) (tag, bool) {
	order := []int{n.side}
	for s := range sides {
		if s != n.side {
			order = append(order, s)
		}
	}
	t, blocked, ok := l.best(c, n, rings, order)
	return t, ok && (blocked == 0 || c.marks[n.index])
}

// best gives the first place of those around the points of a name's line that
// covers no line, or else the one that covers the least length of lines, and
// how much that is in px. It gives false when every place touches a mark,
// another name or the frame.
func (l *layout) best(c *crowd, n name, rings int, order []int) (best tag, least float64, ok bool) {
	marked := c.marks[n.index]
	pts := c.lines[n.index].last(marked)
	width := 0.0
	for _, s := range n.lines {
		width = max(width, l.letter.width(s, l.text))
	}
	least = math.Inf(1)
	for ring := range rings {
		gap := (nearGap + float64(ring)*ringStep) * l.text
		if marked {
			gap += markRadius
		}
		for k := range pts.x {
			for _, s := range order {
				t := tag{name: n, rect: around(pts.x[k], pts.y[k], sides[s], gap, width, n.tall(l.text)), x: pts.x[k], y: pts.y[k], off: ring > 0}
				if !c.free(t, l.text) {
					continue
				}
				blocked := c.covered(t, l.text, least)
				if blocked == 0 {
					return t, 0, true
				}
				if blocked < least {
					best, least, ok = t, blocked, true
				}
			}
		}
	}
	return best, least, ok
}

// last gives the points of a line that its name may stand near, from its end.
func (p points) last(marked bool) points {
	n := len(p.x)
	var out points
	if marked {
		for i := n - 1; i >= max(n-anchors, 0); i-- {
			out.add(p.x[i], p.y[i])
		}
		return out
	}
	length := func(i int) float64 { return math.Hypot(p.x[i]-p.x[i-1], p.y[i]-p.y[i-1]) }
	whole := 0.0
	for i := 1; i < n; i++ {
		whole += length(i)
	}
	out.add(p.x[n-1], p.y[n-1])
	gone := 0.0 // up to the later end of a piece
	for i := n - 1; i > 0 && len(out.x) < anchors; i-- {
		for len(out.x) < anchors {
			f := (whole*float64(len(out.x))/anchors - gone) / length(i)
			if !(f >= 0 && f <= 1) {
				break
			}
			out.add(p.x[i]+f*(p.x[i-1]-p.x[i]), p.y[i]+f*(p.y[i-1]-p.y[i]))
		}
		gone += length(i)
	}
	return out
}

// around gives the box of a size that stands at a side of a point, with a gap
// between.
func around(x, y float64, side [2]float64, gap, width, height float64) rect {
	if math.Abs(side[0]*side[1]) == 1 {
		gap *= math.Sqrt2 / 2
	}
	switch math.Abs(side[0]) {
	case 1:
		x += side[0] * (gap + width/2)
	case 0.5:
		x += side[0] * (width - 2*markRadius)
	}
	y += side[1] * (gap + height/2)
	return rect{x - width/2, y - height/2, x + width/2, y + height/2}
}

// free says whether a name stands in the frame, off all other names and marks.
func (c *crowd) free(t tag, text float64) bool {
	if !t.within(c.area) {
		return false
	}
	for _, o := range c.tags {
		if t.touches(o.rect.wider(nameClear * text)) {
			return false
		}
	}
	for i, pts := range c.lines {
		if !c.marks[i] {
			continue
		}
		around := t.rect.wider(markRadius)
		if i != t.index {
			around = t.rect.wider(2 * markRadius) // not the other's name
		}
		for k := range pts.x {
			if around.left < pts.x[k] && pts.x[k] < around.right && around.top < pts.y[k] && pts.y[k] < around.bottom {
				return false
			}
		}
	}
	return true
}

// covered gives what length of lines comes too near to a name, in px; it may
// stop where that is more than enough.
func (c *crowd) covered(t tag, text, enough float64) float64 {
	sum := 0.0
	for i, pts := range c.lines {
		if c.marks[i] {
			continue
		}
		r := t.rect.wider(lineClear * text)
		if !c.marks[t.index] && i != t.index {
			r = t.rect.wider(foreign * text)
		}
		for k := 1; k < len(pts.x) && sum < enough; k++ {
			sum += r.inside(pts.x[k-1], pts.y[k-1], pts.x[k], pts.y[k])
		}
	}
	// the thin lines of names that stand off
	for _, o := range c.tags {
		if x, y := o.nearest(o.x, o.y); o.off {
			sum += t.rect.wider(lineClear*text).inside(o.x, o.y, x, y)
		}
	}
	return sum
}

// drawTag writes a name near its point. Where a figure moves there is a path
// for the thin line in every frame, which is empty in some.
func (l *layout) drawTag(c *canvas, t tag, area draw.Canvas) {
	if t.off || c.framed {
		x, y := t.nearest(t.x, t.y)
		if !t.off {
			x, y = t.x, t.y
		}
		c.SetColor(moving(numbered("leader", t.index)))
		c.SetLineWidth(1)
		stroke(area, l.point(t.x, t.y), l.point(x, y))
	}
	c.SetColor(moving(numbered("name", t.index)))
	l.write(c, t.name, t.left, t.top)
}
