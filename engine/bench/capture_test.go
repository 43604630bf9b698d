package bench_test

import (
	"math"
	"strings"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/tell"
	"slipring/engine/waveform"
)

// seen is a capture of a sine of 16 Hz that rises at 0.02 s, and of a contact.
func seen() *bench.Shelf {
	c := bench.Capture{Name: "board", Begin: 0.02, Period: 0.0625}
	bell := bench.CaptureChannel{Name: "bell", Unit: "V", Kind: waveform.Voltage, From: 0.001, Step: 0.0005, Height: 0.5, Time: 0.0002,
		Results: []bench.CaptureResult{{Name: "r.m.s.", Value: 56.5, U: 0.25}, {Name: "phase", Lacking: "there is no other channel"}}}
	contact := bench.CaptureChannel{Name: "contact", Unit: "V", From: 0.001, Step: 0.0005, Height: 0.1, Time: 0.0002}
	for i := range 600 {
		t := 0.001 + float64(i)*0.0005
		bell.Y = append(bell.Y, 80*math.Sin(2*math.Pi*(t-0.02)/0.0625))
		contact.Y = append(contact.Y, math.Round(0.5+0.4*math.Sin(2*math.Pi*t/0.0625)))
	}
	c.Channels = []bench.CaptureChannel{bell, contact}
	s := bench.New(nil)
	s.Lay(bench.Beside{Captures: []bench.Capture{c}})
	return s
}

func TestCapture(t *testing.T) {
	c := seen().Capture("board")
	r := c.Result("bell", "r.m.s.")
	if r.Value != 56.5 || r.U != 0.25 || r.Off(57) != 2 || r.Off(56) != 2 {
		t.Errorf("%+v, off %g", r, r.Off(57))
	}
	set := c.Traces("bell", "contact").Turns(3)
	g := set.Signals[0]
	if len(set.Signals) != 2 || len(set.Starts) != 4 || math.Abs(g.T[len(g.T)-1]-3*0.0625) > 1e-12 {
		t.Fatalf("%d signals, starts %v", len(set.Signals), set.Starts)
	}
	for i, x := range g.T { // a turn begins where the bell's voltage rises
		if want := 80 * math.Sin(2*math.Pi*x/0.0625); math.Abs(g.Y[i]-want) > 0.1 {
			t.Fatalf("%g at %g, want %g", g.Y[i], x, want)
		}
	}
	if w := c.Traces("contact").Window(0.1, 0.2).Signals[0]; w.T[0] != 0 || math.Abs(w.T[len(w.T)-1]-0.1) > 1e-12 {
		t.Errorf("the window reaches from %g to %g", w.T[0], w.T[len(w.T)-1])
	}
}

// The band holds the trace moved by two uncertainties in time or in height, and
// no more than both together.
func TestCaptureLine(t *testing.T) {
	l := seen().Capture("board").Line("bell", 2)
	if !l.Measured || len(l.Low) != len(l.X) {
		t.Fatalf("%+v", l)
	}
	at := func(x float64) float64 { return 80 * math.Sin(2*math.Pi*x/0.0625) }
	for i, x := range l.X {
		if x < 0.001 || x > 0.124 {
			continue
		}
		for _, moved := range []float64{at(x-0.0004) - 0.9, at(x+0.0004) + 0.9} {
			if moved < l.Low[i] || moved > l.High[i] {
				t.Errorf("at %g the band from %g to %g leaves out %g", x, l.Low[i], l.High[i], moved)
			}
		}
		if most := 2*(1+80*2*math.Pi/0.0625*0.0004) + 0.5; l.High[i]-l.Low[i] > most {
			t.Errorf("at %g the band is %g wide", x, l.High[i]-l.Low[i])
		}
	}
}

func TestCaptureMisuse(t *testing.T) {
	c := seen().Capture("board")
	for name, wrong := range map[string]func(){
		`no capture called "bells"`:                  func() { seen().Capture("bells") },
		"captures of this lesson: board":             func() { seen().Capture("bells") },
		`file = "bells.csv"`:                         func() { bench.New(nil).Capture("bells") },
		`has no channel "coil"`:                      func() { c.Result("coil", "r.m.s.") },
		"its channels: bell, contact":                func() { c.Traces("coil") },
		`has no result "rms" of "bell"`:              func() { c.Result("bell", "rms") },
		"its results: r.m.s.":                        func() { c.Result("bell", "rms") },
		"does not give the phase of \"bell\": there": func() { c.Result("bell", "phase") },
		"but the set holds 4":                        func() { c.Traces("bell").Turns(5) },
		"cannot show 0 turns":                        func() { c.Line("bell", 0) },
	} {
		func() {
			defer func() {
				m, ok := recover().(tell.Misuse)
				if said := m.Text + "\n" + m.Hint; !ok || !strings.Contains(said, name) || m.Hint == "" {
					t.Errorf("says %q, want %q", said, name)
				}
			}()
			wrong()
		}()
	}
}
