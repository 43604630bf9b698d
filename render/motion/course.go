package motion

import (
	"fmt"
	"math"

	"slipring/engine/tell"
	"slipring/engine/waveform"
)

const (
	framesEachTurn = 60
	mostFrames     = 120
)

// course is the signals of a motion over the time that all of them cover.
type course struct {
	from, span float64 // s
	turns      float64 // of the shaft; without a shaft angle, whole turns that the set marks, or 0
	frames     int
	signals    map[string]waveform.Signal
	sizes      map[string]float64
}

func read(m tell.Motion) (course, error) {
	c := course{signals: map[string]waveform.Signal{}, sizes: map[string]float64{}}
	from, to := math.Inf(-1), math.Inf(1)
	for _, g := range m.Signals.Signals {
		if len(g.T) < 2 || len(g.T) != len(g.Y) {
			return c, fmt.Errorf("signal %q has %d instants and %d values", g.Name, len(g.T), len(g.Y))
		}
		for i := range g.T {
			if !finite(g.T[i]) || !finite(g.Y[i]) || i > 0 && g.T[i] < g.T[i-1] {
				return c, fmt.Errorf("signal %q has the value %v at %v s", g.Name, g.Y[i], g.T[i])
			}
		}
		from, to = max(from, g.T[0]), min(to, g.T[len(g.T)-1])
		if g.Name == "shaft angle" {
			g = unwrapped(g)
		}
		c.signals[g.Name] = g
	}
	if !(to > from) {
		return c, fmt.Errorf("its signals do not cover any time together")
	}
	c.from, c.span = from, to-from
	for _, name := range m.Mechanism.Signals() {
		if _, ok := c.signals[name]; !ok {
			return c, fmt.Errorf("it lacks the signal %q", name)
		}
	}
	for _, z := range m.Sizes {
		c.sizes[z.Name] = z.Number
	}
	c.frames = mostFrames
	if angle, ok := c.signals["shaft angle"]; ok {
		c.turns = math.Abs(angle.At(to)-angle.At(from)) / 360
		if m.Mechanism != tell.ToneWheel {
			c.frames = min(int(math.Ceil(framesEachTurn*c.turns))+1, mostFrames)
			c.frames = max(c.frames, 2)
		}
	} else if n := len(m.Signals.Starts); n > 1 && m.Mechanism != tell.Fuse && m.Mechanism != tell.Balance {
		c.turns = c.span / (m.Signals.Starts[n-1] - m.Signals.Starts[0]) * float64(n-1)
	}
	return c, nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// unwrapped gives an angle in degrees that goes on through 360 where the
// signal falls back to 0. A window that was cut between 360 and 0 ends with an
// angle in between that the shaft never had; such an end is put where the
// samples next to it lead.
func unwrapped(g waveform.Signal) waveform.Signal {
	out := g
	out.T = append([]float64(nil), g.T...)
	out.Y = append([]float64(nil), g.Y...)
	n := len(out.Y)
	inner := 0
	if n >= 5 {
		inner = 1
	}
	for i := inner + 1; i < n-inner; i++ {
		for out.Y[i]-out.Y[i-1] < -180 {
			out.Y[i] += 360
		}
	}
	if inner == 0 {
		return out
	}
	out.Y[0] = led(out.T[0], out.Y[0], out.T[1], out.Y[1], out.T[2], out.Y[2])
	out.Y[n-1] = led(out.T[n-1], out.Y[n-1], out.T[n-2], out.Y[n-2], out.T[n-3], out.Y[n-3])
	return out
}

// led gives the angle y at instant t, in whichever turn is nearest to where
// the line through two neighbours leads, or that line's own angle where y is
// on none.
func led(t, y, t1, y1, t2, y2 float64) float64 {
	if t1 == t2 {
		return y
	}
	slope := (y1 - y2) / (t1 - t2)
	line := y1 + slope*(t-t1)
	y += 360 * math.Round((line-y)/360)
	if math.Abs(y-line) > 0.5*math.Abs(y1-y2) {
		return line
	}
	return y
}

// instant gives the time in s of a frame.
func (c course) instant(frame int) float64 {
	return c.from + c.span*float64(frame)/float64(c.frames-1)
}

// sampled gives a signal's value at each frame.
func (c course) sampled(name string) []float64 {
	g := c.signals[name]
	out := make([]float64, c.frames)
	for i := range out {
		out[i] = g.At(c.instant(i))
	}
	return out
}

// extremes gives the least and the greatest value of a signal, and when.
func (c course) extremes(name string) (low, high, atLow, atHigh float64) {
	g := c.signals[name]
	low, high = math.Inf(1), math.Inf(-1)
	for i, y := range g.Y {
		t := min(max(g.T[i], c.from), c.from+c.span)
		if y < low {
			low, atLow = y, t
		}
		if y > high {
			high, atHigh = y, t
		}
	}
	return low, high, atLow, atHigh
}

// stretch is a time for which a contact stays closed, in s.
type stretch struct{ from, to float64 }

// closures lists the stretches of time in which a contact is closed.
func (c course) closures(name string) []stretch {
	var out []stretch
	g := c.signals[name]
	end := c.from + c.span
	for i, y := range g.Y {
		from, to := max(g.T[i], c.from), end
		if i+1 < len(g.T) {
			to = min(g.T[i+1], end)
		}
		if y != 1 || to <= from {
			continue
		}
		if n := len(out); n > 0 && out[n-1].to == from {
			out[n-1].to = to
		} else {
			out = append(out, stretch{from, to})
		}
	}
	return out
}

// closedShare gives the part of the time for which a contact is closed.
func (c course) closedShare(name string) float64 {
	sum := 0.0
	for _, s := range c.closures(name) {
		sum += s.to - s.from
	}
	return sum / c.span
}

// middle gives the middle of the longest stretch, and false without any. Over
// whole turns the end joins the beginning, so that a stretch cut by them is
// one.
func (c course) middle(all []stretch) (float64, bool) {
	all = append([]stretch(nil), all...)
	end := c.from + c.span
	if n := len(all); n > 1 && all[0].from == c.from && all[n-1].to == end && c.whole() {
		all[n-1].to += all[0].to - all[0].from
		all = all[1:]
	}
	var longest stretch
	for _, s := range all {
		if s.to-s.from > longest.to-longest.from {
			longest = s
		}
	}
	t := (longest.from + longest.to) / 2
	if t > end {
		t -= c.span
	}
	return t, len(all) > 0
}

// repeats says whether a contact does the same in each turn.
func (c course) repeats(name string) bool {
	if c.turns <= 1.005 {
		return true
	}
	const probes = 1000
	g := c.signals[name]
	turn := c.span / c.turns
	other := 0
	for i := range probes {
		t := c.from + (float64(i)+0.5)/probes*(c.span-turn)
		if g.At(t) != g.At(t+turn) {
			other++
		}
	}
	return other < probes/25
}

// whole says whether the motion shows whole turns.
func (c course) whole() bool {
	return c.turns > 0.5 && math.Abs(c.turns-math.Round(c.turns)) < 0.005
}

// signs lists the instants at which a signal changes sign, by straight
// lines between samples.
func (c course) signs(name string) (first float64, at []float64) {
	g := c.signals[name]
	positive := func(y float64) float64 {
		if y > 0 {
			return 1
		}
		return 0
	}
	first = positive(g.At(c.from))
	now := first
	for i := 1; i < len(g.T); i++ {
		if positive(g.Y[i]) == now || g.T[i] <= c.from || g.T[i] > c.from+c.span {
			continue
		}
		now = positive(g.Y[i])
		t := g.T[i]
		if d := g.Y[i] - g.Y[i-1]; d != 0 {
			t = g.T[i-1] - g.Y[i-1]/d*(g.T[i]-g.T[i-1])
		}
		at = append(at, t)
	}
	return first, at
}
