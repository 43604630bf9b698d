package capture

import (
	"image"
	"image/color"
	"math"
	"sort"
)

// Point is a place in a picture, in pixels from its top left corner.
type Point struct{ X, Y float64 }

// lens is how a screen lies in a picture: from divisions (to the right and
// downwards from the top left corner of the graticule) to pixels, by a
// perspective and one radial term about the picture's middle.
type lens struct {
	h      [8]float64
	k1     float64
	middle Point
	size   float64
}

func (l lens) at(u, v float64) (x, y float64) {
	w := l.h[6]*u + l.h[7]*v + 1
	x, y = (l.h[0]*u+l.h[1]*v+l.h[2])/w, (l.h[3]*u+l.h[4]*v+l.h[5])/w
	dx, dy := (x-l.middle.X)/l.size, (y-l.middle.Y)/l.size
	r := 1 + l.k1*(dx*dx+dy*dy)
	return l.middle.X + dx*r*l.size, l.middle.Y + dy*r*l.size
}

// lensOf gives the perspective through the four corners, clockwise from the top
// left.
func lensOf(corners []Point, columns, rows float64, bounds image.Rectangle) (lens, bool) {
	l := lens{middle: Point{float64(bounds.Dx()) / 2, float64(bounds.Dy()) / 2}, size: math.Hypot(float64(bounds.Dx()), float64(bounds.Dy())) / 2}
	places := []Point{{0, 0}, {columns, 0}, {columns, rows}, {0, rows}}
	m := make([][]float64, 8)
	for i, p := range places {
		c := corners[i]
		m[2*i] = []float64{p.X, p.Y, 1, 0, 0, 0, -p.X * c.X, -p.Y * c.X, c.X}
		m[2*i+1] = []float64{0, 0, 0, p.X, p.Y, 1, -p.X * c.Y, -p.Y * c.Y, c.Y}
	}
	x, ok := solve(m)
	if ok {
		copy(l.h[:], x)
	}
	return l, ok
}

// solve solves linear equations with the right side in the last column.
func solve(m [][]float64) ([]float64, bool) {
	n := len(m)
	for p := range n {
		best := p
		for i := p + 1; i < n; i++ {
			if math.Abs(m[i][p]) > math.Abs(m[best][p]) {
				best = i
			}
		}
		m[p], m[best] = m[best], m[p]
		if math.Abs(m[p][p]) < 1e-12 {
			return nil, false
		}
		for i := range n {
			if i == p {
				continue
			}
			r := m[i][p] / m[p][p]
			for j := p; j <= n; j++ {
				m[i][j] -= r * m[p][j]
			}
		}
	}
	x := make([]float64, n)
	for p := range n {
		x[p] = m[p][n] / m[p][p]
	}
	return x, true
}

// convexClockwise says whether four corners go around clockwise, as one sees
// them, without a dent.
func convexClockwise(c []Point) bool {
	for i := range 4 {
		a, b, d := c[i], c[(i+1)%4], c[(i+2)%4]
		if (b.X-a.X)*(d.Y-b.Y)-(b.Y-a.Y)*(d.X-b.X) <= 0 {
			return false
		}
	}
	return true
}

// photo is a picture that can be looked at between its pixels.
type photo struct {
	image.Image
	at func(x, y int) color.RGBA
}

func newPhoto(img image.Image) photo {
	b := img.Bounds()
	switch i := img.(type) {
	case *image.YCbCr:
		return photo{img, func(x, y int) color.RGBA {
			c := i.YCbCrAt(x+b.Min.X, y+b.Min.Y)
			r, g, bl := color.YCbCrToRGB(c.Y, c.Cb, c.Cr)
			return color.RGBA{r, g, bl, 255}
		}}
	case *image.NRGBA:
		return photo{img, func(x, y int) color.RGBA {
			c := i.NRGBAAt(x+b.Min.X, y+b.Min.Y)
			return color.RGBA{c.R, c.G, c.B, 255}
		}}
	case *image.RGBA:
		return photo{img, func(x, y int) color.RGBA { return i.RGBAAt(x+b.Min.X, y+b.Min.Y) }}
	}
	return photo{img, func(x, y int) color.RGBA {
		return color.RGBAModel.Convert(img.At(x+b.Min.X, y+b.Min.Y)).(color.RGBA)
	}}
}

// between gives the colour at a place, whose pixels have their middles at halves.
func (p photo) between(x, y float64) (r, g, b float64, ok bool) {
	x, y = x-0.5, y-0.5
	size := p.Bounds().Size()
	i, j := int(math.Floor(x)), int(math.Floor(y))
	if i < -1 || j < -1 || i >= size.X || j >= size.Y {
		return 0, 0, 0, false
	}
	fx, fy := x-float64(i), y-float64(j)
	i2, j2 := min(i+1, size.X-1), min(j+1, size.Y-1)
	i, j = max(i, 0), max(j, 0)
	c00, c10, c01, c11 := p.at(i, j), p.at(i2, j), p.at(i, j2), p.at(i2, j2)
	mix := func(a, b, c, d uint8) float64 {
		return (float64(a)*(1-fx)+float64(b)*fx)*(1-fy) + (float64(c)*(1-fx)+float64(d)*fx)*fy
	}
	return mix(c00.R, c10.R, c01.R, c11.R), mix(c00.G, c10.G, c01.G, c11.G), mix(c00.B, c10.B, c01.B, c11.B), true
}

