package waveform_test

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/waveform"
)

// rows reads a CSV file of testdata without its head.
func rows(t *testing.T, file string) [][]string {
	t.Helper()
	f, err := os.Open("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	out, err := csv.NewReader(bufio.NewReader(f)).ReadAll()
	if err != nil || len(out) < 2 {
		t.Fatalf("%s: %d rows, %v", file, len(out), err)
	}
	return out[1:]
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// TestAgainstNumpy holds averages, harmonics and spectrum of signals with
// samples at odd instants against Gauss-Legendre sums and transforms made with
// numpy and scipy (testdata/reference.py).
func TestAgainstNumpy(t *testing.T) {
	signals := map[string]*waveform.Signal{}
	for _, r := range rows(t, "signals.csv") {
		g := signals[r[0]]
		if g == nil {
			g = &waveform.Signal{Name: r[0], Stepped: r[1] == "1"}
			signals[r[0]] = g
		}
		g.T = append(g.T, number(t, r[2]))
		g.Y = append(g.Y, number(t, r[3]))
	}
	periods := map[string]int{"voltage": 3, "contact": 2}
	harmonics := map[string]waveform.Harmonics{}
	for name, g := range signals {
		h, err := g.Harmonics(periods[name], 200)
		if err != nil {
			t.Fatal(err)
		}
		harmonics[name] = h
	}
	lines, err := signals["voltage"].Spectrum(512)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]int{}
	for _, r := range rows(t, "values.csv") {
		g, ok := signals[r[0]]
		if !ok {
			continue
		}
		want := number(t, r[2])
		what := strings.Fields(r[1])
		order := 0
		if len(what) > 1 && what[0] != "ac" {
			order, _ = strconv.Atoi(what[1])
		}
		var got, within float64
		switch what[0] {
		case "mean":
			got, err = g.Mean()
		case "rms":
			got, err = g.RMS()
		case "ac":
			got, err = g.ACRMS()
		case "amplitude":
			got = harmonics[g.Name].Amplitude[order]
		case "phase":
			// the phase of a small component is less sure
			got, within = harmonics[g.Name].Phase[order], 1e-9
			got = want + math.Remainder(got-want, 2*math.Pi)
		case "line":
			got = lines.Amplitude[order]
			if f := float64(order) / 0.15; math.Abs(lines.Frequency[order]-f) > 1e-9*f {
				t.Errorf("line %d stands at %g Hz, not %g", order, lines.Frequency[order], f)
			}
		default:
			t.Fatalf("unknown %q", r[1])
		}
		if err != nil {
			t.Fatal(err)
		}
		if within == 0 {
			within = 1e-12 * (1 + signals[g.Name].Y[1])
			within = math.Max(within, 2e-13*harmonics[g.Name].ACRMS)
		}
		if !(math.Abs(got-want) <= within) {
			t.Errorf("%s, %s: got %.15g, numpy %.15g", g.Name, r[1], got, want)
		}
		seen[what[0]]++
	}
	for what, n := range map[string]int{"mean": 2, "rms": 2, "ac": 2, "amplitude": 20, "phase": 20, "line": 8} {
		if seen[what] != n {
			t.Errorf("%d checks of %s, want %d", seen[what], what, n)
		}
	}
}

// TestStateLevelsAgainstNumpy: the modes of the halves of numpy's histogram of
// a noisy pulse train. Held values make the time in a bin the count in it.
func TestStateLevelsAgainstNumpy(t *testing.T) {
	data, err := os.ReadFile("testdata/pulses.csv")
	if err != nil {
		t.Fatal(err)
	}
	g := waveform.Signal{Name: "pulses", Stepped: true}
	for i, s := range strings.Fields(string(data)) {
		g.T = append(g.T, float64(i)/10e3)
		g.Y = append(g.Y, number(t, s))
	}
	got, err := g.StateLevels()
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{}
	for _, r := range rows(t, "values.csv") {
		if r[0] == "pulses" {
			want[r[1]] = number(t, r[2])
		}
	}
	// the file holds four decimals, numpy had them all; a value at a bin's edge
	// can fall on either side of it, so the mode is the same bin but its
	// centre is only known to half its width
	half := want["bin"]/2 + 1e-4
	if !(math.Abs(got.Low-want["low"]) <= half) || !(math.Abs(got.High-want["high"]) <= half) {
		t.Errorf("levels %.4f and %.4f; numpy's fullest bins are at %.4f and %.4f, %.4f wide",
			got.Low, got.High, want["low"], want["high"], want["bin"])
	}
	// and with them the train's own frequency and duty, from its recipe
	timing, err := g.Timing(waveform.References{})
	if err != nil {
		t.Fatal(err)
	}
	// a step is seen up to 0.1 ms late, in 14 periods of 27 ms
	if math.Abs(timing.Frequency-37.3) > 0.01 || math.Abs(timing.Duty-0.31) > 0.004 {
		t.Errorf("%.4f Hz with duty %.4f; made with 37.3 Hz and 0.31", timing.Frequency, timing.Duty)
	}
}

// TestSmoothAgainstScipy: r.m.s. and mean of a smooth curve by scipy's quad;
// the drawing with straight lines comes to it with the square of the spacing.
func TestSmoothAgainstScipy(t *testing.T) {
	want := map[string]float64{}
	for _, r := range rows(t, "values.csv") {
		if r[0] == "smooth" {
			want[r[1]] = number(t, r[2])
		}
	}
	err := map[int]float64{}
	for _, n := range []int{500, 1000} {
		g := sampled(n, 1, func(x float64) float64 {
			return math.Exp(math.Sin(2*math.Pi*x)) + 0.2*math.Cos(6*math.Pi*x)
		})
		rms := must(g.RMS())
		err[n] = math.Abs(rms - want["rms"])
		if mean := must(g.Mean()); math.Abs(mean-want["mean"]) > 1e-12 {
			t.Errorf("mean of %d samples %.15g, quad %.15g", n, mean, want["mean"])
		}
	}
	if err[1000] > 1e-5 || math.Abs(err[500]/err[1000]-4) > 0.1 {
		t.Errorf("r.m.s. off by %.3g with 500 samples and by %.3g with 1000; wanted a quarter", err[500], err[1000])
	}
}

// TestToneAgainstPython: the same tone written with Python's wave module and
// numpy. Heads are equal to the byte; samples may differ by one where numpy's
// cosine rounds otherwise.
func TestToneAgainstPython(t *testing.T) {
	want, err := os.ReadFile("testdata/tone.wav")
	if err != nil {
		t.Fatal(err)
	}
	got, err := waveform.Sound{Rate: 8000}.Tone(0.1,
		waveform.Partial{Frequency: 160, Amplitude: 3},
		waveform.Partial{Frequency: 420, Amplitude: 1, Phase: -0.5})
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != len(want) || !bytes.Equal(got[:44], want[:44]) {
		t.Fatalf("%d bytes with head % x\nwant %d with head % x", len(got), got[:44], len(want), want[:44])
	}
	loud := int16(0)
	for i := 44; i < len(want); i += 2 {
		a, b := int16(binary.LittleEndian.Uint16(got[i:])), int16(binary.LittleEndian.Uint16(want[i:]))
		if a-b > 1 || b-a > 1 {
			t.Fatalf("sample %d is %d, want %d", (i-44)/2, a, b)
		}
		loud = max(loud, b)
	}
	if loud < 12000 {
		t.Errorf("the reference's loudest sample is %d: it holds no tone", loud)
	}
}
