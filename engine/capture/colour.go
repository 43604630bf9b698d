package capture

import (
	"image/color"
	"math"
	"sort"
)

// lab is a colour in Oklab (B. Ottosson, 2020): lightness, and two axes of
// colour whose angle is the hue.
type lab struct{ l, a, b float64 }

func (c lab) chroma() float64 { return math.Hypot(c.a, c.b) }
func (c lab) hue() float64    { return math.Atan2(c.b, c.a) }

// toLab gives the Oklab colour of an sRGB one, with parts from 0 to 1.
func toLab(r, g, b float64) lab { return labOf(linear(r), linear(g), linear(b)) }

// labOf is toLab of light, from which the gamma has been taken.
func labOf(r, g, b float64) lab {
	l := math.Cbrt(0.4122214708*r + 0.5363325363*g + 0.0514459929*b)
	m := math.Cbrt(0.2119034982*r + 0.6806995451*g + 0.1073969566*b)
	s := math.Cbrt(0.0883024619*r + 0.2817188376*g + 0.6299787005*b)
	return lab{
		0.2104542553*l + 0.7936177850*m - 0.0040720468*s,
		1.9779984951*l - 2.4285922050*m + 0.4505937099*s,
		0.0259040371*l + 0.7827717662*m - 0.8086757660*s,
	}
}

// linear takes the gamma of sRGB away (IEC 61966-2-1).
func linear(x float64) float64 {
	if x <= 0.04045 {
		return x / 12.92
	}
	return math.Pow((x+0.055)/1.055, 2.4)
}

// Limits of colours, as a prototype found them.
const (
	leastChroma = 0.04
	leastApart  = 25 * math.Pi / 180
	gateBits    = 6 // of each of red, green and blue in a gate
)

// gates says of every colour how much of each trace is in it: by hue, since
// brightness varies across a photograph and hue hardly does.
type gates struct {
	weight [][]uint8 // by trace, then by colour: 255 is the trace's own
}

func newGates(colours []lab) gates {
	const n = 1 << gateBits
	g := gates{make([][]uint8, len(colours))}
	for i := range g.weight {
		g.weight[i] = make([]uint8, n*n*n)
	}
	half := make([]float64, len(colours)) // the gate's half width
	hues := make([]float64, len(colours))
	for i, c := range colours {
		half[i], hues[i] = 30*math.Pi/180, c.hue()
		for j, d := range colours {
			if i != j {
				half[i] = min(half[i], apart(c.hue(), d.hue())/2)
			}
		}
	}
	var light [n]float64
	for i := range light {
		light[i] = linear((float64(i) + 0.5) / n)
	}
	for k := range n * n * n {
		c := labOf(light[k>>(2*gateBits)], light[k>>gateBits&(n-1)], light[k&(n-1)])
		hue, chroma := c.hue(), c.chroma()
		for i, own := range colours {
			off := apart(hue, hues[i])
			if off > half[i] {
				continue
			}
			part := chroma * math.Cos(off) / own.chroma()
			g.weight[i][k] = uint8(255 * min(max((part-0.25)/0.5, 0), 1))
		}
	}
	return g
}

func apart(a, b float64) float64 {
	d := math.Abs(a - b)
	return min(d, 2*math.Pi-d)
}

// findColours gives the colours of up to four traces: the hues of which most is
// there.
func findColours(pixels func(each func(c color.RGBA))) []color.RGBA {
	const bins = 72
	var weight [bins]float64
	var sum [bins][3]float64
	total := 0.0
	pixels(func(c color.RGBA) {
		total++
		top, bottom := max(c.R, c.G, c.B), min(c.R, c.G, c.B)
		if top-bottom < 50 {
			return
		}
		x := toLab(float64(c.R)/255, float64(c.G)/255, float64(c.B)/255)
		if x.chroma() < 0.08 {
			return
		}
		k := int((x.hue()/(2*math.Pi) + 1) * bins)
		w := x.chroma() * x.chroma()
		weight[k%bins] += w
		for i, v := range []uint8{c.R, c.G, c.B} {
			sum[k%bins][i] += w * float64(v)
		}
	})
	var order []int
	for k := range bins {
		order = append(order, k)
	}
	around := func(k int) float64 {
		return weight[k] + weight[(k+1)%bins] + weight[(k+bins-1)%bins]
	}
	sort.SliceStable(order, func(i, j int) bool { return around(order[i]) > around(order[j]) })
	var out []color.RGBA
	var taken []int
	for _, k := range order {
		free := around(k) > 2e-5*total && around(k) > 0.03*around(order[0])
		for _, j := range taken {
			d := (k - j + bins) % bins
			free = free && min(d, bins-d) >= 6
		}
		if !free || len(out) == MostChannels {
			continue
		}
		taken = append(taken, k)
		var c [3]float64
		for _, j := range []int{k, (k + 1) % bins, (k + bins - 1) % bins} {
			for i := range c {
				c[i] += sum[j][i] / around(k)
			}
		}
		out = append(out, color.RGBA{uint8(c[0]), uint8(c[1]), uint8(c[2]), 255})
	}
	return out
}
