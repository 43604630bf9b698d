package reconcile

import "slices"

// link is how the joining of two terminals hangs on slots that are not settled.
// What is settled, and parts, make several terminals one node.
type link struct {
	slots    []int // in order
	from, to int   // nodes
	nodes    int
	joins    [][][]ends // of each slot's each option: the nodes that it joins
}

// mostLinked is how many slots a link has where that can be: above it, the wires
// that are least likely count as not there, all below the next of the steps. The
// last step is low, since of two wires that join the same, neither may be likely
// and one of them certain.
const mostLinked = 14

func steps() []float64 { return []float64{0, 0.001, 0.003, 0.01, 0.03, 0.1} }

// linked works out how the joining of two terminals hangs on the slots that count
// as open: those that are not settled, for most purposes.
func (b *Board) linked(e ends, hold int, open func(slot int) bool) link {
	return short(func(least float64) link { return b.linkedBy(e, hold, open, least) })
}

// told is linked over slots that make a difference, for foreseeing what a reading
// tells.
func (b *Board) told(e ends, hold int) link {
	return short(func(least float64) link {
		l := b.linkedBy(e, hold, b.unsettled, least)
		b.contract(&l)
		return l
	})
}

func short(by func(least float64) link) (l link) {
	for _, least := range steps() {
		if l = by(least); len(l.slots) <= mostLinked {
			break
		}
	}
	return l
}

// contract takes slots out of a link that surely join the same, whichever option
// it is that is so: a wire to the one side of a closed contact or to the other.
func (b *Board) contract(l *link) {
	parents := make([]int, l.nodes)
	for i := range parents {
		parents[i] = i
	}
	for again := true; again; {
		again = false
		for i := 0; i < len(l.slots); i++ {
			joins, ok := b.constant(l, i, parents)
			if !ok {
				continue
			}
			for _, e := range joins {
				unite(parents, e.a, e.b)
				again = true
			}
			l.slots, l.joins = slices.Delete(l.slots, i, i+1), slices.Delete(l.joins, i, i+1)
			i--
		}
	}
	l.from, l.to = find(parents, l.from), find(parents, l.to)
	for i := range l.joins {
		for k, list := range l.joins[i] {
			l.joins[i][k] = slices.Clone(list)
			for n, e := range list {
				l.joins[i][k][n] = ends{find(parents, e.a), find(parents, e.b)}
			}
		}
	}
}

// constant gives what a link's slot surely joins, if that is so.
func (b *Board) constant(l *link, i int, parents []int) ([]ends, bool) {
	one := &b.slots[l.slots[i]]
	chance := map[ends]float64{}
	for k, p := range one.chance {
		is := ends{-1, -1}
		for _, e := range l.joins[i][k] {
			e = endsOf(find(parents, e.a), find(parents, e.b))
			if e.a == e.b || e == is {
				continue
			}
			if is.a >= 0 { // two wires that join more than one pair are no constant
				is = ends{-2, -2}
				break
			}
			is = e
		}
		if chance[is] += p; is.a > -2 && chance[is] > sure {
			if is.a < 0 {
				return nil, true
			}
			return []ends{is}, true
		}
	}
	return nil, false
}

// unsettled says whether a slot is not settled.
func (b *Board) unsettled(s int) bool { return b.slots[s].settled < 0 }

// linkedBy is linked over wires that are at least so likely. Two more always
// count: one from the one terminal to the other, since a reading of that wire
// speaks of it before all others; and one that a part makes alike to a wire that
// counts, since the terminals are joined as well when it is in that one's place.
func (b *Board) linkedBy(e ends, hold int, open func(slot int) bool, least float64) link {
	block := b.between(e.a, e.b, hold, func(w int) bool {
		one := &b.wires[w]
		if !open(one.slot) {
			return b.settledThere(w)
		}
		return one.chance >= least || one.ends == e || one.like >= 0 && b.wires[one.like].chance >= least
	})
	l := link{}
	node := map[int]int{}
	parents := []int{}
	number := func(t int) int {
		n, ok := node[t]
		if !ok {
			n = len(parents)
			node[t], parents = n, append(parents, n)
		}
		return n
	}
	from, to := number(e.a), number(e.b)
	for _, x := range block {
		a, z := number(x.a), number(x.b)
		if x.wire < 0 || !open(b.wires[x.wire].slot) {
			unite(parents, a, z)
		} else if s := b.wires[x.wire].slot; !slices.Contains(l.slots, s) {
			l.slots = append(l.slots, s)
		}
	}
	slices.Sort(l.slots)
	l.from, l.to, l.nodes = find(parents, from), find(parents, to), len(parents)
	in := make([][]ends, len(l.slots)) // by slot: its wires in the block, in pairs with the nodes
	of := make([][]int, len(l.slots))
	for _, x := range block {
		if x.wire < 0 {
			continue
		}
		if i, ok := slices.BinarySearch(l.slots, b.wires[x.wire].slot); ok {
			in[i] = append(in[i], ends{find(parents, node[x.a]), find(parents, node[x.b])})
			of[i] = append(of[i], x.wire)
		}
	}
	for i, s := range l.slots {
		joins := make([][]ends, len(b.slots[s].options))
		for k, o := range b.slots[s].options {
			for j, w := range of[i] {
				if slices.Contains(o.wires, w) {
					joins[k] = append(joins[k], in[i][j])
				}
			}
		}
		l.joins = append(l.joins, joins)
	}
	return l
}

// settledThere says whether a wire counts as surely there.
func (b *Board) settledThere(w int) bool {
	s := &b.slots[b.wires[w].slot]
	return s.settled >= 0 && slices.Contains(s.options[s.settled].wires, w)
}

func find(parents []int, i int) int {
	for parents[i] != i {
		parents[i] = parents[parents[i]]
		i = parents[i]
	}
	return i
}

func unite(parents []int, a, z int) {
	a, z = find(parents, a), find(parents, z)
	parents[max(a, z)] = min(a, z)
}

// joined says whether the terminals are joined when each of the link's slots is
// as an option says. Memory is used again.
func (l *link) joined(option func(i int) int, memory []int) (bool, []int) {
	if l.from == l.to || len(l.slots) == 0 {
		return l.from == l.to, memory
	}
	memory = slices.Grow(memory[:0], l.nodes)[:l.nodes]
	for i := range memory {
		memory[i] = i
	}
	for i := range l.slots {
		for _, e := range l.joins[i][option(i)] {
			unite(memory, e.a, e.b)
		}
	}
	return find(memory, l.from) == find(memory, l.to), memory
}
