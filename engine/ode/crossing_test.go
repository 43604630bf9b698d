package ode

import (
	"fmt"
	"math"
	"testing"
)

type event struct {
	guard int
	t     float64
}

// record appends every crossing to events.
func record(events *[]event) func(int, float64, []float64, []Guard) bool {
	return func(guard int, t float64, _ []float64, _ []Guard) bool {
		*events = append(*events, event{guard, t})
		return false
	}
}

// quadratic moves y0 along (t-0.5)^2.
func quadratic(t float64, _, d []float64) { d[0] = 2 * (t - 0.5) }

func expect(t *testing.T, what string, got []event, within float64, want ...event) {
	t.Helper()
	ok := len(got) == len(want)
	for i := 0; ok && i < len(want); i++ {
		ok = got[i].guard == want[i].guard && math.Abs(got[i].t-want[i].t) <= within
	}
	if !ok {
		t.Errorf("%s: crossings %v, want %v", what, got, want)
	}
}

// A dip below the level and back within one step: both crossings are found,
// and the first is not taken for the second. The ends of the step lie on the
// same side, so a test of signs there finds nothing.
func TestDipWithinOneStep(t *testing.T) {
	for _, m := range methods {
		plain := fixed(t, m.method, 1, Problem{Dim: 1, Derivative: quadratic})
		plain.Start(0, []float64{0.25})
		const level = 1e-4
		advance(t, plain, 1, func(p *Piece) {
			if p.T0 != 0 || p.T1 != 1 || !(p.At(0, 0) > level && p.At(1, 0) > level) {
				t.Fatalf("not one step with both ends above the level: %v to %v", p.T0, p.T1)
			}
		})
		var events []event
		s := fixed(t, m.method, 1, Problem{
			Dim: 1, Derivative: quadratic,
			Guards:   []Guard{{Coordinate: 0, Level: level, Above: true}},
			Crossing: record(&events),
		})
		s.Start(0, []float64{0.25})
		advance(t, s, 1, nil)
		expect(t, m.method.String(), events, 1e-12, event{0, 0.49}, event{0, 0.51})
	}
}

// The same on a problem with long steps, counted against the closed form: the
// sine passes 0.995 twice a turn. What a test of signs at the ends of the steps
// would count is counted too.
func TestEndpointSignsMissCrossings(t *testing.T) {
	const level, turns = 0.995, 200
	for _, c := range []struct {
		method Method
		tol    float64
	}{{DormandPrince54, 1e-3}, {DormandPrince8, 1e-6}} {
		p := Problem{Dim: 2, Derivative: func(_ float64, y, d []float64) { d[0], d[1] = y[1], -y[0] }}
		naive := 0
		plain := solver(t, p, Settings{Method: c.method, RelTol: c.tol})
		plain.Start(0, []float64{0, 1})
		// The amplitude must stay above the level: a turn at a time.
		for range turns {
			copy(plain.State(), []float64{0, 1})
			plain.Restart()
			advance(t, plain, plain.Time()+2*math.Pi, func(p *Piece) {
				if (p.At(p.T0, 0) >= level) != (p.At(p.T1, 0) >= level) {
					naive++
				}
			})
		}
		var events []event
		p.Guards = []Guard{{Coordinate: 0, Level: level}}
		p.Crossing = record(&events)
		s := solver(t, p, Settings{Method: c.method, RelTol: c.tol})
		s.Start(0, []float64{0, 1})
		for range turns {
			copy(s.State(), []float64{0, 1})
			s.Restart()
			advance(t, s, s.Time()+2*math.Pi, nil)
		}
		if len(events) != 2*turns {
			t.Errorf("%v: %d crossings, want %d", c.method, len(events), 2*turns)
		}
		if naive >= 2*turns {
			t.Errorf("%v: signs at the ends find all %d, so the problem is too easy to show anything", c.method, naive)
		}
	}
}

// A near miss is not a crossing; a dip of a millionth of a millionth is two. An
// exact touch is none, or two when rounding makes a dip of it, but never one.
func TestGrazing(t *testing.T) {
	for _, m := range methods {
		for _, c := range []struct {
			start float64
			want  []event
		}{
			{0.25 + 1e-13, nil},
			{0.25 - 1e-12, []event{{0, 0.5 - 1e-6}, {0, 0.5 + 1e-6}}},
		} {
			var events []event
			s := fixed(t, m.method, 1, Problem{
				Dim: 1, Derivative: quadratic,
				Guards:   []Guard{{Coordinate: 0, Above: true}},
				Crossing: record(&events),
			})
			s.Start(0, []float64{c.start})
			advance(t, s, 1, nil)
			expect(t, fmt.Sprint(m.method, " from ", c.start), events, 1e-9, c.want...)
			events = nil
			s.Start(0, []float64{0.25})
			advance(t, s, 1, nil)
			if len(events) != 0 && (len(events) != 2 || events[1].t-events[0].t > 1e-7) {
				t.Errorf("%v: a touch gives crossings %v", m.method, events)
			}
		}
	}
}

