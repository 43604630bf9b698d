package reconcile

import "slices"

// What drawings are like, before any reading; common practice, no source. They
// are meant for drawings wrong in 5 to 15 % of their wires.
const (
	copying    = 0.6  // a draughtsman took a wire from the drawing before, unseen
	slip       = 0.10 // he drew wrongly what he saw
	leftOut    = 0.4  // part of slips: the wire is not drawn; else an end is at another terminal
	invented   = 0.02 // a wire was drawn where there never was one
	doubled    = 0.02 // two alternatives are two wires, against one
	changed    = 0.02 // the wire was changed since the drawings
	takenAway  = 0.4  // part of changes: nothing is there since; else an end was moved
	nowhereYet = 1.0  // weight of "there never was one", against each place for a wire
)

// weighDrawings gives each option its prior: the sum, over what may have been
// there when the board was drawn, of the product over the drawings in the order
// of their dates of P(this drawing | what was there, the drawing before), times
// the chance that this has become the option since. A copy hardly counts as a
// witness that way.
func (b *Board) weighDrawings(s *slot) {
	seen := b.seen(s)
	positions := float64(max(len(b.places(s)), 1))
	then := make([]float64, len(s.options))
	for i, o := range s.options {
		w := 1.0
		switch {
		case o.place == gone:
			w = nowhereYet
		case o.place == elsewhere:
			w = positions
		case len(o.wires) == 2:
			w = doubled
		}
		then[i] = w * b.asDrawnThen(o, seen, positions)
	}
	sum := 0.0
	for i := range s.options {
		for k, p := range then {
			s.options[i].prior += p * becomes(s.options, k, i, positions)
		}
		sum += s.options[i].prior
	}
	for i := range s.options {
		s.options[i].prior /= sum
	}
}

// becomes is the chance that what was as option k is as option i now.
func becomes(options []option, k, i int, positions float64) float64 {
	was, is := options[k], options[i]
	switch {
	case i == k && was.place == gone:
		return 1
	case i == k:
		return 1 - changed
	case was.place == gone || len(was.wires) == 2 || len(is.wires) == 2:
		return 0
	case is.place == gone:
		return changed * takenAway
	case is.place == elsewhere:
		return changed * (1 - takenAway)
	}
	return changed * (1 - takenAway) / (positions + 1)
}

// view is what one sheet says of a slot.
type view struct {
	has   int // the wire that it draws; -1 for none
	shows []int
}

// seen lists what the sheets say that show both ends of some alternative.
func (b *Board) seen(s *slot) (out []view) {
	for i, sheet := range b.sheets {
		v := view{has: -1}
		for _, w := range s.alternatives {
			if sheet.Shows(b.terminals[b.wires[w].a], b.terminals[b.wires[w].b]) {
				v.shows = append(v.shows, w)
			}
			if slices.Contains(b.wires[w].drawn, i) {
				v.has = w
			}
		}
		if len(v.shows) > 0 {
			out = append(out, v)
		}
	}
	return out
}

// asDrawnThen is P(all drawings | what was there).
func (b *Board) asDrawnThen(was option, seen []view, positions float64) float64 {
	p := 1.0
	for i, v := range seen {
		q := fresh(was, v, positions)
		if i > 0 {
			q *= 1 - copying
			if v.has == seen[i-1].has {
				q += copying
			}
		}
		p *= q
	}
	return p
}

// fresh is the chance that somebody who looks at the board draws this.
func fresh(was option, v view, positions float64) float64 {
	elsewhereDrawn := slip * (1 - leftOut) / positions
	there := slices.ContainsFunc(was.wires, func(w int) bool { return slices.Contains(v.shows, w) })
	switch {
	case was.place == gone && v.has < 0:
		return 1 - invented
	case was.place == gone:
		return invented
	case len(was.wires) > 0 && !there: // the sheet does not show where it is
		if v.has < 0 {
			return 1 - slip
		}
		return elsewhereDrawn
	case len(was.wires) == 2 && v.has < 0:
		return slip * leftOut * slip * leftOut
	case len(was.wires) == 2:
		return slip * leftOut
	case v.has < 0:
		return slip * leftOut
	case slices.Contains(was.wires, v.has):
		return 1 - slip
	}
	return elsewhereDrawn
}