// place is the middle of a side of a graticule's cell, where the line was found
// off by some divisions.
type place struct {
	u, v     float64
	upright  bool
	off      float64
	contrast float64
}

// lookAt looks for the line at the middle of a cell's side: across it, where the
// mean along it is highest or lowest. Places with much colour are traces'.
func (p photo) lookAt(l lens, u, v float64, upright bool) (place, bool) {
	const steps, reach = 41, 0.16 // divisions to either side
	var profile [steps]float64
	for i := range steps {
		across := reach * (float64(i)/(steps-1)*2 - 1)
		n, sum := 0, 0.0
		for j := range 13 {
			along := 0.3 * (float64(j)/6 - 1)
			x, y := l.at(u+across, v+along)
			if !upright {
				x, y = l.at(u+along, v+across)
			}
			r, g, b, ok := p.between(x, y)
			if !ok {
				return place{}, false
			}
			if max(r, g, b)-min(r, g, b) > 60 {
				continue
			}
			n++
			sum += r + g + b
		}
		if n < 5 {
			return place{}, false
		}
		profile[i] = sum / float64(n)
	}
	sorted := profile
	sort.Float64s(sorted[:])
	base := sorted[steps/2]
	spread := sorted[3*steps/4] - sorted[steps/4]
	peak, sign := 0, 1.0
	for i, y := range profile {
		if math.Abs(y-base) > math.Abs(profile[peak]-base) {
			peak = i
		}
	}
	if profile[peak] < base {
		sign = -1
	}
	height := math.Abs(profile[peak] - base)
	if height < 12 || height < 2.5*spread || peak < 3 || peak > steps-4 {
		return place{}, false
	}
	sum, moment := 0.0, 0.0
	for i := max(0, peak-8); i <= min(steps-1, peak+8); i++ {
		w := max(0, sign*(profile[i]-base)-0.25*height)
		sum += w
		moment += w * float64(i)
	}
	off := reach * (moment/sum/(steps-1)*2 - 1)
	return place{u, v, upright, off, sign * height}, true
}

// lattice is what the lines of the graticule say of a lens.
type lattice struct {
	found, all int
	rms        float64 // divisions, of the places that were kept
	outside    int     // lines that go on beyond the frame
}

// refine moves the lens so that the lines of the graticule lie where they should:
// perspective and one radial term by least squares over the middles of all sides
// of cells.
func (p photo) refine(l lens, columns, rows float64) (lens, lattice) {
	var found lattice
	for round := range 3 {
		var places []place
		found = lattice{}
		for i := 0.0; i <= columns; i++ {
			for j := 0.5; j < rows; j++ {
				found.all++
				if x, ok := p.lookAt(l, i, j, true); ok {
					places = append(places, x)
				}
			}
		}
		for j := 0.0; j <= rows; j++ {
			for i := 0.5; i < columns; i++ {
				found.all++
				if x, ok := p.lookAt(l, i, j, false); ok {
					places = append(places, x)
				}
			}
		}
		places = together(places)
		found.found = len(places)
		if len(places) < 40 {
			return l, found
		}
		l, found.rms = fitLens(l, places, round > 0)
	}
	for i := 0.0; i <= columns; i++ {
		for _, j := range []float64{-0.5, rows + 0.5} {
			if _, ok := p.lookAt(l, i, j, true); ok {
				found.outside++
			}
		}
	}
	return l, found
}

// together leaves out places whose line is of the other sign than most, or lies
// elsewhere than those around it.
func together(places []place) []place {
	bright := 0
	for _, x := range places {
		if x.contrast > 0 {
			bright++
		}
	}
	var out []place
	for _, x := range places {
		if (x.contrast > 0) == (2*bright >= len(places)) {
			out = append(out, x)
		}
	}
	return out
}