// Three crossings by three guards, two of them on one coordinate, in what would
// be one step, in the order of time and each on its own level.
func TestEarliestOfSeveralGuards(t *testing.T) {
	for _, m := range methods {
		var events []event
		s := fixed(t, m.method, 1, Problem{
			Dim:        2,
			Derivative: func(_ float64, _, d []float64) { d[0], d[1] = 1, -2 },
			Guards:     []Guard{{Coordinate: 1, Level: 0, Above: true}, {Coordinate: 0, Level: 0.25}, {Coordinate: 0, Level: 0.75}},
			Crossing: func(guard int, t float64, y []float64, guards []Guard) bool {
				events = append(events, event{guard, t})
				if y[guards[guard].Coordinate] != guards[guard].Level {
					events = append(events, event{-1, y[guards[guard].Coordinate]})
				}
				return false
			},
		})
		s.Start(0, []float64{0, 1})
		advance(t, s, 1, nil)
		expect(t, m.method.String(), events, 1e-14, event{1, 0.25}, event{0, 0.5}, event{2, 0.75})
	}
}

// Two guards that are crossed at the same instant are both reported.
func TestSimultaneousGuards(t *testing.T) {
	for _, m := range methods {
		var events []event
		s := fixed(t, m.method, 1, Problem{
			Dim:        2,
			Derivative: func(_ float64, _, d []float64) { d[0], d[1] = 1, -3 },
			Guards: []Guard{
				{Coordinate: 0, Level: 1. / 3}, {Coordinate: 1, Level: 0, Above: true}, {Coordinate: 0, Level: 1. / 3},
			},
			Crossing: record(&events),
		})
		s.Start(0, []float64{0, 1})
		advance(t, s, 1, nil)
		seen := [3]int{}
		for _, e := range events {
			seen[e.guard]++
			if math.Abs(e.t-1./3) > 1e-14 {
				t.Errorf("%v: guard %d at %v", m.method, e.guard, e.t)
			}
		}
		if seen != [3]int{1, 1, 1} {
			t.Errorf("%v: guards reported %v times", m.method, seen)
		}
	}
}

// Crossing times of the cosine, pi/2 + k pi, get better with the tolerance and
// end near rounding.
func TestCrossingTimeAccuracy(t *testing.T) {
	for _, m := range methods {
		before := math.Inf(1)
		for _, tol := range []float64{1e-4, 1e-6, 1e-8, 1e-10, 1e-12} {
			var events []event
			s := solver(t, Problem{
				Dim:        2,
				Derivative: func(_ float64, y, d []float64) { d[0], d[1] = y[1], -y[0] },
				Guards:     []Guard{{Coordinate: 0, Above: true}},
				Crossing:   record(&events),
			}, Settings{Method: m.method, RelTol: tol})
			s.Start(0, []float64{1, 0})
			advance(t, s, 10*math.Pi, nil)
			if len(events) != 10 {
				t.Fatalf("%v at %g: %d crossings", m.method, tol, len(events))
			}
			worst := 0.0
			for k, e := range events {
				worst = max(worst, math.Abs(e.t-(float64(k)+0.5)*math.Pi))
			}
			if !(worst < 200*tol) || !(worst < before/5) {
				t.Errorf("%v at %g: crossings off by up to %.2g, before %.2g", m.method, tol, worst, before)
			}
			before = worst
		}
	}
}

// A relay with hysteresis: dx/dt = +1 until x = h, then -1 until x = -h. The
// period is 4h.
func TestHysteresisByLevel(t *testing.T) {
	const h = 0.1
	for _, m := range methods {
		var events []event
		slope := 1.0
		s := solver(t, Problem{
			Dim:        1,
			Derivative: func(_ float64, _, d []float64) { d[0] = slope },
			Guards:     []Guard{{Coordinate: 0, Level: h}},
			Crossing: func(guard int, t float64, y []float64, guards []Guard) bool {
				events = append(events, event{guard, t})
				if y[0] != guards[0].Level {
					events = append(events, event{-1, y[0]})
				}
				slope = -slope
				guards[0].Level = -guards[0].Level // Above already names the new side
				return false
			},
		}, Settings{Method: m.method})
		s.Start(0, []float64{0})
		advance(t, s, 1, nil)
		expect(t, m.method.String(), events, 1e-14, event{0, 0.1}, event{0, 0.3}, event{0, 0.5}, event{0, 0.7}, event{0, 0.9})
	}
}

// A guard that is off reports nothing; another guard switches it on.
func TestGuardOff(t *testing.T) {
	for _, m := range methods {
		var events []event
		s := fixed(t, m.method, 1, Problem{
			Dim:        1,
			Derivative: func(_ float64, _, d []float64) { d[0] = 1 },
			Guards: []Guard{
				{Coordinate: 0, Level: 0.2, Off: true},
				{Coordinate: 0, Level: 0.5},
				{Coordinate: 0, Level: 0.8, Off: true},
			},
			Crossing: func(guard int, t float64, _ []float64, guards []Guard) bool {
				events = append(events, event{guard, t})
				guards[2].Off = false
				return false
			},
		})
		for range 2 { // Start puts the guards back
			events = nil
			s.Start(0, []float64{0})
			advance(t, s, 1, nil)
			expect(t, m.method.String(), events, 1e-14, event{1, 0.5}, event{2, 0.8})
		}
	}
}

