package strips

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"

	"slipring/engine/tell"
	"slipring/render/markup"
)

// All distances are in parts of the text's size.
const (
	row     = 1.6  // from one terminal to the next
	head    = 1.5  // of the name above a part
	gap     = 0.5  // between two parts
	inside  = 0.45 // between a mark and the edge of its part
	beside  = 1.15 // between wires that lead to one terminal
	stub    = 2.9  // piece of a wire at its far end, with its mark
	joins   = 0.9  // the last of it, where wires to one terminal come together
	lane    = 1.5  // between two bows
	studded = 0.24 // radius of a terminal
)

// terminal is where wires end.
type terminal struct {
	mark string
	y    float64
	ways []way // of another part's terminal
}

// way is a wire's way to a terminal of another part.
type way struct {
	wire, own int     // its places in the lists of wires and of the part's own marks
	y         float64 // of its mark
}

// box is a part as it is drawn.
type box struct {
	name        string
	left, right float64
	top, bottom float64
	terminals   []terminal
}

// line is a wire as it is drawn.
type line struct {
	wire   int // its place in the list
	class  string
	path   string
	mx, my float64 // of its mark
}

// layout is a picture with everything measured.
type layout struct {
	text, width, height float64
	near                box
	far                 []box
	lines               []line
	bowed               []float64 // how low the terminals lie that have a bow
}

// layOut places the part, the others, and the wires.
func layOut(s tell.Strips, part tell.StripPart, set Settings) (*layout, error) {
	measure, err := newMeasure(set.Text)
	if err != nil {
		return nil, err
	}
	t := set.Text
	l := &layout{text: t, width: set.Width}
	index := map[string]int{} // of the terminals of the part
	for i, m := range part.Marks {
		index[m] = i
	}
	var bows []int // wires that stay at the part; the others lead away
	leads := map[string][]way{}
	for i, w := range s.Wires {
		from, to := tell.TerminalOf(w.From), tell.TerminalOf(w.To)
		switch {
		case from.Part == part.Name && to.Part == part.Name:
			bows = append(bows, i)
		case from.Part == part.Name:
			leads[w.To] = append(leads[w.To], way{wire: i, own: index[from.Mark]})
		case to.Part == part.Name:
			leads[w.From] = append(leads[w.From], way{wire: i, own: index[to.Mark]})
		}
	}
	lanes := laid(bows, s.Wires, index)
	l.near = box{name: part.Name, left: 1}
	if n := slices.Max(append(slices.Clone(lanes), -1)); n >= 0 {
		l.near.left = t * (lane*float64(n+1) + 0.8)
	}
	wide := 2.2 * t
	for _, m := range part.Marks {
		wide = max(wide, width(measure.regular, m)+2*t*(inside+studded))
	}
	if len(bows) > 0 {
		wide += t * (inside + studded)
	}
	l.near.right = l.near.left + wide
	l.placeFar(leads, measure)
	if room := l.farLeft() - l.near.right; len(leads) > 0 && room < t*(stub+2) || l.near.left+width(measure.bold, part.Name) > set.Width {
		return nil, fmt.Errorf("the wires at %s find no room between the names of its parts", part.Name)
	}
	l.placeNear(part)
	l.wires(s, bows, lanes)
	return l, nil
}

// laid gives each bow the lane nearest to the part that is free where it runs.
func laid(bows []int, wires []tell.StripWire, index map[string]int) (lanes []int) {
	span := func(b int) (int, int) {
		a, c := index[tell.TerminalOf(wires[b].From).Mark], index[tell.TerminalOf(wires[b].To).Mark]
		return min(a, c), max(a, c)
	}
	order := make([]int, len(bows))
	for i := range order {
		order[i] = i
	}
	// Short ones lie within long ones.
	slices.SortStableFunc(order, func(i, k int) int {
		a1, a2 := span(bows[i])
		b1, b2 := span(bows[k])
		return cmp.Compare(a2-a1, b2-b1)
	})
	lanes = make([]int, len(bows))
	var taken [][][2]int
	for _, i := range order {
		a, c := span(bows[i])
		free := slices.IndexFunc(taken, func(lane [][2]int) bool {
			return !slices.ContainsFunc(lane, func(o [2]int) bool { return a < o[1] && o[0] < c })
		})
		if free < 0 {
			free = len(taken)
			taken = append(taken, nil)
		}
		taken[free] = append(taken[free], [2]int{a, c})
		lanes[i] = free
	}
	return lanes
}

