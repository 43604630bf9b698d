package motion

import (
	"math"
)

// The tone wheel in px. At shaft angle 0 a tooth stands before the pole, which
// is at the right.
const (
	wheelX, wheelY = 236.0, 244.0
	tipRadius      = 196.0
	poleFace       = wheelX + tipRadius + 8
)

func toneWheel(c course, w words) picture {
	f := newFilm(c, w)
	teeth := c.sizes["teeth"]
	angle := c.sampled("shaft angle")
	f.channel("angle", angle, 1)
	near := make([]float64, len(angle))
	for i, a := range angle {
		near[i] = 0.5 + 0.5*math.Cos(teeth*a*math.Pi/180)
	}
	f.channel("near", near, 18)
	f.Still = c.from

	f.add(part{Part: "rotor", Does: "turn", By: "angle", X: wheelX, Y: wheelY})
	f.add(part{Part: "flux", Does: "thick", By: "near", Base: 3, Factor: 1})

	tone := teeth * c.turns / c.span
	p := picture{film: f, title: w.Text("motion-tone-wheel.title"), high: 490}
	p.description = sentences(
		w.Text("motion-tone-wheel.over", "teeth", w.number(teeth, 0), "turns", w.rounds(c)),
		w.Text("motion-tone-wheel.tone", "hertz", w.digits(tone, 4)))
	p.note = sentences(f.pace(w), w.Text("motion-tone-wheel.path"))
	p.draw = func(c *canvas) { drawToneWheel(c, w, int(teeth), tone) }
	return p
}

func drawToneWheel(c *canvas, w words, teeth int, tone float64) {
	// magnet, pole and coil
	c.shape("iron", path("M", poleFace, wheelY-20, "L", poleFace+30, wheelY-30, "H", poleFace+230, "v", 60, "H", poleFace+30, "L", poleFace, wheelY+20, "z"))
	c.shape("brass", rectangle(poleFace+230, wheelY-62, 66, 124))
	for _, up := range []float64{-1, 1} {
		c.shape("copper", rectangle(poleFace+60, wheelY+up*54-20, 130, 40))
		d := ""
		for x := 13.0; x < 130; x += 13 {
			d += path("M", poleFace+60+x, wheelY+up*54-20, "v", 40)
		}
		c.line("thin", d)
	}

	c.open("g", "data-part", "rotor")
	c.shape("body", toothed(teeth))
	for a := 0.0; a < 360; a += 60 {
		x, y := circle(wheelX, wheelY, 92, a+30)
		c.disc("shape ground", x, y, 26)
	}
	c.disc("shape iron", wheelX, wheelY, 34)
	c.shape("ground", rectangle(wheelX-7, wheelY-34, 14, 12))
	x, y := circle(wheelX, wheelY, tipRadius-14, 90)
	c.disc("dot", x, y, 6)
	c.close("g")
	c.element("path", "class", "flux", "fill", "none", "stroke", "currentColor",
		"d", path("M", poleFace+230, wheelY, "H", poleFace-44), "data-part", "flux")
	drawTurning(c, wheelX, wheelY, tipRadius+24)

	right := float64(width - 12)
	c.label(w.Text("motion-tone-wheel.coil"), right, 92, "end", right-40, 106, poleFace+160, wheelY-66, "")
	c.label(w.Text("motion-tone-wheel.magnet"), right, 404, "end", right-50, 372, poleFace+262, wheelY+40, "")
	c.label(w.Text("motion-tone-wheel.wheel"), 12, 40, "start", 46, 52, wheelX-62, wheelY-130, "")
	x, y = circle(wheelX, wheelY, tipRadius-10, -40)
	c.label(w.Text("motion-tone-wheel.tooth"), 416, 436, "start", 412, 424, x, y, "")
	c.name("state", w.Text("motion-tone-wheel.sum", "teeth", w.number(float64(teeth), 0), "hertz", w.digits(tone, 3)), right, 476, "end")
}

// toothed gives the outline of a wheel, with a tooth at the right.
func toothed(teeth int) string {
	pitch := 360 / float64(teeth)
	depth := min(40, 0.35*2*math.Pi*tipRadius/float64(teeth))
	d := ""
	point := func(letter string, radius, angle float64) {
		x, y := circle(wheelX, wheelY, radius, angle)
		d += path(letter, x, y)
	}
	for i := range teeth {
		middle := 270 + pitch*float64(i)
		letter := "L"
		if i == 0 {
			letter = "M"
		}
		point(letter, tipRadius-depth, middle-0.32*pitch)
		point("L", tipRadius, middle-0.2*pitch)
		point("A"+path(tipRadius, tipRadius)+" 0 0 1 ", tipRadius, middle+0.2*pitch)
		point("L", tipRadius-depth, middle+0.32*pitch)
		point("A"+path(tipRadius-depth, tipRadius-depth)+" 0 0 1 ", tipRadius-depth, middle+0.68*pitch)
	}
	return d + "z"
}
