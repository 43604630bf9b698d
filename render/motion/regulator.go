package motion

import (
	"math"
	"strings"
)

// The voltage regulator in px, cut open along the plunger's axis. With the
// plunger at its contact the moving contact's face stands at contactLevel.
const (
	axisX        = 290.0
	coilTop      = 160.0
	coilFoot     = 396.0
	coilHalf     = 132.0 // half the width of the coil's frame
	boreHalf     = 44.0
	contactLevel = 482.0
	mostUp       = 34.0 // px that the plunger may rise, and
	mostDown     = 16.0 // push the contact down
	longestPull  = 130.0
)

func regulator(c course, w words) picture {
	f := newFilm(c, w)
	low, high, _, _ := c.extremes("plunger travel")
	scale := math.Inf(1)
	if high > 0 {
		scale = min(scale, mostUp/high)
	}
	if low < 0 {
		scale = min(scale, -mostDown/low)
	}
	if math.IsInf(scale, 1) {
		scale = 1
	}
	// Downward is positive in a drawing.
	f.channel("drop", c.sampled("plunger travel"), -scale)
	f.channel("pull", squares(c.sampled("regulator coil current")), longestPull)
	closed := c.closures("regulator contact")
	f.follow("contact", closed)
	first, at := c.signs("regulator coil current")
	f.Switches["current"] = contact{first, at}
	f.Say = "contact"
	f.Still = c.from
	if t, ok := c.middle(closed); ok {
		f.Still = t
	}

	f.add(part{Part: "plunger", Does: "shift", By: "drop", Y: 1})
	f.add(part{Part: "spring", Does: "bend", By: "drop", Path: coiled(axisX, 34, 112, 9, 24)})
	f.add(part{Part: "lead", Does: "bend", By: "drop", Path: []any{
		path("M", axisX-160, contactLevel, "C", axisX-110, contactLevel, axisX-70) + " ",
		contactLevel - 22, 1.0, path(" ", axisX-6) + " ", contactLevel - 22, 1.0}})
	f.add(part{Part: "wiper", Does: "bend", By: "drop", Past: true, Path: []any{
		path("M", axisX+126, contactLevel+17, "C", axisX+80, contactLevel+17, axisX+40) + " ",
		contactLevel + 17, 1.0, path(" ", axisX-24) + " ", contactLevel + 17, 1.0}})
	f.add(part{Part: "pin", Does: "shift", By: "drop", Past: true, Y: 1})
	f.add(part{Part: "pull", Does: "bend", By: "pull", Path: []any{
		path("M", axisX-4, coilFoot+26, "h", 8, "V"), coilFoot + 26, -1.0, "h7l-11-20l-11 20h7z"}})
	f.add(part{Part: "forth", Does: "show", By: "current", When: 1})
	f.add(part{Part: "back", Does: "show", By: "current", When: 0})
	f.add(part{Part: "glow", Does: "show", By: "contact", When: 1})
	f.add(part{Part: "open", Does: "show", By: "contact", When: 0})
	f.add(part{Part: "closed", Does: "show", By: "contact", When: 1})

	p := picture{film: f, title: w.Text("motion-regulator.title")}
	p.description = sentences(
		w.Text("motion-regulator.over", "ms", w.digits(1000*c.span, 3)),
		w.Text("motion-regulator.moves", "low", w.number(low, 2), "high", w.number(high, 2)),
		w.contact(c, "regulator contact", "motion-regulator.closes"))
	p.note = sentences(f.pace(w), w.Text("motion-regulator.enlarged"), w.Text("motion-regulator.arrow"))
	p.draw = func(c *canvas) { drawRegulator(c, w) }
	return p
}

// squares gives each value's square as a part of the greatest: the pull of a
// coil on iron goes with the square of its current.
func squares(values []float64) []float64 {
	most := 0.0
	for _, v := range values {
		most = max(most, v*v)
	}
	out := make([]float64, len(values))
	for i, v := range values {
		if most > 0 {
			out[i] = v * v / most
		}
	}
	return out
}

// coiled gives the path of a spring from top to foot, whose turns share the
// movement of its foot.
func coiled(x, top, foot float64, turns int, half float64) []any {
	out := []any{path("M", x, top)}
	text := "L"
	for i := range turns {
		side := half
		if i%2 == 1 {
			side = -half
		}
		f := (float64(i) + 0.5) / float64(turns)
		out[len(out)-1] = out[len(out)-1].(string) + path(text, x+side) + " "
		out = append(out, top+f*(foot-top), f, "")
		text = " "
	}
	out[len(out)-1] = path(" ", x) + " "
	return append(out, foot, 1.0)
}

