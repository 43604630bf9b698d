package fit

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// Candidate is a reading that could be taken.
type Candidate struct {
	Reading         // its Value is not used
	Cost    float64 // in any unit, the same for all: minutes, say; above 0
	Hazard  string  // what is dangerous about it; "" for nothing
}

// Advice is a reading worth taking, and what it would bring.
type Advice struct {
	Candidate int // its place among the candidates
	Name      string
	Hazard    string

	// Gain is the logarithm of the factor by which the reading shrinks the volume
	// of the constants' doubt, all together.
	Gain float64

	// U is what would be left of the standard uncertainty of each constant, in the
	// order of the problem.
	U []float64
}

// Next gives which readings to take, up to a number, in that order: each the
// one that brings most for its cost with those before it taken, by the D-optimal
// step (Fedorov, Theory of Optimal Experiments, 1972, 2.5). Predict gives what
// the candidates would show, as that of the problem does for its readings. What
// a meter shares with readings that were taken counts as shared; a meter that
// none was taken with counts anew in each candidate.
//
// The advice is only as good as the priors: of a constant that is held, it takes
// for granted that it is known. Candidates with a hazard are left out unless
// dangerous ones are asked for.
func (r *Result) Next(candidates []Candidate, predict func(constants []float64) ([]float64, error), most int, dangerous bool) ([]Advice, error) {
	s := *r.search
	s.p.Predict, s.p.Readings = predict, nil
	for _, c := range candidates {
		if !(c.Cost > 0) || !(c.U > 0) || !finite(c.Cost, c.U) {
			return nil, Error{Reason: Misstated, About: []string{c.Name}, Text: fmt.Sprintf("the reading %s has no cost, or no uncertainty", c.Name), Next: "give both, each above 0"}
		}
		s.p.Readings = append(s.p.Readings, c.Reading)
	}
	predicted, err := s.model(r.end.z)
	if err != nil {
		return nil, Error{Reason: NotFinite, Cause: err, Text: "the model does not say what a reading would show: " + err.Error(), Next: "leave that reading out"}
	}
	k := len(s.p.Constants)
	slopes := make([][]float64, len(candidates))
	for n, c := range candidates {
		slopes[n] = make([]float64, s.unknowns())
		for b, name := range s.shared {
			slopes[n][k+b] = c.Shared[name]
		}
	}
	for i, c := range s.p.Constants {
		if r.covariance.At(i, i) == 0 {
			continue
		}
		d, err := s.difference(r.end.z, predicted, i, c.step(r.end.z[i], s.steps.Final), !s.steps.Forward)
		if err != nil {
			return nil, Error{Reason: NotFinite, Cause: err, Text: "the model does not say what a reading would tell: " + err.Error(), Next: "leave that reading out"}
		}
		for n := range candidates {
			slopes[n][i] = d[n]
		}
	}
	covariance := mat.NewSymDense(s.unknowns(), nil)
	covariance.CopySym(r.covariance)
	var out []Advice
	taken := make([]bool, len(candidates))
	for range most {
		best, bestGain := -1, 0.0
		for n, c := range candidates {
			if taken[n] || c.Hazard != "" && !dangerous {
				continue
			}
			signal, _ := s.tells(covariance, slopes[n])
			gain := math.Log1p(signal/c.variance(s.shared, r.Scale)) / 2
			if gain > 0 && (best < 0 || gain/c.Cost > bestGain/candidates[best].Cost) {
				best, bestGain = n, gain
			}
		}
		if best < 0 {
			break
		}
		taken[best] = true
		signal, reach := s.tells(covariance, slopes[best])
		covariance.SymRankOne(covariance, -1/(signal+candidates[best].variance(s.shared, r.Scale)), reach)
		a := Advice{Candidate: best, Name: candidates[best].Name, Hazard: candidates[best].Hazard, Gain: bestGain}
		for i, c := range s.p.Constants {
			a.U = append(a.U, c.rate(r.end.z[i])*math.Sqrt(max(covariance.At(i, i), 0)))
		}
		out = append(out, a)
	}
	return out, nil
}

// tells gives the variance that the unknowns bring to a reading of these
// slopes, and how much each of them goes with it.
func (s *search) tells(covariance *mat.SymDense, slopes []float64) (float64, *mat.VecDense) {
	reach := mat.NewVecDense(len(slopes), nil)
	reach.MulVec(covariance, mat.NewVecDense(len(slopes), slopes))
	return floats.Dot(slopes, reach.RawVector().Data), reach
}

// variance gives that of what the candidate shows by itself, with errors that no
// reading shared before.
func (c Candidate) variance(shared []string, scale float64) float64 {
	sum := math.Pow(c.U*scale, 2)
	for _, name := range slices.Sorted(maps.Keys(c.Shared)) {
		if !slices.Contains(shared, name) {
			sum += c.Shared[name] * c.Shared[name]
		}
	}
	return sum
}
