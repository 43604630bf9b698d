// Package fit finds the constants of a model from readings, by weighted
// nonlinear least squares, and says how surely: with covariance, intervals, what
// the readings cannot tell apart, which of them stand out, and which one to take
// next.
//
//	found, err := fit.Problem{Constants: constants, Readings: readings, Predict: predict}.Solve()
//
// It knows nothing of machines: a model is a function from constants to what
// the readings should be. All is deterministic.
//
// The search is the method of Levenberg (1944) and Marquardt (1963), each step
// by a QR factorisation. It is written here for want of a library that serves.
// Of gonum's optimisers, which know only a sum of squares and not its rows, BFGS
// and Newton each miss six digits in 4 to 5 of the 18 searches of NIST StRD, even
// with each constant counted in its start (TestGonumAlone tells which); they give
// no covariance, and more runs of the model than differences of rows. No module
// of this method for Go is kept, or to be had from the module proxy.
package fit

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Constant is a number to be found.
type Constant struct {
	Name  string
	Start float64 // where the search begins

	// Positive is of a constant that cannot be 0 or less. It is sought by its
	// logarithm, so that a step is a part of its value.
	Positive bool

	// Low and High bound it; with both 0 it has no bounds.
	Low, High float64

	// Prior is what was known before the readings, and Doubt its standard
	// uncertainty; with a Doubt of 0 nothing was. Of a positive constant, it is
	// the logarithm that is doubtful, by Doubt/Prior.
	Prior, Doubt float64
}

// Reading is one number that was read.
type Reading struct {
	Name  string
	Value float64

	// U is the standard uncertainty of this reading alone.
	U float64

	// Shared are errors that several readings have in common, by name: how much
	// the reading rises with one standard deviation of each, in the reading's own
	// unit. A meter's class is such an error: it is the same in all that the meter
	// shows.
	Shared map[string]float64
}

// Problem is what to find, from what.
type Problem struct {
	Constants []Constant
	Readings  []Reading

	// Predict gives what each reading should be with the constants, in their
	// order. It fails where the model says nothing, such as that the shaft stands
	// still; the search then keeps away from there. It is not called with the same
	// slice twice, and must not keep it.
	Predict func(constants []float64) ([]float64, error)

	// Relative says that the uncertainties of the readings are known but for a
	// factor, the same for all, which the residuals then tell. It goes with neither
	// priors nor shared errors.
	Relative bool

	Steps Steps

	// Most is how many steps the search may take; 0 for 500.
	Most int
}

// Steps are those of the differences by which slopes are found, as parts of a
// constant. Those of a search are forward differences.
type Steps struct {
	Search  float64 // 0 for 1e-7, for models without noise
	Final   float64 // of the covariance; 0 for 1e-5
	Forward bool    // forward differences for the covariance as well, not central ones
	Longest float64 // how far the logarithm of a positive constant may go at once; 0 for as far as it likes
	Settled float64 // offset at which the search ends, see Result.Offset; 0 for 1e-7
}

func (s Steps) full() Steps {
	fill := func(x *float64, to float64) {
		if *x == 0 {
			*x = to
		}
	}
	fill(&s.Search, 1e-7)
	fill(&s.Final, 1e-5)
	fill(&s.Settled, 1e-7)
	return s
}

// Reason says what sort of thing is wrong with a fit.
type Reason int

// The reasons.
const (
	Misstated    Reason = iota // the problem contradicts itself
	TooFew                     // fewer readings (and priors) than constants
	NoDoubt                    // a reading without uncertainty
	NotFinite                  // a number that is none, of a reading or of the model at the start
	NotSettled                 // the search found no end
	AtBound                    // the best value of a constant lies at its bound, or beyond
	Undetermined               // the readings do not say what some constants are
)

// Error is why there is no fit. Of AtBound, Solve gives the result as well.
type Error struct {
	Reason Reason
	About  []string // names of the constants or readings that it is about
	Text   string
	Next   string // what to do
	Cause  error  // from Predict, or nil
}

func (e Error) Error() string { return e.Text }

// Unwrap gives what Predict said.
func (e Error) Unwrap() error { return e.Cause }

func listed(names []string) string { return strings.Join(names, ", ") }