// A level that is reached where two Advances meet is crossed once.
func TestCrossingBetweenAdvances(t *testing.T) {
	for _, m := range methods {
		var events []event
		s := fixed(t, m.method, 0.5, Problem{
			Dim:        1,
			Derivative: func(_ float64, _, d []float64) { d[0] = 1 },
			Guards:     []Guard{{Coordinate: 0, Level: 1}},
			Crossing:   record(&events),
		})
		s.Start(0, []float64{0})
		advance(t, s, 1, nil)
		advance(t, s, 2, nil)
		expect(t, m.method.String(), events, 1e-14, event{0, 1})
	}
}

// A start exactly on the level counts as lying on the side that the guard
// names: leaving for the other side is a crossing at that very time, leaving
// for its own is none.
func TestStartOnTheLevel(t *testing.T) {
	for _, m := range methods {
		for _, c := range []struct {
			slope float64
			above bool
			want  []event
		}{
			{1, false, []event{{0, 0}}}, {1, true, nil},
			{-1, false, nil}, {-1, true, []event{{0, 0}}},
		} {
			var events []event
			s := fixed(t, m.method, 0.5, Problem{
				Dim:        1,
				Derivative: func(_ float64, _, d []float64) { d[0] = c.slope },
				Guards:     []Guard{{Coordinate: 0, Level: 1, Above: c.above}},
				Crossing:   record(&events),
			})
			s.Start(0, []float64{1})
			advance(t, s, 2, func(p *Piece) {
				if !(p.T1 > p.T0) {
					t.Errorf("%v: an empty piece at %v", m.method, p.T0)
				}
			})
			expect(t, fmt.Sprint(m.method, c.slope, c.above), events, 0, c.want...)
		}
	}
}

// A guard set beyond its level fires at once and leaves the coordinate alone.
func TestGuardBeyondItsLevel(t *testing.T) {
	var events []event
	s := solver(t, Problem{
		Dim:        1,
		Derivative: func(_ float64, _, d []float64) { d[0] = 1 },
		Guards:     []Guard{{Coordinate: 0, Level: 10}},
		Crossing:   record(&events),
	}, Settings{})
	s.Start(0, []float64{2})
	advance(t, s, 1, nil)
	expect(t, "below", events, 0)
	s.Guards()[0].Level = 2.5
	s.Restart()
	advance(t, s, 2, func(p *Piece) {
		if p.T0 == 1 && p.At(1, 0) != s.State()[0]-(p.T1-1) && math.Abs(p.At(1, 0)-3) > 1e-15 {
			t.Errorf("the coordinate jumped to %v", p.At(1, 0))
		}
	})
	expect(t, "beyond", events, 0, event{0, 1})
	if got := s.State()[0]; math.Abs(got-4) > 1e-14 {
		t.Errorf("ends at %v, want 4", got)
	}
}

// A start at rest on the level, away to the guard's own side, and through it
// later within the same step: y = t^2/2 - t^3/3 comes back to 0 at 1.5.
func TestStartAtRestOnTheLevel(t *testing.T) {
	for _, m := range methods {
		var events []event
		s := fixed(t, m.method, 2, Problem{
			Dim:        1,
			Derivative: func(t float64, _, d []float64) { d[0] = t - t*t },
			Guards:     []Guard{{Coordinate: 0, Above: true}},
			Crossing:   record(&events),
		})
		s.Start(0, []float64{0})
		advance(t, s, 2, nil)
		expect(t, m.method.String(), events, 1e-14, event{0, 1.5})
	}
}

// Stop ends Advance at the crossing, and the next Advance goes on from there.
func TestStop(t *testing.T) {
	stops := 0
	s := solver(t, Problem{
		Dim:        1,
		Derivative: func(_ float64, _, d []float64) { d[0] = 1 },
		Guards:     []Guard{{Coordinate: 0, Level: 0.5}},
		Crossing:   func(int, float64, []float64, []Guard) bool { stops++; return true },
	}, Settings{})
	s.Start(0, []float64{0})
	advance(t, s, 2, nil)
	if math.Abs(s.Time()-0.5) > 1e-15 || s.State()[0] != 0.5 || stops != 1 {
		t.Fatalf("stopped at t = %v, y = %v, %d times", s.Time(), s.State()[0], stops)
	}
	advance(t, s, 2, nil)
	if s.Time() != 2 || math.Abs(s.State()[0]-2) > 1e-14 || stops != 1 {
		t.Fatalf("then at t = %v, y = %v, %d stops", s.Time(), s.State()[0], stops)
	}
}
