package bench

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"slipring/engine/tell"
)

// Doubtful is a result with its standard uncertainty, which comes from those
// of the card's constants.
type Doubtful struct {
	Value  float64
	U      float64 // one standard uncertainty, in the unit of Value
	Shares []Share // what the constants bring to it, the largest first
}

// Low gives the lower end of what the result may well be, two standard
// uncertainties below its value, and High the upper end. A claim that is to hold
// for what is known is about them.
func (d Doubtful) Low() float64 { return d.Value - 2*d.U }

// High gives the upper end; see Low.
func (d Doubtful) High() float64 { return d.Value + 2*d.U }

// Share is what one constant brings to the doubt of a result: by how much the
// result rises when the constant rises by one standard uncertainty, in the
// result's unit.
type Share struct {
	Constant string // PART.KEY
	Change   float64
}

// mostShaken is how many runs a doubt may need besides those of the set as it
// is: two for each constant.
const mostShaken = 24

// Doubt gives what of makes of the set, and how much that leans on the doubtful
// constants of the card: on those called PART.KEY, or, when none is named, on
// all that have an uncertainty on the card.
//
//	coast := set.Doubt(func(s *bench.Set) float64 { return stands(s.Coast(machine.Load{}, 30)) }, "shaft.friction", "shaft.inertia")
//
// Each constant in turn goes up and down by one standard uncertainty, and half
// of the difference is its share (JCGM 100:2008, 5.1.3, note 2). Of constants
// that are doubtful each for itself, U is the root of the sum of the squares of
// their shares (5.1.2); of those that were fitted to the same readings, the
// shares may take from each other or add up, as the card's correlations say
// (5.2.2, equation (16)). Name all of these, or none: one that is not named
// counts as exact. A bend within one standard uncertainty is counted, one
// further out is not.
//
// Every run is kept, so that a second doubt of the same constants costs none.
func (s *Set) Doubt(of func(*Set) float64, constants ...string) Doubtful {
	return s.Doubts(func(s *Set) []float64 { return []float64{of(s)} }, constants...)[0]
}

// Doubts does the same for many results of the same runs at once, such as the
// points of a curve. There must be as many for each set.
func (s *Set) Doubts(of func(*Set) []float64, constants ...string) []Doubtful {
	if len(constants) == 0 {
		for _, c := range s.card.Constants() {
			if c.Uncertainty > 0 {
				constants = append(constants, c.Name())
			}
		}
	}
	middle := of(s)
	runs := len(s.shelf.runs)
	correlation := func(i, j int) float64 { return s.card.Together.Of(constants[i], constants[j]) }
	return propagate(middle, constants, correlation, func(i int, by float64) []float64 {
		name, c := constants[i], s.find(constants[i])
		if c.Uncertainty == 0 {
			panic(tell.Misuse{
				Text: fmt.Sprintf("%s has no uncertainty on the card %q", name, s.card.Name),
				Hint: "write uncertainty = ... into its line on the card, or name a constant that has one"})
		}
		if slices.Contains(constants[:i], name) {
			panic(tell.Misuse{Text: fmt.Sprintf("%s is named twice", name), Hint: "name each constant once"})
		}
		out := of(s.WithConstant(name, c.SI()+by*c.Doubt()))
		if len(out) != len(middle) {
			panic(tell.Misuse{
				Text: fmt.Sprintf("there are %d results, but %d with %s changed", len(middle), len(out), name),
				Hint: "give as many results for each set, as at the same times"})
		}
		if made := len(s.shelf.runs) - runs; made > mostShaken {
			panic(tell.Misuse{
				Text: fmt.Sprintf("a doubt of %d constants needs more than %d runs of the set", len(constants), mostShaken),
				Hint: `name the constants that the result leans on, such as set.Doubt(..., "shaft.friction", "shaft.inertia")`})
		}
		return out
	})
}

// propagate gives results with their doubt. shaken gives the results with the
// input of an index changed by so many of its standard uncertainties.
func propagate(middle []float64, inputs []string, correlation func(i, j int) float64, shaken func(i int, by float64) []float64) []Doubtful {
	out := make([]Doubtful, len(middle))
	changes := make([][]float64, len(middle)) // of each result, by input
	for k, x := range middle {
		out[k].Value = x
		changes[k] = make([]float64, len(inputs))
	}
	for i, name := range inputs {
		high, low := shaken(i, 1), shaken(i, -1)
		for k := range middle {
			if change := (high[k] - low[k]) / 2; change != 0 {
				changes[k][i] = change
				out[k].Shares = append(out[k].Shares, Share{name, change})
			}
		}
	}
	for k := range out {
		slices.SortStableFunc(out[k].Shares, func(a, b Share) int {
			return cmp.Compare(math.Abs(b.Change), math.Abs(a.Change))
		})
		out[k].U = together(changes[k], correlation)
	}
	return out
}

// together gives the doubt that shares make: JCGM 100:2008, equation (16),
// which is equation (10) where no two of them are correlated.
func together(changes []float64, correlation func(i, j int) float64) float64 {
	size := 0.0
	for _, x := range changes {
		size = max(size, math.Abs(x))
	}
	if size == 0 || math.IsNaN(size) || math.IsInf(size, 0) {
		return size
	}
	sum := 0.0
	for i, x := range changes {
		sum += (x / size) * (x / size)
		for j, y := range changes[:i] {
			sum += 2 * correlation(i, j) * (x / size) * (y / size)
		}
	}
	return size * math.Sqrt(max(sum, 0)) // rounding may leave less than nothing
}
