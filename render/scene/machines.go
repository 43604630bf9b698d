package scene

import (
	"math"
	"strconv"

	"slipring/engine/card"
	"slipring/render/markup"
)

// Everything on the shaft is drawn around the shaft's axis, and stands on what
// is half its height below.

func shaft(p *pen, one card.ScenePart) {
	w, r := one.Width, one.Height/2
	p.drum(p.usual("iron"), -w/2, 0, w, r)
	p.line("thin", d("M", -w/2+4, -r*0.35, "H", w/2-r))
}

func coupling(p *pen, one card.ScenePart) {
	r := one.Height / 2
	p.drum(p.usual("iron"), -20, 0, 14, r)
	p.drum(p.usual("iron"), 0, 0, 14, r)
	p.turning(14, 0, func() {
		for i := range 6 {
			x, y := around(r*0.68, 60*float64(i))
			p.disc("dark", x, y, r*0.13)
		}
	})
	p.oval("iron", 14, 0, r*0.3)
}

// foot draws what carries a machine: from its middle down to the table.
func foot(p *pen, w, h float64) {
	p.shape("iron", d("M", -w/2, h, "v", -16, "h", w*0.16, "L", -w*0.22, h*0.5, "H", w*0.22, "L", w/2-w*0.16, h-16, "H", w/2, "v", 16, "z"))
}

func bearing(p *pen, one card.ScenePart) {
	w, h := one.Width, one.Height/2
	p.shape("iron", d("M", -w/2, h, "v", -14, "h", w*0.14, "L", -w*0.22, 6, "H", w*0.22, "L", w/2-w*0.14, h-14, "H", w/2, "v", 14, "z"))
	p.shape("iron", rounded(-w*0.3, -20, w*0.6, 40, 12))
	p.shape("brass", d("M", -7, -20, "v", -18, "h", 14, "v", 18, "z")) // its oil cup
	p.line("thin", d("M", -w*0.3, 0, "h", w*0.6))
}

func motor(p *pen, one card.ScenePart) {
	w, h := one.Width, one.Height/2
	r := h * 0.84
	foot(p, w*0.9, h)
	// the closed round body, seen from the side, with its end shield at the right
	left := -w*0.5 + p.slant*r
	right := w*0.5 - p.slant*r - w*0.12
	p.drum(p.usual("body"), left, 0, right-left, r)
	for _, y := range []float64{-0.62, 0.62} {
		p.line("thin", d("M", left-p.slant*r*0.78, y*r, "H", right-p.slant*r*0.78))
	}
	for _, x := range []float64{0.3, 0.7} { // bolts of the field's poles
		at := left + (right-left)*x - p.slant*r
		p.disc("iron", at, -r*0.3, 6)
		p.disc("iron", at, r*0.3, 6)
	}
	p.shape("brass", rounded(left+(right-left)*0.5-p.slant*r-22, -13, 44, 26, 4)) // its plate
	p.disc("iron", (left+right)/2-6, -r-9, 9)                                     // an eye to lift it by
	p.oval("iron", right, 0, r*0.86)
	for _, a := range []float64{45, 135, 225, 315} { // windows of the shield
		x, y := around(r*0.55, a)
		p.element("ellipse", "class", "dark", "fill", "none", "stroke", "currentColor", "cx", markup.Tenths(right+p.slant*x), "cy", markup.Tenths(y), "rx", markup.Tenths(p.slant*r*0.2), "ry", markup.Tenths(r*0.2))
	}
	p.drum("iron", right, 0, w*0.1, r*0.26)
}

func generator(p *pen, one card.ScenePart) {
	w, h := one.Width, one.Height/2
	body := w * 0.72
	left := -w / 2
	p.rect("iron", left, h-16, w, 16) // its base
	// two poles, one above and one below, each with its coil, in one frame
	p.shape(p.usual("body"), rounded(left+w*0.06, -h, body, 2*h-16, 14))
	coil(p, left+w*0.06-4, -h*0.78, body+8, h*0.34)
	coil(p, left+w*0.06-4, h*0.4, body+8, h*0.3)
	p.shape("dark", rounded(left+w*0.06+8, -h*0.4, body-16, h*0.76, 10))
	// what turns between them
	r := h * 0.33
	to := left + w*0.06 + body + w*0.05
	p.drum("copper", left+w*0.02, 0, to-left-w*0.02, r)
	for i := range 7 {
		x := left + w*0.1 + float64(i)*w*0.105
		p.line("thin", d("M", x-8, -r, "C", x-p.slant*r+2, -r*0.4, " ", x-p.slant*r+8, r*0.4, " ", x+8, r))
	}
	p.turning(to, 0, func() {
		for i := range 8 {
			x, y := around(r*0.9, 45*float64(i))
			x1, y1 := around(r*0.45, 45*float64(i)+20)
			p.line("line", d("M", x1, " ", y1, "L", x, " ", y))
		}
		p.disc("iron", 0, 0, r*0.36)
	})
}

// coil draws a winding that is seen from the side.
func coil(p *pen, x, y, w, h float64) {
	p.shape("copper", rounded(x, y, w, h, h*0.3))
	turns := int(math.Round(w / 9))
	for i := 1; i < turns; i++ {
		at := x + w*float64(i)/float64(turns)
		p.line("thin", d("M", at, y+1, "v", h-2))
	}
}

