package machine

import (
	"math"

	"slipring/engine/waveform"
)

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

// output is the output at work: that of the generator, or of the winding that
// the nameplate speaks of.
type output struct {
	Output
	generator *generator
	shaft     *shaft
	sin, cos  float64 // of the rings' keying
}

func (o *output) copy() part { c := *o; return &c }

func (o *output) set(Setup) { o.sin, o.cos = math.Sincos(o.Angle) }

func (o *output) join(s *system) {
	o.generator, o.shaft = s.generator, s.shaft
	if !o.stands() {
		return
	}
	s.signal("output", "V", waveform.Voltage, func(_ float64, y []float64) float64 { return o.electric(y).ac })
	s.signal("generator EMF", "V", waveform.Voltage, func(_ float64, y []float64) float64 { return o.electric(y).emf })
}

// stands says whether anything stands at the rings.
func (o *output) stands() bool { return o.generator != nil || o.Constant > 0 }

// electric gives what stands at the rings at a state, for observers.
func (o *output) electric(y []float64) circuits {
	if o.generator != nil {
		return o.generator.electric(y)
	}
	e := emf(o.Constant, y[o.shaft.speed])
	at := e * math.Sin(y[o.shaft.angle]+o.Angle)
	return circuits{crest: e, emf: at, ac: at}
}
