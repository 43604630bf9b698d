package lesson

// placeCells gives a translation the cells of its base. A cell of the base
// stands between two blocks of its section, the part up to the next heading;
// here it goes before the block with the same number in the section with the
// same number, or to the end of the section where there is none.
func (l *Lesson) placeCells() {
	l.Cells = l.Base.Cells
	type place struct{ section, block int }
	cells := map[place][]*Node{}
	var at place
	last := 0
	for _, n := range l.Base.Body.Children {
		switch n.Kind {
		case CellBlock:
			cells[at] = append(cells[at], n)
			last = max(last, at.section)
		case Heading:
			at = place{at.section + 1, 0}
		default:
			at.block++
		}
	}
	if len(cells) == 0 {
		return
	}
	most := len(l.Base.Body.Children)
	var body []*Node
	put := func(p place, offset int) {
		for _, n := range cells[p] {
			body = append(body, &Node{Kind: CellBlock, Cell: n.Cell, Offset: offset, End: offset})
		}
		delete(cells, p)
	}
	at = place{}
	for _, n := range l.Body.Children {
		if n.Kind == Heading {
			for ; at.block <= most; at.block++ {
				put(at, n.Offset)
			}
			at = place{at.section + 1, 0}
			body = append(body, n)
			continue
		}
		put(at, n.Offset)
		body = append(body, n)
		at.block++
	}
	for ; at.section <= last; at = (place{at.section + 1, 0}) {
		for ; at.block <= most; at.block++ {
			put(at, l.Body.End)
		}
	}
	l.Body.Children = body
}
