package dictionary

import (
	"cmp"
	"math"
	"slices"

	"slipring/engine/sift"
)

// Node is a place of a chart: it asks, or it names what is left.
type Node struct {
	Look   int     // -1 where it names
	Chance float64 // of coming here
	Ways   []Way
	Faults []int // that are left, likeliest first
	Next   int   // where it names, the look that would part them; -1 for none
}

// Way leads on after an answer.
type Way struct {
	Answer int
	To     *Node
}

// dearer is how many times as much as in the stage before a look costs a chart, so
// that it takes what is left of that stage first.
const dearer = 100

// chart gives the whole chart. There is one, since New has refused what has none.
func (d *Dictionary) chart() *sift.Node {
	if d.plan == nil {
		staged, err := d.sifted(func(l Look) float64 { return l.Cost * math.Pow(dearer, float64(l.Stage)) })
		if err == nil {
			var plan sift.Plan
			plan, err = staged.Chart(0.5) // so that each look shows of a fault what it shows most often
			d.plan = plan.Root
		}
		if err != nil {
			panic(err)
		}
	}
	return d.plan
}

// Chart gives a tree of looks with at most so many places, and with at most so many
// looks after each other. It asks on first where most is still to be told: where
// more than so many faults are left, then where somebody comes most often. With too
// few places or looks it ends with more faults than that.
func (d *Dictionary) Chart(places, looks, faults int) *Node {
	type open struct {
		n     *Node
		plan  *sift.Node
		looks int // before it
	}
	grow := func(p *sift.Node, before int) open {
		n := &Node{Look: -1, Next: p.Look, Chance: p.Chance, Faults: ends(p)}
		slices.SortFunc(n.Faults, func(a, b int) int {
			return cmp.Or(cmp.Compare(d.Faults[b].Weight, d.Faults[a].Weight), cmp.Compare(a, b))
		})
		return open{n, p, before}
	}
	root := grow(d.chart(), 0)
	rim, had := []open{root}, 1
	for {
		best := -1
		var worth float64
		for i, o := range rim {
			if o.plan.Look < 0 || o.looks == looks || had+len(o.plan.Branches) > places {
				continue
			}
			w := o.n.Chance / float64(len(o.plan.Branches))
			if len(o.n.Faults) > faults {
				w += float64(len(o.n.Faults))
			}
			if best < 0 || w > worth {
				best, worth = i, w
			}
		}
		if best < 0 {
			return root.n
		}
		o := rim[best]
		rim = slices.Delete(rim, best, best+1)
		o.n.Look, o.n.Faults = o.plan.Look, nil
		for _, b := range o.plan.Branches {
			next := grow(b.Node, o.looks+1)
			o.n.Ways = append(o.n.Ways, Way{b.Outcome, next.n})
			rim = append(rim, next)
			had++
		}
	}
}

// ends gives all causes below a place of a plan.
func ends(n *sift.Node) []int {
	faults := slices.Clone(n.Causes)
	for _, b := range n.Branches {
		for _, i := range ends(b.Node) {
			if !slices.Contains(faults, i) {
				faults = append(faults, i)
			}
		}
	}
	return faults
}
