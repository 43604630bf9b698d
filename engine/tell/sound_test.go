package tell

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"slipring/engine/waveform"
)

// readWave reads a sound file as the specification says (IBM and Microsoft,
// Multimedia Programming Interface and Data Specifications 1.0, 1991, chapter
// 3: RIFF of form WAVE, a chunk "fmt " before a chunk "data"), and gives the
// samples as parts of full scale.
func readWave(t *testing.T, file []byte) (rate int, samples []float64) {
	t.Helper()
	le := binary.LittleEndian
	if len(file) < 44 || string(file[:4]) != "RIFF" || string(file[8:12]) != "WAVE" || int(le.Uint32(file[4:])) != len(file)-8 {
		t.Fatalf("no WAVE file of %d bytes", len(file))
	}
	for at := 12; at < len(file); {
		id, size := string(file[at:at+4]), int(le.Uint32(file[at+4:]))
		body := file[at+8 : at+8+size]
		switch id {
		case "fmt ":
			if le.Uint16(body) != 1 || le.Uint16(body[2:]) != 1 || le.Uint16(body[14:]) != 16 {
				t.Fatalf("not PCM of one channel and 16 bits: % x", body)
			}
			rate = int(le.Uint32(body[4:]))
			if block, each := int(le.Uint16(body[12:])), int(le.Uint32(body[8:])); block != 2 || each != 2*rate {
				t.Fatalf("blocks of %d bytes, %d bytes a second", block, each)
			}
		case "data":
			for i := 0; i < size; i += 2 {
				samples = append(samples, float64(int16(le.Uint16(body[i:])))/32768)
			}
		}
		at += 8 + size + size%2
	}
	if rate == 0 || len(samples) == 0 {
		t.Fatal("the file lacks a chunk")
	}
	return rate, samples
}

// strength gives the amplitude of one frequency in samples, by Goertzel's
// recursion (G. Goertzel, An Algorithm for the Evaluation of Finite
// Trigonometric Series, American Mathematical Monthly 65, 1958, 34-35).
func strength(samples []float64, rate int, frequency float64) float64 {
	c := 2 * math.Cos(2*math.Pi*frequency/float64(rate))
	var one, two float64
	for _, x := range samples {
		one, two = x+c*one-two, one
	}
	return 2 * math.Sqrt(one*one+two*two-c*one*two) / float64(len(samples))
}

// crossings gives the frequency in Hz by the upward crossings of zero. The
// faded ends do not serve, where a sine is rounded to nothing.
func crossings(samples []float64, rate int) float64 {
	first, last, n := -1.0, 0.0, 0
	for i := 1; i < len(samples); i++ {
		if a, b := samples[i-1], samples[i]; a < 0 && b >= 0 {
			last = float64(i-1) + a/(a-b)
			if first < 0 {
				first = last
			} else {
				n++
			}
		}
	}
	return float64(n) * float64(rate) / (last - first)
}

// A wheel of so many teeth at so many turns a second sounds at their product:
// what the file holds is counted, not what was asked for.
func TestToneIsTeethTimesTurns(t *testing.T) {
	for _, c := range []struct{ teeth, turns float64 }{{8, 20}, {21, 20}, {8, 19.85}, {21, 18.3}} {
		var s Sheet
		s.Tone("tone", 1.5, waveform.Partial{Frequency: c.teeth * c.turns, Amplitude: 3})
		file, err := s.Result().Sounds[0].File()
		if err != nil {
			t.Fatal(err)
		}
		rate, y := readWave(t, file)
		if n := len(y); n != 16537 && n != 16538 { // 16537.5
			t.Errorf("%d samples at %d a second", len(y), rate)
		}
		if f := crossings(y[200:16300], rate); math.Abs(f-c.teeth*c.turns) > 1e-4*f {
			t.Errorf("%g teeth at %g turns: %.3f Hz by crossings", c.teeth, c.turns, f)
		}
		if a := strength(y, rate, c.teeth*c.turns); math.Abs(a-soundVolume) > 0.02*soundVolume {
			t.Errorf("%g teeth at %g turns: amplitude %.4f there", c.teeth, c.turns, a)
		}
		if a := strength(y, rate, (c.teeth+1)*c.turns); a > 0.005 {
			t.Errorf("%g teeth at %g turns: amplitude %.4f at a tooth more", c.teeth, c.turns, a)
		}
		peak := 0.0
		for _, v := range y {
			peak = max(peak, math.Abs(v))
		}
		if peak > soundVolume+1e-4 || peak < soundVolume-0.01 {
			t.Errorf("the peak is %.3f of full scale", peak)
		}
		if y[0] != 0 || y[len(y)-1] != 0 || math.Abs(y[1]) > 1e-3 {
			t.Errorf("it begins with %g, %g and ends with %g", y[0], y[1], y[len(y)-1])
		}
		again, _ := s.Result().Sounds[0].File()
		if !bytes.Equal(file, again) {
			t.Error("the same sound gave other bytes")
		}
	}
}

