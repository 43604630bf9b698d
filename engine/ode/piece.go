package ode

import "math"

// coefficients are those of the dense output of one coordinate over one step.
type coefficients [maxDegree + 1]float64

// Piece is the solution between two neighbouring times of T0 < T1: an accepted
// step, or the part of one up to a crossing. It is valid only during the call
// that hands it over.
type Piece struct {
	T0, T1 float64

	solver *Solver
	end    float64 // T1 as a fraction of the step
}

// At returns one coordinate at time t, between T0 and T1, by the dense output
// of the method (order 4 for DormandPrince54, 7 for DormandPrince8). At T1 it
// agrees with State to rounding.
func (p *Piece) At(t float64, coordinate int) float64 {
	s := p.solver
	return s.evaluate(s.dense(coordinate), (t-s.stepStart)/s.step)
}

// Fill writes all coordinates at time t, between T0 and T1, into y, which must
// have the length of the state.
func (p *Piece) Fill(t float64, y []float64) {
	s := p.solver
	u := (t - s.stepStart) / s.step
	for c := range y {
		y[c] = s.evaluate(s.dense(c), u)
	}
}

// Cross returns the first time in the piece at which the coordinate goes from
// one side of the level to the other; a value equal to the level counts as
// above it. So a crossing where two pieces meet is reported by one of them,
// never by both or neither, and a touch that does not pass through is none.
// The answer is as certain as a guard's, but changes nothing.
func (p *Piece) Cross(coordinate int, level float64) (t float64, ok bool) {
	s := p.solver
	var b bernstein
	n := s.bernsteinForm(coordinate, level, &b)
	if p.end < 1 {
		var rest bernstein
		whole := b
		whole.split(n, p.end, &b, &rest)
	}
	// The next piece starts from the state, so this one must end on its side.
	b[n] = s.y[coordinate] - level
	below := b[0] < 0
	landed := below && b[n] == 0
	if below {
		b.flip(n)
	}
	u, ok := b.leaves(n)
	if !ok {
		return p.T1, landed
	}
	return p.T0 + u*(p.T1-p.T0), true
}

// Range returns the lowest and the highest value of one coordinate from time
// from to time to, both between T0 and T1, by the dense output: within 1e-12 of
// the largest coefficient of its polynomial.
func (p *Piece) Range(coordinate int, from, to float64) (low, high float64) {
	s := p.solver
	var b, rest bernstein
	n := s.bernsteinForm(coordinate, 0, &b)
	u, v := (from-s.stepStart)/s.step, (to-s.stepStart)/s.step
	if v < 1 {
		whole := b
		whole.split(n, v, &b, &rest)
	}
	if u > 0 {
		whole := b
		whole.split(n, u/v, &rest, &b)
	}
	tolerance := 0.0
	for k := 0; k <= n; k++ {
		tolerance = max(tolerance, 1e-12*math.Abs(b[k]))
	}
	high = b.highest(n, max(b[0], b[n]), tolerance)
	b.flip(n)
	return -b.highest(n, max(b[0], b[n]), tolerance), high
}

// dense returns the coefficients of one coordinate, worked out once a step.
func (s *Solver) dense(c int) *coefficients {
	r := &s.coefficients[c]
	if s.worked[c] != s.serial {
		s.worked[c] = s.serial
		if s.method == DormandPrince54 {
			s.dense54(c, r)
		} else {
			s.dense853(c, r)
		}
	}
	return r
}

func (s *Solver) evaluate(r *coefficients, u float64) float64 {
	if s.method == DormandPrince54 {
		return r.at54(u)
	}
	return r.at853(u)
}

// bernsteinForm writes the dense output of one coordinate less a level, over
// the whole step, and returns its degree. The ends come from the states and
// slopes themselves, so that neighbouring steps never disagree about a side, nor
// a start on the level about which side it leaves for.
func (s *Solver) bernsteinForm(c int, level float64, b *bernstein) (degree int) {
	r := s.dense(c)
	if s.method == DormandPrince54 {
		degree = 4
		r.inner54(r[0]-level, b)
	} else {
		degree = 7
		r.inner853(r[0]-level, b)
	}
	part := s.step / float64(degree)
	b[0] = r[0] - level
	b[1] = b[0] + part*s.k[0][c]
	b[degree] = s.y1[c] - level
	b[degree-1] = b[degree] - part*s.k[s.last][c]
	return degree
}
