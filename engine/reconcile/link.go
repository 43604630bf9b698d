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

// mostLinked is how many slots a link has where that can be: above it, the
// wires that are least likely count as not there, all below the next of the
// steps.
const mostLinked = 14

func steps() []float64 { return []float64{0, 0.001, 0.003, 0.01, 0.03, 0.1, 0.3, 0.5} }

// linked works out how the joining of two terminals hangs on the slots that count
// as open: those that are not settled, for most purposes.
func (b *Board) linked(e ends, hold int, open func(slot int) bool) (l link) {
	for _, least := range steps() {
		l = b.linkedBy(e, hold, open, least)
		if len(l.slots) <= mostLinked {
			break
		}
	}
	return l
}

// unsettled says whether a slot is not settled.
func (b *Board) unsettled(s int) bool { return b.slots[s].settled < 0 }

// linkedBy is linked over wires that are at least so likely.
func (b *Board) linkedBy(e ends, hold int, open func(slot int) bool, least float64) link {
	block := b.between(e.a, e.b, hold, func(w int) bool {
		if open(b.wires[w].slot) {
			return b.wires[w].chance >= least
		}
		return b.settledThere(w)
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
