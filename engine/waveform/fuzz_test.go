package waveform_test

import (
	"encoding/binary"
	"errors"
	"math"
	"testing"

	"slipring/engine/waveform"
)

// FuzzMeasures: any samples give a measure within its bounds or a *Failure,
// and never a panic or a value that is not a number.
func FuzzMeasures(f *testing.F) {
	put := func(stepped bool, raw bool, xs ...float64) {
		var b []byte
		for _, x := range xs {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
		}
		f.Add(b, stepped, raw)
	}
	put(false, false, 0.1, -1, 0.1, 1, 0.1, -1, 0.1, 1, 0.1, -1, 0.1, 1)
	put(true, false, 0.1, 0, 0.2, 1, 0.1, 0, 0.2, 1, 0.1, 0, 0.1, 1, 0.3, 0)
	put(false, false, 0.1, 1e149, 0, -1e149, 1e-300, 1e149, 1, 0)
	put(false, true, 0, 1, 1, math.NaN(), 2, math.Inf(1))
	put(false, true, 3, 1, 1, 5)
	put(true, false, 1e-76, 9e-308, 1e-76, 4.5e-308) // found by fuzzing: integrals that underflow
	put(false, false, 1e-310, 1, 1e-310, 2)          // and a span whose inverse overflows
	f.Fuzz(func(t *testing.T, data []byte, stepped, raw bool) {
		g := waveform.Signal{Name: "fuzzed", Stepped: stepped}
		at := 0.0
		for ; len(data) >= 16 && len(g.T) < 400; data = data[16:] {
			x := math.Float64frombits(binary.LittleEndian.Uint64(data))
			y := math.Float64frombits(binary.LittleEndian.Uint64(data[8:]))
			if !raw { // steps of time instead of instants, so that more of it is measured
				at += math.Abs(x)
				x = at
			}
			g.T, g.Y = append(g.T, x), append(g.Y, y)
		}
		failed := func(err error) bool {
			var failure *waveform.Failure
			if err != nil && !errors.As(err, &failure) {
				t.Fatalf("not a failure: %v", err)
			}
			return err != nil
		}
		low, high, err := g.Range()
		if failed(err) {
			if mean, err := g.Mean(); err == nil {
				t.Fatalf("no range, but a mean of %g", mean)
			}
			return
		}
		size := math.Max(math.Abs(low), math.Abs(high)) * (1 + 1e-12)
		mean, rms, ac := must(g.Mean()), must(g.RMS()), must(g.ACRMS())
		if !(mean >= low && mean <= high && rms >= 0 && rms <= size && ac >= 0 && ac <= (high-low)*(1+1e-12)) {
			t.Fatalf("%g to %g: mean %g, r.m.s. %g, without mean %g", low, high, mean, rms, ac)
		}
		if d := math.Hypot(mean, ac) - rms; math.Abs(d) > 1e-7*size+1e-308 { // the smallest numbers have few figures
			t.Fatalf("mean %g and %g without mean do not make %g", mean, ac, rms)
		}
		from, to, _ := g.Span()
		levels, err := g.StateLevels()
		if failed(err) {
			if high > low*(1+1e-9) && !errors.Is(err, waveform.ErrFlat) {
				t.Fatalf("no levels: %v", err)
			}
		} else if !(levels.Low >= low-1e-9*(high-low) && levels.Low < levels.High && levels.High <= high+1e-9*(high-low)) {
			t.Fatalf("%g to %g: levels %+v", low, high, levels)
		}
		if x, err := g.Timing(waveform.References{}); !failed(err) {
			if !(x.Duty >= 0 && x.Duty <= 1 && x.Periods >= 1 && x.Period > 0 && x.Shortest <= x.Longest && x.Rise >= 0 && x.Fall >= 0) {
				t.Fatalf("timing %+v", x)
			}
		}
		last, lastUp := from, false
		crossings, err := g.Crossings(mean, 0)
		if failed(err) {
			t.Fatal(err)
		}
		for i, c := range crossings {
			if c.At < last || c.At > to || i > 0 && c.Rising == lastUp {
				t.Fatalf("crossing %d of %+v", i, crossings)
			}
			last, lastUp = c.At, c.Rising
		}
		if x, err := g.HalfCycles(mean); !failed(err) && !(math.Abs(x.Inequality) <= 1 && x.Frequency > 0) {
			t.Fatalf("half cycles %+v", x)
		}
		if h, err := g.Harmonics(1, 5); !failed(err) {
			for k, a := range h.Amplitude {
				// a component is at most 4/pi of the largest value
				if !(math.Abs(a) <= 1.28*size) {
					t.Fatalf("order %d: %g of %g", k, a, size)
				}
			}
		}
		if x, err := g.THD(0); !failed(err) && !(x >= 0) {
			t.Fatalf("distortion %g", x)
		}
		if _, err := g.Spectrum(64); failed(err) {
			t.Fatal(err)
		}
		if cut, err := g.Window(from, to); failed(err) || len(cut.T) < 2 {
			t.Fatalf("whole window: %v, %v", cut, err)
		}
	})
}
