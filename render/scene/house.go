package scene

import "slipring/engine/card"

// room is the inside of a house, cut open: its back wall, the floor and the
// walls at the sides, which are hatched where they are cut.
func room(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	const thick = 20
	p.rect(p.usual("paper"), -w, -h, 2*w, 2*h)
	p.shape("cut", d("M", -w, -h, "H", w, "V", h, "H", -w, "z", "M", -w+thick, -h+thick, "V", h-thick, "H", w-thick, "V", -h+thick, "z"))
	hatch := []any{}
	for x := -w + 26; x < w; x += 26 {
		hatch = append(hatch, "M", x, " ", -h+thick, "l", 14, " ", -thick, "M", x, " ", h, "l", 14, " ", -thick)
	}
	for y := -h + 40; y < h-20; y += 26 {
		hatch = append(hatch, "M", -w, " ", y+14, "l", thick, " ", -14, "M", w-thick, " ", y+14, "l", thick, " ", -14)
	}
	p.line("thin", d(hatch...))
}

func ironTable(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	top := -h + 22
	leg := w * 0.84
	for _, side := range []float64{-1, 1} {
		x := side * leg
		p.shape("iron", d("M", x-side*26, top, "C", x-side*4, top+h*0.7, " ", x-side*24, h-18, " ", x-side*40, h-10, "v", 10, "H", x+side*40, "v", -10, "C", x+side*12, h-16, " ", x+side*6, top+h*0.8, " ", x+side*26, top, "z"))
	}
	p.line("line", d("M", -leg, h*0.42, "H", leg))
	p.line("line", d("M", -leg+10, h*0.42, "L", 0, " ", top, "L", leg-10, " ", h*0.42))
	p.rect("iron", -w+20, top-4, 2*w-40, 12)
	p.shape(p.usual("wood"), rounded(-w, -h, 2*w, 20, 4))
}

// battery draws glass cells on a stand of two shelves.
func battery(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	for _, x := range []float64{-w + 6, w - 18} {
		p.rect("wood", x, -h+34, 12, 2*h-34)
	}
	rows := 2
	if one.Count < 4 {
		rows = 1
	}
	in := (one.Count + rows - 1) / rows
	high := (2*h - 24) / float64(rows)
	wide := (2*w - 12) / float64(in)
	for row := range rows {
		floor := -h + 12 + high*float64(row+1)
		p.rect("wood", -w, floor-12, 2*w, 12)
		tall := high * 0.66
		for i := range min(in, one.Count-row*in) {
			x, y := -w+6+wide*float64(i), floor-12-tall
			p.shape("glass", rounded(x+2, y, wide-4, tall, 4))
			p.rect("water", x+2, y+tall*0.26, wide-4, tall*0.74)
			for k := range 3 {
				p.rect("dark", x+wide*(0.2+0.24*float64(k)), y+tall*0.34, wide*0.12, tall*0.52)
			}
			// lead from cell to cell
			p.line("line", d("M", x+wide*0.28, y+tall*0.34, "V", y-9))
			if i+1 < in && i+1 < one.Count-row*in {
				p.line("line", d("M", x+wide*0.72, y+tall*0.34, "V", y-9, "H", x+wide*1.28))
			} else {
				p.line("line", d("M", x+wide*0.72, y+tall*0.34, "V", y-9))
			}
		}
	}
}

func board(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	p.shape(p.usual("stone"), rounded(-w, -h, 2*w, 2*h, 8))
	p.line("thin", d("M", -w*0.96, h*0.3, "q", w*0.2, -h*0.5, " ", w*0.46, -h*0.2, "t", w*0.4, -h*0.6, "M", w*0.1, h*0.86, "q", w*0.18, -h*0.6, " ", w*0.44, -h*0.4, "t", w*0.38, -h*0.66))
	for _, x := range []float64{-w + 16, w - 16} {
		for _, y := range []float64{-h + 16, h - 16} {
			p.disc("brass", x, y, 8)
			p.line("thin", d("M", x-5, y+4, "l", 10, -8))
		}
	}
}

