package motion

import (
	"fmt"
	"math"
)

// The generator in px, seen along its shaft. The winding's first conductor is
// at the top when the output is at zero, and on the right at its crest.
const (
	genX, genY    = 262.0, 300.0
	armature      = 134.0
	slotOut       = 112.0
	outerRing     = 82.0
	innerRing     = 64.0
	meterX        = 630.0
	outputMeterY  = 150.0
	currentMeterY = 430.0
	meterRadius   = 100.0
	needleSwing   = 60.0 // degrees to either side
)

func generator(c course, w words) picture {
	f := newFilm(c, w)
	turned := c.sampled("shaft angle")
	for i := range turned {
		turned[i] += c.sizes["ring angle"]
	}
	f.channel("winding", turned, 1)
	least, most, _, crest := c.extremes("output")
	fieldLeast, fieldMost, _, _ := c.extremes("generator field current")
	volts := upTo(max(math.Abs(least), math.Abs(most)))
	amps := upTo(max(math.Abs(fieldLeast), math.Abs(fieldMost)))
	f.channel("output", c.sampled("output"), needleSwing/volts)
	current := c.sampled("generator field current")
	for i := range current {
		current[i] = (2*current[i]/amps - 1) * needleSwing
	}
	f.channel("current", current, 1)
	first, at := c.signs("output")
	f.Switches["sign"] = contact{first, at}
	f.Still = crest

	f.add(part{Part: "rotor", Does: "turn", By: "winding", X: genX, Y: genY})
	f.add(part{Part: "output", Does: "turn", By: "output", X: meterX, Y: outputMeterY})
	f.add(part{Part: "current", Does: "turn", By: "current", X: meterX, Y: currentMeterY})
	f.add(part{Part: "forth", Does: "show", By: "sign", When: 1})
	f.add(part{Part: "back", Does: "show", By: "sign", When: 0})

	g := w.generator
	p := picture{film: f, title: g.title}
	p.description = sentences(
		fmt.Sprintf(g.over, w.rounds(c)),
		fmt.Sprintf(g.swings, w.digits(least, 3), w.digits(most, 3)),
		fmt.Sprintf(g.fieldAt, w.digits(fieldLeast, 3), w.digits(fieldMost, 3)))
	p.note = sentences(fmt.Sprintf(w.slow, w.number(float64(f.Slow), 0)), g.apart, g.signs)
	p.draw = func(c *canvas) { drawGenerator(c, w, volts, amps) }
	return p
}

// upTo rounds a full scale up to 1, 1.5, 2, 3, 5 or 7.5 times a power of ten;
// 1 for nothing.
func upTo(x float64) float64 {
	if x <= 0 {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(x)))
	for _, step := range []float64{1, 1.5, 2, 3, 5, 7.5, 10} {
		if step*power >= x*(1-1e-9) {
			return step * power
		}
	}
	return 10 * power
}

