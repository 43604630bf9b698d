package reconcile

import "slices"

// slot is one wire of the board, wherever the drawings have it: its drawn
// alternatives exclude each other, unless both are there; or there is none, or it
// is where no drawing has it.
type slot struct {
	alternatives []int // drawn wires
	options      []option
	chance       []float64 // of each option now; they sum to 1
	settled      int       // the option that counts as sure; -1 for none
	wide         bool      // the options count undrawn wires, too
	group        *group    // with which readings bind it; nil when none does
	touched      bool      // some reading has borne upon it
}

// option is one way for a slot to be.
type option struct {
	wires []int   // that are there; none where there is none, or elsewhere
	prior float64 // before any reading
	place place
}

// place says where a slot's wire is.
type place int

const (
	drawn     place = iota
	gone            // nowhere
	elsewhere       // where no drawing has it, and which nobody has looked into
	undrawn         // at a certain place where no drawing has it
)

// alternatives puts wires together that drawings show in place of each other:
// they share a terminal, no sheet has both, and their numbers do not differ.
func (b *Board) alternatives() [][]int {
	with := make([][]int, len(b.wires)) // all wires of a wire's slot
	for w := range b.wires {
		with[w] = []int{w}
	}
	for w := range b.wires {
		for _, t := range []int{b.wires[w].a, b.wires[w].b} {
			for _, o := range b.wiresAt[t] {
				if o >= w || &with[o][0] == &with[w][0] || !b.exclude(with[o], with[w]) {
					continue
				}
				all := append(slices.Clone(with[o]), with[w]...)
				slices.Sort(all)
				for _, x := range all {
					with[x] = all
				}
			}
		}
	}
	var out [][]int
	for w := range b.wires {
		if with[w][0] == w {
			out = append(out, with[w])
		}
	}
	return out
}

// mostAlternatives is how many drawn wires one slot may hold.
const mostAlternatives = 5

// exclude says whether wires of two slots may be the same wire.
func (b *Board) exclude(one, other []int) bool {
	if len(one)+len(other) > mostAlternatives {
		return false
	}
	for _, w := range one {
		for _, o := range other {
			if b.wires[w].name != b.wires[o].name || slices.ContainsFunc(b.wires[w].drawn, func(s int) bool { return slices.Contains(b.wires[o].drawn, s) }) {
				return false
			}
		}
	}
	return true
}

// newSlot makes a slot of drawn wires, as likely as the drawings say.
func (b *Board) newSlot(alternatives []int) slot {
	s := slot{alternatives: alternatives, settled: -1}
	for _, w := range alternatives {
		s.options = append(s.options, option{wires: []int{w}})
	}
	for i, w := range alternatives {
		for _, o := range alternatives[i+1:] {
			s.options = append(s.options, option{wires: []int{w, o}})
		}
	}
	s.options = append(s.options, option{place: gone}, option{place: elsewhere})
	b.weighDrawings(&s)
	for _, o := range s.options {
		s.chance = append(s.chance, o.prior)
	}
	return s
}

// option gives the number of the option that is gone or elsewhere.
func (s *slot) option(at place) int {
	return slices.IndexFunc(s.options, func(o option) bool { return o.place == at })
}

// best gives the likeliest option.
func (s *slot) best() int {
	best := 0
	for i, p := range s.chance {
		if p > s.chance[best] {
			best = i
		}
	}
	return best
}

// asDrawn is the chance that some drawing is right about the slot.
func (s *slot) asDrawn() (p float64) {
	for i, o := range s.options {
		if o.place == drawn {
			p += s.chance[i]
		}
	}
	return p
}

// refresh works out the chances of a slot's wires from those of its options.
func (b *Board) refresh(n int) {
	s := &b.slots[n]
	for _, o := range s.options {
		for _, w := range o.wires {
			b.wires[w].chance = 0
		}
	}
	for i, o := range s.options {
		for _, w := range o.wires {
			b.wires[w].chance += s.chance[i]
		}
	}
}

// unknownPlaces is the part of what is elsewhere that stays so when undrawn wires
// beside the drawn ones are looked into.
const unknownPlaces = 0.2

// places lists where a slot's wire may be where no drawing has it: one of its
// ends put to a terminal beside the drawn one.
func (b *Board) places(s *slot) (out []ends) {
	for _, w := range s.alternatives {
		e := b.wires[w].ends
		for _, x := range b.beside[e.b] {
			out = append(out, endsOf(e.a, x))
		}
		for _, x := range b.beside[e.a] {
			out = append(out, endsOf(x, e.b))
		}
	}
	slices.SortFunc(out, func(p, q ends) int { return (p.a-q.a)*len(b.terminals) + p.b - q.b })
	out = slices.Compact(out)
	return slices.DeleteFunc(out, func(e ends) bool {
		_, has := b.numbers[e]
		return has || e.a == e.b
	})
}

// widen takes undrawn wires beside the drawn ones among a slot's options.
func (b *Board) widen(n int) {
	b.slots[n].wide = true
	b.thinkOf(n, b.places(&b.slots[n]), 1-unknownPlaces)
}

// bridged takes those undrawn wires among a slot's options that no test with
// nothing held tells from the drawn ones, since a part joins their ends.
func (b *Board) bridged(n int) {
	s := &b.slots[n]
	all, list, like := b.places(s), []ends{}, []int{}
	for _, e := range all {
		if i := slices.IndexFunc(s.alternatives, func(w int) bool { return b.alike(e, b.wires[w].ends) }); i >= 0 {
			list, like = append(list, e), append(like, s.alternatives[i])
		}
	}
	if len(list) == 0 {
		return
	}
	b.thinkOf(n, list, float64(len(list))/float64(len(all)))
	for i, e := range list {
		b.wires[b.numbers[e]].like = like[i]
	}
}

// alike says whether two pairs of terminals differ in one end, and a part joins
// that of the one with that of the other.
func (b *Board) alike(e, f ends) bool {
	shared, one, other := e.a, e.b, f.b
	switch {
	case e.a == f.a:
	case e.b == f.b:
		shared, one, other = e.b, e.a, f.a
	case e.a == f.b:
		other = f.a
	case e.b == f.a:
		shared, one = e.b, e.a
	default:
		return false
	}
	return shared != one && slices.ContainsFunc(b.holds[0].waysAt[one], func(i int) bool {
		way := b.holds[0].ways[i]
		return way.a+way.b-one == other
	})
}

// thinkOf makes wires options of a slot, which share a part of what was elsewhere.
func (b *Board) thinkOf(n int, list []ends, part float64) {
	s := &b.slots[n]
	if len(list) == 0 {
		return
	}
	e := s.option(elsewhere)
	share := part / float64(len(list))
	prior, chance := s.options[e].prior, s.chance[e]
	s.options[e].prior, s.chance[e] = prior*(1-part), chance*(1-part)
	for _, one := range list {
		w := b.wire(one)
		b.wires[w].slot = n
		s.options = append(s.options, option{wires: []int{w}, prior: prior * share, place: undrawn})
		s.chance = append(s.chance, chance*share)
	}
	b.refresh(n)
}
