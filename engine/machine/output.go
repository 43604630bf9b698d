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

// NewOutput takes the output's constants from its card, which must have been
// validated. The winding gives the nameplate voltage at the nameplate
// frequency: sqrt(2) V = K 2 pi f.
func NewOutput(c OutputCard) Output {
	card := Card{Output: &c}
	v := card.values()
	f, u := v(&c.Frequency), v(&c.Voltage)
	return Output{
		Constant:  math.Sqrt2 * u / (2 * math.Pi * f),
		Angle:     v(&c.Angle) * math.Pi / 180,
		Frequency: f,
		Voltage:   u,
	}
}
