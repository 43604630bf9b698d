package waveform

import (
	"errors"
	"math"
	"testing"
)

func toAndFro(span float64, turns int, high float64) Signal {
	g := Signal{Name: "current", Unit: "A"}
	for i := range 401 {
		p := float64(i) / 400
		g.T = append(g.T, span*p)
		g.Y = append(g.Y, high*math.Sin(2*math.Pi*(float64(turns)*p+0.1)))
	}
	return g
}

func one(frequency, decay float64) Gong {
	return Gong{Partials: []Partial{{Frequency: frequency, Amplitude: 1}}, Decay: decay}
}

// Two gongs of different pitch are struck once each in a cycle: right after a
// rise the sound is that of one, right after a fall that of the other, and
// between strokes it dies away as exp(-t/decay).
func TestStrikes(t *testing.T) {
	const span = 0.1
	g := toAndFro(span, 1, 0.03) // rises through 0 at 0.09 s, falls at 0.04 s
	s, err := g.Strikes(one(1000, 0.004), one(1500, 0.004))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ from, pitch float64 }{{0.09, 1000}, {0.04, 1500}} {
		piece, err := s.Window(c.from+1e-5, c.from+0.006)
		if err != nil {
			t.Fatal(err)
		}
		up, err := piece.Crossings(0, 0)
		if err != nil || len(up) < 5 {
			t.Fatalf("%d passages, %v", len(up), err)
		}
		cycles := float64(len(up)-1) / 2
		if f := cycles / (up[len(up)-1].At - up[0].At); math.Abs(f/c.pitch-1) > 0.02 {
			t.Errorf("after the stroke at %v s: %v Hz, want %v Hz", c.from, f, c.pitch)
		}
		// one decay later it is 1/e as loud
		loud := func(at float64) float64 {
			w, _ := s.Window(at, at+0.002)
			v, _ := w.RMS()
			return v
		}
		if r := loud(c.from+0.0045) / loud(c.from+0.0005); math.Abs(r*math.E-1) > 0.05 {
			t.Errorf("one decay after the stroke at %v s: %v as loud, want 1/e", c.from, r)
		}
	}
	if s.T[0] != 0 || s.T[len(s.T)-1] != span {
		t.Errorf("from %v to %v s", s.T[0], s.T[len(s.T)-1])
	}
}

// Played again and again the sound has no seam: with a decay much longer than
// the period, the end still joins the beginning.
func TestStrikesHaveNoSeam(t *testing.T) {
	g := toAndFro(0.06, 1, 0.03)
	s, err := g.Strikes(one(440, 0.3), one(500, 0.3))
	if err != nil {
		t.Fatal(err)
	}
	low, high := s.extremes()
	if off := math.Abs(s.Y[0] - s.Y[len(s.Y)-1]); off > 0.01*(high-low) {
		t.Errorf("the end is %v off the beginning, of a range of %v", off, high-low)
	}
	// how strong the current is does not matter, only that it turns round
	again, _ := toAndFro(0.06, 1, 3).Strikes(one(440, 0.3), one(500, 0.3))
	for i := range s.Y {
		if math.Abs(again.Y[i]-s.Y[i]) > 1e-6 {
			t.Fatalf("sample %d: %v and %v", i, s.Y[i], again.Y[i])
		}
	}
}

func TestStrikesFail(t *testing.T) {
	flat := Signal{T: []float64{0, 1}, Y: []float64{2, 2}}
	good := toAndFro(0.06, 1, 1)
	for name, f := range map[string]func() (Signal, error){
		"never passes 0": func() (Signal, error) { return flat.Strikes(one(440, 0.1), one(500, 0.1)) },
		"too long":       func() (Signal, error) { return toAndFro(60, 3, 1).Strikes(one(440, 0.1), one(500, 0.1)) },
		"no decay":       func() (Signal, error) { return good.Strikes(one(440, 0), one(500, 0.1)) },
		"no partials":    func() (Signal, error) { return good.Strikes(Gong{Decay: 0.1}, one(500, 0.1)) },
		"no pitch":       func() (Signal, error) { return good.Strikes(one(440, 0.1), one(math.NaN(), 0.1)) },
		"too few":        func() (Signal, error) { return Signal{}.Strikes(one(440, 0.1), one(500, 0.1)) },
	} {
		_, err := f()
		var failure *Failure
		if !errors.As(err, &failure) || failure.Next == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}
