package motion

import (
	"math"
	"strings"

	"slipring/render/markup"
)

// The governor's disc in px. At shaft angle 0 the weight is below the axis;
// the leaf runs from its clamp at the left to the weight, and the contact
// stands outside the weight. Names ride with their parts and stay upright, so
// that no line has to cross the disc.
const (
	discX, discY = 296.0, 310.0
	discRadius   = 230.0
	bandRadius   = 250.0
	weightOut    = 104.0 // centre of the weight, with the weight at the contact
	weightRadius = 64.0
	contactOut   = 180.0 // plane in which the contact meets
	wiperOut     = contactOut + 17
	mostInward   = 22.0  // px that the weight may move in, and
	mostOutward  = 10.0  // out
	sideX        = 592.0 // left edge of the lamp, the needle and the bells
)

func governor(c course, w words) picture {
	f := newFilm(c, w)
	low, high, atLow, atHigh := c.extremes("weight travel")
	large := travelScale(low, high)
	f.channel("angle", c.sampled("shaft angle"), 1)
	f.channel("travel", c.sampled("weight travel"), large)
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
		path("M", discX-168, discY+weightOut, "C", discX-120, discY+weightOut, discX-100) + " ",
		discY + weightOut, 1.0, path(" ", discX-weightRadius+2) + " ", discY + weightOut, 1.0}})
	f.add(part{Part: "wiper", Does: "bend", By: "travel", Past: true, Path: []any{
		path("M", discX+100, discY+wiperOut, "C", discX+80, discY+wiperOut, discX+40) + " ",
		discY + wiperOut, 1.0, path(" ", discX-16) + " ", discY + wiperOut, 1.0}})
	gravity, said := c.sizes["gravity"]
	pulled := gravity > 0 || !said
	if pulled {
		f.add(part{Part: "pull", Does: "orbit", By: "angle", Out: "travel", X: discX, Y: discY, AtY: weightOut})
	}
	f.add(part{Part: "name-weight", Does: "orbit", By: "angle", Out: "travel", X: discX, Y: discY, AtY: weightOut})
	f.add(part{Part: "name-shaft", Does: "orbit", By: "angle", X: discX, Y: discY, AtY: -88})
	f.add(part{Part: "name-leaf", Does: "orbit", By: "angle", X: discX, Y: discY, AtX: -138, AtY: 4})
	f.add(part{Part: "name-contact", Does: "orbit", By: "angle", X: discX, Y: discY, AtX: 150, AtY: 60})
	f.add(part{Part: "glow", Does: "show", By: "contact", When: 1})
	f.add(part{Part: "glow-lamp", Does: "show", By: "contact", When: 1})
	f.add(part{Part: "open", Does: "show", By: "contact", When: 0})
	f.add(part{Part: "closed", Does: "show", By: "contact", When: 1})
	scale, hasSpeed := speedScale(c)
	if hasSpeed {
		f.needle("speed", c.sampled("speed"), scale)
	}
	bells, hasBells := c.sizes["bells"]
	if hasBells && bells > 0 {
		// Bells get one cycle a turn.
		f.channel("ring", ringing(c.sampled("shaft angle")), 3)
		f.add(part{Part: "ring", Does: "shift", By: "ring", X: 1})
	}

	f.Words.States = [2]string{w.controls().States[0] + ", " + w.Text("motion-governor.free"), w.controls().States[1] + ", " + w.Text("motion-governor.held")}
	p := picture{film: f, title: w.Text("motion-governor.title"), wide: wide}
	swing := ""
	if high > low {
		swing = w.Text("motion-governor.swing", "out", w.bearing(c, atHigh), "in", w.bearing(c, atLow))
	}
	p.description = sentences(
		w.Text("motion-governor.over", "turns", w.rounds(c)),
		swing,
		w.contact(c, "governor contact", "motion-governor.closes"), w.Text("motion-governor.means"))
	if hasSpeed {
		low, high, _, _ := c.extremes("speed")
		p.description = sentences(p.description, w.Text("motion-governor.speeds", "low", w.number(low, 2), "high", w.number(high, 2)))
	}
	if hasBells {
		p.description = sentences(p.description, w.bells(bells)+".")
	}
	p.note = f.pace(w)
	if radius := c.sizes["contact radius"]; radius > 0 && high > low {
		// The weight's centre is drawn weightOut px from the axis.
		p.note = sentences(p.note, w.Text("motion.enlarge", "what", w.Text("motion-governor.travel"), "times", w.times(large*radius/weightOut)))
	}
	// A contact that is stuck does not do what the weight does: what holds it is
	// drawn between the two.
	clamped := low < 0 && c.closedShare("governor contact") == 1
	wedged := high > 0 && len(closed) == 0
	arcs := bands(c, closed)
	if len(arcs) > 0 {
		p.note = sentences(p.note, w.Text("motion.arc"))
	}
	p.draw = func(to *canvas) {
		drawGovernor(to, w, arcs, pulled, clamped, wedged)
		drawHeldBack(to, w)
		if hasSpeed {
			y, r := 344.0, 122.0
			if !hasBells {
				y, r = 420, 140
			}
			to.dial(sideX+172, y, r, "speed", scale, w, w.Text("motion-governor.turns"))
		}
		if hasBells {
			to.bells(sideX, 474, int(bells), int(max(bells, c.sizes["all bells"])), w.bells(bells))
		}
	}
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
		return w.Text("motion-governor.lowest")
	case a < 0 && a > -180:
		return w.Text("motion-governor.before", "degrees", w.number(-a, 0))
	}
	return w.Text("motion-governor.after", "degrees", w.number(math.Abs(a), 0))
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