// A signal of some turns is heard again and again without a seam.
func TestSoundOfASignal(t *testing.T) {
	g := waveform.Signal{Name: "output", Unit: "V"}
	for i := range 401 { // 5 turns at 20 a second, with a third harmonic
		at := 0.25 * float64(i) / 400
		g.T = append(g.T, 3+at)
		g.Y = append(g.Y, 7+118*math.Sin(2*math.Pi*20*at)+30*math.Sin(2*math.Pi*60*at))
	}
	var s Sheet
	s.Sound("output", 1.9, g)
	file, err := s.Result().Sounds[0].File()
	if err != nil {
		t.Fatal(err)
	}
	rate, y := readWave(t, file)
	if math.Abs(float64(len(y))/float64(rate)-1.9) > 1e-3 {
		t.Errorf("it lasts %d samples", len(y))
	}
	one, three, mean := strength(y, rate, 20), strength(y, rate, 60), 0.0
	for _, v := range y {
		mean += v / float64(len(y))
	}
	if r := three / one; math.Abs(r-30.0/118) > 0.01 {
		t.Errorf("the third harmonic is %.3f of the first, want %.3f", r, 30.0/118)
	}
	if math.Abs(mean) > 1e-3 {
		t.Errorf("the mean is %.4f", mean)
	}
	for i := 1; i < len(y); i++ {
		if d := math.Abs(y[i] - y[i-1]); d > 0.012 { // the steepest of the wave itself takes 0.0085
			t.Errorf("a jump of %.3f at %.4f s", d, float64(i)/float64(rate))
		}
	}
}

func TestSoundsUnderKnobs(t *testing.T) {
	var s Sheet
	s.Knob("speed", Range{From: 18, To: 22, Steps: 5, Start: 20, Unit: "Hz", Label: "speed"}, func(x float64) {
		s.Tone("low", 1, waveform.Partial{Frequency: 8 * x, Amplitude: 1})
	})
	h := s.Result().Sounds[0]
	if len(h.Frames) != 5 || h.Partials[0].Frequency != 160 || !reflect.DeepEqual(h.Knobs, []string{"speed"}) {
		t.Fatalf("told %+v", h)
	}
	for i, f := range h.Frames {
		file, err := f.File()
		if err != nil {
			t.Fatal(err)
		}
		rate, y := readWave(t, file)
		if got, want := crossings(y[200:len(y)-200], rate), 8*(18+float64(i)); math.Abs(got-want) > 1e-4*want {
			t.Errorf("position %d sounds at %.3f Hz, want %g", i, got, want)
		}
	}
	text, err := json.Marshal(s.Result())
	if err != nil {
		t.Fatal(err)
	}
	var back Result
	if err := json.Unmarshal(text, &back); err != nil || !reflect.DeepEqual(back, s.Result()) {
		t.Errorf("stored and read back, the result is another: %v", err)
	}
}

func TestSoundRefuses(t *testing.T) {
	tone := waveform.Partial{Frequency: 160, Amplitude: 1}
	wave := waveform.Signal{Name: "output", T: []float64{0, 0.5, 1}, Y: []float64{0, 1, 0}}
	for want, wrong := range map[string]func(s *Sheet){
		`"Low tone" cannot be the name of a sound`: func(s *Sheet) { s.Tone("Low tone", 1, tone) },
		`"a" was told before, as a value`:          func(s *Sheet) { s.Value("a", 1, ""); s.Tone("a", 1, tone) },
		`sound "a" would last 0 s`:                 func(s *Sheet) { s.Tone("a", 0, tone) },
		`sound "a" would last NaN s`:               func(s *Sheet) { s.Sound("a", math.NaN(), wave) },
		`sound "a" would last 60 s`:                func(s *Sheet) { s.Tone("a", 60, tone) },
		`sound "a" has 33 partials`: func(s *Sheet) {
			s.Tone("a", 1, make([]waveform.Partial, 33)...)
		},
		`a partial of 6000 Hz at 11025 samples a second`: func(s *Sheet) { s.Tone("a", 1, waveform.Partial{Frequency: 6000, Amplitude: 1}) },
		`there is nothing to hear`:                       func(s *Sheet) { s.Tone("a", 1, waveform.Partial{Frequency: 160}) },
		`0 where at least 2 are needed`:                  func(s *Sheet) { s.Tone("a", 1) },
		`the signal is flat`: func(s *Sheet) {
			s.Sound("a", 1, waveform.Signal{T: []float64{0, 1}, Y: []float64{5, 5}})
		},
		`too many samples in too short a time`: func(s *Sheet) {
			s.Sound("a", 1, waveform.Signal{T: []float64{0, 1e-9}, Y: []float64{5, 6}})
		},
		`the sounds of this lesson last 63 s`: func(s *Sheet) {
			s.Knob("k", Range{To: 20, Steps: 21, Label: "k"}, func(float64) { s.Tone("a", 3, tone) })
		},
		`sound "a" is not told where knob "k" stands at 1`: func(s *Sheet) {
			s.Knob("k", Range{To: 1, Steps: 2, Label: "k"}, func(x float64) {
				if x == 0 {
					s.Tone("a", 1, tone)
				}
			})
		},
	} {
		t.Run(want, func(t *testing.T) {
			defer func() {
				m, ok := recover().(Misuse)
				if !ok || !strings.Contains(m.Text, want) || m.Hint == "" {
					t.Errorf("got %q (hint %q), want %q", m.Text, m.Hint, want)
				}
			}()
			var s Sheet
			wrong(&s)
		})
	}
}
