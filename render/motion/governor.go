package motion

import (
	"fmt"
	"math"
)

// The governor's disc in px. At shaft angle 0 the weight is below the axis;
// the leaf runs from its clamp at the left to the weight, and the contact
// stands outside the weight.
const (
	discX, discY = 380.0, 296.0
	discRadius   = 222.0
	bandRadius   = 242.0
	weightOut    = 104.0 // centre of the weight, with the weight at the contact
	weightHigh   = 64.0
	weightWide   = 116.0
	contactOut   = 150.0 // plane in which the contact meets
	contactSide  = 32.0  // right of the weight's middle, so that the arrow passes by
	wiperOut     = contactOut + 17
	mostInward   = 26.0 // px that the weight may move in, and
	mostOutward  = 12.0 // out
)

func governor(c course, w words) picture {
	f := newFilm(c, w)
	low, high, atLow, atHigh := c.extremes("weight travel")
	scale := travelScale(low, high)
	f.channel("angle", c.sampled("shaft angle"), 1)
	f.channel("travel", c.sampled("weight travel"), scale)
	closed := c.closures("governor contact")
	f.follow("contact", closed)
	f.Say = "contact"
	f.Still = atHigh
	if t, ok := c.middle(closed); ok {
		f.Still = t
	}

	f.add(part{Part: "rotor", Does: "turn", By: "angle", X: discX, Y: discY})
	f.add(part{Part: "weight", Does: "shift", By: "travel", Y: 1})
	f.add(part{Part: "pin", Does: "shift", By: "travel", Past: true, Y: 1})
	f.add(part{Part: "leaf", Does: "bend", By: "travel", Path: []any{
		path("M", discX-150, discY+weightOut, "C", discX-110, discY+weightOut, discX-95) + " ",
		discY + weightOut, 1.0, path(" ", discX-weightWide/2) + " ", discY + weightOut, 1.0}})
	f.add(part{Part: "wiper", Does: "bend", By: "travel", Past: true, Path: []any{
		path("M", discX+112, discY+wiperOut, "C", discX+90, discY+wiperOut, discX+70) + " ",
		discY + wiperOut, 1.0, path(" ", discX+contactSide-20) + " ", discY + wiperOut, 1.0}})
	gravity, said := c.sizes["gravity"]
	pulled := gravity > 0 || !said
	if pulled {
		f.add(part{Part: "pull", Does: "orbit", By: "angle", Out: "travel", X: discX, Y: discY, AtY: weightOut})
	}
	f.add(part{Part: "to-weight", Does: "point", By: "angle", Out: "travel", X: discX, Y: discY, AtX: 38, AtY: weightOut - 14})
	f.add(part{Part: "to-leaf", Does: "point", By: "angle", X: discX, Y: discY, AtX: -118, AtY: weightOut})
	f.add(part{Part: "to-contact", Does: "point", By: "angle", Out: "travel", Past: true, X: discX, Y: discY, AtX: contactSide, AtY: contactOut + 9})
	f.add(part{Part: "glow", Does: "show", By: "contact", When: 1})
	f.add(part{Part: "open", Does: "show", By: "contact", When: 0})
	f.add(part{Part: "closed", Does: "show", By: "contact", When: 1})

	g := w.governor
	p := picture{film: f, title: g.title}
	swing := g.rests
	if high > low {
		swing = fmt.Sprintf(g.swing, w.bearing(c, atHigh), w.bearing(c, atLow))
	}
	p.description = sentences(
		fmt.Sprintf(g.over, w.rounds(c)),
		swing,
		w.contact(c, "governor contact", g.closes))
	p.note = fmt.Sprintf(w.slow, w.number(float64(f.Slow), 0))
	if radius := c.sizes["contact radius"]; radius > 0 && high > low {
		// The weight's centre is drawn weightOut px from the axis.
		p.note = sentences(p.note, fmt.Sprintf(w.enlarge, g.travel, w.times(scale*radius/weightOut)))
	}
	arcs := bands(c, closed)
	if len(arcs) > 0 {
		p.note = sentences(p.note, w.arc)
	}
	p.draw = func(to *canvas) { drawGovernor(to, w, arcs, pulled) }
	return p
}

// travelScale gives the px that are drawn for each mm of the weight's travel.
func travelScale(low, high float64) float64 {
	scale := math.Inf(1)
	if low < 0 {
		scale = min(scale, -mostInward/low)
	}
	if high > 0 {
		scale = min(scale, mostOutward/high)
	}
	if math.IsInf(scale, 1) {
		return 1
	}
	return scale
}

// bearing says where in the turn the shaft is at an instant.
func (w words) bearing(c course, t float64) string {
	a := c.signals["shaft angle"].At(t)
	a = math.Round(a - 360*math.Round(a/360))
	switch {
	case a == 0:
		return w.governor.lowest
	case a < 0 && a > -180:
		return fmt.Sprintf(w.governor.before, w.number(-a, 0))
	}
	return fmt.Sprintf(w.governor.after, w.number(math.Abs(a), 0))
}

