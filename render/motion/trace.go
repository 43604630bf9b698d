package motion

import (
	"math"
	"strings"
)

// A trace stands right of the mechanism, in px.
const (
	traceFrom = 450.0
	traceTo   = 930.0
)

// trace lets a line be drawn from left to right as time goes on, values times
// scale from a level, with a pen that runs before it, and gives the line's
// path.
func (f *film) trace(values []float64, level, scale float64) string {
	n := len(values)
	step := (traceTo - traceFrom) / float64(n-1)
	heights, along, long := make([]float64, n), make([]float64, n), make([]float64, n)
	var d strings.Builder
	for i, v := range values {
		heights[i] = math.Floor(10*scale*v+0.5) / 10
		along[i] = math.Floor(10*step*float64(i)+0.5) / 10
		letter := "L"
		if i == 0 {
			letter = "M"
		} else {
			long[i] = long[i-1] + math.Hypot(along[i]-along[i-1], heights[i]-heights[i-1])
		}
		d.WriteString(path(letter, traceFrom+along[i], " ", level+heights[i]))
	}
	f.channel("height", heights, 1)
	f.channel(progress, along, 1)
	f.channel(traced, long, 1)
	f.add(part{Part: "trace", Does: "trace", By: traced})
	f.add(part{Part: "level", Does: "shift", By: "height", Y: 1})
	f.add(part{Part: "pen", Does: "shift", By: progress, X: 1})
	return d.String()
}

// traced draws the trace with its pen, its middle line, and how far it goes:
// the value at its crest and the time. A line leads to it from a place at the
// left.
func (c *canvas) traced(d string, from, level, crest float64, value, time string) {
	c.line("thin", path("M", traceFrom, level, "H", traceTo+18))
	c.line("thin", path("M", traceFrom, level-crest-16, "V", level+crest+16))
	c.name("label scale", "+ "+value, traceFrom, level-crest-34, "start")
	c.name("label scale", "\u2212 "+value, traceFrom, level+crest+56, "start")
	foot := level + crest + 100
	c.line("thin", path("M", traceFrom, foot-12, "v", 24, "m", 0, -12, "H", traceTo, "m", 0, -12, "v", 24))
	c.name("label", time, (traceFrom+traceTo)/2, foot+46, "middle")
	c.line("trace", d, "data-part", "trace")
	c.open("g", "data-part", "level")
	c.line("level", path("M", from, level, "H", traceFrom))
	c.open("g", "data-part", "pen")
	c.disc("shape pen", traceFrom, level, 13)
	c.close("g")
	c.close("g")
}
