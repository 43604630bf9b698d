package waveform_test

import (
	"math"
	"testing"

	"slipring/engine/waveform"
)

// 20 turns of the output at 200 samples a turn: what a lesson measures.
func lessonTrace() waveform.Signal {
	return sampled(4000, 1, func(t float64) float64 {
		return 119*math.Sin(2*math.Pi*20*t) + 3*math.Sin(2*math.Pi*60*t)
	})
}

func BenchmarkHarmonics50(b *testing.B) {
	g := lessonTrace()
	for b.Loop() {
		if _, err := g.Harmonics(20, 50); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTHDAllOrders(b *testing.B) {
	g := lessonTrace()
	for b.Loop() {
		if _, err := g.THD(0); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSpectrum4096(b *testing.B) {
	g := lessonTrace()
	for b.Loop() {
		if _, err := g.Spectrum(4096); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSpectrum65536(b *testing.B) {
	g := lessonTrace()
	for b.Loop() {
		if _, err := g.Spectrum(65536); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTiming(b *testing.B) {
	g := lessonTrace()
	for b.Loop() {
		if _, err := g.Timing(waveform.References{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTone(b *testing.B) {
	for b.Loop() {
		if _, err := (waveform.Sound{}).Tone(2, waveform.Partial{Frequency: 159.6, Amplitude: 1}); err != nil {
			b.Fatal(err)
		}
	}
}