// bands gives the arcs of the turn in which the contact is closed. There are
// none where turns differ.
func bands(c course, closed []stretch) []string {
	if !c.repeats("governor contact") {
		return nil
	}
	angle := c.signals["shaft angle"]
	var out []string
	for _, s := range closed {
		out = append(out, arc(discX, discY, bandRadius, angle.At(s.from), angle.At(s.to)))
	}
	return out
}

func drawGovernor(c *canvas, w words, closed []string, gravity bool) {
	c.disc("line thin", discX, discY, bandRadius)
	for _, d := range closed {
		c.line("band", d)
	}
	drawTurning(c, discX, discY, bandRadius+18)

	c.open("g", "data-part", "rotor")
	c.disc("shape body", discX, discY, discRadius)
	c.disc("line thin", discX, discY, discRadius-10)
	for _, a := range []float64{-40, 0, 40} {
		x, y := circle(discX, discY, 138, 180+a)
		c.disc("shape ground", x, y, 24)
	}
	c.disc("shape iron", discX, discY, 38)
	c.shape("ground", rectangle(discX-7, discY-38, 14, 13)) // keyway
	c.line("thin", path("M", discX-12, discY, "h", 24, "M", discX, discY-12, "v", 24))

	// the leaf in its clamp
	c.moving("spring", "leaf")
	c.shape("iron", rectangle(discX-186, discY+weightOut-20, 40, 40))
	c.disc("line thin", discX-166, discY+weightOut, 8)
	c.disc("dot", discX-118, discY+weightOut, 4)
	// the wiper in its block, which keeps it off the disc
	c.disc("shape glow", discX+contactSide, discY+contactOut, 36, "data-part", "glow")
	c.moving("spring", "wiper")
	c.shape("insulation", rectangle(discX+106, discY+contactOut, 30, 34))
	c.open("g", "data-part", "pin")
	c.shape("copper", path("M", discX+contactSide-12, discY+wiperOut-2, "v", -10, "l", 5, -5, "h", 14, "l", 5, 5, "v", 10, "z"))
	c.disc("dot", discX+contactSide, discY+contactOut+9, 4)
	c.close("g")
	// the weight with its own contact
	c.open("g", "data-part", "weight")
	c.shape("copper", path("M", discX+contactSide-12, discY+weightOut+weightHigh/2-1, "v", 10, "l", 5, 5, "h", 14, "l", 5, -5, "v", -10, "z"))
	c.shape("brass", rectangle(discX-weightWide/2, discY+weightOut-weightHigh/2, weightWide, weightHigh))
	c.disc("dot", discX+38, discY+weightOut-14, 4)
	c.close("g")
	c.close("g")

	if gravity {
		c.open("g", "data-part", "pull")
		c.shape("pull", arrow(0, 0, 70))
		c.close("g")
	}

	g := w.governor
	c.label(g.shaft, 12, 40, "start", 44, 52, discX-22, discY-20, "")
	c.label(g.leaf, 12, 604, "start", 60, 574, 0, 0, "to-leaf")
	c.label(g.weight, width-12, 174, "end", width-80, 186, 0, 0, "to-weight")
	c.label(g.contact, width-12, 604, "end", width-60, 574, 0, 0, "to-contact")
	if gravity {
		c.name("label", g.gravity, width-12, 40, "end")
		c.shape("pull", arrow(width-62, 56, 84))
	} else {
		c.name("label", g.noGravity, width-12, 40, "end")
	}
	c.states(w.controls, discX, 604, "middle")
}

// arc gives a path along a circle between two angles in degrees. The second
// angle is the larger one.
func arc(x, y, radius, from, to float64) string {
	if to-from > 359.5 {
		return path("M", x, y-radius, "a", radius, radius, "0 1 1 0", 2*radius, "a", radius, radius, "0 1 1 0", -2*radius)
	}
	x1, y1 := circle(x, y, radius, from)
	x2, y2 := circle(x, y, radius, to)
	large := "0 0 1"
	if to-from > 180 {
		large = "0 1 1"
	}
	return path("M", x1, y1, "A", radius, radius, large, x2, y2)
}

// drawTurning draws a bent arrow above a wheel, in the sense in which it turns.
func drawTurning(c *canvas, x, y, radius float64) {
	x1, y1 := circle(x, y, radius, 158)
	x2, y2 := circle(x, y, radius, 198)
	c.line("turning", path("M", x1, y1, "A", radius, radius, "0 0 1", x2, y2))
	c.shape("turning", path("M-3-9L15 0L-3 9z"), "transform", "translate("+num(x2)+" "+num(y2)+") rotate(19)")
}
