package reconcile

import (
	"slices"

	"slipring/engine/circuit"
)

// mostArm is how many wires that are not certain a probe may go on over to each
// side of one that it is for.
const mostArm = 5

// candidates lists tests that may bring something: for each wire that is not
// certain, from its ends, and over the likeliest path beyond each of them.
func (p *planner) candidates() (out []probe) {
	had := map[probe]bool{}
	add := func(one probe) {
		if one.a != one.b && !had[one] {
			had[one] = true
			out = append(out, one)
		}
	}
	for w := range p.wires {
		if !p.asked(w) {
			continue
		}
		e := p.wires[w].ends
		for _, hold := range p.apart(w) {
			add(probe{e, hold})
		}
		if p.chance[w] < 0.5 {
			add(probe{ends: e})
			continue
		}
		if hold, ok := p.past(w); ok {
			add(probe{e, hold})
		}
		left, right := p.arm(e.a, w), p.arm(e.b, w)
		for _, a := range left {
			for _, z := range right {
				add(probe{ends: endsOf(a, z)})
			}
		}
	}
	return out
}

// arm lists where a probe may begin to take in more wires than one: its end, and
// the terminals behind one, two and more wires that are not certain, along the
// path that has most of them.
func (p *planner) arm(from, not int) []int {
	seen := map[int]bool{from: true, p.wires[not].a: true, p.wires[not].b: true}
	steps := 0
	var longest func(t, room int) []int
	longest = func(t, room int) (best []int) {
		if room == 0 || steps > 200 {
			return nil
		}
		steps++
		for _, w := range p.wiresAt[t] {
			next := p.wires[w].a + p.wires[w].b - t
			if !p.there[w] || seen[next] {
				continue
			}
			seen[next] = true
			var on []int
			if p.asked(w) {
				on = append([]int{next}, longest(next, room-1)...)
			} else {
				on = longest(next, room)
			}
			if len(on) > len(best) {
				best = on
			}
		}
		for _, i := range p.holds[0].waysAt[t] {
			next := p.holds[0].ways[i].a + p.holds[0].ways[i].b - t
			if seen[next] {
				continue
			}
			seen[next] = true
			if on := longest(next, room); len(on) > len(best) {
				best = on
			}
		}
		return best
	}
	return append([]int{from}, longest(from, mostArm)...)
}

// apart lists what to hold or take out so that a part at an end of a wire does not
// join what a test shall tell apart.
func (p *planner) apart(w int) (holds []int) {
	var both circuit.Hold
	for _, t := range []int{p.wires[w].a, p.wires[w].b} {
		if len(p.holds[0].waysAt[t]) == 0 {
			continue
		}
		var is circuit.Hold
		if !p.unbridge(&is, t) {
			continue
		}
		p.unbridge(&both, t)
		if hold, err := p.holding(is); err == nil {
			holds = append(holds, hold)
		}
	}
	if len(holds) == 2 && holds[0] != holds[1] {
		if hold, err := p.holding(sorted(both)); err == nil {
			holds = append(holds, hold)
		}
	}
	return holds
}

// unbridge adds to a hold what ends the ways through the part of a terminal: a
// fuse is taken out, and what has contacts is held. It is false where neither can
// be.
func (p *planner) unbridge(is *circuit.Hold, t int) bool {
	part, _ := p.parts.Part(partOf(p.terminals[t]))
	switch {
	case part.Kind == "fuse":
		is.Out = append(is.Out, part.Name)
	case len(part.Contacts) > 0:
		is.Moved = append(is.Moved, part.Name)
	default:
		return false
	}
	return true
}

// sorted gives a hold with its parts in order, each once.
func sorted(is circuit.Hold) circuit.Hold {
	for _, list := range []*[]string{&is.Out, &is.Moved} {
		slices.Sort(*list)
		*list = slices.Compact(*list)
	}
	return is
}

// past finds what to hold or take out so that a wire is tested alone that parts
// bridge: fuses are taken out, and break contacts held open. It is false where
// nothing bridges the wire, and where nothing can be done about it.
func (p *planner) past(w int) (hold int, ok bool) {
	e := p.wires[w].ends
	var is circuit.Hold
	for _, x := range p.between(e.a, e.b, 0, func(o int) bool { return o != w && p.there[o] }) {
		if x.wire >= 0 {
			continue
		}
		if !p.unbridge(&is, x.a) {
			return 0, false
		}
	}
	is = sorted(is)
	if n := len(is.Out) + len(is.Moved); n == 0 || n > 2 {
		return 0, false
	}
	hold, err := p.holding(is)
	return hold, err == nil
}
