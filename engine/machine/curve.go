package machine

import (
	"math"
	"sort"
)

// Curve is an open-circuit curve as it was measured: a smooth line through its
// points, which rises wherever they do (piecewise cubic; F. N. Fritsch and
// J. Butland, A Method for Constructing Local Monotone Piecewise Cubic
// Interpolants, SIAM J. Sci. Stat. Comput. 5, 1984). Beyond the last point it
// goes on straight.
type Curve struct {
	amps, rise []float64 // field current in A, and by what the machine constant is then above its residual in V s
	slope      []float64 // V s/A, at the points
	area       []float64 // V s A, of the curve's rise up to each point
	critical   float64   // V s/A, of the steepest line from the origin to a point
}

// NewCurve makes a curve of field currents in A, rising from 0, and the open-circuit
// voltages in V that they gave at a speed in turns a second. It gives the residual
// machine constant in V s too.
// There are three points at least.
func NewCurve(amps, volts []float64, speed float64) (c Curve, residual float64) {
	w := 2 * math.Pi * speed
	residual = volts[0] / w
	c = Curve{amps: amps, slope: make([]float64, len(amps)), area: make([]float64, len(amps))}
	for i, v := range volts {
		c.rise = append(c.rise, v/w-residual)
		if amps[i] > 0 {
			c.critical = max(c.critical, v/w/amps[i])
		}
	}
	chord := func(k int) (rise, run float64) { // from point k to the next
		run = amps[k+1] - amps[k]
		return (c.rise[k+1] - c.rise[k]) / run, run
	}
	last := len(amps) - 1
	for k := 1; k < last; k++ {
		before, h := chord(k - 1)
		after, g := chord(k)
		if before > 0 && after > 0 {
			c.slope[k] = 3 * (h + g) / ((2*g+h)/before + (g+2*h)/after)
		}
	}
	end := func(near, far, h, g float64) float64 {
		s := ((2*h+g)*near - h*far) / (h + g)
		return min(max(s, 0), 3*near)
	}
	first, h := chord(0)
	second, g := chord(1)
	c.slope[0] = end(first, second, h, g)
	first, h = chord(last - 1)
	second, g = chord(last - 2)
	c.slope[last] = end(first, second, h, g)
	for k := range last {
		run := amps[k+1] - amps[k]
		c.area[k+1] = c.area[k] + run*(c.rise[k]+c.rise[k+1])/2 + run*run*(c.slope[k]-c.slope[k+1])/12
	}
	return c, residual
}

// measured says whether there is a curve.
func (c *Curve) measured() bool { return len(c.amps) > 0 }

// at gives the rise in V s and its slope in V s/A at a field current from 0 on.
func (c *Curve) at(i float64) (rise, slope float64) {
	k := sort.SearchFloat64s(c.amps, i) - 1
	last := len(c.amps) - 1
	switch {
	case k < 0:
		return c.rise[0], c.slope[0]
	case k >= last:
		return c.rise[last] + c.slope[last]*(i-c.amps[last]), c.slope[last]
	}
	h := c.amps[k+1] - c.amps[k]
	t := (i - c.amps[k]) / h
	chord := (c.rise[k+1] - c.rise[k]) / h
	// the cubic with these values and slopes, about the left point
	square := (3*chord - 2*c.slope[k] - c.slope[k+1]) * h
	cube := (c.slope[k] + c.slope[k+1] - 2*chord) * h
	rise = c.rise[k] + t*(c.slope[k]*h+t*(square+t*cube))
	return rise, c.slope[k] + t*(2*square+3*t*cube)/h
}

// currentFor gives the field current in A that makes a rise in V s; infinite
// when none does.
func (c *Curve) currentFor(rise float64) float64 {
	last := len(c.amps) - 1
	if rise > c.rise[last] {
		return c.amps[last] + (rise-c.rise[last])/c.slope[last]
	}
	low, high := 0.0, c.amps[last]
	for range 80 {
		middle := (low + high) / 2
		if r, _ := c.at(middle); r < rise {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// moment is the integral of i dK in V s A from 0 to a field current.
func (c *Curve) moment(i float64) float64 {
	k := min(max(sort.SearchFloat64s(c.amps, i)-1, 0), len(c.amps)-1)
	area, h := c.area[k], i-c.amps[k]
	for _, q := range gauss { // exact, for a cubic
		rise, _ := c.at(c.amps[k] + q.x*h)
		area += q.w * h * rise
	}
	rise, _ := c.at(i)
	return i*rise - area
}
