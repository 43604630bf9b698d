package capture

import (
	"image"
	"image/color"
	"math"
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
