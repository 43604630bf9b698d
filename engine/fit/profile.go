package fit

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Interval is where a constant lies with some probability, whatever the others
// are. An open side has no end within what was looked at, to a thousand
// uncertainties away or, for a positive constant, to a factor of ten thousand;
// Low or High then is how far that was.
type Interval struct {
	Low, High         float64
	LowOpen, HighOpen bool
}

// How far a profile looks: the greatest factor on a positive constant, and the
// most uncertainties of another.
const (
	profileFactor = 1e4
	profileDoubts = 1e3
)

// Profile gives the interval of a constant, by its place, that holds it with a
// probability such as 0.95. It is the profile t interval of Bates and Watts
// (Nonlinear Regression Analysis, 1988, 6.1): the constant is held, all others
// are fitted anew, and the ends are where the sum of squares has risen by what
// chance would make of it. So it may be lopsided, or open. It takes some dozens
// of fits.
func (r *Result) Profile(constant int, probability float64) (Interval, error) {
	if !(probability > 0 && probability < 1) {
		return Interval{}, Error{Reason: Misstated, Text: fmt.Sprintf("an interval cannot hold with a probability of %v", probability), Next: "give a number between 0 and 1, such as 0.95"}
	}
	c := r.search.p.Constants[constant]
	if r.Constants[constant].AtBound {
		return Interval{}, Error{Reason: AtBound, About: []string{c.Name}, Text: c.Name + " is at its bound, and has no interval around it", Next: "check the readings, or the bound"}
	}
	p := profile{r: r, constant: constant, far: distuv.UnitNormal.Quantile((1 + probability) / 2)}
	if r.search.p.Relative {
		p.far = distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(r.Freedom)}.Quantile((1 + probability) / 2)
	}
	var out Interval
	var err error
	if out.Low, out.LowOpen, err = p.side(-1); err == nil {
		out.High, out.HighOpen, err = p.side(1)
	}
	out.Low, out.High = c.natural(out.Low), c.natural(out.High)
	return out, err
}

type profile struct {
	r        *Result
	constant int
	far      float64 // by how much the root of the sum of squares may rise, in uncertainties
}

// side gives the end of the interval on one side, as it is sought, or how far
// was looked when it is open.
func (p profile) side(sign float64) (at float64, open bool, err error) {
	s, i := p.r.search, p.constant
	middle := p.r.end.z[i]
	u := math.Sqrt(p.r.covariance.At(i, i))
	most := profileDoubts * u
	if s.p.Constants[i].Positive {
		most = math.Log(profileFactor)
	}
	limit := min(max(middle+sign*most, s.low[i]), s.high[i])
	near, nearRise := middle, 0.0
	from := p.r.end.z
	at = middle + sign*min(p.far*u, most/8)
	for {
		if sign*(at-limit) > 0 {
			at = limit
		}
		rise, z, ok, err := p.rise(at, from)
		if err != nil {
			return 0, false, err
		}
		if !ok {
			return near, true, nil
		}
		if rise >= p.far {
			return p.between(near, nearRise, at, rise, from)
		}
		if at == limit {
			return limit, true, nil
		}
		near, nearRise, from = at, rise, z
		at = middle + 2*(at-middle)
	}
}

// between narrows the end down by false position, with the halving of the end
// that stays (the Illinois rule).
func (p profile) between(a, riseA, b, riseB float64, from []float64) (at float64, open bool, err error) {
	fa, fb := riseA-p.far, riseB-p.far
	for range 40 {
		at = b - fb*(b-a)/(fb-fa)
		rise, z, ok, err := p.rise(at, from)
		if err != nil {
			return 0, false, err
		}
		if !ok {
			return a, true, nil
		}
		from = z
		f := rise - p.far
		switch {
		case math.Abs(f) < 1e-5*p.far:
			return at, false, nil
		case f < 0 == (fb < 0):
			b, fb = at, f
			fa /= 2
		default:
			a, fa, b, fb = b, fb, at, f
		}
	}
	return at, false, nil
}

// rise holds the constant at a value, fits the others from where they were, and
// gives the root of the rise of the sum of squares. It is not ok where the model
// says nothing.
func (p profile) rise(at float64, from []float64) (rise float64, z []float64, ok bool, err error) {
	s := *p.r.search
	s.low, s.high = slices.Clone(s.low), slices.Clone(s.high)
	s.low[p.constant], s.high[p.constant] = at, at
	z = slices.Clone(from)
	z[p.constant] = at
	e, err := s.run(z)
	p.r.search.runs = s.runs
	if err != nil {
		if err.(Error).Reason != NotSettled {
			return 0, nil, false, nil
		}
		return 0, nil, false, err
	}
	more := (e.chi2 - p.r.Chi2) / (p.r.Scale * p.r.Scale)
	if more < -1e-4 {
		name := s.p.Constants[p.constant].Name
		return 0, nil, false, Error{Reason: NotSettled, About: []string{name}, Text: fmt.Sprintf("with %s at %.4g the readings fit better than with the constants that were found", name, s.p.Constants[p.constant].natural(at)),
			Next: "begin the fit there"}
	}
	return math.Sqrt(max(more, 0)), e.z, true, nil
}
