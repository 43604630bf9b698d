package waveform_test

import (
	"math"
	"testing"

	"slipring/engine/waveform"
)

// turning makes a set with 200 samples a turn: speed turns a second, and a
// signal of time and of the angle within the turn.
func turning(turns int, speed float64, f func(t, angle float64) float64) waveform.Set {
	g := sampled(200*turns, float64(turns)/speed, func(t float64) float64 {
		return f(t, 2*math.Pi*speed*t)
	})
	g.Name = "speed"
	s := waveform.Set{Signals: []waveform.Signal{g}}
	for i := range turns + 1 {
		s.Starts = append(s.Starts, float64(i)/speed)
	}
	s.Starts[turns] = g.T[len(g.T)-1]
	return s
}

func TestRipple(t *testing.T) {
	// 20 turns a second with 0.03 % once a turn, 0.1 % twice a turn, and a slow
	// swing that is not tied to the turn
	s := turning(40, 20, func(t, angle float64) float64 {
		return 20 + 6e-3*math.Cos(angle+1.1) + 20e-3*math.Sin(2*angle) + 50e-3*math.Sin(2*math.Pi*3*t)
	})
	got := must(s.Ripple("speed"))
	// lines instead of curves lower it by (sin x/x)^2, x = pi/200: 0.008 %
	if got.Turns != 40 || math.Abs(got.Amplitude-6e-3) > 2e-5 || math.Abs(got.Phase-1.1) > 3e-3 {
		t.Errorf("%d turns, %.6g at %.5g rad; want 40, 0.006 at 1.1", got.Turns, got.Amplitude, got.Phase)
	}
	if math.Abs(got.Mean-20) > 1e-9 || math.Abs(got.Relative-3e-4) > 1e-6 {
		t.Errorf("mean %.9g, relative %.6g", got.Mean, got.Relative)
	}
	quiet := must(turning(10, 20, func(_, angle float64) float64 { return 5 + 0.25*math.Cos(2*angle) }).Ripple("speed"))
	if quiet.Amplitude > 1e-12 || math.Abs(quiet.Swing-0.5) > 1e-12 {
		t.Errorf("twice a turn only: once a turn %g, swing %g; want 0 and 0.5", quiet.Amplitude, quiet.Swing)
	}
}

func TestRMSOfTurns(t *testing.T) {
	// in each of three turns a level of its own, and a sine about it
	s := turning(3, 20, func(t, angle float64) float64 { return math.Floor(20*t+1e-9) + 2*math.Sin(angle) })
	got := must(s.RMSOfTurns("speed"))
	for i, want := range []float64{math.Sqrt(2), math.Sqrt(1 + 2), math.Sqrt(4 + 2)} {
		if at := (float64(i) + 0.5) / 20; len(got.T) != 3 || math.Abs(got.T[i]-at) > 1e-12 || math.Abs(got.Y[i]-want) > 0.01 {
			t.Fatalf("turn %d: %v at %v; want %.4f at %.4f", i, got.Y, got.T, want, at)
		}
	}
	if _, err := s.RMSOfTurns("voltage"); err == nil {
		t.Error("a signal that the set has not was measured")
	}
	s.Starts = s.Starts[:1]
	if _, err := s.RMSOfTurns("speed"); err == nil {
		t.Error("turns were measured where there are none")
	}
}

// One swing ten times as deep as the others swallows a neighbour, but does not
// hide the rest.
func TestHuntingBesideOneDeepSwing(t *testing.T) {
	s := turning(80, 20, func(t, angle float64) float64 {
		return 20 + 0.06*math.Sin(2*math.Pi*4.45*t) - 0.6*math.Exp(-(t-2)*(t-2)/0.005)
	})
	if got := must(s.Hunting("speed")); got.Frequency < 4.1 || got.Frequency > 4.5 {
		t.Errorf("%.3f Hz in %d cycles, want 4.45 Hz, less one cycle", got.Frequency, got.Cycles)
	}
}

func TestHunting(t *testing.T) {
	const ripple = 0.05
	for _, c := range []struct {
		what      string
		frequency float64 // of the swing, Hz
		peak      float64
		want      float64
	}{
		{"a governor without gravity", 4.45, 0.06, 4.45},
		{"slow", 0.9, 0.2, 0.9},
		{"every third turn", 20.0 / 3, 0.1, 20.0 / 3},
		{"every second turn is a period of two turns", 10, 0.1, 0},
		{"steady", 4, 0.005, 0},
		{"two whole swings are not seen", 0.4, 0.2, 0},
	} {
		s := turning(80, 20, func(t, angle float64) float64 {
			return 20 + ripple*math.Sin(angle) + c.peak*math.Sin(2*math.Pi*c.frequency*t+0.4)
		})
		got := must(s.Hunting("speed"))
		if math.Abs(got.Frequency-c.want) > 0.01*c.want || (got.Cycles == 0) != (c.want == 0) {
			t.Errorf("%s: %.4f Hz in %d cycles, want %.4f Hz", c.what, got.Frequency, got.Cycles, c.want)
		}
		if c.want > 0 && math.Abs(got.Amplitude-c.peak) > 0.02*c.peak {
			t.Errorf("%s: peak %.5f, want %.5f", c.what, got.Amplitude, c.peak)
		}
		if got.Swing > 2*c.peak+1e-9 {
			t.Errorf("%s: swing %.5f holds more than the hunting's %.5f", c.what, got.Swing, 2*c.peak)
		}
	}
}
