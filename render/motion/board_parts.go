package motion

import (
	"math"

	"slipring/engine/tell"
	"slipring/render/markup"
)

// What is on a board, drawn from the front. A thing that moves is a part of the
// film; all else is drawn once. Parts of a small drawing stand still.

// pivot gives where a meter's needle turns.
func (it boardItem) pivot() (x, y float64) {
	left, top := it.symbolAt()
	return left + 75, top + 90
}

// symbolAt gives the upper left corner of the part itself, without its words.
func (it boardItem) symbolAt() (x, y float64) {
	s := symbolOf(it.BoardPart)
	switch s.words {
	case below:
		return it.x + (it.wide-s.wide)/2, it.y
	case beside:
		return it.x, it.y + (it.high-s.high)/2
	}
	return it.x, it.y
}

// draw draws what of a part does not move.
func (it boardItem) draw(c *canvas) {
	x, y := it.symbolAt()
	switch {
	case it.Full > 0:
		c.shape("plate", rectangle(x+1, y+1, 148, 98))
		c.shape("face", rectangle(x+7, y+7, 136, 86))
		d := ""
		for k := range 11 {
			long := 7.0
			if k%5 == 0 {
				long = 13
			}
			a := 180 - meterSwing + 2*meterSwing*float64(k)/10
			x1, y1 := circle(x+75, y+90, 72, a)
			x2, y2 := circle(x+75, y+90, 72-long, a)
			d += path("M", x1, y1, "L", x2, y2)
		}
		c.line("scale", d)
	case it.Kind == "lamp":
		c.disc("shape brass", x+24, y+26, 18)
		c.disc("lens dark "+colourClass(it.BoardPart), x+24, y+26, 13)
	case it.Kind == "fuse":
		c.shape("brass", rectangle(x+1, y+10, 9, 26)+rectangle(x+46, y+10, 9, 26))
	case it.Kind == "key" && it.Stays:
		c.shape("plate", rectangle(x+2, y+4, 60, 42))
		c.disc("shape brass", x+14, y+12, 4)
		c.disc("shape brass", x+50, y+12, 4)
	case it.Kind == "key":
		c.disc("shape brass", x+32, y+25, 23)
	case it.Kind == "bell":
		c.disc("shape brass", x+32, y+30, 18)
		c.disc("shape iron", x+32, y+30, 4)
	case it.Kind == "resistor":
		c.shape("plate", rectangle(x+1, y+4, 82, 22))
		d := path("M", x+8, y+22)
		for range 8 {
			d += path("l", 4, -14, "l", 4, 14)
		}
		c.line("wound", d)
	default:
		c.shape("iron", rectangle(x+1, y+1, 34, 26))
		c.shape("face", rectangle(x+5, y+5, 26, 18))
	}
}

// drawMoving draws what of a part moves: as the film has it, or, in a small
// drawing, only what is then seen.
func (it boardItem) drawMoving(c *canvas, still bool) {
	x, y := it.symbolAt()
	group := func(what string, draw func()) {
		name := it.Name + "." + what
		places := []string{"data-part", name}
		if still {
			places = nil
			for _, a := range c.still[name] {
				if a.name == "display" {
					return
				}
				places = append(places, a.name, a.value)
			}
		}
		c.open("g", places...)
		draw()
		c.close("g")
	}
	switch {
	case it.Full > 0:
		px, py := it.pivot()
		group("needle", func() { c.line("needle", path("M", px, py, "V", py-70)) })
	case it.Kind == "lamp":
		colour := colourClass(it.BoardPart)
		group("dim", func() { c.disc("lens dim "+colour, x+24, y+26, 13) })
		group("lit", func() {
			c.disc("lens lit "+colour, x+24, y+26, 15)
			c.line("ray", rays(x+24, y+26, 20, 25, 12))
		})
	case it.Kind == "fuse":
		group("rest", func() {
			c.shape("porcelain", rectangle(x+10, y+14, 36, 18))
			c.line("scale", path("M", x+16, y+23, "h", 24))
		})
		group("blown", func() {
			c.line("gone", rectangle(x+12, y+15, 32, 16), "stroke-dasharray", "5 4")
			c.line("ray", path("M", x+18, y+13, "l", 20, 20, "M", x+38, y+13, "l", -20, 20))
		})
	case it.Kind == "key" && it.Stays:
		lever := func(to float64) {
			c.line("thrown", path("M", x+32, y+38, "L", x+to, y+12))
			c.disc("shape iron", x+to, y+12, 7)
		}
		group("rest", func() { lever(14) })
		group("up", func() { lever(50) })
	case it.Kind == "key":
		group("rest", func() { c.disc("shape iron", x+32, y+25, 15) })
		group("up", func() {
			c.disc("shape worked", x+32, y+25, 11)
			c.line("ray", rays(x+32, y+25, 16, 21, 8))
		})
	case it.Kind == "bell":
		group("rings", func() {
			c.line("ray", path("M", x+10, y+14, "q", -9, 16, 0, 32, "M", x+54, y+14, "q", 9, 16, 0, 32, "M", x+3, y+8, "q", -12, 22, 0, 44, "M", x+61, y+8, "q", 12, 22, 0, 44))
		})
	case len(shows(it.BoardPart)) > 0: // a relay's armature behind its glass
		group("rest", func() { c.line("lever", path("M", x+8, y+19, "h", 20)) })
		group("up", func() {
			c.shape("worked", rectangle(x+7, y+7, 22, 6))
		})
	}
}

// write writes what stands on a part.
func (it boardItem) write(c *canvas) {
	x, y := it.symbolAt()
	s := symbolOf(it.BoardPart)
	if it.Full > 0 {
		name := func(x float64, text, anchor string) {
			c.text("text", text, "class", "label on-face", "x", markup.Tenths(x), "y", markup.Tenths(y+88), "font-size", markup.Tenths(boardText), "text-anchor", anchor)
		}
		name(x+12, "0", "start")
		name(x+138, shortNumber(it.Full), "end")
	}
	for i, line := range it.lines {
		at := []string{"class", "label", "font-size", markup.Tenths(boardText)}
		if s.words == below {
			at = append(at, "x", markup.Tenths(x+s.wide/2), "y", markup.Tenths(y+s.high+boardLine*(float64(i)+0.85)+2), "text-anchor", "middle")
		} else {
			middle := it.y + it.high/2
			at = append(at, "x", markup.Tenths(x+s.wide+8), "y", markup.Tenths(middle+boardLine*(float64(i)-float64(len(it.lines)-1)/2)+0.34*boardText))
		}
		c.text("text", line, at...)
	}
}

// rays draws short lines around a place.
func rays(x, y, from, to float64, many int) string {
	d := ""
	for k := range many {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(many))
		d += path("M", x+from*cos, y+from*sin, "L", x+to*cos, y+to*sin)
	}
	return d
}

// colourClass is the class of a lamp's lens: those colours that IEC 60073 gives a
// meaning, and white for all others.
func colourClass(p tell.BoardPart) string {
	switch p.Colour {
	case "red", "yellow", "green", "blue":
		return p.Colour
	}
	return "white"
}
