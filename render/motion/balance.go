package motion

import (
	"fmt"
	"math"
)

// The balance in px: a beam on its pivot with a pan below each end.
const (
	beamX, beamY = 380.0, 104.0
	beamHalf     = 226.0
	beamSwing    = 13.0 // degrees at the most
	hung         = 190.0
	panHalf      = 116.0
	mostPieces   = 66
)

func balance(c course, w words) picture {
	f := newFilm(c, w)
	weight := c.sizes["weight"]
	pull := c.sampled("pull")
	low, high, _, _ := c.extremes("pull")
	last := pull[len(pull)-1]
	// pieces on the right pan, each as heavy as so many of the weight
	each := max(1, math.Ceil(high/weight/mostPieces))
	pieces := int(max(0, math.Floor(high/weight/each+0.02)))
	tilt, count := make([]float64, len(pull)), make([]float64, len(pull))
	for i, p := range pull {
		p = max(p, 0)
		tilt[i] = (p - weight) / (p + weight)
		count[i] = p / weight / each
	}
	f.channel("tilt", tilt, beamSwing)
	f.channel("count", count, 1)
	f.Still = c.from + c.span
	f.add(part{Part: "beam", Does: "turn", By: "tilt", X: beamX, Y: beamY})
	f.add(part{Part: "rest", Does: "orbit", By: "tilt", X: beamX, Y: beamY, AtX: -beamHalf})
	f.add(part{Part: "spun", Does: "orbit", By: "tilt", X: beamX, Y: beamY, AtX: beamHalf})
	for i := range pieces {
		// as many as the channel's tenths show
		f.add(part{Part: fmt.Sprint("piece-", i+1), Does: "over", By: "count", Base: float64(i) + 0.9})
	}
	scale := instrument{}
	if _, ok := c.signals["speed"]; ok {
		_, fastest, _, _ := c.extremes("speed")
		scale = instrument{0, upTo(fastest), 0}
		f.needle("speed", c.sampled("speed"), scale)
	}

	f.Words.Position = w.Text("motion.in-time")
	p := picture{film: f, title: w.Text("motion-balance.title")}
	p.description = sentences(
		w.Text("motion-balance.over", "grams", w.plain(weight)),
		w.Text("motion-balance.grows", "from", w.digits(low, 3), "to", w.digits(high, 3), "seconds", w.digits(c.span, 2)))
	p.note = f.pace(w)
	if each > 1 {
		p.note = sentences(p.note, w.Text("motion-balance.each", "pieces", w.number(each, 0)))
	} else {
		p.note = sentences(p.note, w.Text("motion-balance.alike"))
	}
	p.draw = func(to *canvas) {
		drawBalance(to, pieces)
		for _, t := range []struct {
			x           float64
			what, grams string
		}{{124, w.Text("motion-balance.rest"), w.plain(weight)}, {626, w.Text("motion-balance.spinning"), w.digits(last, 3)}} {
			to.name("label", t.what, t.x, 562, "middle")
			to.name("state", t.grams+" g", t.x, 604, "middle")
		}
		if scale.to > 0 {
			to.dial(beamX, 462, 92, "speed", scale, w, w.Text("motion-governor.turns"))
		}
	}
	return p
}

func drawBalance(c *canvas, pieces int) {
	c.shape("iron", path("M", beamX-12, beamY, "h", 24, "l", 8, 300, "h", -40, "z"))
	c.open("g", "data-part", "beam")
	c.shape("body", path("M", beamX-beamHalf-10, beamY-6, "L", beamX, beamY-20, "L", beamX+beamHalf+10, beamY-6,
		"v", 12, "L", beamX, beamY+20, "L", beamX-beamHalf-10, beamY+6, "z"))
	c.line("needle", path("M", beamX, beamY-20, "v", -46))
	c.close("g")
	c.disc("shape ground", beamX, beamY, 11)
	c.line("thin", path("M", beamX-16, 30, "l", -3, -14, "m", 19, 12, "v", -14, "m", 16, 16, "l", 3, -14))

	rows := 1
	for rows*(rows+1)/2 < pieces {
		rows++
	}
	r := min(24, 98/float64(rows))
	for _, pan := range []string{"rest", "spun"} {
		c.open("g", "data-part", pan)
		c.line("thin", path("M", 0, 0, "L", -panHalf, hung, "M", 0, 0, "L", panHalf, hung))
		if pan == "rest" {
			c.disc("shape brass", 0, hung-r, r)
		} else {
			heap(c, pieces, rows, r)
		}
		c.shape("body", path("M", -panHalf, hung, "H", panHalf, "q", -20, 26, -60, 26, "H", -panHalf+60, "q", -40, 0, -60, -26, "z"))
		c.close("g")
	}
}

// heap draws pieces of a radius, which appear one by one, in rows from the pan
// upward.
func heap(c *canvas, pieces, rows int, r float64) {
	n := 0
	for row := 0; n < pieces; row++ {
		long := rows - row
		for k := 0; k < long && n < pieces; k++ {
			n++
			x := 2 * r * (float64(k) - float64(long-1)/2)
			c.disc("shape brass", x, hung-r-1.74*r*float64(row), r, "data-part", fmt.Sprint("piece-", n))
		}
	}
}
