package fit

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// search is a problem in the form of a sum of squares. Its unknowns are the
// constants as they are sought, and behind them the shared errors, each in its
// standard deviations. Its rows are the readings, then the priors, then one for
// each shared error, all in standard uncertainties. So errors that readings
// share are unknowns with a prior of 0 +- 1, which gives the same constants and
// the same covariance as weighting with the whole covariance of the readings.
type search struct {
	p         Problem
	steps     Steps
	shared    []string
	low, high []float64 // of the unknowns; equal for one that is held
	robust    bool      // what stands out counts less, see bent
	central   bool      // slopes by central differences, since forward ones led nowhere
	runs      int       // of the model
}

func newSearch(p Problem) *search {
	s := &search{p: p, steps: p.Steps.full()}
	names := map[string]bool{}
	for _, r := range p.Readings {
		for name := range r.Shared {
			names[name] = true
		}
	}
	s.shared = slices.Sorted(maps.Keys(names))
	for _, c := range p.Constants {
		low, high := c.bounds()
		s.low, s.high = append(s.low, c.sought(low)), append(s.high, c.sought(high))
	}
	for range s.shared {
		s.low, s.high = append(s.low, math.Inf(-1)), append(s.high, math.Inf(1))
	}
	return s
}

func (s *search) start() []float64 {
	z := make([]float64, s.unknowns())
	for i, c := range s.p.Constants {
		z[i] = c.sought(c.Start)
	}
	return z
}

func (s *search) unknowns() int { return len(s.p.Constants) + len(s.shared) }

func (s *search) natural(z []float64) []float64 {
	out := make([]float64, len(s.p.Constants))
	for i, c := range s.p.Constants {
		out[i] = c.natural(z[i])
	}
	return out
}

// model runs the model at z.
func (s *search) model(z []float64) ([]float64, error) {
	s.runs++
	out, err := s.p.Predict(s.natural(z))
	if err != nil {
		return nil, err
	}
	if len(out) != len(s.p.Readings) {
		return nil, fmt.Errorf("the model gives %d values for %d readings", len(out), len(s.p.Readings))
	}
	if i := slices.IndexFunc(out, func(x float64) bool { return !finite(x) }); i >= 0 {
		return nil, fmt.Errorf("the model gives no number for %s", s.p.Readings[i].Name)
	}
	return out, nil
}

// rows gives the residuals at z, where the model gave predicted.
func (s *search) rows(z, predicted []float64) []float64 {
	k := len(s.p.Constants)
	var out []float64
	for i, r := range s.p.Readings {
		row, _ := s.bent(s.rest(i, z, predicted) / r.U)
		out = append(out, row)
	}
	for i, c := range s.p.Constants {
		if c.Doubt > 0 {
			out = append(out, (z[i]-c.sought(c.Prior))*c.weight())
		}
	}
	return append(out, z[k:]...)
}

// weight gives the inverse of the doubt of the prior, in what the search sees.
func (c Constant) weight() float64 {
	if c.Positive {
		return c.Prior / c.Doubt
	}
	return 1 / c.Doubt
}

// slopes gives the derivatives of the rows at z, by differences of a part of
// each constant.
func (s *search) slopes(z, predicted []float64, part float64, central bool) (*mat.Dense, error) {
	n, k := len(s.p.Readings), len(s.p.Constants)
	j := mat.NewDense(len(s.rows(z, predicted)), s.unknowns(), nil)
	weights := s.weights(z, predicted)
	row := n
	for i, c := range s.p.Constants {
		if c.Doubt > 0 {
			j.Set(row, i, c.weight())
			row++
		}
		if s.low[i] == s.high[i] {
			continue
		}
		d, err := s.difference(z, predicted, i, c.step(z[i], part), central)
		if err != nil {
			return nil, err
		}
		for r := range d {
			j.Set(r, i, weights[r]*d[r])
		}
	}
	for b, name := range s.shared {
		for r, reading := range s.p.Readings {
			j.Set(r, k+b, weights[r]*reading.Shared[name])
		}
		j.Set(row+b, k+b, 1)
	}
	return j, nil
}

