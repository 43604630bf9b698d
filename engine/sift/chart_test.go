package sift

import (
	"math"
	"slices"
	"testing"

	"slipring/engine/sweeptest"
)

// A half split: n causes that are alike, and looks that part them anywhere in a
// row, take the whole numbers next to log2 n (US Army subcourse IT0338, frames
// 16 and 17: go to the midpoint), and never more than ceil(log2 n).
func TestHalfSplit(t *testing.T) {
	for _, n := range []int{2, 3, 8, 20, 32} {
		var shows [][]int
		for at := 1; at < n; at++ {
			row := make([]int, n)
			for i := at; i < n; i++ {
				row[i] = 1
			}
			shows = append(shows, row)
		}
		c := certain(t, slices.Repeat([]float64{1}, n), slices.Repeat([]float64{1}, n-1), shows)
		plan, err := c.Chart(0.1)
		if err != nil {
			t.Fatal(err)
		}
		most := int(math.Ceil(math.Log2(float64(n))))
		if got := deepest(plan.Root); got != most || !plan.Best {
			t.Errorf("of %d, %d looks find one (best: %v), want %d", n, got, plan.Best, most)
		}
		if next, _, _ := c.Next(nil); n%2 == 0 && next.Look != n/2-1 {
			t.Errorf("of %d, the first look is at %d", n, next.Look)
		}
	}
}

func deepest(n *Node) int {
	depth := 0
	for _, b := range n.Branches {
		depth = max(depth, 1+deepest(b.Node))
	}
	return depth
}

// Huffman's code is the bound (Huffman 1952): where there is a look for every
// part of the causes, a chart reaches it. Weights 0.4, 0.2, 0.2, 0.1, 0.1: mean
// length 2.2 bits, as in every textbook (from memory).
func TestHuffman(t *testing.T) {
	weights := []float64{0.4, 0.2, 0.2, 0.1, 0.1}
	near(t, "the mean length of a word", huffman(slices.Clone(weights), 2), 2.2, 1e-12)
	var shows [][]int
	for mask := 1; mask < 16; mask++ {
		row := make([]int, 5)
		for i := range row {
			row[i] = mask >> i & 1
		}
		shows = append(shows, row)
	}
	plan, err := certain(t, weights, slices.Repeat([]float64{1}, 15), shows).Chart(0.1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "the cost of the chart", plan.Cost, 2.2, 1e-12)
	// Of three letters, 6 words of one weight: three merge into two first, and
	// the code has words of lengths 1, 2, 2, 2, 2, 2.
	near(t, "the mean length of a word of three letters", huffman(slices.Repeat([]float64{1. / 6}, 6), 3), 11./6, 1e-12)
}

// Dorfman, Annals of Mathematical Statistics 14 (1943) 436: blood is pooled, and
// where a pool reacts, each of its members is tested. His table (recalled, and
// it recomputes from 1 + 1/k - (1-p)^k): the best size of a pool and the tests
// that are left, in per cent. Here a pool of k is one look that costs 1, and
// testing each of them one that costs k; the chart has to find that pooling
// pays, and what it costs.
func TestDorfman(t *testing.T) {
	cost := func(p float64, k int) (each float64, pools bool) {
		none := math.Pow(1-p, float64(k))
		some := (1 - none) / 2
		c := certain(t, []float64{none, some, some}, []float64{1, float64(k)}, [][]int{{0, 1, 1}, {0, 1, 2}})
		plan, err := c.Chart(0.1)
		if err != nil {
			t.Fatal(err)
		}
		return plan.Cost / float64(k), plan.Root.Look == 0
	}
	for _, row := range []struct {
		p    float64
		size int
		left float64 // per cent
	}{{0.01, 11, 20}, {0.02, 8, 27}, {0.05, 5, 43}, {0.10, 4, 59}} {
		best, size := math.Inf(1), 0
		for k := 2; k <= 20; k++ {
			if each, _ := cost(row.p, k); each < best {
				best, size = each, k
			}
		}
		if size != row.size {
			t.Errorf("where %v react, the best pool has %d, want %d", row.p, size, row.size)
		}
		near(t, "what is left, in per cent", 100*best, row.left, 0.5)
		if _, pools := cost(row.p, size); !pools {
			t.Errorf("where %v react, the chart does not begin with the pool", row.p)
		}
	}
	// Above 1 - 3^(-1/3) = 0.307 no pool pays.
	for k := 2; k <= 20; k++ {
		if _, pools := cost(0.31, k); pools {
			t.Errorf("where 0.31 react, the chart pools %d", k)
		}
	}
	if _, pools := cost(0.30, 3); !pools {
		t.Error("where 0.30 react, the chart does not pool 3")
	}
}

