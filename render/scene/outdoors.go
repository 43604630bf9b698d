package scene

import (
	"math"

	"slipring/engine/card"
)

// pole carries wires on arms with insulators.
func pole(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	p.rect(p.usual("wood"), -4, -h, 8, 2*h)
	p.rect(p.usual("wood"), -w, -h+8, 2*w, 7)
	for i := range one.Count {
		x := 0.0
		if one.Count > 1 {
			x = -w + 6 + (2*w-12)*float64(i)/float64(one.Count-1)
		}
		p.shape("glass", rounded(x-4, -h-3, 8, 11, 3))
	}
}

// track draws the rails of a railway from point to point, on its sleepers.
func track(p *pen, one card.ScenePart) {
	sleepers := []any{}
	for i := 1; i < len(one.At); i++ {
		a, b := one.At[i-1], one.At[i]
		long := math.Hypot(b[0]-a[0], b[1]-a[1])
		ux, uy := (b[0]-a[0])/long, (b[1]-a[1])/long
		for at := 10.0; at < long; at += 22 {
			x, y := a[0]+ux*at, a[1]+uy*at
			sleepers = append(sleepers, "M", x-7, " ", y-5, "L", x+7, " ", y+11)
		}
	}
	p.line("sleepers", d(sleepers...))
	p.line("line", polyline(one.At))
	var below [][2]float64
	for _, at := range one.At {
		below = append(below, [2]float64{at[0] + 3, at[1] + 7})
	}
	p.line("line", polyline(below))
}

// wagon stands on a slope that rises to the right.
func wagon(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	p.open("g", "transform", "rotate(-19)")
	p.shape(p.usual("wood"), d("M", -w*0.9, -h*0.8, "H", w*0.9, "L", w*0.7, " ", h*0.4, "H", -w*0.7, "z"))
	p.line("thin", d("M", -w*0.84, -h*0.4, "H", w*0.84, "M", -w*0.76, 0, "H", w*0.76))
	p.shape("stone", d("M", -w*0.8, -h*0.8, "l", w*0.3, -h*0.26, "l", w*0.34, h*0.1, "l", w*0.4, -h*0.14, "l", w*0.5, h*0.3, "z"))
	for _, x := range []float64{-w * 0.42, w * 0.42} {
		p.disc("iron", x, h*0.62, h*0.34)
		p.disc("dark", x, h*0.62, h*0.08)
	}
	p.close("g")
}

// bell has two gongs and a hammer between them, which is thrown to and fro.
func bell(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	p.shape(p.usual("wood"), rounded(-w*0.46, -h*0.1, w*0.92, h*1.1, 6))
	for _, side := range []float64{-1, 1} {
		x := side * w * 0.56
		p.disc("brass", x, -h*0.5, w*0.42)
		p.disc("dark", x, -h*0.5, w*0.07)
	}
	p.open("g", p.moving(Move{Does: Turns, By: ByHammer, Y: h * 0.42})...)
	p.line("line", d("M", 0, h*0.42, "V", -h*0.5))
	p.disc("iron", 0, -h*0.56, w*0.13)
	p.close("g")
	p.disc("iron", 0, h*0.42, w*0.12)
}

// landing is a platform beside the track with a shelter and a lamp.
func landing(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	p.rect("wood", -w, h*0.62, 2*w, h*0.2)
	p.line("line", d("M", -w*0.8, h*0.82, "V", h, "M", 0, h*0.82, "V", h, "M", w*0.8, h*0.82, "V", h))
	p.rect(p.usual("paper"), -w*0.2, -h*0.3, w, h*0.92)
	p.rect("dark", w*0.1, 0, w*0.36, h*0.62)
	p.shape("stone", d("M", -w*0.34, -h*0.28, "L", w*0.3, -h*0.84, "L", w*0.94, -h*0.28, "z"))
	p.line("line", d("M", -w*0.66, h*0.62, "V", -h*0.6))
	p.shape("glass", d("M", -w*0.78, -h*0.6, "h", w*0.24, "l", -w*0.04, -h*0.3, "h", -w*0.16, "z"))
}

// drumHouse stands at the head of an incline, its drum with the rope in the
// open front.
func drumHouse(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	p.shape("stone", d("M", -w, -h*0.2, "L", 0, -h, "L", w, -h*0.2, "z"))
	p.rect(p.usual("paper"), -w*0.88, -h*0.2, w*1.76, h*1.2)
	r := h * 0.46
	p.shape("dark", d("M", -w*0.62, h, "V", h*0.1, "a", w*0.62, h*0.24, "0 0 1", w*1.24, 0, "V", h, "z"))
	p.disc("wood", 0, h*0.46, r)
	p.disc("iron", 0, h*0.46, r*0.2)
	for i := range 4 {
		x, y := around(r, 45*float64(i)+20)
		p.line("thin", d("M", x, " ", h*0.46+y, "L", -x, " ", h*0.46-y))
	}
}

// wharf is a deck on piles, with a crane.
func wharf(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	p.rect("wood", -w, h*0.1, 2*w, h*0.22)
	p.line("line", d("M", -w*0.8, h*0.32, "V", h, "M", -w*0.27, h*0.32, "V", h, "M", w*0.27, h*0.32, "V", h, "M", w*0.8, h*0.32, "V", h))
	p.line("line", d("M", -w*0.5, h*0.1, "V", -h, "L", -w*0.95, -h*0.55, "M", -w*0.5, -h*0.5, "L", -w*0.95, -h*0.55, "v", h*0.3))
}

func water(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	p.rect(p.usual("water"), -w, -h, 2*w, 2*h)
	for i, y := range []float64{-h * 0.35, h * 0.35} {
		waves := []any{"M", -w + 8 + 20*float64(i), " ", y}
		for x := -w + 8 + 20*float64(i); x+40 < w; x += 40 {
			waves = append(waves, "q", 10, -7, " ", 20, 0, "t", 20, 0)
		}
		p.line("thin", d(waves...))
	}
}
