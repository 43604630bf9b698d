package ode

import (
	"math"
	"testing"
)

// The Arenstorf orbit, a closed orbit of the restricted three-body problem:
// E. Hairer, S. P. Norsett, G. Wanner, Solving Ordinary Differential Equations
// I, section II.0 and the driver dr_dopri5.f of their code. The points at
// t = 2, 4, ... are from the worked example of the deSolve package, computed at
// tolerance 1e-17.
func arenstorf(_ float64, y, d []float64) {
	const mu = 0.012277471
	a, b := y[0]+mu, y[0]-(1-mu)
	d1 := math.Pow(a*a+y[1]*y[1], 1.5)
	d2 := math.Pow(b*b+y[1]*y[1], 1.5)
	d[0], d[1] = y[2], y[3]
	d[2] = y[0] + 2*y[3] - (1-mu)*a/d1 - mu*b/d2
	d[3] = y[1] - 2*y[2] - (1-mu)*y[1]/d1 - mu*y[1]/d2
}

func TestArenstorf(t *testing.T) {
	const period = 17.0652165601579625588917206249
	points := [][2]float64{
		{-.5798767232, .6090783555}, {-.1983328832, 1.137637824},
		{-.4735743108, .2239077929}, {-1.174553507, -.2759450770},
		{-.8398071663, .4468314171}, {.01314377269, -.8385747019},
		{-.6031162761, -.9912585277}, {.2427044376, -.3899991215},
	}
	for _, m := range methods {
		s := solver(t, Problem{Dim: 4, Derivative: arenstorf}, Settings{Method: m.method, RelTol: 1e-13})
		s.Start(0, []float64{.994, 0, 0, -2.00158510637908252240537862224})
		for i, want := range points {
			advance(t, s, float64(2*i+2), nil)
			for c, w := range want {
				// Half a unit of the last printed digit, and the orbit's growth of
				// rounding errors.
				if got := s.State()[c]; math.Abs(got-w) > 1e-9 {
					t.Errorf("%v, t = %d, coordinate %d: %.10g, published %.10g", m.method, 2*i+2, c, got, w)
				}
			}
		}
		advance(t, s, period, nil)
		if x, y := s.State()[0], s.State()[1]; math.Hypot(x-.994, y) > 1e-7 {
			t.Errorf("%v: the orbit returns to (%.10g, %.10g), not to (0.994, 0)", m.method, x, y)
		}
	}
}

// HIRES, the high irradiance response of photomorphogenesis: F. Mazzia,
// C. Magherini, Test Set for IVP Solvers, release 2.4 (2008). Mildly stiff, so
// an explicit method must find small steps by itself.
func hires(_ float64, y, d []float64) {
	d[0] = -1.71*y[0] + 0.43*y[1] + 8.32*y[2] + 0.0007
	d[1] = 1.71*y[0] - 8.75*y[1]
	d[2] = -10.03*y[2] + 0.43*y[3] + 0.035*y[4]
	d[3] = 8.32*y[1] + 1.71*y[2] - 1.12*y[3]
	d[4] = -1.745*y[4] + 0.43*y[5] + 0.43*y[6]
	d[5] = -280*y[5]*y[7] + 0.69*y[3] + 1.71*y[4] - 0.43*y[5] + 0.69*y[6]
	d[6] = 280*y[5]*y[7] - 1.81*y[6]
	d[7] = -d[6]
}

func TestHires(t *testing.T) {
	want := []float64{
		.7371312573325668e-3, .1442485726316185e-3, .5888729740967575e-4, .1175651343283149e-2,
		.2386356198831331e-2, .6238968252742796e-2, .2849998395185769e-2, .2850001604814231e-2,
	}
	scale := make([]float64, 8)
	for i := range scale {
		scale[i] = 1e-4
	}
	for _, m := range methods {
		s := solver(t, Problem{Dim: 8, Derivative: hires, Scale: scale}, Settings{Method: m.method, RelTol: 1e-10})
		s.Start(0, []float64{1, 0, 0, 0, 0, 0, 0, .0057})
		advance(t, s, 321.8122, nil)
		for i, w := range want {
			if d := relative(s.State()[i], w); !(d < 1e-9) {
				t.Errorf("%v, coordinate %d: %.16g, published %.16g", m.method, i+1, s.State()[i], w)
			}
		}
	}
}

