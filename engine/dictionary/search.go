package dictionary

import "slipring/engine/sift"

// Search is what it takes to find a fault, or the group that it stands in, when
// nothing is misread.
type Search struct {
	Mean  float64 // looks, with each fault as often as its weight says
	Worst int     // looks
	Cost  float64 // mean, in the unit of the looks' costs
}

// searched sums up what it took to find each fault.
func (d *Dictionary) searched(took func(fault int) (looks int, cost float64)) (s Search) {
	total := 0.0
	for i, f := range d.Faults {
		looks, cost := took(i)
		s.Mean += f.Weight * float64(looks)
		s.Cost += f.Weight * cost
		s.Worst = max(s.Worst, looks)
		total += f.Weight
	}
	s.Mean /= total
	s.Cost /= total
	return s
}

// Sifted is the search along the chart: stage after stage, and at each place the
// look that is worth most for its cost, by trying what follows.
func (d *Dictionary) Sifted() Search {
	root := d.chart()
	return d.searched(func(fault int) (looks int, cost float64) {
		for n := root; n.Look >= 0; {
			looks, cost = looks+1, cost+d.Looks[n.Look].Cost
			for _, b := range n.Branches {
				if b.Outcome == d.Looks[n.Look].Shows[fault] {
					n = b.Node
					break
				}
			}
		}
		return looks, cost
	})
}

// InOrder is the search along a fixed sheet: it takes look after look as they are
// listed, until one group is left. A look that parts nothing that those before it
// left together does not stand on the sheet.
func (d *Dictionary) InOrder() Search {
	var sheet []int
	together := make([]int, len(d.Faults)) // of each fault: the heap that the sheet so far leaves it in
	heaps := 1
	for l, look := range d.Looks {
		at := map[[2]int]int{}
		parted := make([]int, len(together))
		for i, heap := range together {
			key := [2]int{heap, look.Shows[i]}
			if _, ok := at[key]; !ok {
				at[key] = len(at)
			}
			parted[i] = at[key]
		}
		if len(at) > heaps {
			sheet, together, heaps = append(sheet, l), parted, len(at)
		}
	}
	return d.halt(func(_ []int, taken int) int { return sheet[taken] })
}

// Halved is the search that takes the look that leaves the fewest faults where
// most are left, whatever it costs and however often each is so; of equal ones
// the first.
func (d *Dictionary) Halved() Search {
	chosen := map[[2]int]int{} // by looks taken and first fault left: a fault stands in one set then
	return d.halt(func(left []int, taken int) int {
		key := [2]int{taken, left[0]}
		if had, ok := chosen[key]; ok {
			return had
		}
		best, fewest := 0, len(left)+1
		for l, look := range d.Looks {
			count, most := make([]int, len(look.Answers)), 0
			for _, i := range left {
				count[look.Shows[i]]++
				most = max(most, count[look.Shows[i]])
			}
			if most < fewest {
				best, fewest = l, most
			}
		}
		chosen[key] = best
		return best
	})
}

// halt takes looks, chosen by the faults that are left and by how many looks were
// taken, until one group is left.
func (d *Dictionary) halt(next func(left []int, taken int) int) Search {
	all := make([]int, len(d.Faults))
	for i := range all {
		all[i] = i
	}
	return d.searched(func(fault int) (looks int, cost float64) {
		for left := all; !d.one(left); looks++ {
			l := next(left, looks)
			cost += d.Looks[l].Cost
			var still []int
			for _, i := range left {
				if d.Looks[l].Shows[i] == d.Looks[l].Shows[fault] {
					still = append(still, i)
				}
			}
			left = still
		}
		return looks, cost
	})
}

// one says whether all faults are of one group.
func (d *Dictionary) one(faults []int) bool {
	for _, i := range faults[1:] {
		if d.group[i] != d.group[faults[0]] {
			return false
		}
	}
	return true
}

// Found is what somebody named who saw readings alone.
type Found struct {
	Group  int // its place in Groups
	Weight float64
	Looks  int
	Cost   float64
}

// certain is the weight at which somebody names a group, and patience how often
// he looks at most.
const (
	certain  = 0.999
	patience = 80
)

// Learn lets somebody look for a fault who sees readings alone: read gives the
// answer that he reads of a look, which may be wrong. He takes the look that is
// worth most for its cost, and takes one again where that is worth more, until one
// group weighs enough, or until he loses patience; then he names what weighs most.
func (d *Dictionary) Learn(read func(look int) int) (Found, error) {
	var f Found
	var readings []sift.Reading
	for {
		weights, err := d.all.Weights(readings)
		if err != nil {
			return f, err
		}
		sums := make([]float64, len(d.groups))
		f.Weight = 0
		for i, w := range weights {
			g := d.group[i]
			if sums[g] += w; sums[g] > f.Weight {
				f.Group, f.Weight = g, sums[g]
			}
		}
		if f.Weight >= certain || f.Looks == patience {
			return f, nil
		}
		next, ok, err := d.all.Again(readings)
		if err != nil || !ok {
			return f, err
		}
		f.Looks++
		f.Cost += d.Looks[next.Look].Cost
		readings = append(readings, sift.Reading{Look: next.Look, Outcome: read(next.Look)})
	}
}