func rings(p *pen, one card.ScenePart) {
	h := one.Height / 2
	r := h * 0.62
	for i, x := range []float64{-24, 14} {
		p.drum("dark", x-8, 0, 8, r*0.8)
		p.drum("brass", x, 0, 14, r)
		p.oval("dark", x+14, 0, r*0.7)
		if i == 1 {
			p.turning(x+14, 0, func() { p.line("line", d("M", 0, " ", -r*0.2, "V", -r*0.62)) })
		}
		p.oval("iron", x+14, 0, 9)
		// a brush on top, pressed down by its spring
		top := x + 7
		p.line("line", d("M", top-15, -h+4, "C", top-16, -h+26, " ", top-6, -h+4, " ", top, -r-18))
		p.rect("dark", top-8, -r-20, 16, 21)
		p.disc("brass", top-15, -h+6, 6)
	}
}

func governor(p *pen, one card.ScenePart) {
	// Its face is turned to the reader more than other discs are.
	const open = 0.62
	r := min(one.Height/2, (one.Width-20)/2/open) * 0.98
	x := one.Width*0.5 - open*r
	p.slanted(open, func() { p.drum(p.usual("iron"), x-18, 0, 18, r) })
	p.slanted(open, func() {
		p.turning(x, 0, func() {
			p.disc("body", 0, 0, r*0.93)
			for _, a := range []float64{150, 180, 210} { // holes against the weight
				hx, hy := around(r*0.66, a)
				p.disc("dark", hx, hy, r*0.11)
			}
			p.disc("iron", 0, 0, r*0.2)
			// the weight on its leaf, and the contact outside it
			glow := append([]string{"class", "spark", "cx", markup.Tenths(r * 0.16), "cy", markup.Tenths(r * 0.74), "r", markup.Tenths(r * 0.26)}, p.moving(Move{Does: Shows, By: ByGovernor})...)
			p.element("circle", append(glow, "fill", "none")...)
			p.line("line", d("M", -r*0.78, r*0.44, "H", r*0.3))
			p.rect("dark", -r*0.86, r*0.34, r*0.18, r*0.2)
			p.rect("brass", -r*0.24, r*0.28, r*0.56, r*0.32)
			p.rect("copper", r*0.06, r*0.6, r*0.2, r*0.09)
			p.rect("copper", r*0.06, r*0.75, r*0.2, r*0.09)
			p.line("line", d("M", r*0.16, r*0.84, "H", r*0.44))
			p.rect("dark", r*0.4, r*0.7, r*0.16, r*0.18)
		})
	})
}

func wheel(p *pen, one card.ScenePart) {
	h := one.Height / 2
	r := h * 0.66
	// its coil on an iron core stands below, close to the teeth
	p.rect("iron", -36, h-10, 72, 10)
	p.rect("iron", -10, r+3, 20, h-r-12)
	coil(p, -27, r+8, 54, h-r-18)
	teeth := gear(r, one.Count)
	for x := -15.0; x <= 5; x += 4 {
		p.turning(x, 0, func() {
			if x < 5 {
				p.shape("dark", teeth)
			} else {
				p.shape(p.usual("iron"), teeth)
				for i := range 5 {
					hx, hy := around(r*0.46, 72*float64(i))
					p.disc("dark", hx, hy, r*0.13)
				}
			}
		})
	}
	p.drum("iron", 5, 0, 8, r*0.2)
}

// gear gives the outline of a wheel with teeth.
func gear(r float64, teeth int) string {
	deep := min(0.24, 2.2/float64(teeth)) * r
	pieces := []any{"M"}
	for i := range teeth {
		for k, part := range []float64{0, 0.05, 0.5, 0.55} {
			out := r
			if k == 0 || k == 3 {
				out = r - deep
			}
			x, y := around(out, (float64(i)+part)*360/float64(teeth))
			if i+k > 0 {
				pieces = append(pieces, "L")
			}
			pieces = append(pieces, x, " ", y)
		}
	}
	return d(append(pieces, "z")...)
}

// around gives the point at a radius and an angle in degrees from straight
// down, clockwise.
func around(r, angle float64) (x, y float64) {
	sin, cos := math.Sincos(angle * math.Pi / 180)
	return -r * sin, r * cos
}

// wire draws a line from point to point that hangs a little between them, with
// the dashes of its current over it where they move.
func wire(p *pen, one card.ScenePart, by string) {
	path := polyline(one.At)
	if by == ByOutput {
		path = hanging(one.At)
	}
	p.line("line", path)
	if one.Gone {
		return
	}
	if moving := p.moving(Move{Does: Slides, By: by}); moving != nil {
		p.element("path", append([]string{"class", "flow", "fill", "none", "stroke", "currentColor", "stroke-dasharray", "3 " + strconv.Itoa(Dash-3), "d", path}, moving...)...)
	}
}

func hanging(at [][2]float64) string {
	pieces := []any{"M", at[0][0], " ", at[0][1]}
	for i := 1; i < len(at); i++ {
		a, b := at[i-1], at[i]
		sag := 0.09 * math.Abs(b[0]-a[0])
		pieces = append(pieces, "Q", (a[0]+b[0])/2, " ", (a[1]+b[1])/2+sag, " ", b[0], " ", b[1])
	}
	return d(pieces...)
}