// placeFar places the other parts at the right, below each other, each with those of
// its terminals that a wire leads to, in an order in which few wires cross.
func (l *layout) placeFar(leads map[string][]way, measure measure) {
	mean := func(all []way) float64 {
		sum := 0
		for _, w := range all {
			sum += w.own
		}
		return float64(sum) / float64(len(all))
	}
	byOwn := func(a, b way) int { return cmp.Or(cmp.Compare(a.own, b.own), cmp.Compare(a.wire, b.wire)) }
	parts, of := map[string][]string{}, map[string][]way{}
	for end, all := range leads {
		p := tell.TerminalOf(end).Part
		parts[p] = append(parts[p], end)
		of[p] = append(of[p], all...)
	}
	var names []string
	for p, ends := range parts {
		names = append(names, p)
		slices.SortFunc(ends, func(a, b string) int {
			return cmp.Or(cmp.Compare(mean(leads[a]), mean(leads[b])), cmp.Compare(a, b))
		})
	}
	slices.SortFunc(names, func(a, b string) int {
		return cmp.Or(cmp.Compare(slices.MinFunc(of[a], byOwn).own, slices.MinFunc(of[b], byOwn).own), cmp.Compare(mean(of[a]), mean(of[b])), cmp.Compare(a, b))
	})
	t, wide := l.text, 2.2*l.text
	for _, p := range names {
		wide = max(wide, width(measure.bold, p))
		for _, end := range parts[p] {
			wide = max(wide, width(measure.regular, tell.TerminalOf(end).Mark)+2*t*(inside+studded))
		}
	}
	y := 0.0
	for _, p := range names {
		b := box{name: p, left: l.width - wide - 1, right: l.width - 1, top: y + t*head}
		b.bottom = b.top
		for _, end := range parts[p] {
			ways := leads[end]
			slices.SortFunc(ways, byOwn)
			high := t * (row + beside*float64(len(ways)-1))
			for i := range ways {
				ways[i].y = b.bottom + t*(row/2+beside*float64(i))
			}
			b.terminals = append(b.terminals, terminal{tell.TerminalOf(end).Mark, b.bottom + high/2, ways})
			b.bottom += high
		}
		y = b.bottom + t*gap
		l.far = append(l.far, b)
	}
	l.height = max(0, y-t*gap)
}

// farLeft is the left edge of the other parts.
func (l *layout) farLeft() float64 {
	if len(l.far) == 0 {
		return l.width
	}
	return l.far[0].left
}

// placeNear places the terminals of the part, each as near to the middle of where
// its wires lead as their order allows: least squares under that order, by pooling
// neighbours (Barlow and others, Statistical Inference under Order Restrictions, 1972;
// from memory).
func (l *layout) placeNear(part tell.StripPart) {
	t, n := l.text, len(part.Marks)
	step := t * row
	wish, weight := make([]float64, n), make([]float64, n)
	for _, b := range l.far {
		for _, end := range b.terminals {
			for _, w := range end.ways {
				wish[w.own] += w.y
				weight[w.own]++
			}
		}
	}
	type pool struct {
		at, weight float64
		n          int
	}
	var pools []pool
	before := t * (head + row/2)
	for i := range n {
		one := pool{before, 1e-3, 1}
		if weight[i] > 0 {
			one = pool{wish[i] / weight[i], weight[i], 1}
			before = one.at + step
		}
		one.at -= step * float64(i)
		pools = append(pools, one)
		for len(pools) > 1 && pools[len(pools)-2].at > pools[len(pools)-1].at {
			a, b := pools[len(pools)-2], pools[len(pools)-1]
			pools = append(pools[:len(pools)-2], pool{(a.at*a.weight + b.at*b.weight) / (a.weight + b.weight), a.weight + b.weight, a.n + b.n})
		}
	}
	var at []float64
	for _, p := range pools {
		for range p.n {
			at = append(at, p.at+step*float64(len(at)))
		}
	}
	// The name stands above the first, within the picture.
	low := t * (head + row/2)
	for i, m := range part.Marks {
		at[i] = max(at[i], low)
		low = at[i] + step
		l.near.terminals = append(l.near.terminals, terminal{mark: m, y: at[i]})
	}
	l.near.top = at[0] - step/2
	l.near.bottom = at[n-1] + step/2
	l.height = max(l.height, l.near.bottom)
}

