package tell

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"slipring/engine/waveform"
)

// Sound is something to be heard: a tone made of sines, or a signal of the
// machine as it is. Told under knobs, Heard is what sounds at their start, and
// Frames holds all.
type Sound struct {
	Name string
	Heard
	Framed
	Frames []Heard `json:",omitempty"`
}

// Heard is what one sound file holds: Partials, or else Signal, whose whole
// stretch is heard again and again until Seconds are over.
type Heard struct {
	Seconds  float64
	Partials []waveform.Partial `json:",omitempty"`
	Signal   waveform.Signal    `json:",omitzero"`
}

// Limits of sounds, so that pages stay small enough to be carried about and
// nobody in a hall has to wait for the end. A file has soundRate samples a
// second of two bytes each, so that all sounds of a lesson together take
// 1.3 MB at most.
const (
	shortestSound = 0.2 // s
	longestSound  = 3   // s
	mostPartials  = 32

	// MostSounding is how long, in s, all sounds of a lesson may last together,
	// each counted in each of its frames.
	MostSounding = 60

	soundRate   = 11025 // samples a second
	soundFade   = 0.01  // s, at either end, so that nothing clicks
	soundVolume = 0.3   // peak as a part of full scale: modest in a hall
)

// Tone tells a sound of one sine or several, which lasts the given time in s,
// from 0.2 to 3: tell.Tone("stop", 1.5, waveform.Partial{Frequency: 420,
// Amplitude: 1}). Frequencies lie below 5512 Hz. However strong the partials
// are, the sound is made as loud as any other.
func (s *Sheet) Tone(name string, seconds float64, partials ...waveform.Partial) {
	s.sound(name, Heard{Seconds: seconds, Partials: slices.Clone(partials)})
}

// Sound tells a sound that is a signal of a run, such as its output, without
// its mean and made as loud as any other. It lasts the given time in s, from
// 0.2 to 3; a shorter signal is heard again and again, so give whole turns of
// it: tell.Sound("output", 2, run.Traces("output").Turns(4).Signals[0]).
func (s *Sheet) Sound(name string, seconds float64, signal waveform.Signal) {
	s.sound(name, Heard{Seconds: seconds, Signal: signal})
}

func (s *Sheet) sound(name string, h Heard) {
	s.name("sound", name)
	if !(h.Seconds >= shortestSound && h.Seconds <= longestSound) {
		panic(Misuse{
			fmt.Sprintf("sound %q would last %s s; it can last %v to %v s", name, short(h.Seconds), shortestSound, longestSound),
			"give the time in s, such as 1.5"})
	}
	s.count("sound", name, len(h.Signal.T))
	visible("the name of the signal", "sound", name, h.Signal.Name)
	visible("the unit of the signal", "sound", name, h.Signal.Unit)
	if len(h.Partials) > mostPartials {
		panic(Misuse{
			fmt.Sprintf("sound %q has %d partials; it can have %d", name, len(h.Partials), mostPartials),
			"leave out the weakest"})
	}
	if _, err := h.File(); err != nil {
		m := Misuse{fmt.Sprintf("sound %q cannot be heard: %v", name, err), "give it a tone, or a signal that changes"}
		var f *waveform.Failure
		if errors.As(err, &f) && f.Next != "" {
			m.Hint = f.Next
		}
		panic(m)
	}
	s.sounding += h.Seconds
	if s.sounding > MostSounding {
		panic(Misuse{
			fmt.Sprintf("with sound %q the sounds of this lesson last %s s; they can last %d s together", name, short(s.sounding), MostSounding),
			"let each be shorter, or give the knob fewer steps"})
	}
	s.result.Sounds = append(s.result.Sounds, Sound{Name: name, Heard: h})
}

// File gives the sound as a file: RIFF WAVE, PCM, one channel of 16 bits,
// 11,025 samples a second. The same sound gives the same bytes.
func (h Heard) File() ([]byte, error) {
	how := waveform.Sound{Rate: soundRate, Fade: soundFade, Volume: soundVolume}
	if len(h.Partials) > 0 {
		return how.Tone(h.Seconds, h.Partials...)
	}
	long, err := h.repeated()
	if err != nil {
		return nil, err
	}
	return how.Play(long)
}

// repeated gives the signal again and again, up to the end of the sound.
func (h Heard) repeated() (waveform.Signal, error) {
	g := h.Signal
	from, to, err := g.Span()
	if err != nil {
		return g, err
	}
	const most = 2e5 // samples; a sound of 3 s has 33075
	if n := math.Ceil(h.Seconds/(to-from)) * float64(len(g.T)); !(n <= most) {
		return g, &waveform.Failure{Signal: g.Name, Reason: waveform.ErrRequest,
			Detail: "it has too many samples in too short a time to be heard", Next: "give a longer stretch, such as some whole turns"}
	}
	long := waveform.Signal{Name: g.Name, Unit: g.Unit, Kind: g.Kind, Stepped: g.Stepped}
	for k := 0; ; k++ {
		start := float64(k) * (to - from)
		if start >= h.Seconds {
			break
		}
		for i, t := range g.T {
			at := start + (t - from)
			if n := len(long.T); n > 0 {
				at = max(at, long.T[n-1]) // rounding may put the seam before the end
			}
			long.T = append(long.T, at)
			long.Y = append(long.Y, g.Y[i])
		}
	}
	return long.Window(0, h.Seconds)
}
