package ode

import (
	"math"
	"testing"
)

// Marks of a turning shaft, found by an observer: each exactly once, though
// pieces end on marks.
func TestPieceCross(t *testing.T) {
	for _, m := range methods {
		for _, direction := range []float64{1, -1} {
			s := solver(t, Problem{
				Dim:        1,
				Derivative: func(_ float64, _, d []float64) { d[0] = direction },
			}, Settings{Method: m.method, MaxStep: 0.25})
			s.Start(0, []float64{direction * 0.5})
			var times []float64
			next := 1.0
			for frame := 1; frame <= 40; frame++ { // 0.5 s each: every other ends on a mark
				advance(t, s, 0.5*float64(frame), func(p *Piece) {
					if at, ok := p.Cross(0, direction*next); ok {
						times = append(times, at)
						next++
						if at < p.T0 || at > p.T1 {
							t.Errorf("a mark at %v in a piece from %v to %v", at, p.T0, p.T1)
						}
						if v := p.At(at, 0); math.Abs(v-direction*(next-1)) > 1e-14 {
							t.Errorf("the mark %v is at %v", next-1, v)
						}
					}
				})
			}
			// 0.5 + t = 1, 2, ..., 20; going down, the 21st is reached at the very
			// end and not passed.
			if len(times) != 20 {
				t.Fatalf("%v, direction %v: %d marks", m.method, direction, len(times))
			}
			for i, at := range times {
				if math.Abs(at-(float64(i)+0.5)) > 1e-13 {
					t.Errorf("%v: mark %d at %v", m.method, i, at)
				}
			}
		}
	}
}

// An observer of the guarded level sees what the guard sees, though every piece
// that holds a crossing is cut on the level itself.
func TestPieceCrossOnTheGuardsLevel(t *testing.T) {
	for _, m := range methods {
		g := &governor{}
		s := solver(t, g.problem(), Settings{Method: m.method})
		g.start(s)
		marks := 0
		advance(t, s, 20, func(p *Piece) {
			if _, ok := p.Cross(gTravel, contactPlane); ok {
				marks++
			}
		})
		if marks != g.events || marks == 0 {
			t.Errorf("%v: %d marks, %d events", m.method, marks, g.events)
		}
	}
}

// Pieces that are cut at crossings join up, end to end, in time and value.
func TestPiecesJoin(t *testing.T) {
	for _, m := range methods {
		g := &governor{}
		s := solver(t, g.problem(), Settings{Method: m.method})
		g.start(s)
		at := 0.0
		y := append([]float64(nil), s.State()...)
		var begin, end [gDim]float64
		advance(t, s, 1, func(p *Piece) {
			if p.T0 != at || !(p.T1 > p.T0) || s.Time() != p.T1 {
				t.Fatalf("%v: a piece from %v to %v follows one to %v", m.method, p.T0, p.T1, at)
			}
			p.Fill(p.T0, begin[:])
			p.Fill(p.T1, end[:])
			for i := range y {
				if math.Abs(begin[i]-y[i]) > 1e-11*(1+math.Abs(y[i])) || math.Abs(end[i]-s.State()[i]) > 1e-11*(1+math.Abs(y[i])) {
					t.Fatalf("%v: coordinate %d does not join at %v or %v", m.method, i, p.T0, p.T1)
				}
			}
			at = p.T1
			copy(y, s.State())
		})
		if at != 1 {
			t.Errorf("%v: the pieces end at %v", m.method, at)
		}
	}
}

// The range of a circular motion: its crest and its trough lie within pieces,
// and a part of a piece holds what sampling finds in it.
func TestPieceRange(t *testing.T) {
	for _, m := range methods {
		s := solver(t, Problem{
			Dim:        2,
			Derivative: func(_ float64, y, d []float64) { d[0], d[1] = y[1], -y[0] },
		}, Settings{Method: m.method, RelTol: 1e-12, MaxStep: 1})
		s.Start(0, []float64{0, 1})
		low, high := math.Inf(1), math.Inf(-1)
		advance(t, s, 2*math.Pi, func(p *Piece) {
			a, b := p.Range(0, p.T0, p.T1)
			low, high = min(low, a), max(high, b)
			from, to := p.T0+0.3*(p.T1-p.T0), p.T0+0.8*(p.T1-p.T0)
			a, b = p.Range(0, from, to)
			c, d := math.Inf(1), math.Inf(-1)
			for k := range 2001 {
				v := p.At(from+(to-from)*float64(k)/2000, 0)
				c, d = min(c, v), max(d, v)
			}
			if a > c+1e-15 || b < d-1e-15 || a < c-1e-7 || b > d+1e-7 {
				t.Errorf("%v: from %v to %v the range is %v to %v, samples %v to %v", m.method, from, to, a, b, c, d)
			}
		})
		if math.Abs(low+1) > 1e-10 || math.Abs(high-1) > 1e-10 {
			t.Errorf("%v: the motion goes from %.12f to %.12f", m.method, low, high)
		}
	}
}
