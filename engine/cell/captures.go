package cell

import (
	"slipring/engine/bench"
	"slipring/engine/capture"
	"slipring/engine/lesson"
)

// mostSamples is how many values of a channel cells are given. Of more,
// neighbours are averaged; what was measured was measured on all.
const mostSamples = 20_000

// captures gives the lesson's captures as cells see them: numbers alone.
func captures(l *lesson.Lesson) []bench.Capture {
	var all []bench.Capture
	for _, c := range l.Captures {
		out := bench.Capture{Name: c.Name, Begin: c.Report.Begin, Period: c.Report.Period}
		for _, ch := range c.Channels {
			out.Channels = append(out.Channels, channel(ch, c.Report))
		}
		all = append(all, out)
	}
	return all
}

func channel(ch capture.Channel, r capture.Report) bench.CaptureChannel {
	out := bench.CaptureChannel{Name: ch.Name, Unit: ch.Unit, Kind: ch.Signal().Kind, From: ch.From, Step: ch.Step, Y: ch.Y}
	if stride := (len(ch.Y) + mostSamples - 1) / mostSamples; stride > 1 {
		out.Y = nil
		for i := 0; i+stride <= len(ch.Y); i += stride {
			sum := 0.0
			for _, y := range ch.Y[i : i+stride] {
				sum += y
			}
			out.Y = append(out.Y, sum/float64(stride))
		}
		out.From, out.Step = ch.From+float64(stride-1)/2*ch.Step, float64(stride)*ch.Step
	}
	for _, d := range r.Doubts {
		if d.Channel == ch.Name {
			out.Height, out.Time = d.Height, d.Time
		}
	}
	for _, x := range r.Results {
		if x.Channel == ch.Name {
			out.Results = append(out.Results, bench.CaptureResult{Name: x.Name, Value: x.Value, U: x.Uncertainty})
		}
	}
	for _, m := range r.Missing {
		if m.Channel == ch.Name {
			out.Results = append(out.Results, bench.CaptureResult{Name: m.Name, Lacking: m.Why})
		}
	}
	return out
}