// at gives how low a terminal lies.
func (b box) at(mark string) float64 {
	i := slices.IndexFunc(b.terminals, func(t terminal) bool { return t.mark == mark })
	return b.terminals[i].y
}

// wires leads the wires from terminal to terminal.
func (l *layout) wires(s tell.Strips, bows, lanes []int) {
	t := l.text
	for k, i := range bows {
		w := s.Wires[i]
		y1, y2 := l.near.at(tell.TerminalOf(w.From).Mark), l.near.at(tell.TerminalOf(w.To).Mark)
		x, end := l.near.left-t*lane*float64(lanes[k]+1), l.near.left+t*inside
		r := min(0.5*t, math.Abs(y2-y1)/2)
		if y1 > y2 {
			y1, y2 = y2, y1
		}
		l.lines = append(l.lines, line{wire: i, class: Class(w.Verdict), mx: x, my: (y1 + y2) / 2,
			path: fmt.Sprintf("M%s %sH%sQ%s %s %s %sV%sQ%s %s %s %sH%s", markup.Tenths(end), markup.Tenths(y1), markup.Tenths(x+r), markup.Tenths(x), markup.Tenths(y1), markup.Tenths(x), markup.Tenths(y1+r),
				markup.Tenths(y2-r), markup.Tenths(x), markup.Tenths(y2), markup.Tenths(x+r), markup.Tenths(y2), markup.Tenths(end))})
	}
	right := l.farLeft()
	for _, b := range l.far {
		for _, end := range b.terminals {
			for _, w := range end.ways {
				l.lines = append(l.lines, line{wire: w.wire, class: Class(s.Wires[w.wire].Verdict), mx: right - t*(stub+joins)/2, my: w.y,
					path: fmt.Sprintf("M%s %sL%s %sH%sL%s %sH%s", markup.Tenths(l.near.right-t*inside), markup.Tenths(l.near.terminals[w.own].y),
						markup.Tenths(right-t*stub), markup.Tenths(w.y), markup.Tenths(right-t*joins), markup.Tenths(right), markup.Tenths(end.y), markup.Tenths(right+t*inside))})
			}
		}
	}
	for _, i := range bows {
		for _, end := range []string{s.Wires[i].From, s.Wires[i].To} {
			l.bowed = append(l.bowed, l.near.at(tell.TerminalOf(end).Mark))
		}
	}
}

// measure tells how wide words are in the Go typeface, in which pages are set too.
type measure struct{ regular, bold font.Face }

func newMeasure(size float64) (m measure, err error) {
	for _, one := range []struct {
		to  *font.Face
		ttf []byte
	}{{&m.regular, goregular.TTF}, {&m.bold, gobold.TTF}} {
		parsed, err := opentype.Parse(one.ttf)
		if err != nil {
			return m, err
		}
		if *one.to, err = opentype.NewFace(parsed, &opentype.FaceOptions{Size: size, DPI: 72}); err != nil {
			return m, err
		}
	}
	return m, nil
}

func width(f font.Face, s string) float64 { return float64(font.MeasureString(f, s)) / 64 }
