package machine

import (
	"math"

	"slipring/engine/waveform"
)

// Bell is one signal bell with its series capacitor.
type Bell struct {
	Resistance  float64 // ohm
	Inductance  float64 // H
	Capacitance float64 // F
}

func (b *Bell) describe(c *constants) {
	c.need("generator")
	c.add(&b.Resistance, "resistance", "ohm", Positive, "resistance of one bell")
	c.add(&b.Inductance, "inductance", "H", Positive, "inductance of one bell")
	c.add(&b.Capacitance, "capacitance", "F", Positive, "capacitor in series with each bell")
}

// Impedance gives the magnitude in ohm of the bell's impedance at a frequency
// in Hz: |Z| = sqrt(R^2 + (w L - 1/(w C))^2).
func (b *Bell) Impedance(frequency float64) float64 {
	w := 2 * math.Pi * frequency
	return math.Hypot(b.Resistance, w*b.Inductance-1/(w*b.Capacitance))
}

// bell is so many bells at work, all alike.
type bell struct {
	Bell
	generator      *generator
	current, volts int // of one
	ringing        float64
	spent          int
}

func (b *bell) copy() part { c := *b; return &c }

func (b *bell) join(s *system) {
	b.generator = b.on(s)
	b.current, b.volts = s.state("current", 0.01, true), s.state("capacitor voltage", 10, true)
	s.shows("bell current", "A", waveform.Current, b.current, 1)
	b.spent = s.spends("bells")
}

func (b *bell) put(l Load) { b.ringing = float64(l.Bells) }

func (b *bell) on(s *system) *generator { return feeding(s, b) }

func (b *bell) live() bool { return b.ringing > 0 }

func (b *bell) draw(y []float64) (current, share, drops float64) {
	i := y[b.current]
	return b.ringing * i, b.ringing / b.Inductance, b.ringing * (b.Resistance*i + y[b.volts]) / b.Inductance
}

func (b *bell) add(_ *instant, y, d []float64) {
	if b.ringing > 0 && !b.generator.ringLifted {
		d[b.current] = (b.generator.at.ac - b.Resistance*y[b.current] - y[b.volts]) / b.Inductance
		d[b.volts] = y[b.current] / b.Capacitance
	}
}

func (b *bell) still(y []float64) {
	if b.ringing == 0 || b.generator.ringLifted {
		b.dead(y)
	}
}

func (b *bell) dead(y []float64) { y[b.current], y[b.volts] = 0, 0 }

func (b *bell) ask(e *estimate, _ []float64) {
	if b.ringing > 0 {
		z := b.Impedance(e.speed)
		e.electric += e.half * b.ringing * b.Resistance / (z * z)
	}
}

func (b *bell) account(_ *instant, y, lines []float64) {
	lines[b.spent] += b.ringing * b.Resistance * y[b.current] * y[b.current]
}

func (b *bell) stored(y []float64) float64 {
	return b.ringing * (b.Inductance*y[b.current]*y[b.current] + b.Capacitance*y[b.volts]*y[b.volts]) / 2
}
