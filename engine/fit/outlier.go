package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Outlier is the reading that stands out most.
type Outlier struct {
	Reading  int     // its place among the readings
	Name     string  //
	Far      float64 // residual in its own standard deviations
	Critical float64 // that all but a share of level of all sets of good readings keep within
	Beyond   bool    // Far is larger
	Rule     string  // in words
}

// ruleLevel is the part of good sets of readings in which the rule would name
// one all the same.
const ruleLevel = 0.05

// Outlier gives the reading that stands out most, and whether by more than good
// readings do once in twenty sets. When the uncertainties are known, that is
// Baarda's w-test (A testing procedure for use in geodetic networks, 1968) with
// Bonferroni's inequality for the number of readings; when they are relative,
// Grubbs' test (Technometrics 11, 1969), two-sided, as Lund (Technometrics 17,
// 1975) has it for a fit of several constants. It names one reading: with that
// taken out, ask again.
func (r *Result) Outlier() Outlier {
	s := r.search
	out := Outlier{Reading: -1}
	for i, rest := range r.Residuals {
		free := 1 - r.leverage[i]
		if free < 1e-9 {
			continue // the fit passes through it, whatever it says
		}
		if far := math.Abs(rest.InDoubts) / math.Sqrt(free); out.Reading < 0 || far > out.Far {
			out.Reading, out.Name, out.Far = i, rest.Name, far
		}
	}
	n, k := float64(len(s.p.Readings)), float64(len(s.p.Constants))
	tail := ruleLevel / (2 * n)
	if s.p.Relative {
		out.Rule = "Grubbs' test, at 5 %"
		out.Critical = grubbs(n, k, tail)
	} else {
		out.Rule = "Baarda's w-test, at 5 % for all readings together"
		out.Critical = distuv.UnitNormal.Quantile(1 - tail)
	}
	out.Beyond = out.Reading >= 0 && out.Far > out.Critical
	return out
}

// grubbs gives the largest residual, in its standard deviation, of n readings
// and k constants, where each one passes it with the probability of tail on
// each side.
func grubbs(n, k, tail float64) float64 {
	if n-k-1 <= 0 {
		return math.Inf(1)
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - k - 1}.Quantile(1 - tail)
	return math.Sqrt((n - k) * t * t / (n - k - 1 + t*t))
}