func drawGovernor(c *canvas, w words, closed []string, gravity, clamped, wedged bool) {
	c.disc("line thin", discX, discY, bandRadius)
	for _, d := range closed {
		c.line("band", d)
	}
	drawTurning(c, discX, discY, bandRadius+16)

	c.open("g", "data-part", "rotor")
	c.disc("shape body", discX, discY, discRadius)
	c.disc("line thin", discX, discY, discRadius-10)
	c.disc("shape iron", discX, discY, 38)

	// the leaf in its clamp
	c.moving("line spring", "leaf")
	c.shape("iron", rectangle(discX-196, discY+weightOut-17, 34, 34))
	c.line("leader", path("M", discX-130, discY+62, "V", discY+weightOut-8))
	// the wiper in its block, which keeps it off the disc
	c.disc("shape glow", discX, discY+contactOut, 40, "data-part", "glow")
	c.moving("line spring", "wiper")
	c.shape("insulation", rectangle(discX+92, discY+contactOut-2, 28, 34))
	c.line("leader", path("M", discX+118, discY+94, "L", discX+20, discY+contactOut-3))
	if clamped {
		c.line("clamp", path("M", discX+30, discY+contactOut+22, "V", discY+contactOut-mostInward-16))
	}
	c.open("g", "data-part", "pin")
	c.shape("copper", path("M", discX-13, discY+wiperOut-2, "v", -10, "l", 5, -5, "h", 16, "l", 5, 5, "v", 10, "z"))
	c.close("g")
	// the weight with its own contact
	c.open("g", "data-part", "weight")
	c.shape("copper", path("M", discX-13, discY+weightOut+weightRadius-4, "v", 15, "l", 5, 5, "h", 16, "l", 5, -5, "v", -15, "z"))
	c.disc("shape brass", discX, discY+weightOut, weightRadius)
	if wedged {
		c.shape("insulation", rectangle(discX-22, discY+contactOut-7, 44, 12))
	}
	c.close("g")
	c.close("g")

	if gravity {
		c.open("g", "data-part", "pull")
		c.shape("pull", arrow(-36, 24, 80))
		c.close("g")
	}
	c.riding("name-shaft", "label", 12, w.Text("motion-governor.shaft"))
	c.riding("name-weight", "label on-brass", 16, w.Text("motion-governor.weight"))
	c.riding("name-leaf", "label", 12, strings.Fields(w.Text("motion-governor.leaf"))...)
	c.riding("name-contact", "label", 12, w.Text("motion-governor.contact"))
	if gravity {
		c.name("label", w.Text("motion-governor.gravity"), 8, 36, "start")
		c.shape("pull", arrow(40, 50, 104))
	} else {
		for i, line := range strings.Fields(w.Text("motion-governor.no-gravity")) {
			c.name("label", line, 8, 36+38*float64(i), "start")
		}
	}
}

// drawHeldBack draws the lamp that is lit while the contact is closed, and what
// that means for the motor.
func drawHeldBack(c *canvas, w words) {
	const x, y, r = sideX + 46, 76.0, 30.0
	c.disc("shape ground", x, y, r)
	c.line("thin", path("M", x-14, y+22, "L", x-8, y-6, "l", 8, 12, "l", 8, -12, "L", x+14, y+22))
	c.shape("iron", rectangle(x-16, y+r-4, 32, 22))
	c.open("g", "data-part", "glow-lamp")
	rays := ""
	for a := 60.0; a <= 300; a += 30 {
		x1, y1 := circle(x, y, r+8, a)
		x2, y2 := circle(x, y, r+24, a)
		rays += path("M", x1, y1, "L", x2, y2)
	}
	c.line("ray", rays)
	c.disc("shape lit", x, y, r)
	c.close("g")
	for _, s := range []struct{ class, part, contact, motor string }{
		{"state off", "open", w.controls().States[0], w.Text("motion-governor.free")},
		{"state on", "closed", w.controls().States[1], w.Text("motion-governor.held")},
	} {
		c.open("g", "data-part", s.part)
		c.name("label", s.contact, x+70, y+12, "start")
		c.name(s.class, s.motor, sideX+6, y+84, "start")
		c.close("g")
	}
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
	x1, y1 := circle(x, y, radius, 166)
	x2, y2 := circle(x, y, radius, 198)
	c.line("turning", path("M", x1, y1, "A", radius, radius, "0 0 1", x2, y2))
	c.shape("turning", path("M-3-9L15 0L-3 9z"), "transform", "translate("+markup.Tenths(x2)+" "+markup.Tenths(y2)+") rotate(19)")
}