func drawGenerator(c *canvas, w words, volts, amps float64) {
	g := w.generator
	for _, side := range []float64{-1, 1} {
		pole(c, side)
	}
	c.name("label", g.north, genX-196, genY+10, "middle")
	c.name("label", g.south, genX+196, genY+10, "middle")

	c.open("g", "data-part", "rotor")
	c.disc("shape body", genX, genY, armature)
	for a := 30.0; a < 360; a += 30 {
		if a != 180 {
			x, y := circle(genX, genY, slotOut, a)
			c.disc("shape ground", x, y, 8)
		}
	}
	top, foot := genY-slotOut, genY+slotOut
	c.line("wire", path("M", genX, top, "V", genY-44, "M", genX, foot, "V", genY+44))
	c.disc("line ring", genX, genY, outerRing)
	c.disc("line ring", genX, genY, innerRing)
	c.disc("dot", genX, genY-outerRing, 6)
	c.disc("dot", genX, genY+innerRing, 6)
	for _, half := range []string{
		path("M", genX-46, genY-5, "A", 46, 46, "0 0 1", genX+46, genY-5, "h", -20, "A", 26, 26, "0 0 0", genX-26, genY-5, "z"),
		path("M", genX-46, genY+5, "A", 46, 46, "0 0 0", genX+46, genY+5, "h", -20, "A", 26, 26, "0 0 1", genX-26, genY+5, "z"),
	} {
		c.shape("copper", half)
	}
	c.disc("shape iron", genX, genY, 20)
	c.disc("shape copper", genX, top, 17)
	c.disc("shape copper", genX, foot, 17)
	c.open("g", "data-part", "forth")
	c.element("path", "class", "sign", "fill", "none", "stroke", "currentColor", "d", dot(genX, top)+cross(genX, foot))
	c.close("g")
	c.open("g", "data-part", "back")
	c.element("path", "class", "sign", "fill", "none", "stroke", "currentColor", "d", cross(genX, top)+dot(genX, foot))
	c.close("g")
	c.close("g")

	// brushes: one on each ring, above and below; two on the commutator
	c.shape("insulation", rectangle(genX-9, genY-outerRing-24, 18, 22))
	c.shape("insulation", rectangle(genX-9, genY+innerRing+2, 18, 22))
	c.shape("insulation", rectangle(genX-68, genY-9, 20, 18))
	c.shape("insulation", rectangle(genX+48, genY-9, 20, 18))
	drawTurning(c, genX, genY, armature+36)

	meter(c, meterX, outputMeterY, "output", true)
	c.name("label", g.output, meterX, outputMeterY+44, "middle")
	c.name("label scale", "± "+w.digits(volts, 2)+" V", meterX, outputMeterY+80, "middle")
	meter(c, meterX, currentMeterY, "current", false)
	c.name("label", g.current, meterX, currentMeterY+44, "middle")
	c.name("label scale", "0–"+w.digits(amps, 2)+" A", meterX, currentMeterY+80, "middle")

	x, y := circle(genX, genY, outerRing, 130)
	c.label(g.rings, 12, 40, "start", 66, 52, x, y, "")
	x, y = circle(genX, genY, 36, 40)
	c.label(g.commutator, 12, 604, "start", 90, 574, x, y, "")
	x, y = circle(genX, genY, armature-8, -28)
	c.label(g.armature, 372, 604, "end", 320, 574, x, y, "")
}

// pole draws a pole with its field coil, at the left (-1) or right (1).
func pole(c *canvas, side float64) {
	x1, y1 := circle(genX, genY, armature+12, -side*50)
	_, y2 := circle(genX, genY, armature+12, -side*130)
	sweep := "0 0 0"
	if side < 0 {
		sweep = "0 0 1"
	}
	back := genX + side*246
	shoe := genX + side*168
	c.shape("iron", path("M", x1, y1, "A", armature+12, armature+12, sweep, x1, y2,
		"L", shoe, y2, "L", shoe, genY-50, "H", back, "V", genY+50, "H", shoe, "L", shoe, y1, "z"))
	for _, up := range []float64{-1, 1} {
		c.shape("copper", rectangle(genX+side*210-30, genY+up*70-18, 60, 36))
	}
}

// meter draws an instrument whose needle is a part.
func meter(c *canvas, x, y float64, needle string, middle bool) {
	c.shape("ground", path("M", x-meterRadius, y+8, "V", y, "A", meterRadius, meterRadius, "0 0 1", x+meterRadius, y, "v", 8, "z"))
	d := ""
	for a := -needleSwing; a <= needleSwing; a += needleSwing / 3 {
		long := 10.0
		if a == -needleSwing || a == needleSwing || middle && a == 0 {
			long = 18
		}
		x1, y1 := circle(x, y, meterRadius-8, 180+a)
		x2, y2 := circle(x, y, meterRadius-8-long, 180+a)
		d += path("M", x1, y1, "L", x2, y2)
	}
	c.line("thin", d)
	c.element("path", "class", "line needle", "fill", "none", "stroke", "currentColor",
		"d", path("M", x, y, "v", 24-meterRadius), "data-part", needle)
	c.disc("shape iron", x, y, 8)
}
