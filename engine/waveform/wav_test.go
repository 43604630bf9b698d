package waveform_test

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"

	"slipring/engine/waveform"
)

func samplesOf(file []byte) []int16 {
	out := make([]int16, (len(file)-44)/2)
	for i := range out {
		out[i] = int16(binary.LittleEndian.Uint16(file[44+2*i:]))
	}
	return out
}

func TestTone(t *testing.T) {
	tone := func() []byte {
		return must(waveform.Sound{Volume: 1}.Tone(0.5, waveform.Partial{Frequency: 420, Amplitude: 7}))
	}
	file := tone()
	if !bytes.Equal(file, tone()) {
		t.Error("the same tone gave other bytes")
	}
	y := samplesOf(file)
	if len(y) != 11025 {
		t.Fatalf("half a second has %d samples", len(y))
	}
	// no click: it begins and ends at nothing and grows slowly
	for i := range 20 {
		if a, b := y[i], y[len(y)-1-i]; max(a, -a, b, -b) > 300 {
			t.Errorf("sample %d from the ends: %d and %d", i, a, b)
		}
	}
	if y[0] != 0 || y[len(y)-1] != 0 {
		t.Errorf("begins with %d and ends with %d", y[0], y[len(y)-1])
	}
	// full scale is reached and not passed (which would wrap round)
	low, high := int16(0), int16(0)
	g := waveform.Signal{Name: "tone"}
	for i, v := range y {
		low, high = min(low, v), max(high, v)
		g.T = append(g.T, float64(i)/22050)
		g.Y = append(g.Y, float64(v))
	}
	if high < 32750 || low > -32750 { // samples may fall 1/4 beside a crest of 52.5
		t.Errorf("from %d to %d, want full scale", low, high)
	}
	// what is in it is what was asked for
	if f := must(g.Frequency()); math.Abs(f-420) > 1e-3*420 {
		t.Errorf("%.3f Hz, want 420", f)
	}
}

func TestPlay(t *testing.T) {
	g := sampled(2000, 0.25, func(t float64) float64 { return 48 + 3*math.Sin(2*math.Pi*200*t) })
	y := samplesOf(must(waveform.Sound{Rate: 8000, Fade: 0.01}.Play(g)))
	high := int16(0)
	for _, v := range y {
		high = max(high, v)
	}
	// without its mean, and at half of full scale
	if len(y) != 2000 || high < 16300 || high > 16384 {
		t.Errorf("%d samples up to %d; want 2000 up to 16383", len(y), high)
	}
	// shorter than its fades: it is all fade
	short := samplesOf(must(waveform.Sound{Rate: 8000, Fade: 1}.Play(g)))
	if len(short) != 2000 || short[0] != 0 || short[1999] != 0 {
		t.Errorf("all fade: %d samples from %d to %d", len(short), short[0], short[1999])
	}
}
