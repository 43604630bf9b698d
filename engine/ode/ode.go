// Package ode integrates ordinary differential equations whose right-hand
// side switches when a state coordinate crosses a level, as the contacts of a
// regulator make it do.
//
//	s, err := ode.New(problem, ode.Settings{RelTol: 1e-8})
//	s.Start(0, y0)
//	err = s.Advance(20, func(p *ode.Piece) { ... })
//
// Every crossing is found: the dense output of a step is a polynomial, and its
// Bernstein coefficients certify that a step holds no crossing, or bracket the
// first one. The package knows no physics and does not treat stiff systems.
package ode

import "strconv"

// Problem is what to integrate. Dim is the number of state coordinates.
type Problem struct {
	Dim int

	// Derivative writes dy/dt at (t, y) into dydt. It must be smooth between
	// crossings, and must not keep or change y.
	Derivative func(t float64, y, dydt []float64)

	// Scale, of length Dim, is the size at which each coordinate counts as
	// small: the error norm divides by RelTol*(Scale[i]+|y[i]|).
	Scale []float64

	// Guards are the levels to watch. Crossing may change them.
	Guards []Guard

	// Crossing is called at each crossing, with y set to the state there and
	// the guarded coordinate set exactly to its level. It may change y (a
	// jump), and the guards' levels, sides and arming; unless it does, the guard
	// goes on watching the same level from the other side, and Above already
	// says so. A returned true ends Advance at that instant, with no error. It
	// may be nil when crossings only need counting.
	Crossing func(guard int, t float64, y []float64, guards []Guard) (stop bool)
}

// Guard watches one coordinate against one level while it is armed.
type Guard struct {
	Coordinate int
	Level      float64
	Above      bool // the side on which the coordinate is taken to be now, also when exactly on the level
	Off        bool // not watched
}

// Method is a Runge-Kutta pair.
type Method int

const (
	DormandPrince8  Method = iota // DOP853, order 8, dense output of order 7
	DormandPrince54               // order 5, dense output of order 4
)

// Settings tunes a Solver. The zero value works.
type Settings struct {
	Method     Method
	RelTol     float64 // relative tolerance; 0 means 1e-6
	FirstStep  float64 // first trial step; 0 lets the solver choose
	MaxStep    float64 // longest step; 0 means no limit
	MaxSteps   int     // budget of trial steps for each Advance; 0 means 50 million
	ZenoEvents int     // this many crossings within ZenoWindow is an error; 0 means 100
	ZenoWindow float64 // 0 means 1e-3
}

// Stats counts the work done since Start.
type Stats struct {
	Steps       int // accepted
	Rejected    int
	Evaluations int
	Crossings   int
}

// String returns the method's name in the literature.
func (m Method) String() string {
	switch m {
	case DormandPrince54:
		return "Dormand-Prince 5(4)"
	case DormandPrince8:
		return "DOP853"
	}
	return "Method(" + strconv.Itoa(int(m)) + ")"
}
