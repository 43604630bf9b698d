package lesson

import "math"

// place is where a block stands: in which section, the part up to the next
// heading, and how many blocks of it, cells aside, come before.
type place struct{ section, block int }

func (p place) before(q place) bool {
	return p.section < q.section || p.section == q.section && p.block < q.block
}

// placeCells gives a translation the cells of its base, in their order. A cell
// goes before the block that has the same place, or to the end of its section
// where there is none.
func (l *Lesson) placeCells() {
	l.Cells = l.Base.Cells
	var cells []*Node
	var places []place
	var at place
	for _, n := range l.Base.Body.Children {
		switch n.Kind {
		case CellBlock:
			cells, places = append(cells, n), append(places, at)
		case Heading:
			at = place{at.section + 1, 0}
		default:
			at.block++
		}
	}
	if len(cells) == 0 {
		return
	}
	var body []*Node
	put := func(end place, offset int) {
		for len(cells) > 0 && places[0].before(end) {
			body = append(body, &Node{Kind: CellBlock, Cell: cells[0].Cell, Offset: offset, End: offset})
			cells, places = cells[1:], places[1:]
		}
	}
	at = place{}
	for _, n := range l.Body.Children {
		if n.Kind == Heading {
			at = place{at.section + 1, -1}
			put(place{at.section, 0}, n.Offset)
		} else {
			put(place{at.section, at.block + 1}, n.Offset)
		}
		at.block++
		body = append(body, n)
	}
	put(place{math.MaxInt, 0}, l.Body.End)
	l.Body.Children = body
}
