package motion

import (
	"math"
)

// The bell in px: two gongs, a hammer that hangs upside down between them from
// its pivot, and the two coils that throw it.
const (
	bellX, gongY = 206.0, 116.0
	gongOut      = 122.0
	gongRadius   = 72.0
	pivotY       = 320.0
	ballRadius   = 22.0
	traceY       = 200.0
	traceHigh    = 104.0
)

// mostHammer gives the angle in degrees at which the ball touches a gong.
func mostHammer() float64 {
	return math.Asin((gongOut-gongRadius-ballRadius)/(pivotY-gongY)) * 180 / math.Pi
}

func bell(c course, w words) picture {
	f := newFilm(c, w)
	least, most, atLeast, atMost := c.extremes("bell current")
	crest := max(math.Abs(least), math.Abs(most))
	if crest == 0 {
		crest = 1
	}
	current := c.sampled("bell current")
	d := f.trace(current, traceY, -traceHigh/crest)
	touch := mostHammer()
	swing := make([]float64, len(current))
	for i, v := range current {
		// soon against the gong, and softly from one to the other
		swing[i] = touch * math.Tanh(4*v/crest) / math.Tanh(4)
	}
	f.channel("swing", swing, 1)
	f.Still = max(atLeast, atMost) // the later, when most of the trace is drawn
	f.add(part{Part: "hammer", Does: "turn", By: "swing", X: bellX, Y: pivotY})
	const heard = 0.8 // part of the swing at which the sound is drawn
	f.add(part{Part: "right", Does: "fade", By: "swing", Base: -heard / (1 - heard), Factor: 1 / (1 - heard) / touch})
	f.add(part{Part: "left", Does: "fade", By: "swing", Base: -heard / (1 - heard), Factor: -1 / (1 - heard) / touch})

	p := picture{film: f, title: w.Text("motion-bell.title"), wide: wide, high: 486}
	_, strokes := c.signs("bell current")
	p.description = sentences(w.Text("motion-bell.over"),
		w.Text("motion-bell.swings", "low", w.digits(1000*least, 2), "high", w.digits(1000*most, 2), "ms", w.digits(1000*c.span, 3), "strokes", w.number(float64(len(strokes)), 0)))
	p.note = sentences(f.pace(w), w.Text("motion-bell.drawn"))
	p.draw = func(to *canvas) {
		drawBell(to, w)
		to.traced(d, traceFrom, traceY, traceHigh, w.digits(1000*crest, 2)+" mA", w.strokes(c, len(strokes)))
	}
	return p
}

// strokes says how often the current turns round.
func (w words) strokes(c course, n int) string {
	if c.whole() && math.Round(c.turns) == 1 && n == 2 {
		return w.Text("motion-bell.turn")
	}
	return w.Text("motion-bell.strokes", "strokes", w.number(float64(n), 0), "ms", w.digits(1000*c.span, 3))
}

func drawBell(c *canvas, w words) {
	// the coils on their yoke
	c.shape("iron", path("M", bellX-104, 478, "h", 208, "v", -26, "h", -208, "z"))
	for _, side := range []float64{-1, 1} {
		c.shape("iron", rectangle(bellX+side*74-14, 356, 28, 96))
		c.shape("copper", rectangle(bellX+side*74-34, 372, 68, 74))
		d := ""
		for y := 385.0; y < 446; y += 13 {
			d += path("M", bellX+side*74-34, y, "h", 68)
		}
		c.line("thin", d)
	}
	c.shape("brass", rectangle(bellX-12, 332, 24, 120))
	c.name("label", w.Text("motion-bell.coils"), bellX+122, 426, "start")

	for _, g := range []struct {
		side float64
		part string
	}{{-1, "left"}, {1, "right"}} {
		x := bellX + g.side*gongOut
		c.disc("shape brass", x, gongY, gongRadius)
		c.disc("line thin", x, gongY, gongRadius-14)
		c.name("label on-brass", w.Text("motion-bell.gong"), x, gongY+12, "middle")
		c.open("g", "data-part", g.part)
		d := ""
		for _, out := range []float64{16, 32} {
			for _, middle := range []float64{0, 180} {
				d += arc(x, gongY, gongRadius+out, middle-34, middle+34)
			}
		}
		c.line("ray", d)
		c.close("g")
	}

	c.open("g", "data-part", "hammer")
	c.shape("iron", path("M", bellX-104, pivotY-4, "h", 208, "v", 22, "h", -208, "z"))
	c.line("spring", path("M", bellX, pivotY, "V", gongY+ballRadius))
	c.disc("shape iron", bellX, gongY, ballRadius)
	c.close("g")
	c.disc("shape ground", bellX, pivotY+6, 10)
	c.name("label", w.Text("motion-bell.hammer"), bellX+24, 250, "start")
}
