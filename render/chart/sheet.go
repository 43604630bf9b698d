package chart

// pack puts trees onto sheets, each onto the first of the last few that has room
// for it, so that questions stay about in their order.
func (l layout) pack(trees []*tree) []*sheet {
	var out []*sheet
	for _, t := range trees {
		const few = 3
		at := max(0, len(out)-few)
		for ; at < len(out); at++ {
			if out[at].takes(t) {
				break
			}
		}
		if at == len(out) {
			out = append(out, &sheet{layout: l})
		}
		t.sheet = at
		out[at].trees = append(out[at].trees, t)
	}
	for _, one := range out { // now that all know on which sheet one goes on
		y := one.head()
		for _, t := range one.trees {
			t.refresh()
			t.y = y + t.headHeight()
			y = t.y + t.height + apart*l.size
		}
	}
	return out
}

// sheet is one sheet with the trees that stand on it.
type sheet struct {
	layout
	trees []*tree
}

// takes says whether there is room for one tree more.
func (s *sheet) takes(t *tree) bool {
	with := sheet{s.layout, append(s.trees[:len(s.trees):len(s.trees)], t)}
	return with.tall() <= Height
}

// tall is the height of all that stands on a sheet.
func (s *sheet) tall() float64 {
	h := s.head() + s.footHeight()
	for i, t := range s.trees {
		if i > 0 {
			h += apart * s.size
		}
		h += t.headHeight() + t.height
	}
	return h
}

// fits says whether a sheet has room for the tree alone.
func (t *tree) fits() bool { return (&sheet{layout: t.layout}).takes(t) }

// fromLines says where one comes from.
func (t *tree) fromLines() []string {
	if t.from == nil {
		return nil
	}
	return t.letters.wrap(t.set.From(t.before.sheet+1, t.numbers[t.from.above], t.set.Told(t.from.answer)), Width, fromSize, false)
}

func (t *tree) headHeight() float64 {
	if n := len(t.fromLines()); n > 0 {
		return float64(n)*lineHeight*fromSize + headGap/2
	}
	return 0
}

func (s *sheet) titleLines() []string {
	return s.letters.wrap(s.set.Title, Width-ofWide, titleSize, true)
}

func (s *sheet) head() float64 {
	return float64(len(s.titleLines()))*lineHeight*titleSize + headGap
}

// footLines say what everybody does at a stop sign, where the sheet has one.
func (s *sheet) footLines() []string {
	stops := false
	for _, t := range s.trees {
		t.each(func(b *box) { stops = stops || !b.goOn && b.look.Stops() })
	}
	if !stops {
		return nil
	}
	return s.letters.wrap(s.set.Stop, Width-3*smallest, smallest, false)
}

func (s *sheet) footHeight() float64 {
	if n := len(s.footLines()); n > 0 {
		return float64(n)*lineHeight*smallest + smallest
	}
	return 0
}
