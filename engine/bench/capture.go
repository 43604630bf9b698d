package bench

import (
	"fmt"
	"math"
	"strings"

	"slipring/engine/tell"
	"slipring/engine/waveform"
)

// Capture is an oscilloscope's record that lies beside the lesson, with what
// was measured on it. A turn begins where its reference rises: the first channel
// that has no two levels, such as a voltage that goes to and fro, or else its
// first.
type Capture struct {
	Name     string
	Begin    float64 // s, when a turn begins
	Period   float64 // s, of that channel
	Channels []CaptureChannel
}

// CaptureChannel is one trace of a capture: values at even distances, how far
// one of them may be off, and what was found.
type CaptureChannel struct {
	Name, Unit string
	Kind       waveform.Kind
	From, Step float64 // s
	Y          []float64
	Height     float64 // in the unit, standard uncertainty of one value
	Time       float64 // s, standard uncertainty of the place of one edge
	Results    []CaptureResult
}

// CaptureResult is one quantity that was measured, or why it was not.
type CaptureResult struct {
	Name     string
	Value, U float64
	Lacking  string // why there is none; "" when there is one
}

// Capture gives one of the lesson's captures, by the file's name without its
// ending.
//
//	seen := bench.Capture("board")
//	open := seen.Result("contact", "fraction high")
//	tell.Below("agree", open.Off(idle.OpenFraction), 2, "")
func (s *Shelf) Capture(name string) Capture {
	one, names, ok := lookUp(s.beside.Captures, name, func(c Capture) string { return c.Name })
	if ok {
		return one
	}
	hint := "declare the file in the lesson block:\n[[capture]]\nfile = \"" + name + ".csv\""
	if len(names) > 0 {
		hint = "captures of this lesson: " + strings.Join(names, ", ")
	}
	panic(tell.Misuse{Text: fmt.Sprintf("the lesson has no capture called %q", name), Hint: hint})
}

func (c Capture) channel(name string) CaptureChannel {
	one, names, ok := lookUp(c.Channels, name, func(ch CaptureChannel) string { return ch.Name })
	if ok {
		return one
	}
	panic(tell.Misuse{
		Text: fmt.Sprintf("the capture %q has no channel %q", c.Name, name),
		Hint: "its channels: " + strings.Join(names, ", ")})
}

// Result gives what was measured on a channel, with its standard uncertainty:
// "frequency" (Hz), "period" (s), "fraction high", "fraction low" (parts of a
// turn), "r.m.s.", "mean", "peak to peak" (in the channel's unit), "rise time",
// "fall time" (s), "half difference", "distortion" (parts), "phase" (degrees of
// the turn by which it rises after the channel that begins the turn), "edges a
// turn".
func (c Capture) Result(channel, name string) Doubtful {
	ch := c.channel(channel)
	var names []string
	for _, r := range ch.Results {
		switch {
		case r.Name == name && r.Lacking == "":
			return Doubtful{Value: r.Value, U: r.U}
		case r.Name == name:
			panic(tell.Misuse{
				Text: fmt.Sprintf("the capture %q does not give the %s of %q: %s", c.Name, name, channel, r.Lacking),
				Hint: "ask for another result, or record it again so that it shows"})
		case r.Lacking == "":
			names = append(names, r.Name)
		}
	}
	panic(tell.Misuse{
		Text: fmt.Sprintf("the capture %q has no result %q of %q", c.Name, name, channel),
		Hint: "its results: " + strings.Join(names, ", ")})
}

// Off gives how many of its standard uncertainties the result lies from a
// number, such as what the model gives. A result that is right lies within 2 in
// 95 of 100 cases.
func (d Doubtful) Off(from float64) float64 { return math.Abs(d.Value-from) / d.U }

// Traces gives channels of the capture, as those of a run: Turns(n) begins at
// the first whole turn, Window counts from the first value.
func (c Capture) Traces(channels ...string) Traces {
	var set waveform.Set
	for _, name := range channels {
		ch := c.channel(name)
		g := waveform.Signal{Name: ch.Name, Unit: ch.Unit, Kind: ch.Kind, Y: append([]float64(nil), ch.Y...)}
		for i := range ch.Y {
			g.T = append(g.T, float64(i)*ch.Step)
		}
		from, to := c.Channels[0].From, g.T[len(g.T)-1]
		if c.Period > 0 {
			first := math.Ceil((from - c.Begin) / c.Period)
			set.Starts = nil
			for k := first; c.Begin+k*c.Period-from <= to; k++ {
				set.Starts = append(set.Starts, c.Begin+k*c.Period-from)
			}
		}
		set.Signals = append(set.Signals, g)
	}
	return Traces{seen: &set}
}

// Line gives a channel as a measured line, called "capture", to be drawn over a
// computed one, over its first whole turns and with its band of doubt: where the
// trace would be with its height or its time off by two standard uncertainties.
func (c Capture) Line(channel string, turns int) tell.Line {
	ch := c.channel(channel)
	g := c.Traces(channel).Turns(turns).Signals[0]
	n := len(g.Y)
	low, high := make([]float64, n), make([]float64, n)
	from, to := 0, 0
	for i, t := range g.T {
		for g.T[from] < t-2*ch.Time {
			from++
		}
		for to < n-1 && g.T[to+1] <= t+2*ch.Time {
			to++
		}
		// a time that lies between samples is reached there, too
		least := min(g.At(max(g.T[0], t-2*ch.Time)), g.At(min(g.T[n-1], t+2*ch.Time)))
		most := max(g.At(max(g.T[0], t-2*ch.Time)), g.At(min(g.T[n-1], t+2*ch.Time)))
		for k := from; k <= to; k++ {
			least, most = min(least, g.Y[k]), max(most, g.Y[k])
		}
		low[i], high[i] = least-2*ch.Height, most+2*ch.Height
	}
	return tell.Measured("capture", g.T, g.Y).Between(low, high)
}
