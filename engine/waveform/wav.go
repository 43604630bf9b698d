package waveform

import (
	"encoding/binary"
	"fmt"
	"math"
)

// Sound says how a tone or a signal is written as a sound file: RIFF WAVE,
// PCM, 16 bits, one channel.
type Sound struct {
	Rate   int     // samples a second, 8000 to 96000; 0 means 22050
	Fade   float64 // s, of the raised-cosine fade at either end, so that it begins and ends without a click; 0 means 0.02
	Volume float64 // peak as a part of full scale, up to 1; 0 means 0.5
}

// Partial is one sine of a tone.
type Partial struct {
	Frequency float64 // Hz, below half the rate
	Amplitude float64 // in proportion to the other partials; their sum is scaled to Volume
	Phase     float64 // rad, of the cosine at the beginning
}

// longestSound, in s, keeps pages that can be carried about.
const longestSound = 600

func (s Sound) filled() (Sound, error) {
	if s.Rate == 0 {
		s.Rate = 22050
	}
	if s.Fade == 0 {
		s.Fade = 0.02
	}
	if s.Volume == 0 {
		s.Volume = 0.5
	}
	switch {
	case s.Rate < 8000 || s.Rate > 96000:
		return s, soundFailure("give 8000 to 96000, or 0 for 22050", "a rate of %d samples a second", s.Rate)
	case !(s.Fade >= 0 && s.Fade <= longestSound):
		return s, soundFailure("give a time in s, or 0 for 0.02", "a fade of %g s", s.Fade)
	case !(s.Volume > 0 && s.Volume <= 1):
		return s, soundFailure("give a part of full scale up to 1, or 0 for 0.5", "a volume of %g", s.Volume)
	}
	return s, nil
}

func soundFailure(next, format string, args ...any) error {
	return &Failure{Reason: ErrRequest, Detail: "a sound: " + fmt.Sprintf(format, args...), Next: next}
}

// Tone gives the sound file of a sum of sines that lasts the given time in s.
// The same call gives the same bytes.
func (s Sound) Tone(seconds float64, partials ...Partial) ([]byte, error) {
	s, err := s.filled()
	if err != nil {
		return nil, err
	}
	n, err := s.length(seconds)
	if err != nil {
		return nil, err
	}
	sum := 0.0
	for _, p := range partials {
		if !(p.Frequency > 0 && p.Frequency < float64(s.Rate)/2) {
			return nil, soundFailure("give a frequency above 0 and below half the rate, or raise the rate",
				"a partial of %g Hz at %d samples a second", p.Frequency, s.Rate)
		}
		if !(p.Amplitude >= 0 && p.Amplitude <= most) || !(math.Abs(p.Phase) <= 1e6) {
			return nil, soundFailure("give an amplitude of 0 or more and a phase in rad",
				"a partial of amplitude %g and phase %g", p.Amplitude, p.Phase)
		}
		sum += p.Amplitude
	}
	if !(sum > 0) {
		return nil, soundFailure("give it a partial with an amplitude", "there is nothing to hear")
	}
	y := make([]float64, n)
	for _, p := range partials {
		a := p.Amplitude / sum
		for i := range y {
			// whole cycles are dropped before the cosine, which keeps long tones true
			cycles := math.Mod(float64(i)*p.Frequency/float64(s.Rate), 1)
			// conversions forbid fused multiply-add, which some processors have
			y[i] += float64(a * math.Cos(float64(2*math.Pi*cycles)+p.Phase))
		}
	}
	return s.file(y), nil
}

// Play gives the sound file of a signal as it is, once, without its mean and
// scaled so that its greatest value is at Volume.
func (s Sound) Play(g Signal) ([]byte, error) {
	s, err := s.filled()
	if err != nil {
		return nil, err
	}
	from, to, err := g.Span()
	if err != nil {
		return nil, err
	}
	n, err := s.length(to - from)
	if err != nil {
		return nil, err
	}
	even, err := g.Resample(n)
	if err != nil {
		return nil, err
	}
	mean, peak := g.mean(), 0.0
	for _, y := range even.Y {
		peak = max(peak, math.Abs(y-mean))
	}
	if peak == 0 {
		return nil, g.fail(ErrFlat, "play a signal that changes", "there is nothing to hear")
	}
	for i, y := range even.Y {
		even.Y[i] = (y - mean) / peak
	}
	return s.file(even.Y), nil
}

func (s Sound) length(seconds float64) (int, error) {
	n := math.Round(seconds * float64(s.Rate))
	if !(n >= 2 && seconds <= longestSound) {
		return 0, soundFailure(fmt.Sprintf("let it last up to %d s", longestSound), "it would last %g s", seconds)
	}
	return int(n), nil
}

// file fades the samples, which lie within -1 to 1, and puts the head before
// them: the chunks "fmt " (16 bytes, format 1, PCM) and "data" of a "RIFF"
// form "WAVE", all little-endian (IBM and Microsoft, Multimedia Programming
// Interface and Data Specifications 1.0, 1991, chapter 3).
func (s Sound) file(y []float64) []byte {
	const head, bytesEach = 44, 2
	n := len(y)
	out := make([]byte, 0, head+bytesEach*n)
	le := binary.LittleEndian
	out = append(out, "RIFF"...)
	out = le.AppendUint32(out, uint32(head-8+bytesEach*n))
	out = append(out, "WAVEfmt "...)
	out = le.AppendUint32(out, 16)
	out = le.AppendUint16(out, 1) // PCM
	out = le.AppendUint16(out, 1) // channels
	out = le.AppendUint32(out, uint32(s.Rate))
	out = le.AppendUint32(out, uint32(s.Rate*bytesEach))
	out = le.AppendUint16(out, bytesEach)
	out = le.AppendUint16(out, 8*bytesEach)
	out = append(out, "data"...)
	out = le.AppendUint32(out, uint32(bytesEach*n))

	fade := min(s.Fade*float64(s.Rate), float64(n-1)/2)
	for i, v := range y {
		edge := float64(min(i, n-1-i))
		if edge < fade {
			v *= 0.5 - float64(0.5*math.Cos(math.Pi*edge/fade))
		}
		out = le.AppendUint16(out, uint16(int16(math.RoundToEven(float64(v*s.Volume)*math.MaxInt16))))
	}
	return out
}