// difference gives the slope of all predictions with one unknown. A forward
// difference that the model or a bound forbids is taken backwards.
func (s *search) difference(z, predicted []float64, i int, h float64, central bool) ([]float64, error) {
	at := func(by float64) ([]float64, error) {
		moved := slices.Clone(z)
		moved[i] += by
		if moved[i] < s.low[i] || moved[i] > s.high[i] {
			return nil, fmt.Errorf("%s is at its bound", s.p.Constants[i].Name)
		}
		return s.model(moved)
	}
	up, err := at(h)
	from, span := predicted, h
	if err != nil || central {
		down, errDown := at(-h)
		switch {
		case err != nil && errDown != nil:
			return nil, err
		case err != nil:
			up, from = predicted, down
		case errDown == nil:
			from, span = down, 2*h
		}
	}
	out := make([]float64, len(up))
	for r := range out {
		out[r] = (up[r] - from[r]) / span
	}
	return out, nil
}

// end is where a search ended.
type end struct {
	z         []float64
	predicted []float64
	rows      []float64
	chi2      float64
	offset    float64
	steps     int
}

// settledEnough is the offset at which a search that gets no further counts as
// settled: Bates and Watts (1981), Technometrics 23, 179-183, take 0.001.
const settledEnough = 1e-3

// run searches from z.
func (s *search) run(z []float64) (end, error) {
	predicted, err := s.model(z)
	if err != nil {
		return end{}, Error{Reason: NotFinite, Cause: err, Text: "the model says nothing at the start: " + err.Error(), Next: "begin with constants for which it runs"}
	}
	e := end{z: z, predicted: predicted, rows: s.rows(z, predicted)}
	e.chi2 = floats.Dot(e.rows, e.rows)
	most := s.p.Most
	if most == 0 {
		most = 500
	}
	j, err := s.slopes(e.z, e.predicted, s.steps.Search, s.central)
	if err != nil {
		return e, Error{Reason: NotFinite, Cause: err, Text: "the model gives no slopes at the start: " + err.Error(), Next: "begin elsewhere, or hold the constants of which it says nothing"}
	}
	size := make([]float64, len(z)) // of each column of slopes, at its largest
	damping, harder := 1e-3, 2.0
	stuck := false
	for e.steps < most && !stuck {
		free := s.free(e.z, j, e.rows)
		if len(free) == 0 {
			return e, nil
		}
		for _, c := range free {
			size[c] = max(size[c], mat.Norm(j.ColView(c), 2))
			if size[c] == 0 {
				size[c] = 1
			}
		}
		_, gain := s.step(j, e.rows, free, size, 1e-12)
		e.offset = math.Sqrt(max(gain, 0)) / s.scale(e.chi2)
		if !(e.offset > s.steps.Settled) || gain <= 1e-26*e.chi2 {
			return e, nil
		}
		for stuck = true; stuck && damping < 1e15; {
			e.steps++
			by, gain := s.step(j, e.rows, free, size, damping)
			gain *= s.shorten(by)
			next, there, ok := s.try(e, j, by, free, size)
			if !ok {
				damping *= harder
				harder *= 2
				continue
			}
			ratio := (e.chi2 - next.chi2) / gain
			damping = max(damping*max(1.0/3, 1-math.Pow(2*ratio-1, 3)), 1e-12)
			harder, stuck = 2, false
			next.steps, next.offset = e.steps, e.offset
			e, j = next, there
		}
		if stuck && !s.central && e.offset > settledEnough {
			s.central, stuck = true, false
			if j, err = s.slopes(e.z, e.predicted, s.steps.Search, true); err != nil {
				break
			}
			damping, harder = 1e-3, 2
		}
	}
	if e.offset <= settledEnough {
		return e, nil
	}
	why := fmt.Sprintf("after %d steps", e.steps)
	if stuck {
		why = "where no step lowers the sum of squares"
	}
	return e, Error{Reason: NotSettled, Text: "the fit does not settle: it stands " + why, Next: "begin nearer, fit fewer constants, or say what was known of them before"}
}

