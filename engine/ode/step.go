package ode

import "math"

// The step-size controller: an elementary one, with the usual safety factor
// and limits (Hairer, Norsett, Wanner, section II.4).
const (
	safety = 0.9
	shrink = 0.2
	grow   = 5.0
)

// accept tries steps until one passes the error test. It sets y0, y1, the
// piece and the next proposed step; y and t are still those of the start.
func (s *Solver) accept(tEnd float64, left *int, dense bool) error {
	if !s.fresh {
		s.problem.Derivative(s.t, s.y, s.k[0])
		s.stats.Evaluations++
		if i := notFinite(s.y); i >= 0 {
			return s.fail(ErrNotFinite, s.h, "coordinate %d is %g; look at what set it", i, s.y[i])
		}
		if i := notFinite(s.k[0]); i >= 0 {
			return s.fail(ErrNotFinite, s.h, "the derivative of coordinate %d is %g; look at the right-hand side there", i, s.k[0][i])
		}
		s.fresh = true
	}
	if s.h == 0 {
		s.h = s.firstStep(tEnd)
	}
	for i := range s.guards {
		dense = dense || !s.guards[i].Off
	}
	for {
		h := min(s.h, s.settings.MaxStep)
		end := s.t + h
		switch remaining := tEnd - s.t; {
		case remaining <= h*(1+1e-9): // MaxStep is kept to rounding
			h, end = remaining, tEnd
		case remaining < 1.1*h:
			h = remaining / 2 // two even steps rather than a sliver at the end
			end = s.t + h
		}
		if end != tEnd && s.t+h/16 == s.t {
			return s.fail(ErrStepTooSmall, h, "rounding would hide a shorter one; loosen RelTol or look for a jump in the right-hand side that no guard watches")
		}
		if *left == 0 {
			return s.fail(ErrBudget, h, "%d trial steps did not reach t = %.12g; raise MaxSteps or loosen RelTol", s.settings.MaxSteps, tEnd)
		}
		*left--

		var e float64
		if s.method == DormandPrince54 {
			e = s.trial54(h)
		} else {
			e = s.trial853(h)
		}
		if e <= 1 {
			if s.method == DormandPrince8 {
				s.finish853(h, dense)
			}
			factor := s.factor(e)
			if s.rejected {
				factor = min(factor, 1)
			}
			s.rejected = false
			next := h * factor
			if h < s.h && factor == grow {
				// Cut short only to land on tEnd, which says nothing against s.h.
				next = max(next, s.h)
			}
			s.h = next
			s.stepStart, s.step = s.t, h
			s.piece.T0, s.piece.T1 = s.t, end
			copy(s.y0, s.y)
			s.serial++
			s.stats.Steps++
			return nil
		}
		s.stats.Rejected++
		s.rejected = true
		if e > 1 && !math.IsInf(e, 1) {
			s.h = h * s.factor(e)
			continue
		}
		// Not a number, or beyond all bounds: perhaps the trial left the domain
		// of the right-hand side, so try a much shorter one.
		s.h = h * shrink
		if s.t+s.h/16 == s.t {
			return s.fail(ErrNotFinite, h, "the right-hand side gives no finite value however short the step; look at it there")
		}
	}
}

// factor is the controller's next step as a multiple of the last: safety times
// e^(-1/order), between shrink and grow. It uses no library function that has
// an assembly form on some machines, so that a page in the browser takes the
// very steps that the command took.
func (s *Solver) factor(e float64) float64 {
	if s.method == DormandPrince8 {
		return min(grow, max(shrink, safety/math.Sqrt(math.Sqrt(math.Sqrt(e)))))
	}
	// These two also keep the root below within bounds.
	if e <= (safety/grow)*(safety/grow)*(safety/grow)*(safety/grow)*(safety/grow) {
		return grow
	}
	if e >= (safety/shrink)*(safety/shrink)*(safety/shrink)*(safety/shrink)*(safety/shrink) {
		return shrink
	}
	return safety * inverseFifthRoot(e)
}

// inverseFifthRoot returns x^(-1/5) to about 1e-8 for ordinary positive x:
// dividing the exponent field by -5 gives a tenth, and Newton's method for
// y^-5 = x squares the error, times 3, each time.
func inverseFifthRoot(x float64) float64 {
	one := math.Float64bits(1)
	y := math.Float64frombits(one + one/5 - math.Float64bits(x)/5)
	for range 4 {
		y2 := y * y
		y *= 1.2 - 0.2*x*y2*y2*y
	}
	return y
}

// firstStep is the starting step of Hairer, Norsett, Wanner, section II.4.
func (s *Solver) firstStep(tEnd float64) float64 {
	size, slope := 0.0, 0.0
	for i, y := range s.y {
		sc := s.relTol * (s.problem.Scale[i] + math.Abs(y))
		size += (y / sc) * (y / sc)
		slope += (s.k[0][i] / sc) * (s.k[0][i] / sc)
	}
	h0 := 1e-6
	if size > 1e-10 && slope > 1e-10 {
		h0 = 0.01 * math.Sqrt(size/slope)
	}
	h0 = min(h0, tEnd-s.t, s.settings.MaxStep)
	for i, y := range s.y {
		s.stage[i] = y + h0*s.k[0][i]
	}
	s.problem.Derivative(s.t+h0, s.stage, s.k[1])
	s.stats.Evaluations++
	bend := 0.0
	for i, y := range s.y {
		sc := s.relTol * (s.problem.Scale[i] + math.Abs(y))
		d := (s.k[1][i] - s.k[0][i]) / sc
		bend += d * d
	}
	n := float64(len(s.y))
	largest := max(math.Sqrt(slope/n), math.Sqrt(bend/n)/h0)
	h1 := max(1e-6, h0*1e-3)
	if largest > 1e-15 {
		h1 = s.root(0.01 / largest)
	}
	h := min(100*h0, h1)
	if !(h > 0) { // an overflow above says nothing about the step
		h = h0
	}
	return h
}

// root is x^(1/order).
func (s *Solver) root(x float64) float64 {
	if s.method == DormandPrince8 {
		return math.Sqrt(math.Sqrt(math.Sqrt(x)))
	}
	return 1 / inverseFifthRoot(x)
}

// notFinite returns the first coordinate that is not finite, or -1.
func notFinite(v []float64) int {
	for i, x := range v {
		if x-x != 0 {
			return i
		}
	}
	return -1
}
