package reconcile

import (
	"cmp"
	"slices"
)

// Contradiction is two readings of which one is most likely wrong, and the
// reading that would settle which.
type Contradiction struct {
	Readings [2]Reading
	Chance   float64 // that one of the two is wrong, and the other is not
	Settle   Test    // in doubt, with the clips on bare metal beside the old places
}

// contradicting is the chance from which on two readings contradict each other,
// when each alone is wrong less often than that.
const contradicting = 0.8

// Contradictions names the readings that contradict each other, in pairs: for
// each that may well be wrong, the one that it stands against most.
func (b *Board) Contradictions() (out []Contradiction) {
	named := map[[2]int]bool{}
	for i := range b.readings {
		k, chance := b.against(i)
		pair := [2]int{min(i, k), max(i, k)}
		if k < 0 || named[pair] {
			continue
		}
		named[pair] = true
		c := Contradiction{Chance: chance, Readings: [2]Reading{b.readings[pair[0]].Reading, b.readings[pair[1]].Reading}}
		c.Settle = b.settling(i, k)
		out = append(out, c)
	}
	slices.SortStableFunc(out, func(x, y Contradiction) int { return cmp.Compare(y.Chance, x.Chance) })
	return out
}

// wrong is the chance that a reading is wrong, as things are believed now.
func (b *Board) wrong(n int) float64 {
	t := &b.readings[n]
	l := b.linked(t.ends, t.hold, b.unsettled)
	if len(l.slots) == 0 {
		if (l.from == l.to) == t.Closed {
			return 0
		}
		return 1
	}
	j := b.together(l.slots)
	is, p := l.reader(&j), 0.0
	for i, w := range j.weight {
		if is(j.row(i)) != t.Closed {
			p += w
		}
	}
	return p
}

// doubtful is the chance of being wrong from which on a reading is looked into.
const doubtful = 0.05

// against finds the reading that one stands against most: without the one the
// other would be right, and with it one of both has to be wrong. It is -1 for
// none.
func (b *Board) against(n int) (other int, chance float64) {
	other = -1
	p := b.wrong(n)
	if p < doubtful {
		return other, 0
	}
	t := &b.readings[n]
	for k := range b.readings {
		o := &b.readings[k]
		if k == n || o.hold == t.hold && o.Closed == t.Closed && o.ends == t.ends {
			continue
		}
		if x := b.oneWrong(n, k); x >= contradicting && x > chance && b.shared(n, k) {
			other, chance = k, x
		}
	}
	return other, chance
}

// shared says whether two readings cannot both be right as the wiring likeliest
// is: they are of the same pair, or one is closed over a path that a wire of the
// other lies on.
func (b *Board) shared(n, k int) bool {
	one, two := &b.readings[n], &b.readings[k]
	if one.ends == two.ends {
		return true
	}
	return slices.ContainsFunc(b.across(one), func(w int) bool { return slices.Contains(b.across(two), w) })
}

// across lists the wires on paths between the terminals of a reading, of those
// that some drawing has or that are likely.
func (b *Board) across(t *taken) (out []int) {
	for _, x := range b.between(t.a, t.b, t.hold, func(w int) bool { return len(b.wires[w].drawn) > 0 || b.wires[w].chance >= 0.5 }) {
		if x.wire >= 0 {
			out = append(out, x.wire)
		}
	}
	return out
}

// oneWrong is the chance that of two readings one is wrong and one is right.
func (b *Board) oneWrong(n, k int) float64 {
	var links [2]link
	var list []int
	for i, r := range []int{n, k} {
		t := &b.readings[r]
		links[i] = b.linked(t.ends, t.hold, b.unsettled)
		list = append(list, links[i].slots...)
	}
	slices.Sort(list)
	j := b.together(slices.Compact(list))
	if len(j.weight) == 0 { // nothing is open
		j.weight = []float64{1}
	}
	first, second, p, sum := links[0].reader(&j), links[1].reader(&j), 0.0, 0.0
	for i, w := range j.weight {
		sum += w
		if (first(j.row(i)) != b.readings[n].Closed) != (second(j.row(i)) != b.readings[k].Closed) {
			p += w
		}
	}
	return p / sum
}

// settling gives the reading that settles which of two is wrong: of the wires on
// the paths of both, the one of which least is known, by itself; or the doubtful
// reading once more.
func (b *Board) settling(n, k int) Test {
	p := b.planner(false)
	one := probe{b.readings[n].ends, b.readings[n].hold}
	if one.ends != b.readings[k].ends {
		open := 0.1 // what is known better is not asked again
		for _, w := range b.across(&b.readings[n]) {
			doubt := min(p.chance[w], 1-p.chance[w])
			if doubt > open && slices.Contains(b.across(&b.readings[k]), w) {
				open, one = doubt, probe{ends: b.wires[w].ends}
			}
		}
	}
	c := p.judge(one)
	return p.test(&c)
}
