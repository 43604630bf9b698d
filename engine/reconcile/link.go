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

// linked works out how the joining of two terminals hangs on the slots, of which
// some may count as not settled although they are.
func (b *Board) linked(e ends, hold int, open func(slot int) bool) link {
	unsettled := func(s int) bool { return b.slots[s].settled < 0 || open(s) }
	block := b.between(e.a, e.b, hold, func(w int) bool {
		s := b.wires[w].slot
		return unsettled(s) || b.settledThere(w)
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
		if x.wire < 0 || !unsettled(b.wires[x.wire].slot) {
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
