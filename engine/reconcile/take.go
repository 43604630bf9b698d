package reconcile

import (
	"slices"
)

// How often a tester is wrong: a dirty terminal, a clip beside the terminal.
// Common practice, no source.
const (
	wronglyOpen   = 0.01
	wronglyClosed = 0.003
)

// sure is the chance from which on an option of a slot counts as settled, and
// surprising the chance below which a reading makes settled slots open again.
const (
	sure       = 1 - 1e-4
	surprising = 0.3
)

// shows is the chance that a tester shows what it did.
func shows(closed, joined bool) float64 {
	switch {
	case closed && joined:
		return 1 - wronglyOpen
	case closed:
		return wronglyClosed
	case joined:
		return wronglyOpen
	}
	return 1 - wronglyClosed
}

// Take takes a reading. The order of readings hardly matters. It fails for a
// terminal or a part that the board has not got.
func (b *Board) Take(r Reading) error {
	for _, end := range []string{r.From, r.To} {
		if err := b.parts.NoTerminal(end); err != nil {
			return err
		}
	}
	h, err := b.holding(r.Hold)
	if err != nil {
		return err
	}
	n := len(b.readings)
	b.readings = append(b.readings, taken{Reading: r, ends: endsOf(b.at[r.From], b.at[r.To]), hold: h})
	t := &b.readings[n]
	t.link = b.linked(t.ends, h, b.unsettled)
	for _, s := range t.link.slots {
		b.slots[s].touched = true
	}
	j := b.together(t.link.slots)
	if b.likely(&j, t) < surprising {
		b.again(b.reopened(n))
		return nil
	}
	readings := append(b.readingsOf(j.slots), n)
	if b.products(t.link.slots) > mostRows(len(j.slots)) {
		j = b.weighAnew(j.slots, readings)
	} else {
		j.weighed(b.factor(&j, t))
	}
	b.settle(&group{joint: j, readings: readings})
	return nil
}

// products is how many rows slots have together when none is left out.
func (b *Board) products(list []int) int {
	n := 1
	var had []*group
	for _, s := range list {
		g := b.slots[s].group
		switch {
		case g == nil:
			n *= len(b.slots[s].options) - 1 // elsewhere is as gone
		case !slices.Contains(had, g):
			had = append(had, g)
			n *= len(g.weight)
		}
		if n > 1<<20 {
			break
		}
	}
	return n
}

// likely is the chance that the tester shows what it did.
func (b *Board) likely(j *joint, t *taken) float64 {
	if len(j.slots) == 0 {
		return shows(t.Closed, t.link.from == t.link.to)
	}
	factor, sum := b.factor(j, t), 0.0
	for i, w := range j.weight {
		sum += w * factor(j.row(i))
	}
	return sum
}

// factor gives, for a row of a joint, the chance that the tester shows what it
// did.
func (b *Board) factor(j *joint, t *taken) func(row []uint8) float64 {
	is := t.link.reader(j)
	return func(row []uint8) float64 { return shows(t.Closed, is(row)) }
}

// reader gives, for a row of a joint that holds the link's slots, whether the
// terminals are joined.
func (l *link) reader(j *joint) func(row []uint8) bool {
	at := make([]int, len(l.slots))
	for i, s := range l.slots {
		at[i] = j.column(s)
	}
	var memory []int
	return func(row []uint8) (is bool) {
		is, memory = l.joined(func(i int) int { return int(row[at[i]]) }, memory)
		return is
	}
}

