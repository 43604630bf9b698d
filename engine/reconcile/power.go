package reconcile

import "slices"

// powered says which wires carry power: those that current of a battery, an
// alternator or a set can flow over, however keys, relays and fuses stand. That
// is a wire on some path between the two terminals of such a source that passes
// no terminal twice, over parts and wires that may be there. A wire to a spare
// terminal, and one that leads to a part of which nothing leads on, is on none. A
// wire that no drawing has, and that is hardly likely, is like the drawn wires in
// place of which it may be.
func (b *Board) powered() []bool {
	out := make([]bool, len(b.wires))
	ways, sources, err := b.parts.Leads()
	if err != nil {
		return out // New has looked at the same parts
	}
	all := hold{waysAt: map[int][]int{}}
	for i, way := range ways {
		e := ends{b.at[way[0]], b.at[way[1]]}
		all.ways = append(all.ways, e)
		all.waysAt[e.a], all.waysAt[e.b] = append(all.waysAt[e.a], i), append(all.waysAt[e.b], i)
	}
	live := *b
	live.holds, live.walk = []hold{all}, newWalker(len(b.terminals))
	thought := func(w int) bool { return len(b.wires[w].drawn) == 0 && b.wires[w].chance < 0.5 }
	maybe := func(w int) bool { return !thought(w) && b.verdict(w, b.wires[w].chance, false) != NotThere }
	for _, source := range sources {
		for _, x := range live.between(b.at[source[0]], b.at[source[1]], 0, maybe) {
			if x.wire >= 0 {
				out[x.wire] = true
			}
		}
	}
	for w := range b.wires {
		if thought(w) {
			out[w] = slices.ContainsFunc(b.slots[b.wires[w].slot].alternatives, func(o int) bool { return out[o] })
		}
	}
	return out
}
