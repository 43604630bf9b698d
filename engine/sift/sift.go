// Package sift says which of many causes is behind what is seen, and what to
// look at next.
//
//	c, err := sift.New(causes, looks)
//	next, ok := c.Next()                  // the first look
//	weights, err := c.Weights(readings)   // what is left of each cause
//	plan, err := c.Chart(0.1)             // the same for the wall, as a tree
//
// Readings weigh causes and never strike one out: whoever reads a lamp or a
// meter wrongly once can still find the cause. A cause may be a fault, a
// drawing, a wire; the package knows no machine and no wiring, and does not
// decide when somebody has looked often enough.
package sift

import (
	"fmt"
	"math"
	"slices"
)

// Cause is one of the things that may be so, with its weight before any
// reading: a number above 0, in proportion to how often it is so.
type Cause struct {
	Name   string
	Weight float64
}

// Look is something that can be read: a lamp, a meter, a wire rung out.
type Look struct {
	Name     string
	Cost     float64 // above 0: minutes, trips, or 1 for each
	Outcomes []string
	// Chances has a row for each cause: the chance of each outcome where that
	// cause is so. A row sums to 1. [Surely] writes one.
	Chances [][]float64
}

// Surely gives the row of a cause that makes one of several outcomes appear
// with the given chance, and each other one with an equal share of the rest.
func Surely(outcome, outcomes int, chance float64) []float64 {
	row := slices.Repeat([]float64{(1 - chance) / float64(max(outcomes-1, 1))}, outcomes)
	row[outcome] = chance
	return row
}

// Reading is what a look has shown, by the places of both in their lists.
type Reading struct{ Look, Outcome int }

// Case is what there is to choose from and to look at.
type Case struct {
	Causes []Cause
	Looks  []Look
	groups [][]int
	chance [][][]float64 // by look, cause, outcome: never 0
	noise  [][]float64   // by look, cause: the entropy of the row, in bits
}

// Error is why there is no answer, with a next step.
type Error struct{ Text, Next string }

func (e Error) Error() string { return e.Text }

func wrong(next, text string, args ...any) error {
	return Error{Text: fmt.Sprintf(text, args...), Next: next}
}

// never is the chance of what a row calls impossible.
const never = 1e-9

// alike is how far chances that are one number may lie apart.
const alike = 1e-9

// New takes causes and looks, and says what is wrong with them: nothing to
// choose from, a name twice, a weight or a cost that is not above 0, a look
// without outcomes, chances that are missing or do not sum to 1.
func New(causes []Cause, looks []Look) (*Case, error) {
	if len(causes) == 0 {
		return nil, wrong("give at least one", "there are no causes to choose from")
	}
	names := map[string]bool{}
	for _, cause := range causes {
		if names[cause.Name] {
			return nil, wrong("give each its own name", "there are two causes %q", cause.Name)
		}
		names[cause.Name] = true
		if !positive(cause.Weight) {
			return nil, wrong("give a number above 0; what is impossible need not be listed",
				"the cause %q weighs %v", cause.Name, cause.Weight)
		}
	}
	c := &Case{Causes: causes, Looks: looks}
	clear(names)
	for _, look := range looks {
		if names[look.Name] {
			return nil, wrong("give each its own name", "there are two looks %q", look.Name)
		}
		names[look.Name] = true
		if err := look.check(causes); err != nil {
			return nil, err
		}
		rows, noise := look.soften()
		c.chance, c.noise = append(c.chance, rows), append(c.noise, noise)
	}
	c.groups = c.group()
	return c, nil
}

func positive(x float64) bool { return x > 0 && !math.IsInf(x, 0) }

func (l Look) check(causes []Cause) error {
	if !positive(l.Cost) {
		return wrong("give a number above 0, such as 1", "the look %q costs %v", l.Name, l.Cost)
	}
	if len(l.Outcomes) == 0 {
		return wrong("list what it can show", "the look %q has no outcomes", l.Name)
	}
	for i, outcome := range l.Outcomes {
		if slices.Contains(l.Outcomes[:i], outcome) {
			return wrong("list each outcome once", "the look %q can show %q twice", l.Name, outcome)
		}
	}
	if len(l.Chances) != len(causes) {
		return wrong("give a row of chances for each cause", "the look %q has chances for %d of %d causes", l.Name, len(l.Chances), len(causes))
	}
	for i, row := range l.Chances {
		if len(row) != len(l.Outcomes) {
			return wrong("give a chance for each outcome", "the look %q has %d chances for %d outcomes where the cause is %q",
				l.Name, len(row), len(l.Outcomes), causes[i].Name)
		}
		sum := 0.0
		for o, p := range row {
			if !(p >= 0 && p <= 1) {
				return wrong("give chances from 0 to 1", "the look %q shows %q with a chance of %v where the cause is %q",
					l.Name, l.Outcomes[o], p, causes[i].Name)
			}
			sum += p
		}
		if math.Abs(sum-1) > 1e-9 {
			return wrong("let the chances of all outcomes sum to 1", "the chances of the look %q sum to %v where the cause is %q",
				l.Name, sum, causes[i].Name)
		}
	}
	return nil
}

// soften gives the rows without a 0, and the entropy of each.
func (l Look) soften() (rows [][]float64, noise []float64) {
	for _, row := range l.Chances {
		soft := make([]float64, len(row))
		for o, p := range row {
			soft[o] = p*(1-never*float64(len(row))) + never
		}
		rows, noise = append(rows, soft), append(noise, entropy(soft))
	}
	return rows, noise
}

// entropy gives that of chances that sum to 1, in bits (Shannon 1948).
func entropy(chances []float64) float64 {
	h := 0.0
	for _, p := range chances {
		if p > 0 {
			h -= p * math.Log2(p)
		}
	}
	return h
}
