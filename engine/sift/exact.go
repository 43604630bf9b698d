package sift

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// search finds the best chart of up to 64 variants, whose sets are the bits of
// a number.
type search struct {
	*charter
	shows [][]uint64 // by look and outcome: the variants that show it
	class []int      // by variant: what an end of a chart can tell at most
	known map[uint64]known
	lower map[uint64]float64
	sets  int
}

// known is what is known of a set: its cost and first look, or, where look is
// -1, a cost below which it has no chart.
type known struct {
	cost float64
	look int
}

func newSearch(ch *charter) *search {
	s := &search{charter: ch, known: map[uint64]known{}, lower: map[uint64]float64{}}
	for l, look := range ch.c.Looks {
		masks := make([]uint64, len(look.Outcomes))
		for i, v := range ch.variants {
			masks[v.shows[l]] |= 1 << i
		}
		s.shows = append(s.shows, masks)
	}
	// Variants of one group are one class, and so are variants that show the
	// same everywhere, whatever their group: an end may hold both.
	s.class = make([]int, len(ch.variants))
	for i, v := range ch.variants {
		s.class[i] = i
		for j, u := range ch.variants[:i] {
			if u.group == v.group || slices.Equal(u.shows, v.shows) {
				from, to := s.class[i], s.class[j]
				for k := range s.class[:i+1] {
					if s.class[k] == from {
						s.class[k] = to
					}
				}
			}
		}
	}
	return s
}

func (s *search) mask(set []int) uint64 {
	var mask uint64
	for _, v := range set {
		mask |= 1 << v
	}
	return mask
}

// choose gives the first look of a set that the search has solved.
func (s *search) choose(set []int) int {
	if k, ok := s.known[s.mask(set)]; ok {
		return k.look
	}
	return -1
}

// try is a look at some variants: its parts, and a cost that it cannot be below.
type try struct {
	look  int
	parts []uint64
	lower []float64
	cost  float64
}

// best gives the lowest cost of a chart for some variants if it is below a
// limit, and otherwise a cost that no such chart is below, at least the limit.
func (s *search) best(set uint64, limit float64) float64 {
	if k, ok := s.known[set]; ok && (k.look >= 0 || k.cost >= limit) {
		return k.cost
	}
	floor := s.bound(set)
	if floor == 0 || floor >= limit {
		return floor
	}
	if s.sets++; s.sets > mostSets {
		return math.Inf(1)
	}
	tries := s.tries(set)
	found, lowest := known{limit, -1}, math.Inf(1)
	for _, t := range tries {
		cost := t.cost
		for i, part := range t.parts {
			if cost >= found.cost {
				break
			}
			rest := cost - t.lower[i]
			cost = rest + s.best(part, found.cost-rest)
		}
		if cost < found.cost {
			found = known{cost, t.look}
		}
		lowest = min(lowest, cost)
	}
	if found.look < 0 {
		found.cost = max(lowest, limit)
	}
	if s.sets <= mostSets {
		s.known[set] = found
	}
	return found.cost
}

// tries gives the looks that part some variants, the most promising first.
func (s *search) tries(set uint64) []try {
	var list []try
	weight := s.weight(set)
	for l := range s.shows {
		t := try{look: l, cost: weight * s.c.Looks[l].Cost}
		for _, shows := range s.shows[l] {
			if part := set & shows; part != 0 {
				lower := s.bound(part)
				t.parts, t.lower, t.cost = append(t.parts, part), append(t.lower, lower), t.cost+lower
			}
		}
		if len(t.parts) > 1 {
			list = append(list, t)
		}
	}
	slices.SortStableFunc(list, func(a, b try) int { return cmp.Compare(a.cost, b.cost) })
	return list
}

func (s *search) weight(set uint64) float64 {
	sum := 0.0
	for ; set != 0; set &= set - 1 {
		sum += s.variants[bits.TrailingZeros64(set)].weight
	}
	return sum
}

// bound gives a cost that no chart for some variants is below; 0 where there is
// nothing to tell or nothing that tells. A chart is a code for the classes: its
// expected number of looks is at least that of Huffman's code, with as many
// branches as the widest look has, and each bit costs at least what it costs
// with the look that has most branches for its cost.
func (s *search) bound(set uint64) float64 {
	if lower, ok := s.lower[set]; ok {
		return lower
	}
	widest, cheapest, bit := 0, math.Inf(1), math.Inf(1)
	for l, masks := range s.shows {
		parts := 0
		for _, shows := range masks {
			if set&shows != 0 {
				parts++
			}
		}
		if parts > 1 {
			cost := s.c.Looks[l].Cost
			widest, cheapest, bit = max(widest, parts), min(cheapest, cost), min(bit, cost/math.Log2(float64(parts)))
		}
	}
	lower := 0.0
	if widest > 1 && !s.one(set) {
		var sums [mostExact]float64
		for rest := set; rest != 0; rest &= rest - 1 {
			v := bits.TrailingZeros64(rest)
			sums[s.class[v]] += s.variants[v].weight
		}
		var classes []float64
		total, doubt := 0.0, 0.0
		for _, w := range sums {
			if w > 0 {
				classes = append(classes, w)
				total += w
				doubt -= w * math.Log2(w)
			}
		}
		doubt += total * math.Log2(total)
		// One look at least, whatever the classes: something is not told yet.
		lower = max(cheapest*max(huffman(classes, widest), total), bit*doubt)
	}
	s.lower[set] = lower
	return lower
}

// one says whether all variants of a set are of one group.
func (s *search) one(set uint64) bool {
	group := s.variants[bits.TrailingZeros64(set)].group
	for ; set != 0; set &= set - 1 {
		if s.variants[bits.TrailingZeros64(set)].group != group {
			return false
		}
	}
	return true
}

// huffman gives the sum over weights of weight times length of its word, in the
// best code of some number of letters (Huffman, Proc. IRE 40, 1952). It sorts
// the weights.
func huffman(weights []float64, letters int) float64 {
	if len(weights) < 2 {
		return 0
	}
	slices.Sort(weights)
	sum, first := 0.0, 2+(len(weights)-2)%(letters-1)
	for take := first; len(weights) > 1; take = letters {
		merged := 0.0
		for _, w := range weights[:take] {
			merged += w
		}
		sum += merged
		weights = weights[take:]
		at, _ := slices.BinarySearch(weights, merged)
		weights = slices.Insert(weights, at, merged)
	}
	return sum
}