// fitLens moves a lens to the places, by Gauss and Newton with differences.
func fitLens(l lens, places []place, radial bool) (lens, float64) {
	// Where the line is, in pixels, and across which way it was looked for.
	type target struct{ x, y, nx, ny, division float64 }
	targets := make([]target, len(places))
	for i, p := range places {
		u, v, du, dv := p.u, p.v, 0.0, 0.0
		if p.upright {
			u, du = u+p.off, 1
		} else {
			v, dv = v+p.off, 1
		}
		x, y := l.at(u, v)
		x1, y1 := l.at(p.u+0.01*du, p.v+0.01*dv)
		x0, y0 := l.at(p.u-0.01*du, p.v-0.01*dv)
		d := math.Hypot(x1-x0, y1-y0)
		targets[i] = target{x, y, (x1 - x0) / d, (y1 - y0) / d, d / 0.02}
	}
	rest := func(l lens, i int) float64 {
		x, y := l.at(places[i].u, places[i].v)
		t := targets[i]
		return ((t.x-x)*t.nx + (t.y-y)*t.ny) / t.division
	}
	unknowns := 8
	if radial {
		unknowns = 9
	}
	limit, rms := math.Inf(1), 0.0
	for round := range 6 {
		m := make([][]float64, unknowns)
		for i := range m {
			m[i] = make([]float64, unknowns+1)
		}
		scale := []float64{1, 1, 1, 1, 1, 1, 1e-3, 1e-3, 1e-2}
		n, ssr := 0.0, 0.0
		for i := range places {
			r := rest(l, i)
			if math.Abs(r) > limit {
				continue
			}
			n++
			ssr += r * r
			row := make([]float64, unknowns)
			for k := range unknowns {
				moved := l
				const h = 1e-4
				if k < 8 {
					moved.h[k] += h * scale[k]
				} else {
					moved.k1 += h * scale[k]
				}
				row[k] = (r - rest(moved, i)) / h
			}
			for a := range unknowns {
				for b := range unknowns {
					m[a][b] += row[a] * row[b]
				}
				m[a][unknowns] += row[a] * r
			}
		}
		if n < 30 {
			return l, rms
		}
		for a := range unknowns {
			m[a][a] *= 1 + 1e-12
		}
		rms = math.Sqrt(ssr / n)
		x, ok := solve(m)
		if !ok {
			return l, rms
		}
		for k, d := range x {
			if k < 8 {
				l.h[k] += d * scale[k]
			} else {
				l.k1 += d * scale[k]
			}
		}
		if round >= 1 {
			limit = max(3*rms, 1e-3)
		}
	}
	return l, rms
}

// findFrame finds the graticule of a screen that was saved, or photographed
// straight: in the rows and columns of the picture that its lines run along.
func (p photo) findFrame(columns, rows float64) ([]Point, bool) {
	size := p.Bounds().Size()
	grey := func(x, y int) int {
		c := p.at(x, y)
		if max(c.R, c.G, c.B)-min(c.R, c.G, c.B) > 60 {
			return -1
		}
		return int(c.R) + int(c.G) + int(c.B)
	}
	lines := func(n, across int, at func(i, j int) int) []float64 {
		score := make([]float64, n)
		step := max(1, across/700)
		k := max(2, n/250)
		for i := k; i < n-k; i++ {
			total, hit := 0, 0
			for j := 0; j < across; j += step {
				a, b, c := at(i, j), at(i-k, j), at(i+k, j)
				if a < 0 || b < 0 || c < 0 {
					continue
				}
				total++
				if d := 2*a - b - c; d > 40 || d < -40 {
					hit++
				}
			}
			if total > across/step/4 {
				score[i] = float64(hit) / float64(total)
			}
		}
		return score
	}
	left, right, ok := comb(lines(size.X, size.Y, func(i, j int) int { return grey(i, j) }), int(columns))
	top, bottom, ok2 := comb(lines(size.Y, size.X, func(i, j int) int { return grey(j, i) }), int(rows))
	return []Point{{left, top}, {right, top}, {right, bottom}, {left, bottom}}, ok && ok2
}

// comb finds n+1 peaks at even distances: the comb whose teeth are highest at
// their lowest.
func comb(score []float64, n int) (first, last float64, ok bool) {
	var peaks []float64
	for i := 1; i < len(score)-1; i++ {
		if score[i] < 0.35 || score[i] < score[i-1] || score[i] <= score[i+1] && score[i+1] > 0.35 && score[i] < score[i+1] {
			continue
		}
		// the middle of the peak
		a, b := i, i
		for a > 0 && score[a-1] > score[i]/2 {
			a--
		}
		for b < len(score)-1 && score[b+1] > score[i]/2 {
			b++
		}
		sum, moment := 0.0, 0.0
		for k := a; k <= b; k++ {
			sum += score[k]
			moment += score[k] * (float64(k) + 0.5)
		}
		middle := moment / sum
		if len(peaks) == 0 || middle-peaks[len(peaks)-1] > 2 {
			peaks = append(peaks, middle)
		}
	}
	near := func(x, within float64) bool {
		k := sort.SearchFloat64s(peaks, x)
		return k < len(peaks) && peaks[k]-x <= within || k > 0 && x-peaks[k-1] <= within
	}
	bestTeeth := 0
	for i, a := range peaks {
		for _, b := range peaks[i+1:] {
			pitch := (b - a) / float64(n)
			if pitch < 8 {
				continue
			}
			teeth := 0
			for k := 0; k <= n; k++ {
				if near(a+float64(k)*pitch, max(1.5, 0.03*pitch)) {
					teeth++
				}
			}
			if teeth > bestTeeth || teeth == bestTeeth && b-a > last-first {
				bestTeeth, first, last = teeth, a, b
			}
		}
	}
	return first, last, bestTeeth >= n-1 && bestTeeth >= 4
}
