package capture

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"math/rand/v2"
	"testing"
)

// shown is a screen of our own drawing: a contact in yellow and a bell voltage in
// blue on a dark graticule of 10 by 8 divisions, 1 s and 1 V each. It looks like
// no instrument's.
type shown struct {
	width    int     // pixels of the screen
	turns    float64 // across it
	high     float64 // part of a turn
	late     float64 // degrees of the contact after the voltage
	begin    float64 // turns at the left side
	thick    float64 // pixels of a trace
	columns  int     // of the instrument's own screen; 0 for none
	dots     bool    // no strokes between columns
	overlap  bool    // the voltage is drawn across the contact
	slant    float64 // part by which a photograph's far side is shorter
	k1       float64 // radial term of the lens
	noise    float64 // of 255
	moire    float64 // of 255
	jpeg     int     // quality; 0 for PNG
	frameOut float64 // pixels around the screen
	known    bool    // the reader is told how many columns there are
	unlined  bool    // without the graticule's lines
	zeros    []Zero  // that the reader is told
}

func (s shown) period() float64 { return 10 / s.turns }

var (
	yellow = color.RGBA{255, 220, 60, 255}
	blue   = color.RGBA{60, 160, 255, 255}
)

// canvas is the straight screen.
type canvas struct {
	w, h   int
	margin float64
	pix    [][3]float64
}

func (c *canvas) blend(x, y int, by float64, colour color.RGBA) {
	if x < 0 || y < 0 || x >= c.w || y >= c.h || by <= 0 {
		return
	}
	p := &c.pix[y*c.w+x]
	for i, v := range []uint8{colour.R, colour.G, colour.B} {
		p[i] += (float64(v) - p[i]) * by
	}
}

// stroke draws a line of a thickness, with soft edges and round ends.
func stroke(c *canvas, into []float64, x0, y0, x1, y1, thick float64) {
	r := thick/2 + 1
	for y := max(0, int(min(y0, y1)-r)); y <= min(c.h-1, int(max(y0, y1)+r)); y++ {
		for x := max(0, int(min(x0, x1)-r)); x <= min(c.w-1, int(max(x0, x1)+r)); x++ {
			px, py := float64(x)+0.5-x0, float64(y)+0.5-y0
			dx, dy := x1-x0, y1-y0
			k := 0.0
			if n := dx*dx + dy*dy; n > 0 {
				k = min(max((px*dx+py*dy)/n, 0), 1)
			}
			d := math.Hypot(px-k*dx, py-k*dy)
			i := y*c.w + x
			into[i] = max(into[i], min(1, thick/2+0.5-d))
		}
	}
}

// draw gives the picture and the corners of its graticule.
func (s shown) draw(random *rand.Rand) (image.Image, []Point) {
	m := s.frameOut
	w, h := s.width, s.width*3/4
	c := &canvas{w: w + int(2*m), h: h + int(2*m), margin: m}
	c.pix = make([][3]float64, c.w*c.h)
	for i := range c.pix {
		c.pix[i] = [3]float64{12, 16, 20}
	}
	cell := float64(w) / 10
	cellUp := float64(h) / 8
	line := max(1, float64(w)/640)
	grey := make([]float64, len(c.pix))
	for i := 0.0; i <= 10; i++ {
		stroke(c, grey, m+i*cell, m, m+i*cell, m+8*cellUp, line)
	}
	for j := 0.0; j <= 8; j++ {
		stroke(c, grey, m, m+j*cellUp, m+10*cell, m+j*cellUp, line)
	}
	paint := func(by []float64, colour color.RGBA) {
		for i, v := range by {
			c.blend(i%c.w, i/c.w, v, colour)
		}
	}
	if !s.unlined {
		paint(grey, color.RGBA{95, 100, 105, 255})
	}
	low, high := 7.0, 4.6 // divisions from the top
	if s.overlap {
		low, high = 6.0, 2.0
	}
	steps := w
	if s.columns > 0 {
		steps = s.columns
	}
	contact := make([]float64, len(c.pix))
	voltage := make([]float64, len(c.pix))
	level := func(turn float64) float64 {
		x := turn - s.late/360
		if x -= math.Floor(x); x < s.high {
			return high
		}
		return low
	}
	if s.columns == 0 {
		at, y := 0.0, level(s.begin)
		for k := math.Floor(s.begin) - 1; k < s.begin+s.turns+2; k++ {
			for i, edge := range []float64{k + s.late/360, k + s.late/360 + s.high} {
				x := (edge - s.begin) / s.turns * float64(w)
				if x <= 0 || x >= float64(w) {
					continue
				}
				to := []float64{high, low}[i]
				stroke(c, contact, m+at, m+y*cellUp, m+x, m+y*cellUp, s.thick)
				stroke(c, contact, m+x, m+y*cellUp, m+x, m+to*cellUp, s.thick)
				at, y = x, to
			}
		}
		stroke(c, contact, m+at, m+y*cellUp, m+float64(w), m+y*cellUp, s.thick)
	}
	center, size := 2.3, 1.6
	if s.overlap {
		center, size = 4, 2.6
	}
	lastX, lastY, lastC := 0.0, 0.0, 0.0
	for k := range steps {
		x := (float64(k) + 0.5) / float64(steps) * float64(w)
		turn := s.begin + s.turns*x/float64(w)
		y := center - size*math.Sin(2*math.Pi*turn)
		q := level(turn)
		if k > 0 {
			stroke(c, voltage, m+lastX, m+lastY*cellUp, m+x, m+y*cellUp, s.thick)
		}
		if s.columns > 0 {
			switch {
			case k == 0 || s.dots:
				stroke(c, contact, m+x, m+q*cellUp, m+x, m+q*cellUp, s.thick)
			case q == lastC:
				stroke(c, contact, m+lastX, m+q*cellUp, m+x, m+q*cellUp, s.thick)
			default: // a whole column is drawn from level to level
				stroke(c, contact, m+(lastX+x)/2, m+lastC*cellUp, m+(lastX+x)/2, m+q*cellUp, s.thick)
				stroke(c, contact, m+x, m+q*cellUp, m+x, m+q*cellUp, s.thick)
			}
		}
		lastX, lastY, lastC = x, y, q
	}
	paint(contact, yellow)
	paint(voltage, blue)
	return s.photograph(c, random)
}