func drawRegulator(c *canvas, w words) {
	// what stands still: bracket, frame and winding
	c.line("thin", hatched(axisX-70, axisX+70, 30))
	c.line("wire", path("M", axisX-70, 32, "h", 140))
	c.moving("line spring", "spring")
	for _, side := range []float64{-1, 1} {
		x := axisX + side*(boreHalf+coilHalf)/2
		c.shape("iron", rectangle(x-(coilHalf-boreHalf)/2, coilTop, coilHalf-boreHalf, coilFoot-coilTop))
		c.shape("ground", rectangle(x-(coilHalf-boreHalf)/2+6, coilTop+14, coilHalf-boreHalf-12, coilFoot-coilTop-28))
	}
	winding(c)

	c.disc("shape glow", axisX, contactLevel, 36, "data-part", "glow")
	c.open("g", "data-part", "plunger")
	c.shape("iron", rectangle(axisX-24, 112, 48, 12))
	c.shape("iron", rectangle(axisX-6, 124, 12, 130))
	c.shape("body", rectangle(axisX-boreHalf+8, 250, 2*boreHalf-16, 188))
	c.shape("iron", rectangle(axisX-6, 438, 12, 32))
	c.shape("copper", path("M", axisX-14, contactLevel-12, "h", 28, "v", 7, "l", -6, 5, "h", -16, "l", -6, -5, "z"))
	c.open("g", "class", "force")
	c.element("path", "class", "shape pull", "fill", "none", "stroke", "currentColor", "data-part", "pull")
	c.close("g")
	c.close("g")

	// the circuit: the contact bridges the resistor
	foot := 566.0
	c.moving("line wire", "lead")
	c.line("wire", path("M", axisX-160, contactLevel, "V", foot, "H", axisX-100, zigzag(200), "H", axisX+170, "V", contactLevel+17, "H", axisX+150))
	c.disc("shape ground", axisX-160, contactLevel, 7)
	c.moving("line spring", "wiper")
	c.shape("insulation", rectangle(axisX+122, contactLevel, 30, 34))
	c.open("g", "data-part", "pin")
	c.shape("copper", path("M", axisX-14, contactLevel+15, "v", -9, "l", 6, -6, "h", 16, "l", 6, 6, "v", 9, "z"))
	c.close("g")

	right := float64(width - 12)
	c.label(w.Text("motion-regulator.spring"), right, 62, "end", right-110, 54, axisX+22, 72, "")
	c.label(w.Text("motion-regulator.coil"), right, 220, "end", right-100, 210, axisX+coilHalf-20, 236, "")
	c.label(w.Text("motion-regulator.plunger"), right, 310, "end", right-124, 300, axisX+24, 330, "")
	c.label(w.Text("motion-regulator.pull"), 12, 450, "start", 60, 422, axisX-6, coilFoot+8, "")
	c.label(w.Text("motion-regulator.contact"), right, 430, "end", right-116, 422, axisX+10, contactLevel-4, "")
	c.label(w.Text("motion-regulator.resistor"), axisX+182, 604, "start", axisX+174, 596, axisX+70, foot+16, "")
	c.states(w.controls(), right, 510, "end")
}

// winding draws the coil's wires, cut across: a dot where the current comes
// towards the reader, a cross where it goes away.
func winding(c *canvas) {
	var dots, crosses [2]strings.Builder
	for i, side := range []float64{-1, 1} {
		for row := range 5 {
			for _, out := range []float64{-17, 17} {
				x := axisX + side*(boreHalf+coilHalf)/2 + out
				y := coilTop + 36 + 41*float64(row)
				c.disc("shape copper", x, y, 14)
				dots[i].WriteString(dot(x, y))
				crosses[i].WriteString(cross(x, y))
			}
		}
	}
	for k, name := range []string{"back", "forth"} {
		c.open("g", "data-part", name)
		c.element("path", "class", "sign", "fill", "none", "stroke", "currentColor", "d", dots[k].String()+crosses[1-k].String())
		c.close("g")
	}
}

// dot and cross mark a conductor's current, at its middle.
func dot(x, y float64) string {
	return path("M", x-1.5, y, "a", 1.5, 1.5, "0 1 0 3 0a", 1.5, 1.5, "0 1 0-3 0z")
}

func cross(x, y float64) string {
	return path("M", x-7, y-7, "l", 14, 14, "m", 0, -14, "l", -14, 14)
}

// zigzag draws a resistor of a length, to the right of the pen.
func zigzag(length float64) string {
	step := length / 20
	d := path("l", step, -14)
	for i := range 9 {
		down := 28.0
		if i%2 == 1 {
			down = -28
		}
		d += path("l", 2*step, down)
	}
	return d + path("l", step, -14)
}

// hatched draws short strokes above a line, the sign of what stands still.
func hatched(from, to, y float64) string {
	d := ""
	for x := from; x <= to-10; x += 14 {
		d += path("M", x, y, "l", 12, -14)
	}
	return d
}
