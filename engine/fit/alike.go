package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Alike is a set of constants that the readings can hardly tell apart: what one
// of them does, the others can do as well. A set of one is a constant that no
// reading leans on.
type Alike struct {
	Names []string
	// Index is how much surer the readings are of their best combination of
	// constants than of this one; infinite for one of which they say nothing.
	Index float64
}

// The rule of Belsley, Kuh and Welsch, Regression Diagnostics (1980), 3.2: a
// condition index above 30, and two or more constants that owe over half of
// their variance to it.
const (
	alikeIndex = 30
	alikeShare = 0.5
)

// readingsAlone gives the triangle that the readings make of the constants when
// the shared errors are taken out, without priors. The slopes are those of all
// rows.
func (s *search) readingsAlone(j *mat.Dense) *mat.Dense {
	n, k, b := len(s.p.Readings), len(s.p.Constants), len(s.shared)
	rows, _ := j.Dims()
	a := mat.NewDense(max(n+b, k+b), k+b, nil)
	for c := range k + b {
		from := (c + k) % (k + b) // shared errors first, so that the rest is without them
		for r := range n {
			a.Set(r, c, j.At(r, from))
		}
		for r := range b {
			a.Set(n+r, c, j.At(rows-b+r, from))
		}
	}
	var qr mat.QR
	qr.Factorize(a)
	var triangle mat.Dense
	qr.RTo(&triangle)
	return mat.DenseCopyOf(triangle.Slice(b, b+k, b, b+k))
}

// Alike gives the sets of constants that the readings alone, without priors,
// cannot tell apart, the worst first.
func (r *Result) Alike() (out []Alike) {
	var live []int
	constants := r.search.p.Constants
	k := len(constants)
	sizes := make([]float64, k)
	largest := 0.0
	for i := range k {
		sizes[i] = mat.Norm(r.own.ColView(i), 2)
		largest = max(largest, sizes[i])
	}
	for i := range k {
		if r.search.low[i] == r.search.high[i] {
			continue
		}
		// Beside the constant's own size, a millionth of a standard uncertainty is
		// nothing.
		if sizes[i]*r.search.worth(i, r.end.z[i]) < 1e-6 {
			out = append(out, Alike{[]string{constants[i].Name}, math.Inf(1)})
			continue
		}
		live = append(live, i)
	}
	if len(live) < 2 {
		return out
	}
	a := mat.NewDense(k, len(live), nil)
	for c, i := range live {
		for row := range k {
			a.Set(row, c, r.own.At(row, i)/sizes[i])
		}
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		return out
	}
	var v mat.Dense
	svd.VTo(&v)
	values := svd.Values(nil)
	floor := values[0] * 1e-12
	total := make([]float64, len(live))
	share := func(c, m int) float64 { return math.Pow(v.At(c, m)/max(values[m], floor), 2) }
	for c := range live {
		for m := range values {
			total[c] += share(c, m)
		}
	}
	for m := len(values) - 1; m >= 0; m-- {
		index := values[0] / values[m]
		if !(index > alikeIndex) {
			break
		}
		var names []string
		for c, i := range live {
			if share(c, m)/total[c] > alikeShare {
				names = append(names, constants[i].Name)
			}
		}
		if len(names) > 1 {
			out = append(out, Alike{names, index})
		}
	}
	return out
}

// worth is a step of a constant that would matter: all of its value.
func (s *search) worth(i int, z float64) float64 { return s.p.Constants[i].step(z, 1) }
