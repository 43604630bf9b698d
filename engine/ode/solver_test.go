package ode

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func TestNewRefuses(t *testing.T) {
	ok := func(float64, []float64, []float64) {}
	for _, c := range []struct {
		name string
		p    Problem
		s    Settings
		want string // a part of the message
	}{
		{"no dimension", Problem{Derivative: ok}, Settings{}, "dimension 0"},
		{"no derivative", Problem{Dim: 1, Scale: []float64{1}}, Settings{}, "no Derivative"},
		{"short scale", Problem{Dim: 2, Derivative: ok, Scale: []float64{1}}, Settings{}, "1 entries for 2"},
		{"zero scale", Problem{Dim: 1, Derivative: ok, Scale: []float64{0}}, Settings{}, "Scale[0] is 0"},
		{"NaN scale", Problem{Dim: 1, Derivative: ok, Scale: []float64{math.NaN()}}, Settings{}, "Scale[0] is NaN"},
		{"guard coordinate", Problem{Dim: 1, Derivative: ok, Scale: []float64{1}, Guards: []Guard{{Coordinate: 1}}}, Settings{}, "guard 0 watches coordinate 1 of 1"},
		{"guard level", Problem{Dim: 1, Derivative: ok, Scale: []float64{1}, Guards: []Guard{{Level: math.NaN()}}}, Settings{}, "guard 0"},
		{"method", Problem{Dim: 1, Derivative: ok, Scale: []float64{1}}, Settings{Method: 7}, "no method Method(7)"},
		{"negative tolerance", Problem{Dim: 1, Derivative: ok, Scale: []float64{1}}, Settings{RelTol: -1}, "RelTol is -1"},
		{"NaN step", Problem{Dim: 1, Derivative: ok, Scale: []float64{1}}, Settings{MaxStep: math.NaN()}, "MaxStep is NaN"},
		{"loose tolerance", Problem{Dim: 1, Derivative: ok, Scale: []float64{1}}, Settings{RelTol: 1}, "RelTol is 1"},
		{"negative budget", Problem{Dim: 1, Derivative: ok, Scale: []float64{1}}, Settings{MaxSteps: -1}, "MaxSteps is -1"},
		{"one Zeno event", Problem{Dim: 1, Derivative: ok, Scale: []float64{1}}, Settings{ZenoEvents: 1}, "ZenoEvents is 1"},
	} {
		s, err := New(c.p, c.s)
		if err == nil || s != nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want a message with %q", c.name, err, c.want)
		}
	}
}

func TestAdvanceRefuses(t *testing.T) {
	s := solver(t, Problem{Dim: 1, Derivative: func(_ float64, _, d []float64) { d[0] = 1 }}, Settings{})
	if err := s.Advance(1, nil); err == nil {
		t.Error("Advance before Start gives no error")
	}
	s.Start(0, []float64{1, 2})
	if err := s.Advance(1, nil); err == nil || !strings.Contains(err.Error(), "2 coordinates for 1") {
		t.Errorf("a long start: %v", err)
	}
	s.Start(5, []float64{1})
	for _, end := range []float64{4, math.NaN(), math.Inf(1)} {
		if err := s.Advance(end, nil); err == nil {
			t.Errorf("Advance from 5 to %v gives no error", end)
		}
	}
	if err := s.Advance(5, nil); err != nil || s.Stats().Steps != 0 {
		t.Errorf("Advance to where it is: %v, %+v", err, s.Stats())
	}
}

