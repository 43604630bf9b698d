package machine

import "math"

// Output is the voltage at the slip rings of a winding of constant strength
// that carries no current.
type Output struct {
	Constant  float64 // V s
	Angle     float64 // rad
	Frequency float64 // Hz, on the nameplate
	Voltage   float64 // V r.m.s., on the nameplate
}

// The winding gives the nameplate voltage at the nameplate frequency:
// sqrt(2) V = K 2 pi f.
func (o *Output) describe(c *constants) {
	c.add(&o.Frequency, "frequency", "Hz", Positive, "frequency on the nameplate, equal to the turns a second")
	c.add(&o.Voltage, "voltage", "V", Positive, "r.m.s. voltage on the nameplate, at the nameplate frequency")
	c.add(&o.Angle, "angle", "deg", AnyFinite, "electrical angle of the output when the governor weight is straight down")
	o.Constant = math.Sqrt2 * o.Voltage / (2 * math.Pi * o.Frequency)
	o.Angle = o.Angle * math.Pi / 180
}