// Class A of DETEST, whose solutions are known in closed form: T. E. Hull,
// W. H. Enright, B. M. Fellen, A. E. Sedgwick, Comparing numerical methods for
// ordinary differential equations, SIAM J. Numer. Anal. 9 (1972) 603-637.
func TestDetestA(t *testing.T) {
	for _, c := range []struct {
		name  string
		slope func(t float64, y, d []float64)
		scale float64
		want  float64
	}{
		{"A1", func(_ float64, y, d []float64) { d[0] = -y[0] }, 1e-9, 2.061153622e-9},               // e^-20
		{"A2", func(_ float64, y, d []float64) { d[0] = -y[0] * y[0] * y[0] / 2 }, 1, .2182178902},   // 1/sqrt(21)
		{"A3", func(t float64, y, d []float64) { d[0] = y[0] * math.Cos(t) }, 1, 2.491650272},        // e^(sin 20)
		{"A4", func(_ float64, y, d []float64) { d[0] = y[0] / 4 * (1 - y[0]/20) }, 1, 17.730166481}, // 20/(1+19 e^-5)
	} {
		for _, m := range methods {
			s := solver(t, Problem{Dim: 1, Derivative: c.slope, Scale: []float64{c.scale}}, Settings{Method: m.method, RelTol: 1e-12})
			s.Start(0, []float64{1})
			advance(t, s, 20, nil)
			if d := relative(s.State()[0], c.want); !(d < 1e-9) {
				t.Errorf("%s, %v: %.12g, want %.12g", c.name, m.method, s.State()[0], c.want)
			}
		}
	}
}

// Class D of the same set at all five eccentricities: two bodies, t = 20, each
// against Kepler's equation.
func TestDetestD(t *testing.T) {
	for i, e := range []float64{0.1, 0.3, 0.5, 0.7, 0.9} {
		for _, m := range methods {
			s := solver(t, Problem{Dim: 4, Derivative: twoBody}, Settings{Method: m.method, RelTol: 1e-11})
			start := kepler(e, 0)
			s.Start(0, start[:])
			advance(t, s, 20, nil)
			if d := distance(s.State(), kepler(e, 20)); !(d < 2e-8) {
				t.Errorf("D%d, %v: off by %.2g", i+1, m.method, d)
			}
		}
	}
}

// The cannon of scipy's documentation of solve_ivp: y” = -1/2, thrown up at 10.
// It tops out at 100 when t = 20 and comes down when t = 40.
func TestCannon(t *testing.T) {
	for _, m := range methods {
		var times, heights []float64
		s := solver(t, Problem{
			Dim:        2,
			Derivative: func(_ float64, y, d []float64) { d[0], d[1] = y[1], -0.5 },
			Guards:     []Guard{{Coordinate: 0, Above: true}, {Coordinate: 1, Above: true}},
			Crossing: func(guard int, t float64, y []float64, _ []Guard) bool {
				times = append(times, t)
				heights = append(heights, y[0])
				return guard == 0
			},
		}, Settings{Method: m.method})
		s.Start(0, []float64{0, 10})
		advance(t, s, 100, nil)
		if len(times) != 2 || math.Abs(times[0]-20) > 1e-12 || math.Abs(times[1]-40) > 1e-12 {
			t.Fatalf("%v: crossings at %v, want 20 and 40", m.method, times)
		}
		if math.Abs(heights[0]-100) > 1e-11 || heights[1] != 0 {
			t.Errorf("%v: heights %v, want 100 and exactly 0", m.method, heights)
		}
		if s.Time() != times[1] || math.Abs(s.State()[1]+10) > 1e-12 {
			t.Errorf("%v: stopped at t = %v with speed %v", m.method, s.Time(), s.State()[1])
		}
	}
}