// Each reason to give up: it can be told apart, says where it happened, and
// leaves the solver at the last good state.
func TestFailures(t *testing.T) {
	chatter := 1.0
	for _, c := range []struct {
		name   string
		p      Problem
		s      Settings
		start  float64
		reason error
		after  float64 // the failure lies between these times
		before float64
	}{
		{"budget", Problem{Derivative: func(t float64, y, d []float64) { d[0] = math.Cos(50 * t) }},
			Settings{MaxSteps: 20}, 0, ErrBudget, 0.01, 9},
		// y = 1/(1-t)
		{"blow-up", Problem{Derivative: func(_ float64, y, d []float64) { d[0] = y[0] * y[0] }},
			Settings{}, 1, ErrStepTooSmall, 0.999999, 1.0001},
		{"domain", Problem{Derivative: func(_ float64, y, d []float64) { d[0] = -1 - math.Sqrt(y[0]) }},
			Settings{}, 1, ErrNotFinite, 0.6, 0.62}, // 2(1 - ln 2) = 0.6137
		{"start", Problem{Derivative: func(_ float64, y, d []float64) { d[0] = 1 }},
			Settings{}, math.NaN(), ErrNotFinite, 0, 0},
		{"level", Problem{
			Derivative: func(_ float64, y, d []float64) { d[0] = 1 },
			Guards:     []Guard{{Level: 0.5}},
			Crossing:   func(_ int, _ float64, _ []float64, g []Guard) bool { g[0].Level = math.NaN(); return false },
		}, Settings{}, 0, ErrNotFinite, 0.5, 0.5},
		{"start slope", Problem{Derivative: func(_ float64, y, d []float64) { d[0] = math.Inf(1) }},
			Settings{}, 0, ErrNotFinite, 0, 0},
		// A sliding mode: on either side the motion is towards the level.
		{"sliding", Problem{
			Derivative: func(_ float64, y, d []float64) { d[0] = chatter },
			Guards:     []Guard{{Level: 0.5}},
			Crossing: func(_ int, _ float64, _ []float64, g []Guard) bool {
				chatter = 1
				if g[0].Above {
					chatter = -1
				}
				return false
			},
		}, Settings{}, 0, ErrZeno, 0.5, 0.501},
	} {
		for _, m := range methods {
			chatter = 1
			c.p.Dim = 1
			c.s.Method = m.method
			s := solver(t, c.p, c.s)
			s.Start(0, []float64{c.start})
			err := s.Advance(10, nil)
			var failure *Failure
			if !errors.As(err, &failure) || !errors.Is(err, c.reason) {
				t.Errorf("%s, %v: error %v, want %v", c.name, m.method, err, c.reason)
				continue
			}
			for _, other := range []error{ErrBudget, ErrZeno, ErrStepTooSmall, ErrNotFinite} {
				if other != c.reason && errors.Is(err, other) {
					t.Errorf("%s: is also %v", c.name, other)
				}
			}
			if failure.Time != s.Time() || !(failure.Time >= c.after-1e-12 && failure.Time <= c.before+1e-12) {
				t.Errorf("%s, %v: at t = %v, solver at %v, expected %v to %v", c.name, m.method, failure.Time, s.Time(), c.after, c.before)
			}
			if text := err.Error(); !strings.Contains(text, "t = ") || !strings.Contains(text, "h = ") || strings.ContainsAny(text, "\n") {
				t.Errorf("%s: message %q", c.name, text)
			}
			if part := map[string]string{"start": "coordinate 0 is NaN", "start slope": "derivative of coordinate 0 is +Inf"}[c.name]; !strings.Contains(err.Error(), part) {
				t.Errorf("%s: message %q without %q", c.name, err, part)
			}
			if c.name != "start" && notFinite(s.State()) >= 0 {
				t.Errorf("%s, %v: left with state %v", c.name, m.method, s.State())
			}
		}
	}
}

// After the budget error Advance goes on, and ends where one long Advance does.
func TestGoingOnAfterTheBudget(t *testing.T) {
	p := Problem{Dim: 4, Derivative: twoBody}
	start := kepler(0.5, 0)
	whole := solver(t, p, Settings{})
	whole.Start(0, start[:])
	advance(t, whole, 20, nil)
	parts := solver(t, p, Settings{MaxSteps: 7})
	parts.Start(0, start[:])
	n := 0
	for {
		err := parts.Advance(20, nil)
		if err == nil {
			break
		}
		if n++; !errors.Is(err, ErrBudget) || n > 1000 {
			t.Fatal(err)
		}
	}
	if n == 0 || parts.Stats() != whole.Stats() {
		t.Errorf("%d interruptions, %+v against %+v", n, parts.Stats(), whole.Stats())
	}
	for i, v := range whole.State() {
		if parts.State()[i] != v {
			t.Errorf("coordinate %d: %v against %v", i, parts.State()[i], v)
		}
	}
}

// ZenoEvents crossings within ZenoWindow are an error, one fewer are not: a
// relay that crosses every 0.2.
func TestZenoWindow(t *testing.T) {
	for _, c := range []struct {
		window, at float64 // of the failure; 0 means none
	}{{0.39, 0}, {0.41, 0.5}} {
		slope := 1.0
		s := solver(t, Problem{
			Dim:        1,
			Derivative: func(_ float64, _, d []float64) { d[0] = slope },
			Guards:     []Guard{{Coordinate: 0, Level: 0.1}},
			Crossing: func(_ int, _ float64, _ []float64, guards []Guard) bool {
				slope = -slope
				guards[0].Level = -guards[0].Level
				return false
			},
		}, Settings{ZenoEvents: 3, ZenoWindow: c.window})
		s.Start(0, []float64{0})
		err := s.Advance(3, nil)
		if c.at == 0 && err != nil || c.at != 0 && (!errors.Is(err, ErrZeno) || math.Abs(s.Time()-c.at) > 1e-12) {
			t.Errorf("window %v: %v at %v", c.window, err, s.Time())
		}
	}
}

