package motion

import (
	"math"

	"slipring/render/markup"
)

// The generator in px, seen along its shaft, with a pole above it and one
// below: so a conductor is as high as its voltage, as far as that is a sine.
// The first conductor is at the left when the output is at zero, and at the
// top at its crest.
const (
	genX, genY = 240.0, 310.0
	armature   = 134.0
	slotOut    = 112.0
	outerRing  = 82.0
	innerRing  = 64.0
)

func generator(c course, w words) picture {
	f := newFilm(c, w)
	turned := c.sampled("shaft angle")
	for i := range turned {
		turned[i] += c.sizes["ring angle"]
	}
	f.channel("winding", turned, 1)
	least, most, _, _ := c.extremes("output")
	crest := max(math.Abs(least), math.Abs(most))
	scale := 1.0
	if crest > 0 {
		scale = slotOut / crest
	}
	d := f.trace(c.sampled("output"), genY, -scale)
	first, at := c.signs("output")
	f.Switches["sign"] = contact{first, at}
	// late enough for the wave to be seen whole, with the wire on its way
	f.Still = c.from + 0.875*c.span

	f.add(part{Part: "rotor", Does: "turn", By: "winding", X: genX, Y: genY})
	f.add(part{Part: "forth", Does: "show", By: "sign", When: 0})
	f.add(part{Part: "back", Does: "show", By: "sign", When: 1})

	p := picture{film: f, title: w.Text("motion-generator.title"), wide: wide}
	p.description = sentences(
		w.Text("motion-generator.over", "turns", w.rounds(c)),
		w.Text("motion-generator.swings", "low", w.digits(least, 3), "high", w.digits(most, 3)))
	if _, ok := c.signals["generator field current"]; ok {
		least, most, _, _ := c.extremes("generator field current")
		p.description = sentences(p.description, w.Text("motion-generator.field-at", "low", w.digits(least, 3), "high", w.digits(most, 3)))
	}
	p.note = sentences(f.pace(w), w.Text("motion-generator.apart"), w.Text("motion-generator.signs"))
	p.draw = func(to *canvas) {
		drawGenerator(to, w)
		to.traced(d, genX, genY, slotOut, w.digits(crest, 3)+" V", w.spans(c))
	}
	return p
}

// spans says how many turns a trace is drawn over.
func (w words) spans(c course) string {
	switch n := math.Round(c.turns); {
	case c.whole() && n == 1:
		return w.Text("motion-generator.one-turn")
	case c.whole():
		return w.Text("motion-generator.many-turns", "turns", w.number(n, 0))
	}
	return w.Text("motion-generator.many-turns", "turns", w.digits(c.turns, 2))
}

func drawGenerator(c *canvas, w words) {
	for _, side := range []float64{-1, 1} {
		pole(c, side)
	}
	c.name("label", w.Text("motion-generator.north"), genX, genY-186, "middle")
	c.name("label", w.Text("motion-generator.south"), genX, genY+210, "middle")

	c.open("g", "data-part", "rotor")
	c.disc("shape body", genX, genY, armature)
	for a := 0.0; a < 360; a += 30 {
		if a != 90 && a != 270 {
			x, y := circle(genX, genY, slotOut, a)
			c.disc("shape ground", x, y, 8)
		}
	}
	left, right := genX-slotOut, genX+slotOut
	c.line("wire", path("M", left, genY, "H", genX-44, "M", right, genY, "H", genX+44))
	c.disc("line ring", genX, genY, outerRing)
	c.disc("line ring", genX, genY, innerRing)
	c.disc("dot", genX-outerRing, genY, 6)
	c.disc("dot", genX+innerRing, genY, 6)
	for _, half := range []string{
		path("M", genX-5, genY-46, "A", 46, 46, "0 0 0", genX-5, genY+46, "v", -20, "A", 26, 26, "0 0 1", genX-5, genY-26, "z"),
		path("M", genX+5, genY-46, "A", 46, 46, "0 0 1", genX+5, genY+46, "v", -20, "A", 26, 26, "0 0 0", genX+5, genY-26, "z"),
	} {
		c.shape("copper", half)
	}
	c.disc("shape iron", genX, genY, 20)
	c.disc("shape copper", right, genY, 18)
	c.disc("shape copper marked", left, genY, 24)
	c.open("g", "data-part", "forth")
	c.element("path", "class", "sign", "fill", "none", "stroke", "currentColor", "d", dot(left, genY)+cross(right, genY))
	c.close("g")
	c.open("g", "data-part", "back")
	c.element("path", "class", "sign", "fill", "none", "stroke", "currentColor", "d", cross(left, genY)+dot(right, genY))
	c.close("g")
	c.close("g")

	// brushes: one on each ring, at the sides; two on the commutator
	c.shape("insulation", rectangle(genX-outerRing-24, genY-9, 22, 18))
	c.shape("insulation", rectangle(genX+innerRing+2, genY-9, 22, 18))
	c.shape("insulation", rectangle(genX-9, genY-68, 18, 20))
	c.shape("insulation", rectangle(genX-9, genY+48, 18, 20))
	c.open("g", "transform", "rotate(-90 "+markup.Tenths(genX)+" "+markup.Tenths(genY)+")")
	drawTurning(c, genX, genY, armature+26)
	c.close("g")

	x, y := circle(genX, genY, outerRing, 110)
	c.label(w.Text("motion-generator.rings"), 4, 36, "start", 40, 50, x, y, "")
	// round the pole, so that it crosses nothing
	x, y = circle(genX, genY, 38, 80)
	c.line("leader", path("M", 50, 562, "V", 416, "L", x, y))
	c.name("label", w.Text("motion-generator.commutator"), 4, 598, "start")
}

// pole draws a pole with its field coil, above (-1) or below (1).
func pole(c *canvas, side float64) {
	angle := 90 + side*-40
	x1, y1 := circle(genX, genY, armature+12, angle)
	x2, _ := circle(genX, genY, armature+12, 360-angle)
	sweep := "0 0 1"
	if side > 0 {
		sweep = "0 0 0"
	}
	shoe, back := genY+side*168, genY+side*232
	c.shape("iron", path("M", x1, y1, "A", armature+12, armature+12, sweep, x2, y1,
		"L", x2, shoe, "L", genX+50, shoe, "V", back, "H", genX-50, "V", shoe, "L", x1, shoe, "z"))
	for _, aside := range []float64{-1, 1} {
		c.shape("copper", rectangle(genX+aside*70-18, genY+side*202-26, 36, 52))
	}
}