// lamp is a signal lamp with a lens in a brass ring; one that is lit shines.
func lamp(p *pen, one card.ScenePart) {
	r := one.Height / 2
	material := "glass"
	if p.lit {
		material = "glow"
		rays := []any{}
		for i := range 12 {
			x, y := around(r*0.78, 30*float64(i))
			x1, y1 := around(r*1.06, 30*float64(i))
			rays = append(rays, "M", x, " ", y, "L", x1, " ", y1)
		}
		p.line("line", d(rays...))
	}
	p.disc("brass", 0, 0, r*0.64)
	p.disc(p.usual(material), 0, 0, r*0.44)
	if !p.lit {
		p.line("thin", d("M", -r*0.22, -r*0.1, "a", r*0.26, r*0.26, "0 0 1", r*0.22, -r*0.18))
	}
}

func fuse(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	p.shape("paper", rounded(-w*0.62, -h*0.62, w*1.24, h*1.24, 5))
	p.rect("brass", -w, -h, 2*w, h*0.42)
	p.rect("brass", -w, h*0.58, 2*w, h*0.42)
	p.line("thin", d("M", 0, -h*0.58, "c", 6, h*0.4, " ", -6, h*0.7, " ", 0, h*1.16))
}

func meter(p *pen, one card.ScenePart) {
	r := one.Height / 2
	p.disc("brass", 0, 0, r)
	p.disc("paper", 0, 0, r*0.84)
	ticks := []any{}
	for i := range 7 {
		x, y := around(r*0.66, 180+float64(i-3)*20)
		x1, y1 := around(r*0.52, 180+float64(i-3)*20)
		ticks = append(ticks, "M", x, " ", y+r*0.18, "L", x1, " ", y1+r*0.18)
	}
	p.line("thin", d(ticks...))
	x, y := around(r*0.68, 200)
	p.line("line", d("M", 0, r*0.34, "L", x, " ", y+r*0.18))
	p.disc("dark", 0, r*0.34, r*0.1)
}

// starter is a row of studs in an arc with a handle that is moved over them.
func starter(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	p.shape("dark", rounded(-w, -h, 2*w, 2*h, 10))
	reach := min(2*h*0.74, w*0.9)
	y0 := h * 0.72
	for i := range one.Count {
		a := 180 - 62 + 124*float64(i)/float64(one.Count-1)
		x, y := around(reach, a)
		p.disc("brass", x, y0+y, min(8, reach*0.13))
	}
	x, y := around(reach*1.02, 180+62)
	p.shape("copper", d("M", -7, y0, "L", x-6, " ", y0+y-5, "L", x+6, " ", y0+y+7, "L", 7, " ", y0, "z"))
	p.disc("iron", 0, y0, 11)
	kx, ky := around(reach*0.62, 180+62)
	p.disc("wood", kx, y0+ky, 12)
}

// regulator is a coil with a plunger, which works a contact above it.
func regulator(p *pen, one card.ScenePart) {
	w, h := one.Width/2, one.Height/2
	p.shape("dark", rounded(-w, -h, 2*w, 2*h, 10))
	p.rect("iron", -w*0.36, h*0.72, w*0.72, h*0.16)
	p.rect("iron", -w*0.1, -h*0.5, w*0.2, h*0.6) // the plunger
	lying(p, -w*0.34, -h*0.06, w*0.68, h*0.78)
	// the arm on its pivot, with the contact at its end
	p.shape("brass", d("M", -w*0.66, -h*0.6, "H", w*0.62, "v", h*0.13, "H", -w*0.66, "z"))
	p.disc("iron", -w*0.6, -h*0.535, w*0.11)
	p.rect("brass", w*0.44, -h*0.46, w*0.14, h*0.12)
	p.rect("copper", w*0.44, -h*0.28, w*0.14, h*0.12)
	p.rect("brass", w*0.47, -h*0.16, w*0.08, h*0.9)
	// the spring that holds it
	y := -h * 0.86
	p.line("pale", d("M", w*0.24, y, "l", 8, 4, "l", -16, 6, "l", 16, 6, "l", -16, 6, "l", 8, 4))
}

// lying draws a winding whose turns lie one above the other.
func lying(p *pen, x, y, w, h float64) {
	p.shape("copper", rounded(x, y, w, h, 8))
	turns := int(h / 8)
	for i := 1; i < turns; i++ {
		p.line("thin", d("M", x+1, y+h*float64(i)/float64(turns), "h", w-2))
	}
}
