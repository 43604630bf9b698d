package reconcile

import (
	"slices"
)

// suppose gives the planner as it would be once a test has shown something, and
// the slots that this bears upon, each once. Rows are weighed that are known and none is
// searched for; neither the board nor the planner changes.
func (p *planner) suppose(c *candidate, closed bool) (*planner, []int) {
	b := *p.Board
	b.slots, b.wires = slices.Clone(b.slots), slices.Clone(b.wires)
	b.walk = newWalker(len(b.terminals))
	out := &planner{Board: &b, search: p.search, proven: p.proven}
	l := b.told(c.ends, c.hold)
	bears := slices.Clone(l.slots)
	if len(l.slots) > 0 {
		j := b.together(l.slots)
		bears = slices.Clone(j.slots)
		is := l.reader(&j)
		j.weighed(func(row []uint8) float64 { return shows(closed, is(row)) })
		for _, s := range j.slots {
			b.slots[s].chance, b.slots[s].touched = slices.Clone(b.slots[s].chance), true
		}
		b.chances(&j)
		b.supposed(j)
	}
	out.there = b.likeliest()
	for w := range b.wires {
		out.chance = append(out.chance, b.wires[w].chance)
	}
	if closed {
		out.proven = slices.Clone(p.proven)
		for _, w := range b.hangsOn(c.ends, c.hold, out.there) {
			out.proven[w] = true
			bears = append(bears, b.wires[w].slot)
		}
	}
	slices.Sort(bears)
	return out, slices.Compact(bears)
}

// supposed takes over what slots may be together: those that are sure settle, and
// the others are a group.
func (b *Board) supposed(j joint) {
	var open []int
	for _, s := range j.slots {
		if o := b.slots[s].best(); b.slots[s].chance[o] > sure && !b.surprise(s, o) {
			b.slots[s].settled, b.slots[s].group = o, nil
			continue
		}
		open = append(open, s)
	}
	g := &group{joint: j.onto(open)}
	for _, s := range open {
		b.slots[s].group = g
	}
}
