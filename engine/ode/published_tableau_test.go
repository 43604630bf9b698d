package ode

import (
	"math"
	"testing"
)

// stages runs one step of length 1 from y = 0 with a right-hand side that is
// slope(k) at its k-th evaluation, and gives where and when each evaluation asked
// for it.
func stages(t *testing.T, method Method, slope func(k int) float64) (asked, when []float64, s *Solver, middle float64) {
	t.Helper()
	s = fixed(t, method, 1, Problem{Dim: 1, Derivative: func(at float64, y, d []float64) {
		d[0] = slope(len(asked))
		asked, when = append(asked, y[0]), append(when, at)
	}})
	s.Start(0, []float64{0})
	advance(t, s, 1, func(p *Piece) { middle = p.At(0.5, 0) })
	return asked, when, s, middle
}

// estimate gives the error that a method estimates for a step of length 1 with a
// slope of 1 in stage j alone.
func estimate(s *Solver, trial func(float64) float64, only func(int) float64) float64 {
	s.y[0] = 0
	s.k[0][0] = only(0)
	at := 0
	s.problem.Derivative = func(_ float64, _, d []float64) { at++; d[0] = only(at) }
	return trial(1) * s.relTol * (s.problem.Scale[0] + math.Abs(s.y1[0]))
}

func only(j int) func(int) float64 {
	return func(k int) float64 {
		if k == j {
			return 1
		}
		return 0
	}
}

// The table of coefficients as J. R. Dormand and P. J. Prince print it (A family
// of embedded Runge-Kutta formulae, J. Comp. Appl. Math. 6 (1980) 19-26; read in
// a copy at resources.facilia.se, dopri45), read back from what the method does:
// with a slope of 1 in stage j alone, stage i is asked for at a[i][j].
func TestPublishedTableau(t *testing.T) {
	a := [7][7]float64{
		{},
		{1. / 5},
		{3. / 40, 9. / 40},
		{44. / 45, -56. / 15, 32. / 9},
		{19372. / 6561, -25360. / 2187, 64448. / 6561, -212. / 729},
		{9017. / 3168, -355. / 33, 46732. / 5247, 49. / 176, -5103. / 18656},
		{35. / 384, 0, 500. / 1113, 125. / 192, -2187. / 6784, 11. / 84},
	}
	fourth := [7]float64{5179. / 57600, 0, 7571. / 16695, 393. / 640, -92097. / 339200, 187. / 2100, 1. / 40}
	// L. F. Shampine, Some practical Runge-Kutta formulas, Math. Comp. 46 (1986)
	// 135-150, p. 149: the weights of half a step (read as quoted in a program)
	half := [7]float64{6025192743. / 30085553152, 0, 51252292925. / 65400821598, -2691868925. / 45128329728,
		187940372067. / 1594534317056, -1776094331. / 19743644256, 11237099. / 235043384}
	for j := range 7 {
		asked, _, s, middle := stages(t, DormandPrince54, only(j))
		for i := range 7 {
			if math.Abs(asked[i]-a[i][j]) > 1e-14 {
				t.Errorf("a[%d][%d] is %.12g, printed %.12g", i+1, j+1, asked[i], a[i][j])
			}
		}
		if math.Abs(middle-half[j]/2) > 1e-13 {
			t.Errorf("half a step has %.12g of stage %d, printed %.12g", middle, j+1, half[j]/2)
		}
		// the error estimate is the difference of the two last lines
		got := estimate(s, s.trial54, only(j))
		if want := math.Abs(a[6][j] - fourth[j]); math.Abs(got-want) > 1e-14 {
			t.Errorf("the error estimate has %.12g of stage %d, printed %.12g", got, j+1, want)
		}
	}
}