// photograph looks at the straight screen from the side, through a lens.
func (s shown) photograph(c *canvas, random *rand.Rand) (image.Image, []Point) {
	m := c.margin
	w, h := float64(c.w)-2*m, float64(c.h)-2*m
	d := s.slant / 2
	corners := []Point{{m, m}, {m + w, m + d*h}, {m + w*(1-d/2), m + h*(1-d)}, {m + d*w*0.3, m + h}}
	if s.slant == 0 {
		corners = []Point{{m, m}, {m + w, m}, {m + w, m + h}, {m, m + h}}
	}
	bounds := image.Rect(0, 0, c.w, c.h)
	l, _ := lensOf(corners, 10, 8, bounds)
	straight := l
	l.k1 = s.k1
	for i, p := range []Point{{0, 0}, {10, 0}, {10, 8}, {0, 8}} {
		corners[i].X, corners[i].Y = l.at(p.X, p.Y)
	}
	img := image.NewRGBA(bounds)
	sample := func(x, y float64) [3]float64 {
		// from the picture back to the screen: the lens by repetition, then the plane
		dx, dy := (x-l.middle.X)/l.size, (y-l.middle.Y)/l.size
		ux, uy := dx, dy
		for range 8 {
			r := 1 + s.k1*(ux*ux+uy*uy)
			ux, uy = dx/r, dy/r
		}
		u, v := inverse(straight, l.middle.X+ux*l.size, l.middle.Y+uy*l.size)
		cx, cy := m+u/10*w-0.5, m+v/8*h-0.5
		i, j := int(math.Floor(cx)), int(math.Floor(cy))
		fx, fy := cx-float64(i), cy-float64(j)
		at := func(i, j int) [3]float64 { return c.pix[min(max(j, 0), c.h-1)*c.w+min(max(i, 0), c.w-1)] }
		a, b, e, f := at(i, j), at(i+1, j), at(i, j+1), at(i+1, j+1)
		var out [3]float64
		for k := range out {
			out[k] = (a[k]*(1-fx)+b[k]*fx)*(1-fy) + (e[k]*(1-fx)+f[k]*fx)*fy
		}
		return out
	}
	for y := range c.h {
		for x := range c.w {
			p := c.pix[y*c.w+x]
			if s.slant > 0 || s.k1 != 0 {
				p = sample(float64(x)+0.5, float64(y)+0.5)
			}
			ripple := s.moire * math.Sin(float64(x)*0.9+float64(y)*0.13) * math.Sin(float64(y)*0.7)
			var out [3]uint8
			for k := range out {
				v := p[k] + ripple
				if s.noise > 0 {
					v += s.noise * random.NormFloat64()
				}
				out[k] = uint8(min(max(v+0.5, 0), 255))
			}
			img.SetRGBA(x, y, color.RGBA{out[0], out[1], out[2], 255})
		}
	}
	return img, corners
}

// inverse goes from pixels to divisions, without the radial term.
func inverse(l lens, x, y float64) (u, v float64) {
	a, b, e := l.h[0]-l.h[6]*x, l.h[1]-l.h[7]*x, x-l.h[2]
	c, d, f := l.h[3]-l.h[6]*y, l.h[4]-l.h[7]*y, y-l.h[5]
	n := a*d - b*c
	return (e*d - b*f) / n, (a*f - e*c) / n
}

// file gives the picture as it would be saved.
func (s shown) file(t testing.TB, random *rand.Rand) ([]byte, []Point) {
	t.Helper()
	img, corners := s.draw(random)
	var b bytes.Buffer
	var err error
	if s.jpeg > 0 {
		err = jpeg.Encode(&b, img, &jpeg.Options{Quality: s.jpeg})
	} else {
		err = (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&b, img)
	}
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes(), corners
}

// read reads the picture, with its corners to the nearest pixel where given.
func (s shown) read(t testing.TB, random *rand.Rand, given bool) Report {
	t.Helper()
	content, corners := s.file(t, random)
	screen := Screen{TimePerDivision: 1, VoltsPerDivision: 1, Traces: []Trace{{"contact", yellow}, {"bell", blue}}, Zeros: s.zeros}
	if given {
		for _, c := range corners {
			screen.Corners = append(screen.Corners, Point{math.Round(c.X), math.Round(c.Y)})
		}
	}
	switch {
	case s.known && s.columns == 0:
		screen.OwnColumns = 10_000
	case s.known:
		screen.OwnColumns = s.columns
	}
	c, messages := ReadPicture("x", bytes.NewReader(content), screen)
	if c == nil {
		t.Fatalf("%+v: %v", s, messages)
	}
	r := Measure(c)
	r.Messages = append(messages, r.Messages...)
	return r
}
