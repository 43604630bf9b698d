package motion

import (
	"math"

	"slipring/render/markup"
)

// instrument is the scale of a needle.
type instrument struct {
	from, to float64
	decimals int // of the numbers at its ends
}

// dialSwing is how far a needle goes to either side, in degrees.
const dialSwing = 60.0

// needle moves a part as a needle over a scale.
func (f *film) needle(name string, values []float64, scale instrument) {
	middle, half := (scale.from+scale.to)/2, (scale.to-scale.from)/2
	swings := make([]float64, len(values))
	for i, v := range values {
		swings[i] = min(max((v-middle)/half, -1.08), 1.08)
	}
	f.channel(name, swings, dialSwing)
	f.add(part{Part: name, Does: "turn", By: name})
}

// speedScale gives a scale for the speed, narrow enough for small changes to be
// seen, and false where no speed is told.
func speedScale(c course) (instrument, bool) {
	if _, ok := c.signals["speed"]; !ok {
		return instrument{}, false
	}
	slow, ok1 := c.sizes["slowest"]
	fast, ok2 := c.sizes["fastest"]
	if ok1 && ok2 {
		decimals := 1
		if slow == math.Trunc(slow) && fast == math.Trunc(fast) {
			decimals = 0
		}
		return instrument{slow, fast, decimals}, true
	}
	low, high, _, _ := c.extremes("speed")
	for _, step := range []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50} {
		decimals := 0
		if step < 1 {
			decimals = 1
		}
		if step < 0.1 {
			decimals = 2
		}
		from := math.Floor(low/step) * step
		if from+2*step >= high {
			return instrument{from, from + 2*step, decimals}, true
		}
	}
	return instrument{low, high, 0}, true
}

// dial draws an instrument whose needle is a part that turns about its own 0,
// 0, with its scale's ends and what it measures below.
func (c *canvas) dial(x, y, r float64, needle string, scale instrument, w words, unit string) {
	c.shape("ground", path("M", x-r, y+10, "V", y, "A", r, r, "0 0 1", x+r, y, "v", 10, "z"))
	d := ""
	for k := range 11 {
		long := 10.0
		if k%5 == 0 {
			long = 20
		}
		a := 180 - dialSwing + 2*dialSwing*float64(k)/10
		x1, y1 := circle(x, y, r-8, a)
		x2, y2 := circle(x, y, r-8-long, a)
		d += path("M", x1, y1, "L", x2, y2)
	}
	c.line("thin", d)
	c.open("g", "transform", "translate("+markup.Tenths(x)+" "+markup.Tenths(y)+")")
	c.element("path", "class", "line needle", "fill", "none", "stroke", "currentColor",
		"d", path("M", 0, 0, "V", 20-r), "data-part", needle)
	c.close("g")
	c.disc("shape iron", x, y, 9)
	c.name("label scale", w.number(scale.from, scale.decimals), x-r-6, y-r+22, "middle")
	c.name("label scale", w.number(scale.to, scale.decimals), x+r+6, y-r+22, "middle")
	c.name("label", unit, x, y+50, "middle")
}

// bells draws a row of ten small bells after another: those that ring are
// filled, and move as the part "ring".
func (c *canvas) bells(x, y float64, ring, all int, says string) {
	const pitchX, pitchY, each = 35.0, 27.0, 10
	place := func(i int) (float64, float64) {
		return x + 18 + pitchX*float64(i%each), y + pitchY*float64(i/each)
	}
	one := func(x, y float64) string {
		return path("M", x-11, y+9, "q", 4, -4, 4, -11, "a", 7, 7, "0 0 1", 14, 0, "q", 0, 7, 4, 11, "z")
	}
	d, silent := "", ""
	for i := range all {
		if bx, by := place(i); i < ring {
			d += one(bx, by)
		} else {
			silent += one(bx, by)
		}
	}
	if silent != "" {
		c.line("thin", silent)
	}
	if ring > 0 {
		c.shape("brass small", d, "data-part", "ring")
	}
	rows := math.Ceil(float64(all) / each)
	c.name("state", says, x+6, y+pitchY*rows+22, "start")
}

// bells says how many bells ring.
func (w words) bells(n float64) string {
	switch n {
	case 0:
		return w.Text("motion-governor.no-bell")
	case 1:
		return w.Text("motion-governor.one-bell")
	}
	return w.Text("motion-governor.many-bells", "bells", w.number(n, 0))
}

// ringing gives the swing of a bell's hammer, -1 to 1, at shaft angles.
func ringing(angles []float64) []float64 {
	out := make([]float64, len(angles))
	for i, a := range angles {
		out[i] = math.Sin(a * math.Pi / 180)
	}
	return out
}
