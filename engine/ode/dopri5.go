package ode

import "math"

// Dormand and Prince's pair of orders 5 and 4, seven stages of which the last
// is the first of the next step, with the free dense output of order 4.
//
// Source: E. Hairer, S. P. Norsett, G. Wanner, Solving Ordinary Differential
// Equations I, 2nd ed., Table II.5.2 (the pair) and section II.6 with the code
// DOPRI5 (the dense output).
const (
	a21 = 1. / 5
	a31 = 3. / 40
	a32 = 9. / 40
	a41 = 44. / 45
	a42 = -56. / 15
	a43 = 32. / 9
	a51 = 19372. / 6561
	a52 = -25360. / 2187
	a53 = 64448. / 6561
	a54 = -212. / 729
	a61 = 9017. / 3168
	a62 = -355. / 33
	a63 = 46732. / 5247
	a64 = 49. / 176
	a65 = -5103. / 18656
	a71 = 35. / 384
	a73 = 500. / 1113
	a74 = 125. / 192
	a75 = -2187. / 6784
	a76 = 11. / 84

	e1 = 71. / 57600
	e3 = -71. / 16695
	e4 = 71. / 1920
	e5 = -17253. / 339200
	e6 = 22. / 525
	e7 = -1. / 40

	d1 = -12715105075. / 11282082432
	d3 = 87487479700. / 32700410799
	d4 = -10690763975. / 1880347072
	d5 = 701980252875. / 199316789632
	d6 = -1453857185. / 822651844
	d7 = 69997945. / 29380423
)

// trial54 tries a step from (t, y) to t+h, leaves its end in y1 and the slope
// there in k[6], and returns the error norm.
func (s *Solver) trial54(h float64) float64 {
	f, t := s.problem.Derivative, s.t
	n := len(s.y)
	y, w, z := s.y[:n], s.stage[:n], s.y1[:n]
	k1, k2, k3, k4 := s.k[0][:n], s.k[1][:n], s.k[2][:n], s.k[3][:n]
	k5, k6, k7 := s.k[4][:n], s.k[5][:n], s.k[6][:n]

	for i := range n {
		w[i] = y[i] + h*(a21*k1[i])
	}
	f(t+h*(1./5), w, k2)
	for i := range n {
		w[i] = y[i] + h*(a31*k1[i]+a32*k2[i])
	}
	f(t+h*(3./10), w, k3)
	for i := range n {
		w[i] = y[i] + h*(a41*k1[i]+a42*k2[i]+a43*k3[i])
	}
	f(t+h*(4./5), w, k4)
	for i := range n {
		w[i] = y[i] + h*(a51*k1[i]+a52*k2[i]+a53*k3[i]+a54*k4[i])
	}
	f(t+h*(8./9), w, k5)
	for i := range n {
		w[i] = y[i] + h*(a61*k1[i]+a62*k2[i]+a63*k3[i]+a64*k4[i]+a65*k5[i])
	}
	f(t+h, w, k6)
	for i := range n {
		z[i] = y[i] + h*(a71*k1[i]+a73*k3[i]+a74*k4[i]+a75*k5[i]+a76*k6[i])
	}
	f(t+h, z, k7)
	s.stats.Evaluations += 6

	scale := s.problem.Scale[:n]
	sum := 0.0
	for i := range n {
		e := e1*k1[i] + e3*k3[i] + e4*k4[i] + e5*k5[i] + e6*k6[i] + e7*k7[i]
		e /= scale[i] + max(math.Abs(y[i]), math.Abs(z[i]))
		sum += e * e
	}
	return h * math.Sqrt(sum/float64(n)) / s.relTol
}

// dense54 writes the five coefficients of the dense output of one coordinate,
// of the form r0 + u(r1 + (1-u)(r2 + u(r3 + (1-u)r4))).
func (s *Solver) dense54(c int, r *coefficients) {
	h := s.step
	k1, k7 := s.k[0][c], s.k[6][c]
	diff := s.y1[c] - s.y0[c]
	bend := h*k1 - diff
	r[0] = s.y0[c]
	r[1] = diff
	r[2] = bend
	r[3] = diff - h*k7 - bend
	r[4] = h * (d1*k1 + d3*s.k[2][c] + d4*s.k[3][c] + d5*s.k[4][c] + d6*s.k[5][c] + d7*k7)
}

func (r *coefficients) at54(u float64) float64 {
	v := 1 - u
	return r[0] + u*(r[1]+v*(r[2]+u*(r[3]+v*r[4])))
}

// inner54 gives the Bernstein coefficients of the dense output but for two at
// each end, which follow from the values and slopes there; r0 is r[0] less the
// level.
func (r *coefficients) inner54(r0 float64, b *bernstein) {
	b[2] = r0 + r[1]/2 + r[2]/3 + (r[3]+r[4])/6
}
