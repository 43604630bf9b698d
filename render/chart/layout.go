package chart

import (
	"slices"

	"slipring/engine/tell"
)

// Distances in parts of the size of type.
const (
	lineHeight = 1.22
	padding    = 0.4  // between a box's edge and its words
	between    = 0.55 // boxes below each other
	across     = 1.5  // boxes beside each other: room for branches
	apart      = 1.1  // trees below each other
)

// layout lays out a finder in one size of type and number of columns.
type layout struct {
	letters *letters
	set     Settings
	size    float64
	columns int
	numbers map[*tell.Look]int
	cut     map[*tell.Look]bool // questions that are left to the page
	few     int                 // causes that a box names, 0 for all
}

// tree is a part of the finder that stands together, and where one comes from.
// Its boxes are placed from its own upper edge on.
type tree struct {
	layout
	root   *box
	from   *box  // in an earlier tree; nil for the first
	before *tree // that tree
	sheet  int   // its index
	y      float64
	height float64 // that its boxes take
}

// box is a look with the answer that leads to it, or what stands for it here.
type box struct {
	look   *tell.Look
	above  *tell.Look // that asks; nil for the first look
	answer string
	causes []tell.Cause // those of look, or a part of them
	rest   []tell.Cause // that stand in the next tree
	goOn   bool         // elsewhere
	to     *tree        // where; nil until that is known

	parts    []part
	tab      float64 // height of the answer above the box
	tall     float64 // of both
	x, y, w  float64
	children []*box
}

// part is lines of words in a box.
type part struct {
	lines  []string
	size   float64
	bold   bool
	indent float64
	mark   mark
	hazard string
	after  float64 // room below
}

// mark is what stands before the first line of a part.
type mark int

const (
	noMark mark = iota
	numberMark
	stopMark
	causeMark
	hazardMark
)

func (l layout) small() float64 { return max(smallest, 0.82*l.size) }

// width of a box in a column.
func (l layout) width() float64 {
	n := float64(l.columns)
	return (Width - (n-1)*across*l.size) / n
}

// trees lays all out, tree after tree. Each takes as much as a sheet can hold,
// and what is left goes on at a later one.
func (l layout) trees(root *tell.Look) []*tree {
	out := []*tree{{layout: l, root: &box{look: root}}}
	for i := 0; i < len(out); i++ {
		one := out[i]
		for _, from := range one.fill() {
			b := &box{look: from.look, above: from.above, answer: from.answer, causes: from.rest}
			from.to = &tree{layout: l, root: b, from: from, before: one}
			out = append(out, from.to)
		}
	}
	slices.SortStableFunc(out, func(a, b *tree) int { return a.first() - b.first() })
	return out
}

// first is the number of the question that a tree begins with, or of the one
// before its causes.
func (t *tree) first() int {
	if n := t.numbers[t.root.look]; n > 0 {
		return n
	}
	return t.numbers[t.root.above]
}

// fill puts as much below the root as a sheet can hold, and gives what has to
// go on elsewhere.
func (t *tree) fill() []*box {
	r := t.root
	if len(r.look.Answers) == 0 {
		return t.fillEnd()
	}
	t.open(r)
	if t.refresh(); !t.fits() { // with nothing but the first question, all answers go on elsewhere
		for _, c := range r.children {
			c.goOn = true
		}
		t.refresh()
	}
	full := map[*box]bool{} // which find no room, now or later
	for opened := true; opened; {
		opened = false
		for _, b := range t.shut() {
			if full[b] {
				continue
			}
			if len(b.look.Answers) == 0 {
				b.goOn = false
			} else if t.depth(b) < t.columns {
				t.open(b)
			} else {
				continue
			}
			if t.refresh(); t.fits() {
				opened = true
				continue
			}
			b.goOn, b.children, full[b] = true, nil, true
			t.refresh()
		}
	}
	t.columns = t.deep(t.root) // a tree of few columns has wider boxes
	t.refresh()
	return t.shut()
}

// deep is how many columns a box takes with all below it.
func (t *tree) deep(b *box) int {
	most := 0
	for _, c := range b.children {
		most = max(most, t.deep(c))
	}
	return most + 1
}

// open shows a look with its answers; what is behind them waits, but for
// causes.
func (t *tree) open(b *box) {
	b.goOn, b.children = false, nil
	for _, a := range b.look.Answers {
		b.children = append(b.children, &box{look: a.Then, above: b.look, answer: a.Says, goOn: len(a.Then.Answers) > 0 && !t.cut[a.Then]})
	}
}

// fillEnd puts causes alone into a tree, as many as a sheet holds.
func (t *tree) fillEnd() []*box {
	all := t.root.causes
	if all == nil {
		all, _ = t.named(t.root.look.Causes)
	}
	for n := len(all); n > 0; n-- {
		t.root.causes, t.root.rest = all[:n], all[n:]
		if t.refresh(); t.fits() || n == 1 {
			break
		}
	}
	if len(t.root.rest) > 0 {
		return []*box{t.root}
	}
	return nil
}

// shut lists the boxes that stand for what is elsewhere, from the first column
// to the last.
func (t *tree) shut() []*box {
	var out []*box
	row := []*box{t.root}
	for len(row) > 0 {
		var next []*box
		for _, b := range row {
			if b.goOn {
				out = append(out, b)
			}
			next = append(next, b.children...)
		}
		row = next
	}
	return out
}

