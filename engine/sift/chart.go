package sift

import (
	"cmp"
	"math"
	"slices"
)

// Plan is a chart for the wall: a tree of looks to follow from its root.
type Plan struct {
	Root *Node
	Cost float64 // expected cost of the looks on the way, in the unit of the looks
	// Best says that no chart has a lower expected cost; without it the chart is
	// a good one that was found by trying.
	Best bool
}

// Node is one look of a chart, or an end of it.
type Node struct {
	Chance float64 // of coming here
	Look   int     // -1 at an end
	// Branches are the outcomes that have a way on, in their order.
	Branches []Branch
	// Causes are what is left at an end, most likely first.
	Causes []int
}

// Branch is the way on after an outcome.
type Branch struct {
	Outcome int
	Node    *Node
}

const (
	mostCases = 4096   // of a chart
	mostExact = 64     // for which there is a search
	mostSets  = 400000 // of cases that a search may look at
)

// variant is a group of causes together with an outcome for each look.
type variant struct {
	group  int
	weight float64
	shows  []int   // by look
	bits   float64 // of its weight
}

// charter makes a chart.
type charter struct {
	c        *Case
	variants []variant
}

// Chart gives the tree of looks that finds out which cause it is (or which
// group of causes that no look tells apart) at the lowest expected cost. A
// chart cannot weigh: an outcome with a chance of at least least has a branch,
// as has always the likeliest, and what is less likely is left out. Where
// several outcomes of a look are to be expected for one cause, the cause stands
// at the end of several branches.
//
// Up to 64 cases (causes, counted once for each way in which their looks may
// turn out) it searches exactly, by branch and bound; Huffman's code is the
// bound (Huffman 1952). Where there are more cases, or the search would be too
// long, it tries several looks at each place, each followed by the looks with
// most information for their cost, and takes the best. It is an error where
// outcomes leave more than 4,096 cases.
func (c *Case) Chart(least float64) (Plan, error) {
	if !(least > 0 && least <= 1) {
		return Plan{}, wrong("give a chance above 0, up to 1, such as 0.1", "a chart cannot leave out what has a chance below %v", least)
	}
	ch := &charter{c: c}
	total := 0.0
	for _, cause := range c.Causes {
		total += cause.Weight
	}
	for g, group := range c.groups {
		v := variant{group: g, shows: make([]int, len(c.Looks))}
		for _, i := range group {
			v.weight += c.Causes[i].Weight / total
		}
		if !ch.spread(v, 0, least) {
			return Plan{}, wrong("give a larger chance, so that fewer outcomes have a branch",
				"a chart with a branch for each chance of %v would hold more than %d cases", least, mostCases)
		}
	}
	for i, v := range ch.variants {
		ch.variants[i].bits = weighs(v.weight)
	}
	all := make([]int, len(ch.variants))
	for i := range all {
		all[i] = i
	}
	r := rollout{ch}
	tried := ch.tree(all, r.choose)
	plan := Plan{Root: tried, Cost: c.expected(tried)}
	if len(all) > mostExact {
		return plan, nil
	}
	s := newSearch(ch)
	// A little above what was found, so that the search finds its like at least.
	if s.best(s.mask(all), plan.Cost*(1+1e-9)+1e-300); s.sets > mostSets {
		return plan, nil
	}
	found := ch.tree(all, s.choose)
	return Plan{Root: found, Cost: c.expected(found), Best: true}, nil
}

// spread adds a variant for each combination of outcomes from a look on, and
// says whether there was room.
func (ch *charter) spread(v variant, look int, least float64) bool {
	if look == len(ch.c.Looks) {
		ch.variants = append(ch.variants, v)
		return len(ch.variants) <= mostCases
	}
	row := ch.c.Looks[look].Chances[ch.c.groups[v.group][0]]
	cut, sum := min(least, slices.Max(row)), 0.0
	for _, p := range row {
		if p >= cut {
			sum += p
		}
	}
	for o, p := range row {
		if p < cut {
			continue
		}
		next := variant{group: v.group, weight: v.weight * p / sum, shows: slices.Clone(v.shows)}
		next.shows[look] = o
		if !ch.spread(next, look+1, least) {
			return false
		}
	}
	return true
}

// tree builds the chart for some of the variants; choose gives the look to take
// there, or -1 at an end.
func (ch *charter) tree(set []int, choose func([]int) int) *Node {
	node := &Node{Look: -1}
	for _, v := range set {
		node.Chance += ch.variants[v].weight
	}
	if !ch.finished(set) {
		node.Look = choose(set)
	}
	if node.Look < 0 {
		node.Causes = ch.causes(set)
		return node
	}
	for o, part := range ch.split(set, node.Look) {
		if len(part) > 0 {
			node.Branches = append(node.Branches, Branch{o, ch.tree(part, choose)})
		}
	}
	return node
}

