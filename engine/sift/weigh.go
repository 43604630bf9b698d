package sift

import (
	"math"
	"slices"
)

// Weights gives what each cause weighs after the readings, in the order of the
// causes; they sum to 1. Bayes' rule: each reading multiplies the weight of a
// cause by the chance that the cause gives to it. A look that was read twice
// counts twice, as if both readings were independent.
func (c *Case) Weights(readings []Reading) ([]float64, error) {
	logs := make([]float64, len(c.Causes))
	for i, cause := range c.Causes {
		logs[i] = math.Log(cause.Weight)
	}
	for _, r := range readings {
		if r.Look < 0 || r.Look >= len(c.Looks) {
			return nil, wrong("count looks from 0", "a reading is of look %d, and there are %d", r.Look, len(c.Looks))
		}
		look := c.Looks[r.Look]
		if r.Outcome < 0 || r.Outcome >= len(look.Outcomes) {
			return nil, wrong("count outcomes from 0", "a reading of %q is outcome %d, and there are %d", look.Name, r.Outcome, len(look.Outcomes))
		}
		for i := range logs {
			logs[i] += math.Log(c.chance[r.Look][i][r.Outcome])
		}
	}
	highest, sum := slices.Max(logs), 0.0
	for i, log := range logs {
		logs[i] = math.Exp(log - highest)
		sum += logs[i]
	}
	for i := range logs {
		logs[i] /= sum
	}
	return logs, nil
}

// Groups gives the causes that no look can tell apart, as places in the list of
// causes: each cause stands in one group, which may hold it alone.
func (c *Case) Groups() [][]int {
	groups := make([][]int, len(c.groups))
	for i, group := range c.groups {
		groups[i] = slices.Clone(group)
	}
	return groups
}

func (c *Case) group() [][]int {
	var groups [][]int
	for i := range c.Causes {
		g := slices.IndexFunc(groups, func(group []int) bool { return c.same(group[0], i) })
		if g < 0 {
			groups = append(groups, []int{i})
		} else {
			groups[g] = append(groups[g], i)
		}
	}
	return groups
}

func (c *Case) same(i, j int) bool {
	for _, look := range c.Looks {
		for o, p := range look.Chances[i] {
			if math.Abs(p-look.Chances[j][o]) > alike {
				return false
			}
		}
	}
	return true
}
