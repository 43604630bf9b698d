package calibrate

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"slipring/engine/machine"
	"slipring/engine/tell"
)

// Amended is a constant as it is to stand on the card, in the card's unit.
type Amended struct {
	Constant           string // PART.KEY
	Value, Uncertainty float64
}

// Amendment gives what the fit makes of the card, in the card's units: each
// constant of which the readings know more than was known before, and how the
// doubts of all that were fitted go together. Constants of which they know no
// more stay as they are on the card, and the others are what the fit gives with
// these there. Constants that were fitted together before, and not now, keep
// their correlations.
//
// The numbers have as many digits as what follows from them needs, which is more
// than one would print where two constants are nearly alike (JCGM 100:2008,
// 7.2.6).
//
// It refuses a fit that says too little to be written down: with fewer readings
// than constants, with more readings that stand out than may be left out, or when
// the readings say nothing new.
func (o *Outcome) Amendment(on machine.Card) ([]Amended, machine.Together, error) {
	none := machine.Together{}
	switch {
	case len(o.Used) < len(o.Constants):
		next := ""
		if len(o.Next) > 0 {
			next = ", such as " + o.Next[0].Reading
		}
		return nil, none, tell.Misuse{Text: fmt.Sprintf("%d readings cannot fix %d constants", len(o.Used), len(o.Constants)),
			Hint: fmt.Sprintf("take %d more%s, or fit fewer constants: -constants PART.KEY,PART.KEY", len(o.Constants)-len(o.Used), next)}
	case o.Strained:
		return nil, none, tell.Misuse{Text: "too many readings stand out from the rest for a fit that is worth writing down",
			Hint: "check their units, loads, settings and uncertainties, or fit more constants"}
	}
	var moved, kept, doubtful []int
	for i, c := range o.Constants {
		if c.Moved() {
			moved = append(moved, i)
			continue
		}
		kept = append(kept, i)
		if c.Card.Uncertainty > 0 {
			doubtful = append(doubtful, i)
		}
	}
	if len(moved) == 0 {
		return nil, none, tell.Misuse{Text: "the readings say no more of these constants than the card", Hint: "take those that are worth reading next, or fit other constants: -constants PART.KEY,PART.KEY"}
	}
	together := append(slices.Clone(moved), doubtful...)
	correlation := mat.NewSymDense(len(together), nil)
	for a, i := range together {
		for b, j := range together[:a+1] {
			correlation.SetSym(a, b, o.Fit.Correlation(i, j))
		}
	}
	var parts mat.EigenSym
	if !parts.Factorize(correlation, false) || !(parts.Values(nil)[0] > 1e-10) {
		return nil, none, tell.Misuse{Text: "these constants are so much alike that no number of digits tells them apart", Hint: "fit fewer constants, or take the readings that are worth reading next"}
	}
	surest := parts.Values(nil)[0]

	values, err := o.given(moved, kept)
	if err != nil {
		return nil, none, err
	}
	var list []Amended
	digits := 2 + max(0, int(math.Ceil(-math.Log10(surest)/2)))
	for k, i := range moved {
		c := o.Constants[i]
		value, u := InCardUnit(c.Card, values[k], c.U)
		size := int(math.Floor(math.Log10(u)))
		list = append(list, Amended{Constant: c.Card.Name(), Value: decimals(value, digits-size), Uncertainty: decimals(u, 2-size)})
	}
	return list, o.join(on.Together, together, correlation, max(3, int(math.Ceil(-math.Log10(0.01*surest/float64(len(together))))))), nil
}

// given gives the constants that moved, with the others where the card has them
// and not where the fit would have them (the conditional mean of a normal
// distribution).
func (o *Outcome) given(moved, kept []int) ([]float64, error) {
	out := make([]float64, len(moved))
	for k, i := range moved {
		out[k] = o.Constants[i].Value
	}
	if len(kept) == 0 {
		return out, nil
	}
	own, shift := mat.NewSymDense(len(kept), nil), mat.NewVecDense(len(kept), nil)
	for a, i := range kept {
		for b, j := range kept[:a+1] {
			own.SetSym(a, b, o.Fit.Covariance(i, j))
		}
		shift.SetVec(a, o.Constants[i].Card.SI()-o.Constants[i].Value)
	}
	var c mat.Cholesky
	var by mat.VecDense
	if !c.Factorize(own) || c.SolveVecTo(&by, shift) != nil {
		return nil, tell.Misuse{Text: "the constants of which the readings know nothing new cannot be told apart", Hint: "fit fewer constants: -constants PART.KEY,PART.KEY"}
	}
	for k, i := range moved {
		for a, j := range kept {
			out[k] += o.Fit.Covariance(i, j) * by.AtVec(a)
		}
	}
	return out, nil
}

// join gives the correlations of those that were fitted now, to so many
// decimals, with those of others that were fitted before. A constant that goes
// with no other has no row.
func (o *Outcome) join(before machine.Together, now []int, correlation *mat.SymDense, digits int) machine.Together {
	all := machine.Together{}
	for _, i := range now {
		all.Constants = append(all.Constants, o.Constants[i].Card.Name())
	}
	for _, name := range before.Constants {
		if !slices.Contains(all.Constants, name) {
			all.Constants = append(all.Constants, name)
		}
	}
	at := func(a, b int) float64 {
		switch {
		case a == b:
			return 1
		case a < len(now) && b < len(now):
			return decimals(correlation.At(a, b), digits)
		case a >= len(now) && b >= len(now):
			return before.Of(all.Constants[a], all.Constants[b])
		}
		return 0
	}
	var keep []int
	for a := range all.Constants {
		for b := range all.Constants {
			if a != b && at(a, b) != 0 && !slices.Contains(keep, a) {
				keep = append(keep, a)
			}
		}
	}
	out := machine.Together{}
	for _, a := range keep {
		var row []float64
		for _, b := range keep {
			row = append(row, at(a, b))
		}
		out.Constants, out.Correlation = append(out.Constants, all.Constants[a]), append(out.Correlation, row)
	}
	return out
}

// decimals rounds a number; with less than 0 of them, before the decimal point.
func decimals(x float64, n int) float64 {
	if n < 0 {
		return math.Round(x/math.Pow10(-n)) * math.Pow10(-n)
	}
	return math.Round(x*math.Pow10(n)) / math.Pow10(n)
}

// InCardUnit gives a value and its uncertainty in the unit in which the card has
// the constant.
func InCardUnit(c machine.Constant, value, u float64) (float64, float64) {
	factor, ok := machine.Multiple(c.SIUnit, c.Unit)
	if !ok {
		factor = 1
	}
	return value / factor, u / factor
}