// plain finds the lowest cost of a chart as the definition says it, trying every
// look everywhere: no bound, no order, nothing remembered.
func plain(c *Case, chance []float64, used int, least float64) float64 {
	alive := 0
	for i := range chance {
		if chance[i] > 0 {
			alive++
		}
	}
	if alive < 2 {
		return 0
	}
	best := math.Inf(1)
	for l, look := range c.Looks {
		if used>>l&1 == 1 {
			continue
		}
		parts, cost := 0, 0.0
		for o := range look.Outcomes {
			part, any := make([]float64, len(chance)), false
			for i, w := range chance {
				sum := 0.0
				for _, p := range look.Chances[i] {
					if p >= least {
						sum += p
					}
				}
				if p := look.Chances[i][o]; p >= least && w > 0 {
					part[i], any = w*p/sum, true
				}
			}
			if any {
				parts++
				cost += plain(c, part, used|1<<l, least)
			}
		}
		if parts < 2 {
			continue
		}
		for _, w := range chance {
			cost += w * look.Cost
		}
		best = min(best, cost)
	}
	if math.IsInf(best, 1) {
		return 0 // nothing tells any more
	}
	return best
}

// Exact search gives what plain dynamic programming over all sets gives, on 40
// seeded small cases, some with causes that show one thing or another.
func TestExactEqualsPlain(t *testing.T) {
	random := sweeptest.Random(t)
	better := 0
	for n := range 40 {
		weights, costs := make([]float64, 2+random.IntN(6)), make([]float64, 2+random.IntN(4))
		shows := make([][]int, len(costs))
		total := 0.0
		for i := range weights {
			weights[i] = random.ExpFloat64() + 0.01
			total += weights[i]
		}
		for l := range costs {
			costs[l] = 0.5 + 3*random.Float64()
			shows[l] = make([]int, len(weights))
			for i := range shows[l] {
				shows[l][i] = random.IntN(2 + l%2)
			}
		}
		list := looks(costs, shows, 1)
		if n%2 == 1 { // some causes are unsure
			for range 3 {
				l, i := random.IntN(len(list)), random.IntN(len(weights))
				list[l].Chances[i] = Surely(0, len(list[l].Outcomes), 1)
				if len(list[l].Outcomes) > 1 {
					list[l].Chances[i][0], list[l].Chances[i][1] = 0.7, 0.3
				}
			}
		}
		c, err := New(causes(weights), list)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := c.Chart(0.1)
		if err != nil {
			t.Fatal(err)
		}
		if !plan.Best {
			t.Errorf("case %d: no exact chart", n)
		}
		// Causes that nothing tells apart count as one.
		first := make([]float64, len(weights))
		for _, group := range c.Groups() {
			for _, i := range group {
				first[group[0]] += weights[i] / total
			}
		}
		want := plain(c, first, 0, 0.1)
		near(t, "the cost of a chart", plan.Cost, want, 1e-9*(1+want))
		if tried := c.greedy(t); tried > want*(1+1e-6) {
			better++
		}
	}
	if better < 3 {
		t.Errorf("the looks with most information are the best chart in all but %d of 40 cases: too easy to show anything", better)
	}
}

// greedy gives the cost of a chart of the looks with most information.
func (c *Case) greedy(t *testing.T) float64 {
	t.Helper()
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
		ch.spread(v, 0, 0.1)
	}
	all := make([]int, len(ch.variants))
	for i := range all {
		all[i] = i
	}
	r := rollout{ch}
	return c.expected(ch.tree(all, func(set []int) int {
		if ranked := r.rank(set); len(ranked) > 0 {
			return ranked[0]
		}
		return -1
	}))
}
