package capture

import (
	"fmt"
	"math"
	"sort"

	"slipring/engine/diag"
)

// capture makes channels of the rows.
func (t *table) capture() *Capture {
	c := &Capture{File: t.file}
	from, step, ok := t.times()
	if !ok {
		return nil
	}
	if t.stride > 1 {
		t.say(diag.Warning, 0, 0, fmt.Sprintf("of its %d lines each %d neighbours are averaged to one sample", t.rows, t.stride), "for finer edges, save a shorter stretch")
	}
	for i, column := range t.columns {
		ch := Channel{From: from, Step: step, Y: t.kept[i+1], grain: step, counted: true}
		if t.stride > 1 {
			// A mean of neighbours shows where within them an edge lies; a straight
			// line to the next one is off by up to 0.09 of their distance.
			ch.grain, ch.counted = step*max(0.2, 1/float64(t.stride)), false
		}
		ch.place = diag.Message{File: t.file, Line: t.first + 1, Column: 1, Rule: "capture"}
		ch.Name = t.head.names[column]
		if ch.Name == "" && len(t.columns) == 1 {
			ch.Name = t.head.name
		}
		if ch.Name == "" {
			ch.Name = fmt.Sprintf("channel %d", i+1)
		}
		unit := t.head.units[column]
		if unit == "" {
			unit = t.head.unit
		}
		base, factor, known := unitOf(unit)
		if !known {
			base, factor = unit, 1
		}
		ch.Unit = base
		t.codes(&ch, &factor)
		top, bottom := math.Inf(-1), math.Inf(1)
		for j, y := range ch.Y {
			y *= factor
			ch.Y[j] = y
			top, bottom = max(top, y), min(bottom, y) // NaN, which stands for beyond, spreads: mended below
			if math.IsNaN(top) {
				top = math.Inf(-1)
			}
			if math.IsNaN(bottom) {
				bottom = math.Inf(1)
			}
		}
		if t.beyond[i+1] > 0 {
			fill(ch.Y)
			ch.clipped = true
			ch.place.Line = t.beyond[i+1]
			t.say(diag.Warning, t.beyond[i+1], 1, fmt.Sprintf("channel %q goes beyond what the instrument shows from here on, in places", ch.Name),
				"choose more volts a division and record again; times are measured, heights are not")
		}
		ch.quantum = smallestStep(ch.Y)
		c.Channels = append(c.Channels, ch)
	}
	return c
}

// fill puts the extreme of the side on which the signal left in the place of
// values beyond the range.
func fill(y []float64) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, x := range y {
		if !math.IsNaN(x) {
			low, high = min(low, x), max(high, x)
		}
	}
	if low > high {
		low, high = 0, 0
	}
	last := high
	for i, x := range y {
		if !math.IsNaN(x) {
			last = x
			continue
		}
		y[i] = low
		if last-low >= high-last {
			y[i] = high
		}
	}
}

// codes takes whole numbers as an instrument's codes where the head has a scale
// for them.
func (t *table) codes(ch *Channel, factor *float64) {
	if t.head.probe != 1 {
		t.say(diag.Warning, t.first+1, 1, fmt.Sprintf("the probe factor %g above is taken to be in the numbers already; the other reading multiplies them by it", t.head.probe),
			"compare the height with the screen of the instrument")
	}
	if t.head.scale == 0 || t.stride > 1 {
		return
	}
	for _, y := range ch.Y {
		if !whole(y) {
			return
		}
	}
	t.say(diag.Warning, t.first+1, 1, fmt.Sprintf("channel %q has whole numbers, taken as codes: a value is its code times %g plus %g, the scale and offset above; the other reading takes them as they are", ch.Name, t.head.scale, t.head.offset),
		"compare the height with the screen of the instrument")
	for i, y := range ch.Y {
		ch.Y[i] = y*t.head.scale + t.head.offset / *factor
	}
}

// smallestStep gives the smallest difference between two values that are not the
// same: at most a few steps of the instrument's converter.
func smallestStep(y []float64) float64 {
	var some []float64
	for i := 0; i < len(y); i += max(1, len(y)/5000) {
		some = append(some, y[i])
	}
	sort.Float64s(some)
	least := 0.0
	for i := 1; i < len(some); i++ {
		if d := some[i] - some[i-1]; d > 0 && (least == 0 || d < least) {
			least = d
		}
	}
	return least
}

// times gives the first instant and the distance of the samples. Times that
// were rounded when they were written are even within that rounding.
func (t *table) times() (from, step float64, ok bool) {
	half := float64(t.stride-1) / 2
	if t.time < 0 {
		dt := t.head.interval
		return t.head.start + (half-t.head.trigger)*dt, dt * float64(t.stride), true
	}
	at := t.kept[0]
	n := len(at)
	middle, squares, slopes, mean := float64(n-1)/2, 0.0, 0.0, 0.0
	for i, x := range at {
		k := float64(i) - middle
		squares += k * k
		slopes += k * (x - at[0])
		mean += (x - at[0]) / float64(n)
	}
	step = slopes / squares
	from = at[0] + mean - middle*step
	if !(step > 0) {
		t.say(diag.Error, t.first+1, t.time+1, "all times are the same", "save the record with more digits of its times, or with its sample interval above the numbers")
		return 0, 0, false
	}
	// float32, in which some instruments keep times, has 24 bits
	far := max(math.Abs(at[0]), math.Abs(at[n-1]))
	may := 0.51*t.quantum + 0.1*step/float64(t.stride) + far/(1<<23)
	if t.stride > 1 {
		may += 0.5 * step / float64(t.stride)
	}
	worst, line := 0.0, 0
	for i, x := range at {
		off := math.Abs(x - from - float64(i)*step)
		if i > 0 && off > may {
			if gap := math.Abs(x - at[i-1] - step); gap > worst {
				worst, line = gap, i
			}
		}
	}
	if line == 0 {
		return from, step, true
	}
	// Where one gap shifts all that follows, it is the largest that counts.
	for i := 1; i < n; i++ {
		if gap := math.Abs(at[i] - at[i-1] - step); gap > worst {
			worst, line = gap, i
		}
	}
	t.say(diag.Error, t.first+1+line*t.stride, t.time+1,
		fmt.Sprintf("the times are uneven: this one is %.4g s after the line above, where %.4g s is the mean", at[line]-at[line-1], step),
		"save the record as it was sampled, with one distance, or keep only the lines above this one")
	return 0, 0, false
}