// Restart forgets what was there: the run after it equals a fresh one.
func TestRestart(t *testing.T) {
	for _, m := range methods {
		k := 1.0
		p := Problem{Dim: 2, Derivative: func(_ float64, y, d []float64) { d[0], d[1] = y[1], -k*y[0] }}
		s := solver(t, p, Settings{Method: m.method, RelTol: 1e-9})
		s.Start(0, []float64{1, 0})
		advance(t, s, 3, nil)
		k = 400
		copy(s.State(), []float64{0.5, 0})
		s.Restart()
		before := s.Stats()
		advance(t, s, 4, nil)

		other := solver(t, p, Settings{Method: m.method, RelTol: 1e-9})
		other.Start(3, []float64{0.5, 0})
		advance(t, other, 4, nil)
		for i, v := range other.State() {
			if s.State()[i] != v {
				t.Errorf("%v: coordinate %d is %v, fresh %v", m.method, i, s.State()[i], v)
			}
		}
		if s.Stats().Steps-before.Steps != other.Stats().Steps {
			t.Errorf("%v: %+v after %+v, fresh %+v", m.method, s.Stats(), before, other.Stats())
		}
		if want := 0.5 * math.Cos(20); math.Abs(s.State()[0]-want) > 1e-6 {
			t.Errorf("%v: %v, want %v", m.method, s.State()[0], want)
		}
	}
}

// Crossing may call Restart, for a jump after which the old step is too long.
func TestRestartInCrossing(t *testing.T) {
	for _, m := range methods {
		rate := 1e-3
		var s *Solver
		s = solver(t, Problem{
			Dim:        1,
			Derivative: func(t float64, y, d []float64) { d[0] = rate * math.Cos(rate*t) },
			Guards:     []Guard{{Level: 0.1}},
			Crossing: func(_ int, t float64, y []float64, guards []Guard) bool {
				rate, y[0] = 1e3, 0
				guards[0].Off = true
				s.Restart()
				return false
			},
		}, Settings{Method: m.method})
		s.Start(0, []float64{0})
		rejected := -1
		advance(t, s, 101, func(p *Piece) {
			if rate > 1 && rejected < 0 {
				rejected = s.Stats().Rejected
				if p.T1-p.T0 > 1e-3 {
					t.Errorf("%v: the first step after the jump is %g long", m.method, p.T1-p.T0)
				}
			}
		})
		if rejected < 0 {
			t.Fatalf("%v: no jump", m.method)
		}
	}
}

// The counters agree with what was called.
func TestStats(t *testing.T) {
	for _, m := range methods {
		calls := 0
		g := &governor{}
		p := g.problem()
		inner := p.Derivative
		p.Derivative = func(t float64, y, d []float64) { calls++; inner(t, y, d) }
		s := solver(t, p, Settings{Method: m.method})
		g.start(s)
		pieces := 0
		advance(t, s, 2, func(*Piece) { pieces++ })
		st := s.Stats()
		if st.Evaluations != calls || st.Crossings != g.events || st.Steps != pieces {
			t.Errorf("%v: %+v, but %d calls, %d events, %d pieces", m.method, st, calls, g.events, pieces)
		}
		// Without crossings: the slope and the trial of the first step, then 6 a
		// trial step, or 11 and one more when it is accepted, and 3 for an
		// accepted one that somebody looks at.
		free := solver(t, Problem{Dim: 4, Derivative: twoBody}, Settings{Method: m.method})
		start := kepler(0.7, 0)
		free.Start(0, start[:])
		advance(t, free, 20, nil)
		advance(t, free, 40, nil)
		st = free.Stats()
		want := 2 + 6*(st.Steps+st.Rejected)
		if m.method == DormandPrince8 {
			want = 2 + 12*st.Steps + 11*st.Rejected
		}
		if st.Evaluations != want || st.Rejected == 0 {
			t.Errorf("%v: %+v, but %d evaluations expected", m.method, st, want)
		}
		g.start(s)
		if s.Stats() != (Stats{}) {
			t.Errorf("%v: after Start %+v", m.method, s.Stats())
		}
	}
}

// Neither steps nor crossings nor looking at pieces allocate.
func TestNoAllocations(t *testing.T) {
	for _, m := range methods {
		g := &governor{}
		s := solver(t, g.problem(), Settings{Method: m.method})
		var y [gDim]float64
		marks := 0
		each := func(p *Piece) {
			p.Fill((p.T0+p.T1)/2, y[:])
			if _, ok := p.Cross(gTravel, contactPlane); ok {
				marks++
			}
		}
		var err error
		n := testing.AllocsPerRun(5, func() {
			g.start(s)
			err = s.Advance(2, each)
		})
		if err != nil {
			t.Fatal(err)
		}
		if n != 0 {
			t.Errorf("%v: %v allocations in a run of %d steps and %d crossings", m.method, n, s.Stats().Steps, s.Stats().Crossings)
		}
		if s.Stats().Crossings == 0 || marks == 0 {
			t.Errorf("%v: nothing was crossed", m.method)
		}
	}
}

// The same problem gives the same bits.
func TestDeterministic(t *testing.T) {
	for _, m := range methods {
		_, a := run(t, Settings{Method: m.method})
		_, b := run(t, Settings{Method: m.method})
		for i := range a.State() {
			if a.State()[i] != b.State()[i] {
				t.Errorf("%v: coordinate %d: %v and %v", m.method, i, a.State()[i], b.State()[i])
			}
		}
	}
}
