package sift

import (
	"cmp"
	"slices"
)

// Choice is a look with what it is worth.
type Choice struct {
	Look        int
	Information float64 // expected, in bits
	Score       float64 // bits for one unit of cost
}

// nothing is the information below which a look tells nothing, in bits. What a
// look that was taken leaves to its repeat, by chances of never, is less.
const nothing = 1e-6

// Next gives the look with most expected information for its cost (Shannon's
// mutual information of outcome and cause), among those without a reading; of
// equal ones the first. It is false when no look would tell anything.
func (c *Case) Next(readings []Reading) (Choice, bool, error) {
	best, err := c.Batch(1, readings)
	if err != nil || len(best) == 0 {
		return Choice{}, false, err
	}
	return best[0], true, nil
}

// Again does the same among all looks: one that has a reading may be taken once
// more, and counts as if it had not been read before. It ends never where looks
// are never sure, so that whoever asks has to say when to stop.
func (c *Case) Again(readings []Reading) (Choice, bool, error) {
	weights, err := c.Weights(readings)
	if err != nil {
		return Choice{}, false, err
	}
	best := c.best([]branch{{1, weights}}, make([]bool, len(c.Looks)))
	return best, best.Look >= 0, nil
}

// branches is how many of the ways in which a batch may turn out are weighed;
// beyond them the least likely are left out.
const branches = 64

// branch is one way in which the looks of a batch may turn out.
type branch struct {
	chance  float64
	weights []float64 // of each cause there; they sum to 1
}

// Batch gives up to n looks to take at once, before any of their readings is
// known: each is the one that adds most expected information for its cost to
// those before it. It is shorter when no further look would tell anything.
func (c *Case) Batch(n int, readings []Reading) ([]Choice, error) {
	weights, err := c.Weights(readings)
	if err != nil {
		return nil, err
	}
	taken := make([]bool, len(c.Looks))
	for _, r := range readings {
		taken[r.Look] = true
	}
	ways := []branch{{1, weights}}
	var batch []Choice
	for len(batch) < n {
		best := c.best(ways, taken)
		if best.Look < 0 {
			break
		}
		taken[best.Look] = true
		batch = append(batch, best)
		if len(batch) < n {
			ways = c.part(ways, best.Look)
		}
	}
	return batch, nil
}

// best gives the look with most information for its cost among those that are
// not taken; its place is -1 where none has any.
func (c *Case) best(ways []branch, taken []bool) Choice {
	best := Choice{Look: -1}
	for l, look := range c.Looks {
		if taken[l] {
			continue
		}
		bits := 0.0
		for _, way := range ways {
			bits += way.chance * c.information(l, way.weights)
		}
		if score := bits / look.Cost; bits > nothing && (best.Look < 0 || score > best.Score*(1+1e-12)) {
			best = Choice{l, bits, score}
		}
	}
	return best
}

// information gives what a look is expected to tell about causes of the given
// weights, in bits: the entropy of its outcomes, less what would be there if
// the cause were known.
func (c *Case) information(look int, weights []float64) float64 {
	outcomes := make([]float64, len(c.Looks[look].Outcomes))
	known := 0.0
	for i, w := range weights {
		if w < 1e-15 {
			continue
		}
		for o, p := range c.chance[look][i] {
			outcomes[o] += w * p
		}
		known += w * c.noise[look][i]
	}
	return entropy(outcomes) - known
}

// part gives the ways after one more look.
func (c *Case) part(ways []branch, look int) []branch {
	var parts []branch
	for _, way := range ways {
		for o := range c.Looks[look].Outcomes {
			part := branch{weights: make([]float64, len(way.weights))}
			sum := 0.0
			for i, w := range way.weights {
				part.weights[i] = w * c.chance[look][i][o]
				sum += part.weights[i]
			}
			if sum == 0 {
				continue
			}
			for i := range part.weights {
				part.weights[i] /= sum
			}
			part.chance = way.chance * sum
			parts = append(parts, part)
		}
	}
	slices.SortStableFunc(parts, func(a, b branch) int { return cmp.Compare(b.chance, a.chance) })
	return parts[:min(len(parts), branches)]
}
