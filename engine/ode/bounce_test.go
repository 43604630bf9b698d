package ode

import (
	"errors"
	"math"
	"testing"
)

// ball falls from height h and keeps the fraction e of its speed at each
// bounce. Guard 0 is the floor, guard 1 the top of each flight.
type ball struct {
	e    float64
	rest float64 // speed below which it is taken to rest; 0 means never
	tops []float64
	hits []float64
}

const (
	gravity = 9.81
	drop    = 1.0
)

func (b *ball) problem() Problem {
	return Problem{
		Dim:        2,
		Derivative: func(_ float64, y, d []float64) { d[0], d[1] = y[1], -gravity },
		Guards:     []Guard{{Coordinate: 0, Above: true}, {Coordinate: 1, Above: true, Off: true}},
		Crossing: func(guard int, t float64, y []float64, guards []Guard) bool {
			if guard == 1 {
				b.tops = append(b.tops, y[0])
				guards[1].Off = true
				return false
			}
			b.hits = append(b.hits, t)
			y[1] *= -b.e
			guards[0].Above = true // it stays above the floor
			guards[1] = Guard{Coordinate: 1, Above: true}
			return y[1] < b.rest
		},
	}
}

// The total time and path of a bouncing ball are geometric series in e and
// e^2: sqrt(2h/g)(1+e)/(1-e) and h(1+e^2)/(1-e^2). Closed forms, no source.
func TestBouncingBall(t *testing.T) {
	for _, m := range methods {
		for _, e := range []float64{0.5, 0.8, 0.1} {
			b := &ball{e: e, rest: 1e-9}
			s := solver(t, b.problem(), Settings{Method: m.method, RelTol: 1e-8, ZenoEvents: 1000})
			s.Start(0, []float64{drop, 0})
			lowest := 0.0
			advance(t, s, 100, func(p *Piece) {
				for i := range 21 {
					lowest = min(lowest, p.At(p.T0+(p.T1-p.T0)*float64(i)/20, 0))
				}
			})
			total := math.Sqrt(2*drop/gravity) * (1 + e) / (1 - e)
			if math.Abs(s.Time()-total) > 1e-8 {
				t.Errorf("%v, e = %g: comes to rest at %.12g, series %.12g", m.method, e, s.Time(), total)
			}
			path := drop
			for i, top := range b.tops {
				path += 2 * top
				if want := drop * math.Pow(e, float64(2*i+2)); math.Abs(top-want) > 1e-12 {
					t.Errorf("%v, e = %g: top %d is %.12g, want %.12g", m.method, e, i, top, want)
				}
			}
			if want := drop * (1 + e*e) / (1 - e*e); math.Abs(path-want) > 1e-12 {
				t.Errorf("%v, e = %g: path %.12g, series %.12g", m.method, e, path, want)
			}
			// The rounding of a dense output that spans a metre or more.
			if lowest < -2e-14 {
				t.Errorf("%v, e = %g: the ball is %g under the floor", m.method, e, -lowest)
			}
		}
	}
}

// Never taken to rest, the ball bounces without end before the total time. It
// still does not fall through, and the solver says what is wrong.
func TestBallWithoutRestIsZeno(t *testing.T) {
	for _, m := range methods {
		b := &ball{e: 0.5}
		s := solver(t, b.problem(), Settings{Method: m.method, ZenoEvents: 60})
		s.Start(0, []float64{drop, 0})
		lowest := 0.0
		err := s.Advance(2, func(p *Piece) { lowest = min(lowest, p.At(p.T1, 0), p.At((p.T0+p.T1)/2, 0)) })
		var failure *Failure
		if !errors.Is(err, ErrZeno) || !errors.As(err, &failure) {
			t.Fatalf("%v: error %v, want ErrZeno", m.method, err)
		}
		total := math.Sqrt(2*drop/gravity) * 3
		if math.Abs(failure.Time-total) > 1e-3 || failure.Time != s.Time() {
			t.Errorf("%v: gives up at %v, the series ends at %v", m.method, failure.Time, total)
		}
		if lowest < -1e-15 || s.State()[0] < 0 {
			t.Errorf("%v: fell to %v", m.method, lowest)
		}
		// Sixty crossings in a millisecond, not sixty in all.
		if n := s.Stats().Crossings; n <= 60 {
			t.Errorf("%v: gave up after %d crossings", m.method, n)
		}
	}
}

// Many bounces within what would be one step: the hits are at the partial sums
// of the series.
func TestBouncesWithinOneStep(t *testing.T) {
	for _, m := range methods {
		b := &ball{e: 0.5, rest: 1e-3}
		s := fixed(t, m.method, 10, b.problem())
		s.Start(0, []float64{drop, 0})
		advance(t, s, 10, nil)
		fall := math.Sqrt(2 * drop / gravity)
		at, flight := fall, fall
		if len(b.hits) < 10 {
			t.Fatalf("%v: %d bounces", m.method, len(b.hits))
		}
		for i, hit := range b.hits {
			if math.Abs(hit-at) > 1e-12 {
				t.Errorf("%v: bounce %d at %.14g, want %.14g", m.method, i, hit, at)
			}
			flight *= 0.5
			at += 2 * flight
		}
	}
}