// DOP853 estimates its error by two formulas, which E. Hairer and G. Wanner's
// code of that name mixes as e5 e5/sqrt(e5 e5 + 0.01 e3 e3); the coefficients
// were read in programs that took them from it.
func TestPublishedEstimate(t *testing.T) {
	weights := [12]float64{0: 5.42937341165687622380535766363e-2, 5: 4.45031289275240888144113950566, 6: 1.89151789931450038304281599044,
		7: -5.8012039600105847814672114227, 8: 3.1116436695781989440891606237e-1, 9: -1.52160949662516078556178806805e-1,
		10: 2.01365400804030348374776537501e-1, 11: 4.47106157277725905176885569043e-2}
	third := [12]float64{0: 0.244094488188976377952755905512, 8: 0.733846688281611857341361741547, 11: 0.220588235294117647058823529412e-01}
	fifth := [12]float64{0: 0.1312004499419488073250102996e-01, 5: -0.1225156446376204440720569753e+01, 6: -0.4957589496572501915214079952,
		7: 0.1664377182454986536961530415e+01, 8: -0.3503288487499736816886487290, 9: 0.3341791187130174790297318841,
		10: 0.8192320648511571246570742613e-01, 11: -0.2235530786388629525884427845e-01}
	for j := range 12 {
		_, _, s, _ := stages(t, DormandPrince8, only(j))
		want := 0.0
		if fifth[j] != 0 {
			want = fifth[j] * fifth[j] / math.Hypot(fifth[j], 0.1*(weights[j]-third[j]))
		}
		if got := estimate(s, s.trial853, only(j)); math.Abs(got-want) > 1e-13 {
			t.Errorf("with a slope in stage %d alone the error estimate is %.12g, printed %.12g", j+1, got, want)
		}
	}
}

// The nodes of both methods, those of DOP853 as E. Hairer, S. P. Norsett and
// G. Wanner print them in section II.5 of Solving Ordinary Differential Equations
// I (from memory; their decimals were read): with a slope of 1 everywhere each
// stage is asked for at its node, and for no other moment.
func TestPublishedNodes(t *testing.T) {
	r := math.Sqrt(6)
	c4 := (6 - r) / 30
	for method, want := range map[Method][]float64{
		DormandPrince54: {0, 1. / 5, 3. / 10, 4. / 5, 8. / 9, 1, 1},
		DormandPrince8: {0, 4. / 9 * c4, 2. / 3 * c4, c4, (6 + r) / 30, 1. / 3, 1. / 4, 4. / 13, 127. / 195, 3. / 5, 6. / 7, 1, 1,
			1. / 10, 1. / 5, 7. / 9}, // the last three serve the dense output
	} {
		asked, when, _, _ := stages(t, method, func(int) float64 { return 1 })
		if len(asked) != len(want) {
			t.Fatalf("%v: %d evaluations, want %d", method, len(asked), len(want))
		}
		for i, w := range want {
			if math.Abs(asked[i]-w) > 1e-14 || math.Abs(when[i]-w) > 1e-14 {
				t.Errorf("%v: node %d is %.15g at %.15g, printed %.15g", method, i+1, asked[i], when[i], w)
			}
		}
	}
}

// Problem class D of DETEST once more, with steps of a given length, which
// correct no wrong coefficient. What chooses the length of the others (factor,
// firstStep and their roots) has no printed value: a thousandth more or less
// gives other steps and the same results. The printed solution, Kepler's equation,
// is met at the end and between the steps.
func TestPublishedFixedSteps(t *testing.T) {
	for _, c := range []struct {
		method       Method
		h            float64
		end, between float64 // three times what is found
	}{
		{DormandPrince54, 0.01, 1e-10, 1e-10},
		{DormandPrince8, 0.1, 2e-11, 2.5e-11},
	} {
		const e = 0.1
		s := fixed(t, c.method, c.h, Problem{Dim: 4, Derivative: twoBody})
		start := kepler(e, 0)
		s.Start(0, start[:])
		between := 0.0
		advance(t, s, 20, func(p *Piece) {
			var y [4]float64
			for _, u := range []float64{0.2, 0.5, 0.8} {
				at := p.T0 + u*(p.T1-p.T0)
				p.Fill(at, y[:])
				between = max(between, distance(y[:], kepler(e, at)))
			}
		})
		if d := distance(s.State(), kepler(e, 20)); !(d < c.end) || !(between < c.between) {
			t.Errorf("%v: off by %.2g at the end, by %.2g between steps", c.method, d, between)
		}
	}
}
