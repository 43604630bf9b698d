package fit

import "math"

// huber is where a residual, in its own uncertainty, begins to count less: at
// 1.345, good readings lose 5 % of what they tell (Huber, Annals of Mathematical
// Statistics 35, 1964, 73-101; Huber, Robust Statistics, 1981, 4.5).
const huber = 1.345

// Robust gives constants near which most of the readings agree, and how far each
// reading is from there, in its own uncertainty. It is Huber's fit: a residual r
// beyond a bend k counts 2 k |r| - k^2 in the place of r^2, so that one reading
// pulls no more than k, however far off it is. That begins a search which a gross
// error would lead astray, and says which readings to leave out of it; it gives
// no uncertainty. It is not for problems in which uncertainties are relative.
func (p Problem) Robust() (constants, far []float64, err error) {
	if err := p.check(); err != nil {
		return nil, nil, err
	}
	s := newSearch(p)
	s.robust = true
	e, err := s.run(s.start())
	if err != nil {
		return nil, nil, err
	}
	s.robust = false
	return s.natural(e.z), s.rows(e.z, e.predicted)[:len(p.Readings)], nil
}

// bent gives a residual as a row of the search has it, so that the sum of the
// squares of all rows is what is to be least, and how fast the row goes with the
// residual.
func (s *search) bent(r float64) (row, rate float64) {
	far := math.Abs(r)
	if !s.robust || far <= huber {
		return r, 1
	}
	row = math.Sqrt(huber * (2*far - huber))
	return math.Copysign(row, r), huber / row
}

// weights gives how fast each row of a reading goes with its prediction.
func (s *search) weights(z, predicted []float64) []float64 {
	out := make([]float64, len(s.p.Readings))
	for i, r := range s.p.Readings {
		_, rate := s.bent(s.rest(i, z, predicted) / r.U)
		out[i] = rate / r.U
	}
	return out
}

// rest gives the prediction of a reading, with the errors that it shares, less
// what was read.
func (s *search) rest(i int, z, predicted []float64) float64 {
	r := s.p.Readings[i]
	x := predicted[i] - r.Value
	for b, name := range s.shared {
		x += r.Shared[name] * z[len(s.p.Constants)+b]
	}
	return x
}