// check says what is wrong with the problem as it stands.
func (p Problem) check() error {
	if p.Predict == nil || len(p.Constants) == 0 {
		return Error{Reason: Misstated, Text: "there is nothing to fit", Next: "name at least one constant, and a model"}
	}
	priors := 0
	var seen []string
	for _, c := range p.Constants {
		bad := func(text, next string) error {
			return Error{Reason: Misstated, About: []string{c.Name}, Text: c.Name + text, Next: next}
		}
		low, high := c.bounds()
		switch {
		case slices.Contains(seen, c.Name):
			return bad(" is to be found twice", "name each constant once")
		case !finite(c.Start, c.Prior, c.Doubt) || math.IsNaN(c.Low) || math.IsNaN(c.High):
			return Error{Reason: NotFinite, About: []string{c.Name}, Text: c.Name + " begins with what is no number", Next: "give it a start, and bounds, that are numbers"}
		case low >= high:
			return bad(" has its lower bound above its upper one", "give the lower bound first")
		case c.Positive && (c.Start <= 0 || c.Doubt > 0 && c.Prior <= 0):
			return bad(" is positive, and begins at 0 or below", "begin above 0")
		case c.Start < low || c.Start > high:
			return bad(" begins outside its bounds", "begin within them")
		case c.Doubt < 0:
			return bad(" has a doubt below 0", "give one standard uncertainty, or 0 where nothing was known")
		case p.Relative && c.Doubt > 0:
			return bad(" has a prior, while the doubt of the readings is not known", "give the readings their uncertainty, or leave the prior out")
		}
		seen = append(seen, c.Name)
		if c.Doubt > 0 {
			priors++
		}
	}
	for _, r := range p.Readings {
		about := []string{r.Name}
		sizes := []float64{r.Value, r.U}
		for _, u := range r.Shared {
			sizes = append(sizes, u)
		}
		switch {
		case !finite(sizes...):
			return Error{Reason: NotFinite, About: about, Text: fmt.Sprintf("the reading %s holds what is no number", r.Name), Next: "leave the reading out, or write what was read"}
		case r.U <= 0:
			return Error{Reason: NoDoubt, About: about, Text: fmt.Sprintf("the reading %s has no uncertainty", r.Name),
				Next: "write how far it may be off: the class of the instrument, half of its last digit, or how much repeated readings differ"}
		case p.Relative && len(r.Shared) > 0:
			return Error{Reason: Misstated, About: about, Text: fmt.Sprintf("the reading %s shares an error, while the doubt of the readings is not known", r.Name),
				Next: "give the readings their uncertainty"}
		}
	}
	needed := len(p.Constants)
	if p.Relative {
		needed++ // the factor
	}
	if have := len(p.Readings) + priors; have < needed {
		return Error{Reason: TooFew, Text: fmt.Sprintf("%d readings cannot fix %d constants", have, len(p.Constants)),
			Next: fmt.Sprintf("take %d more readings, fit fewer constants, or say what was known of them before", needed-have)}
	}
	return nil
}

func (c Constant) bounds() (low, high float64) {
	low, high = c.Low, c.High
	if low == 0 && high == 0 {
		low, high = math.Inf(-1), math.Inf(1)
	}
	if c.Positive {
		low = max(low, 0)
	}
	return low, high
}

// sought gives a value of the constant as the search sees it, and natural the
// other way round.
func (c Constant) sought(x float64) float64 {
	if c.Positive {
		return math.Log(x)
	}
	return x
}

func (c Constant) natural(q float64) float64 {
	if c.Positive {
		return math.Exp(q)
	}
	return q
}

// rate gives by how much the constant rises with what the search sees.
func (c Constant) rate(q float64) float64 {
	if c.Positive {
		return math.Exp(q)
	}
	return 1
}

// step gives the size of a difference, in what the search sees.
func (c Constant) step(q, part float64) float64 {
	if c.Positive {
		return part
	}
	size := max(math.Abs(q), 1e-3*math.Abs(c.Start), 1e-3*c.Doubt)
	if size == 0 {
		size = 1
	}
	return part * size
}

func finite(list ...float64) bool {
	return !slices.ContainsFunc(list, func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) })
}