// scale is what a standard uncertainty of the rows is worth: 1 when it is
// known.
func (s *search) scale(chi2 float64) float64 {
	if !s.p.Relative {
		return 1
	}
	return math.Sqrt(chi2 / float64(len(s.p.Readings)-len(s.p.Constants)))
}

// free gives the unknowns that may move: not those that are held, nor those at
// a bound with less of the sum of squares beyond it.
func (s *search) free(z []float64, j *mat.Dense, rows []float64) (out []int) {
	for i := range z {
		slope := mat.Dot(j.ColView(i), mat.NewVecDense(len(rows), rows))
		held := s.low[i] == s.high[i] || z[i] <= s.low[i] && slope >= 0 || z[i] >= s.high[i] && slope <= 0
		if !held {
			out = append(out, i)
		}
	}
	return out
}

// step gives the damped step of the free unknowns, and by how much the sum of
// squares would fall if the rows were straight.
func (s *search) step(j *mat.Dense, rows []float64, free []int, size []float64, damping float64) (by []float64, gain float64) {
	n, k := len(rows), len(free)
	a, b := mat.NewDense(n+k, k, nil), mat.NewVecDense(n+k, nil)
	for r := range n {
		b.SetVec(r, -rows[r])
	}
	for c, i := range free {
		for r := range n {
			a.Set(r, c, j.At(r, i)/size[i])
		}
		a.Set(n+c, c, math.Sqrt(damping))
	}
	var qr mat.QR
	qr.Factorize(a)
	var x mat.VecDense
	by = make([]float64, len(size))
	if err := qr.SolveVecTo(&x, false, b); err != nil {
		if _, near := err.(mat.Condition); !near {
			return by, 0
		}
	}
	straight := mat.NewVecDense(n, nil)
	straight.MulVec(a.Slice(0, n, 0, k), &x)
	for r := range n {
		gain += rows[r]*rows[r] - math.Pow(rows[r]+straight.AtVec(r), 2)
	}
	for c, i := range free {
		by[i] = x.AtVec(c) / size[i]
	}
	return by, gain
}

// shorten keeps a step within what may be gone at once, in its direction. It
// gives the part of the gain that is left, were the rows straight.
func (s *search) shorten(by []float64) float64 {
	part := 1.0
	for i, c := range s.p.Constants {
		if far := math.Abs(by[i]); c.Positive && s.steps.Longest > 0 && far > s.steps.Longest {
			part = min(part, s.steps.Longest/far)
		}
	}
	floats.Scale(part, by)
	return part * (2 - part)
}

// flat is the part of a column's size at which a constant no longer does
// anything.
const flat = 1e-8

// try gives where a step leads, within the bounds, with the slopes there. It
// fails where that is no better, where the model says nothing, and where a free
// unknown does nothing any more, from where no slope leads back: a contact that
// never closes is of that kind.
func (s *search) try(e end, here *mat.Dense, by []float64, free []int, size []float64) (next end, j *mat.Dense, ok bool) {
	next.z = slices.Clone(e.z)
	for i := range by {
		next.z[i] = min(max(e.z[i]+by[i], s.low[i]), s.high[i])
	}
	if !finite(s.natural(next.z)...) {
		return next, nil, false
	}
	var err error
	if next.predicted, err = s.model(next.z); err != nil {
		return next, nil, false
	}
	next.rows = s.rows(next.z, next.predicted)
	if next.chi2 = floats.Dot(next.rows, next.rows); !(next.chi2 < e.chi2) {
		return next, nil, false
	}
	if j, err = s.slopes(next.z, next.predicted, s.steps.Search, s.central); err != nil {
		return next, nil, false
	}
	for _, c := range free {
		if least := flat * size[c]; mat.Norm(j.ColView(c), 2) < least && mat.Norm(here.ColView(c), 2) >= least {
			return next, nil, false
		}
	}
	return next, j, true
}