// readingsOf lists the readings that bind slots, in order.
func (b *Board) readingsOf(list []int) (out []int) {
	for _, s := range list {
		if g := b.slots[s].group; g != nil {
			out = append(out, g.readings...)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// reopened makes settled slots open again that bear upon a surprising reading,
// and gives all slots that do; when it is open, all that seemed to join its
// terminals.
func (b *Board) reopened(n int) []int {
	t := &b.readings[n]
	list := slices.Clone(t.link.slots)
	list = append(list, b.linked(t.ends, t.hold, func(int) bool { return true }).slots...)
	if !t.Closed {
		for _, x := range b.between(t.a, t.b, t.hold, func(w int) bool { return b.wires[w].chance >= 0.5 }) {
			if x.wire >= 0 {
				list = append(list, b.wires[x.wire].slot)
			}
		}
	}
	for _, s := range list {
		b.slots[s].settled, b.slots[s].touched = -1, true
	}
	return list
}

// widened is reopened for the readings that bear upon a slot since it counts
// undrawn wires: these may explain what settled others.
func (b *Board) widened(s int) []int {
	list := []int{s}
	for i := range b.readings {
		t := &b.readings[i]
		if slices.Contains(b.linked(t.ends, t.hold, b.unsettled).slots, s) {
			list = append(list, b.reopened(i)...)
		}
	}
	return list
}

// again weighs slots anew from their priors, by all readings that bear upon them,
// and with them the slots that such readings bind to them.
func (b *Board) again(list []int) {
	in, slotsIn := map[int]bool{}, []int{}
	add := func(list []int) {
		for _, s := range list {
			if !in[s] {
				in[s] = true
				slotsIn = append(slotsIn, s)
			}
		}
	}
	bears := func(l *link) bool { return slices.ContainsFunc(l.slots, func(s int) bool { return in[s] }) }
	add(list)
	links := make([]link, len(b.readings))
	for i, t := range b.readings {
		links[i] = b.linked(t.ends, t.hold, b.unsettled)
	}
	bound, readings := make([]bool, len(b.readings)), []int{}
	for grown := true; grown; {
		grown = false
		for i := range b.readings {
			t := &b.readings[i]
			if bound[i] || !bears(&t.link) && !bears(&links[i]) {
				continue
			}
			add(t.link.slots)
			add(links[i].slots)
			bound[i], grown, t.link = true, true, links[i]
			readings = append(readings, i)
		}
	}
	slices.Sort(slotsIn)
	slices.Sort(readings)
	b.settle(&group{joint: b.weighAnew(slotsIn, readings), readings: readings})
}

// weighAnew weighs the likeliest assignments by their priors and readings.
func (b *Board) weighAnew(list, readings []int) joint {
	now, before := make([]uint8, len(list)), make([]uint8, len(list))
	for i, s := range list {
		now[i] = uint8(b.slots[s].best())
		for k, o := range b.slots[s].options {
			if o.prior > b.slots[s].options[before[i]].prior {
				before[i] = uint8(k)
			}
		}
	}
	return b.weigher(list, readings).heaviest(mostRows(len(list)), now, before)
}

// settle takes over what a group's slots may be: slots that are sure settle, the
// others part into groups that some reading binds, and a slot that is likely not
// as any drawing has it is looked into further.
func (b *Board) settle(g *group) {
	b.chances(&g.joint)
	var open []int
	settled := false
	for _, s := range g.slots {
		if o := b.slots[s].best(); b.slots[s].chance[o] > sure && !b.surprise(s, o) {
			b.slots[s].settled, b.slots[s].group = o, nil
			settled = true
			continue
		}
		open = append(open, s)
	}
	if settled {
		for _, r := range g.readings {
			t := &b.readings[r]
			t.link = b.linkedBy(t.ends, t.hold, func(s int) bool { return b.unsettled(s) && g.column(s) >= 0 }, 0)
		}
	}
	b.part(g, open)
	for _, s := range open {
		if one := &b.slots[s]; !one.wide && one.asDrawn() < 0.5 {
			b.widen(s)
			b.again(b.widened(s))
		}
	}
}

// surprise says whether an option is that a wire is not where the drawings have
// it, although they made it likely: that never counts as settled.
func (b *Board) surprise(s, o int) bool {
	one := &b.slots[s]
	if p := one.options[o].place; p == drawn || p == undrawn {
		return false
	}
	p := 0.0
	for _, o := range one.options {
		if o.place == drawn {
			p += o.prior
		}
	}
	return p > 0.5
}

// part makes groups of slots that readings still bind together.
func (b *Board) part(g *group, open []int) {
	parents := make([]int, len(open))
	for i, s := range open {
		parents[i] = i
		b.slots[s].group = nil
	}
	index := func(s int) int { i, _ := slices.BinarySearch(open, s); return i }
	for _, r := range g.readings {
		for _, s := range b.readings[r].link.slots {
			unite(parents, index(b.readings[r].link.slots[0]), index(s))
		}
	}
	for i := range open {
		if find(parents, i) != i {
			continue
		}
		var list []int
		for k, s := range open {
			if find(parents, k) == i {
				list = append(list, s)
			}
		}
		made := &group{joint: g.onto(list)}
		for _, r := range g.readings {
			if l := b.readings[r].link.slots; len(l) > 0 && slices.Contains(list, l[0]) {
				made.readings = append(made.readings, r)
			}
		}
		for _, s := range list {
			b.slots[s].group = made
		}
	}
}
