package motion

import (
	"math"
)

// The fuse in px: a glass tube between two clamps, and below it two bars that
// grow, for the current and for the heat.
const (
	tubeFrom, tubeTo = 190.0, 770.0
	tubeY            = 130.0
	barFrom, barTo   = 40.0, 920.0
	ampsY, heatY     = 350.0, 524.0
	barHigh          = 44.0
)

func fuse(c course, w words) picture {
	f := newFilm(c, w)
	melting := c.sizes["melting current"]
	limit := melting * melting
	least, most, _, atAmps := c.extremes("armature current")
	_, hottest, _, atHottest := c.extremes("fuse heat")
	scale := upTo(max(most, -least, melting))
	f.channel("amps", c.sampled("armature current"), (barTo-barFrom)/scale)
	share := c.sampled("fuse heat")
	for i := range share {
		share[i] = min(max(share[i]/limit, 0), 1)
	}
	f.channel("heat", share, barTo-barFrom)
	var melted []stretch
	if at, ok := c.reaches("fuse heat", limit*(1-1e-6)); ok {
		melted = []stretch{{at, c.from + c.span}}
		f.Still = (at + c.from + c.span) / 2
	} else {
		f.Still = atHottest
	}
	f.follow("melted", melted)
	f.Say = "melted"
	bar := func(name, by string, y float64) {
		f.add(part{Part: name, Does: "bend", By: by, Past: true, Path: []any{
			path("M", barFrom, y, "h"), 0.0, 1.0, path("v", barHigh, "h"), 0.0, -1.0, "z"}})
	}
	bar("amps", "amps", ampsY)
	bar("heat", "heat", heatY)
	for _, glowing := range []string{"halo", "hot"} {
		f.add(part{Part: glowing, Does: "fade", By: "heat", Factor: 1 / (barTo - barFrom)})
	}
	f.add(part{Part: "whole", Does: "show", By: "melted", When: 0})
	f.add(part{Part: "gone", Does: "show", By: "melted", When: 1})
	f.add(part{Part: "holds", Does: "show", By: "melted", When: 0})
	f.add(part{Part: "melts", Does: "show", By: "melted", When: 1})

	f.Words.Position, f.Words.States = w.Text("motion.in-time"), [2]string{w.Text("motion-fuse.holds"), w.Text("motion-fuse.melted")}
	p := picture{film: f, title: w.Text("motion-fuse.title"), wide: wide}
	p.description = sentences(
		w.Text("motion-fuse.over", "seconds", w.digits(c.span, 2), "amperes", w.digits(most, 2), "ms", w.number(1000*(atAmps-c.from), 0)),
		w.Text("motion-fuse.warms", "part", w.percent(min(hottest/limit, 1))))
	if len(melted) > 0 {
		p.description = sentences(p.description, w.Text("motion-fuse.goes", "seconds", w.digits(melted[0].from-c.from, 2)))
	} else {
		p.description = sentences(p.description, w.Text("motion-fuse.stays"))
	}
	p.note = sentences(f.pace(w), w.Text("motion-fuse.drawn"))
	p.draw = func(to *canvas) {
		drawFuse(to, w)
		to.bar("amps", ampsY, w.Text("motion-fuse.current"), w.number(scale, 0)+" A")
		x := barFrom + (barTo-barFrom)*melting/scale
		to.line("wire", path("M", x, ampsY-8, "V", ampsY+barHigh+14))
		anchor := "middle"
		if x > 700 {
			anchor = "end"
		} else if x < 260 {
			x, anchor = barFrom, "start"
		}
		to.name("label scale", w.Text("motion-fuse.mark", "amperes", w.plain(melting)), x, ampsY+barHigh+46, anchor)
		to.bar("heat", heatY, w.Text("motion-fuse.heat"), w.Text("motion-fuse.end"))
	}
	return p
}

// reaches gives the first instant at which a signal is at a level or above it.
func (c course) reaches(name string, level float64) (float64, bool) {
	g := c.signals[name]
	for i, y := range g.Y {
		if y >= level && g.T[i] <= c.from+c.span {
			return max(g.T[i], c.from), true
		}
	}
	return 0, false
}

// bar draws a frame that a part fills from the left, its name and its end.
func (c *canvas) bar(part string, y float64, name, end string) {
	c.shape("ground", rectangle(barFrom, y, barTo-barFrom, barHigh))
	c.moving("shape fill", part)
	c.name("label", name, barFrom, y-14, "start")
	c.name("label scale", end, barTo, y-14, "end")
}

func drawFuse(c *canvas, w words) {
	c.line("wire", path("M", 20, tubeY, "H", 110, "M", 850, tubeY, "H", 940))
	wire := path("M", tubeFrom, tubeY, "Q", (tubeFrom+tubeTo)/2, tubeY+56, tubeTo, tubeY)
	c.shape("glass", path("M", tubeFrom-10, tubeY-62, "H", tubeTo+10, "V", tubeY+62, "H", tubeFrom-10, "z"))
	c.open("g", "data-part", "whole")
	c.line("halo", wire, "data-part", "halo")
	c.line("spring", wire)
	c.line("hot", wire, "data-part", "hot")
	c.close("g")
	c.open("g", "data-part", "gone")
	c.line("spring", path("M", tubeFrom, tubeY, "q", 100, 22, 180, 26, "M", tubeTo, tubeY, "q", -100, 22, -180, 26))
	c.disc("dot", tubeFrom+186, tubeY+28, 10)
	c.disc("dot", tubeTo-186, tubeY+28, 10)
	for _, x := range []float64{430, 478, 520} {
		c.disc("dot", x, tubeY+54, 6)
	}
	c.close("g")
	for _, x := range []float64{110, 770} {
		c.shape("brass", rectangle(x, tubeY-72, 80, 144))
	}
	c.name("state", w.Text("motion-fuse.holds"), 480, 262, "middle", "data-part", "holds")
	c.name("state", w.Text("motion-fuse.melted"), 480, 262, "middle", "data-part", "melts")
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