// finished says whether all variants are of one group.
func (ch *charter) finished(set []int) bool {
	for _, v := range set[1:] {
		if ch.variants[v].group != ch.variants[set[0]].group {
			return false
		}
	}
	return true
}

// split gives the variants by outcome of a look.
func (ch *charter) split(set []int, look int) [][]int {
	parts := make([][]int, len(ch.c.Looks[look].Outcomes))
	for _, v := range set {
		o := ch.variants[v].shows[look]
		parts[o] = append(parts[o], v)
	}
	return parts
}

// causes gives those of some variants, most likely first.
func (ch *charter) causes(set []int) []int {
	weight := map[int]float64{}
	var causes []int
	for _, v := range set {
		group := ch.c.groups[ch.variants[v].group]
		sum := 0.0
		for _, i := range group {
			sum += ch.c.Causes[i].Weight
		}
		for _, i := range group {
			if weight[i] == 0 {
				causes = append(causes, i)
			}
			weight[i] += ch.variants[v].weight * ch.c.Causes[i].Weight / sum
		}
	}
	slices.SortStableFunc(causes, func(a, b int) int { return cmp.Compare(weight[b], weight[a]) })
	return causes
}

// expected gives the expected cost of a chart.
func (c *Case) expected(n *Node) float64 {
	if n.Look < 0 {
		return 0
	}
	cost := n.Chance * c.Looks[n.Look].Cost
	for _, b := range n.Branches {
		cost += c.expected(b.Node)
	}
	return cost
}

// rollout chooses looks by trying them.
type rollout struct{ *charter }

// tries is how many looks are tried at each place.
const tries = 8

func (r rollout) choose(set []int) int {
	ranked := r.rank(set)
	best, lowest := -1, math.Inf(1)
	for _, look := range ranked[:min(len(ranked), tries)] {
		if cost := r.cost(set, look); cost < lowest {
			best, lowest = look, cost
		}
	}
	return best
}

// cost gives what a look costs, with the looks after it that have most
// information for their cost.
func (r rollout) cost(set []int, look int) float64 {
	cost := 0.0
	for _, v := range set {
		cost += r.variants[v].weight * r.c.Looks[look].Cost
	}
	for _, part := range r.split(set, look) {
		if len(part) < 2 || r.finished(part) {
			continue
		}
		if ranked := r.rank(part); len(ranked) > 0 {
			cost += r.cost(part, ranked[0])
		}
	}
	return cost
}

// rank gives the looks that part some variants, by their information about the
// groups for their cost; where no look alone tells a group, those that part
// variants come by how evenly.
func (r rollout) rank(set []int) []int {
	score := make([]float64, len(r.c.Looks))
	var looks []int
	before := r.doubt(set, func(int) int { return 0 }, 1)
	for l, look := range r.c.Looks {
		after := r.doubt(set, func(v int) int { return r.variants[v].shows[l] }, len(look.Outcomes))
		if after.parts > 1 {
			looks = append(looks, l)
			score[l] = (before.groups - after.groups + 1e-6*after.even) / look.Cost
		}
	}
	slices.SortStableFunc(looks, func(a, b int) int { return cmp.Compare(score[b], score[a]) })
	return looks
}

// doubt is what is unknown of some variants that are parted, times their weight.
type doubt struct {
	parts  int     // that hold any
	groups float64 // entropy of the groups within the parts
	even   float64 // entropy of the parts
}

// weighs gives a weight times its logarithm, in bits.
func weighs(w float64) float64 {
	if w == 0 {
		return 0
	}
	return w * math.Log(w) / math.Ln2
}

// doubt parts some variants, in which those of a group stand beside each other.
func (r rollout) doubt(set []int, part func(int) int, parts int) doubt {
	type heap struct {
		sum, run float64
		bits     float64 // of the run
		group    int
		begun    bool
	}
	var room [16]heap
	heaps := room[:]
	if parts > len(room) {
		heaps = make([]heap, parts)
	}
	var d doubt
	all := 0.0
	for _, i := range set {
		v := &r.variants[i]
		h := &heaps[part(i)]
		if !h.begun || h.group != v.group {
			d.groups -= h.bits
			h.run, h.bits, h.group, h.begun = v.weight, v.bits, v.group, true
		} else {
			h.run += v.weight
			h.bits = weighs(h.run)
		}
		h.sum += v.weight
		all += v.weight
	}
	d.even = weighs(all)
	for i := range heaps[:parts] {
		h := &heaps[i]
		bits := weighs(h.sum)
		if h.sum > 0 {
			d.parts++
		}
		d.groups += bits - h.bits
		d.even -= bits
	}
	return d
}
