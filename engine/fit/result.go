package fit

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Result is what was found.
type Result struct {
	Constants []Found // in the order of the problem
	Residuals []Residual

	Chi2    float64 // sum of squares of all residuals, priors' and shared errors' too, in their uncertainties
	Freedom int     // readings and priors, less constants
	Scale   float64 // the factor on the uncertainties of the readings; 1 unless they are relative

	// Offset is by how much, in standard uncertainties of all constants together,
	// the next step would have gone: the relative offset of Bates and Watts (1981),
	// but for the root of the numbers of constants and of readings.
	Offset float64
	Steps  int // of the search
	Runs   int // of the model

	covariance *mat.SymDense // of the unknowns as they are sought
	leverage   []float64     // of the rows
	own        *mat.Dense    // what the readings alone say of the constants, as a triangle
	search     *search
	end        end
}

// Found is one constant.
type Found struct {
	Name    string
	Value   float64
	U       float64 // standard uncertainty; 0 for one that its bound holds
	AtBound bool
}

// Residual is what is left of one reading.
type Residual struct {
	Name      string
	Predicted float64
	Rest      float64 // reading less prediction and less shared errors, in the reading's unit
	InDoubts  float64 // the same in the reading's own uncertainty
	Leverage  float64 // from 0 to 1: how much of the prediction is the reading's own doing
}

// Solve finds the constants. Every error is an Error; with that of a constant
// at its bound there is a result, in which that constant is held there.
func (p Problem) Solve() (*Result, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	s := newSearch(p)
	e, err := s.run(s.start())
	if err != nil {
		return nil, err
	}
	return s.result(e)
}

// worthless is how small a singular value of the slopes, each column of length
// 1, may be beside the largest before nothing is known of its combination.
const worthless = 1e-9

func (s *search) result(e end) (*Result, error) {
	j, err := s.slopes(e.z, e.predicted, s.steps.Final, !s.steps.Forward)
	if err != nil {
		return nil, Error{Reason: NotFinite, Cause: err, Text: "the model gives no slopes where the fit ends: " + err.Error(), Next: "hold the constants of which it says nothing there"}
	}
	r := &Result{Chi2: e.chi2, Scale: s.scale(e.chi2), Offset: e.offset, Steps: e.steps, search: s, end: e}
	free := s.free(e.z, j, e.rows)
	r.own = s.readingsAlone(j)
	if err := r.cover(j, free); err != nil {
		return nil, err
	}
	r.Runs = s.runs
	r.Freedom = len(e.rows) - len(free)
	var bound []string
	for i, c := range s.p.Constants {
		f := Found{Name: c.Name, Value: c.natural(e.z[i]), AtBound: e.z[i] <= s.low[i] || e.z[i] >= s.high[i]}
		f.U = c.rate(e.z[i]) * math.Sqrt(r.covariance.At(i, i))
		if f.AtBound {
			bound = append(bound, c.Name)
		}
		r.Constants = append(r.Constants, f)
	}
	for i, reading := range s.p.Readings {
		rest := -s.rest(i, e.z, e.predicted)
		r.Residuals = append(r.Residuals, Residual{Name: reading.Name, Predicted: e.predicted[i], Rest: rest, InDoubts: rest / (reading.U * r.Scale), Leverage: r.leverage[i]})
	}
	if len(bound) > 0 {
		return r, Error{Reason: AtBound, About: bound, Text: fmt.Sprintf("the readings pull %s to the bound or beyond", listed(bound)),
			Next: "check the readings, and the constants that were held; what is at its bound has no uncertainty"}
	}
	return r, nil
}

// cover finds the covariance and the leverages.
func (r *Result) cover(j *mat.Dense, free []int) error {
	rows, _ := j.Dims()
	n := r.search.unknowns()
	r.covariance = mat.NewSymDense(n, nil)
	r.leverage = make([]float64, rows)
	if len(free) == 0 {
		return nil
	}
	a := mat.NewDense(rows, len(free), nil)
	size := make([]float64, len(free))
	for c, i := range free {
		if size[c] = mat.Norm(j.ColView(i), 2); size[c] == 0 {
			return r.undetermined([]string{r.search.p.Constants[i].Name})
		}
		for row := range rows {
			a.Set(row, c, j.At(row, i)/size[c])
		}
	}
	var svd mat.SVD
	if rows < len(free) || !svd.Factorize(a, mat.SVDThin) {
		return r.undetermined(nil)
	}
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	values := svd.Values(nil)
	if last := len(values) - 1; values[last] < worthless*values[0] {
		var names []string
		for c, i := range free {
			if math.Abs(v.At(c, last)) > 0.1 && i < len(r.search.p.Constants) {
				names = append(names, r.search.p.Constants[i].Name)
			}
		}
		return r.undetermined(names)
	}
	for x, i := range free {
		for y := range x + 1 {
			sum := 0.0
			for m, w := range values {
				sum += v.At(x, m) * v.At(y, m) / (w * w)
			}
			r.covariance.SetSym(i, free[y], sum/(size[x]*size[y])*r.Scale*r.Scale)
		}
	}
	for row := range rows {
		for m := range values {
			r.leverage[row] += u.At(row, m) * u.At(row, m)
		}
	}
	return nil
}

func (r *Result) undetermined(names []string) error {
	text, next := "the readings do not say what "+listed(names)+" are", "take a reading that tells them apart, hold one of them, or say what was known of them before"
	switch len(names) {
	case 0:
		text = "the readings do not say what the constants are"
	case 1:
		text, next = "no reading leans on "+names[0], "take one that does, hold the constant, or say what was known of it before"
	}
	return Error{Reason: Undetermined, About: names, Text: text, Next: next}
}

// Covariance gives that of two constants, by their places, in their units.
func (r *Result) Covariance(a, b int) float64 {
	s := r.search
	return r.covariance.At(a, b) * s.p.Constants[a].rate(r.end.z[a]) * s.p.Constants[b].rate(r.end.z[b])
}

// Correlation gives that of two constants, by their places: from -1 to 1, and 0
// with one at its bound.
func (r *Result) Correlation(a, b int) float64 {
	size := math.Sqrt(r.covariance.At(a, a) * r.covariance.At(b, b))
	if size == 0 {
		return 0
	}
	return r.covariance.At(a, b) / size
}

// Carry gives the standard uncertainty that the constants together bring to
// what rises with each of them by a slope: JCGM 100:2008, equation (13), with
// the correlations in it.
func (r *Result) Carry(slopes []float64) float64 {
	sum := 0.0
	for a, x := range slopes {
		for b, y := range slopes {
			sum += x * y * r.Covariance(a, b)
		}
	}
	return math.Sqrt(max(sum, 0))
}