// depth gives the column of a box, the first being 1.
func (t *tree) depth(b *box) int {
	var find func(at *box, n int) int
	find = func(at *box, n int) int {
		if at == b {
			return n
		}
		for _, c := range at.children {
			if d := find(c, n+1); d > 0 {
				return d
			}
		}
		return 0
	}
	return find(t.root, 1)
}

// refresh lays the boxes out anew.
func (t *tree) refresh() {
	w := t.width()
	if len(t.root.look.Answers) == 0 {
		w = Width
	}
	var measure func(b *box) float64
	measure = func(b *box) float64 {
		b.w = w
		t.words(b)
		below := 0.
		for i, c := range b.children {
			if i > 0 {
				below += between * t.size
			}
			below += measure(c)
		}
		return max(b.tall, below)
	}
	t.height = measure(t.root)
	var place func(b *box, x, y, tall float64)
	place = func(b *box, x, y, tall float64) {
		b.x, b.y = x, y+(tall-b.tall)/2
		below := 0.
		for i, c := range b.children {
			if i > 0 {
				below += between * t.size
			}
			below += t.span(c)
		}
		y += (tall - below) / 2
		for _, c := range b.children {
			h := t.span(c)
			place(c, x+w+across*t.size, y, h)
			y += h + between*t.size
		}
	}
	place(t.root, 0, 0, t.height)
}

// span is the height of a box with all below it.
func (t *tree) span(b *box) float64 {
	below := 0.
	for i, c := range b.children {
		if i > 0 {
			below += between * t.size
		}
		below += t.span(c)
	}
	return max(b.tall, below)
}

// words sets the words of a box, and how tall it is.
func (t *tree) words(b *box) {
	l, told := t.layout, t.set.Told
	inner := b.w - 2*padding*l.size
	b.parts, b.tab = nil, 0
	add := func(words string, size float64, bold bool, mark mark, after float64) *part {
		p := part{size: size, bold: bold, mark: mark, after: after}
		if mark != noMark {
			p.indent = 1.5 * size
		}
		if mark == numberMark {
			p.indent = 1.8 * size
		}
		if mark == numberMark && l.numbers[b.look] > 99 {
			p.indent = 2.4 * size
		}
		p.lines = l.letters.wrap(words, inner-p.indent, size, bold)
		b.parts = append(b.parts, p)
		return &b.parts[len(b.parts)-1]
	}
	if b.answer != "" {
		lines := l.letters.wrap(told(b.answer), inner, l.size, true)
		b.tab = float64(len(lines))*lineHeight*l.size + 0.5*padding*l.size
	}
	gap := 0.25 * l.size
	switch {
	case b.goOn:
		add(t.goesOn(b), l.size, false, noMark, 0)
	case t.cut[b.look]:
		add(t.set.OnPage(l.numbers[b.look]), l.size, false, noMark, 0)
	case len(b.look.Answers) > 0:
		if b.look.Hazard != "" {
			_, _, line := t.set.Hazard(b.look.Hazard)
			add(line, l.small(), true, hazardMark, gap).hazard = b.look.Hazard
		}
		add(told(b.look.Ask), l.size, true, numberMark, gap)
		if b.look.How != "" {
			add(told(b.look.How), l.small(), false, noMark, 0)
		}
	default:
		t.end(b, add, gap)
	}
	b.tall = b.tab + 2*padding*l.size
	for i, p := range b.parts {
		b.tall += float64(len(p.lines)) * lineHeight * p.size
		if i < len(b.parts)-1 {
			b.tall += p.after
		}
	}
}

// end sets the words of causes.
func (t *tree) end(b *box, add func(words string, size float64, bold bool, mark mark, after float64) *part, gap float64) {
	l, told := t.layout, t.set.Told
	if b.look.Hazard != "" {
		_, _, line := t.set.Hazard(b.look.Hazard)
		add(line, l.small(), true, hazardMark, gap).hazard = b.look.Hazard
	}
	if b.look.Ask != "" {
		add(told(b.look.Ask), l.size, true, noMark, gap)
	}
	causes := b.causes
	named, more := t.named(b.look.Causes)
	if causes == nil {
		causes = named
	}
	for _, c := range causes {
		m, words := causeMark, told(c.Says)
		if c.Stop {
			m = stopMark
		}
		if c.Chance > 0 && len(b.look.Causes) > 1 {
			words += " (" + t.set.Share(c.Chance) + ")"
		}
		add(words, l.size, c.Stop, m, gap)
	}
	if len(b.rest) > 0 {
		add(t.goesOn(b), l.size, false, noMark, 0)
		return
	}
	if more > 0 {
		add(t.set.More(more), l.size, false, noMark, gap)
	}
	if b.look.How != "" {
		add(told(b.look.How), l.small(), false, noMark, 0)
	}
}

// goesOn says where the search goes on. While that is not known it says as much.
func (t *tree) goesOn(b *box) string {
	sheet := 88
	if b.to != nil {
		sheet = b.to.sheet + 1
	}
	return t.set.GoOn(sheet, t.numbers[b.look])
}

func (t *tree) each(do func(b *box)) {
	row := []*box{t.root}
	for len(row) > 0 {
		var next []*box
		for _, b := range row {
			do(b)
			next = append(next, b.children...)
		}
		row = next
	}
}

// Sizes of the head in pt.
const (
	titleSize = 16
	fromSize  = 13
	headGap   = 9
	ofWide    = 120 // the room for "Sheet 2 of 3"
)
