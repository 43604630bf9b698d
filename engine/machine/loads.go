package machine

import (
	"fmt"
	"math"
)

// Load is what the set has to drive. The zero value is an idle set.
type Load struct {
	Torque     float64 // N m, a brake on the shaft
	Resistance float64 // ohm, lamps or a load rheostat across the rings; 0 leaves them off
	Watts      float64 // W that the rheostat would take at the nameplate voltage; another way to give Resistance
	Bells      int     // bells that ring, with their capacitors
}

// FullLoad is what the house calls full load: bells that ring, and lamps that
// burn at the same time, as the load rheostat's resistance.
type FullLoad Load

func (l *FullLoad) describe(c *constants) {
	var bells float64
	c.need("bell", "rheostat")
	c.add(&bells, "bells", "1", WholeNumber, "bells that ring at once under full load")
	c.add(&l.Resistance, "lamp-resistance", "ohm", Positive, "resistance of all signal lamps together that burn under full load")
	l.Bells = int(bells)
}

// Rheostat is the load rheostat, whose resistance a Load gives.
type Rheostat struct {
	TimeConstant float64 // s
}

func (r *Rheostat) describe(c *constants) {
	c.need("generator")
	c.add(&r.TimeConstant, "time-constant", "s", Positive, "inductance of the load rheostat for each ohm of it")
}

// check says what is impossible about a load for this machine.
func (s *system) check(l Load) error {
	for _, v := range []struct {
		name, unit string
		value      float64
	}{{"torque", "N m", l.Torque}, {"resistance", "ohm", l.Resistance}, {"power", "W", l.Watts}} {
		if !(v.value >= 0) || math.IsInf(v.value, 0) {
			return fmt.Errorf("a load cannot have a %s of %g %s", v.name, v.value, v.unit)
		}
	}
	switch {
	case l.Bells < 0:
		return fmt.Errorf("a load cannot have %d bells", l.Bells)
	case l.Resistance > 0 && l.Watts > 0:
		return fmt.Errorf("a load gives the rheostat twice, as %g ohm and as %g W; give one of them", l.Resistance, l.Watts)
	case (l.Resistance > 0 || l.Watts > 0) && (!s.hasGenerator || s.rheostatTime == 0):
		return fmt.Errorf("a load rheostat needs the parts [generator] and [rheostat] on the card")
	case l.Watts > 0 && s.output.Voltage == 0:
		return fmt.Errorf("a load in watts needs the nameplate voltage, in the part [output] of the card")
	case l.Bells > 0 && (!s.hasGenerator || s.bell == Bell{}):
		return fmt.Errorf("bells need the parts [generator] and [bell] on the card")
	}
	return nil
}

// put sets the load; branches that open lose their current.
func (s *system) put(l Load) {
	s.load = l
	s.rheostat = l.Resistance
	if l.Watts > 0 {
		s.rheostat = s.output.Voltage * s.output.Voltage / l.Watts
	}
	s.bells = float64(l.Bells)
}

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

// Tone is a tone wheel: N teeth vary the flux of a winding, N times a turn. It
// has no state of its own, since its current follows within a millisecond.
type Tone struct {
	Teeth             float64
	LinkageSlope      float64 // V s/A
	ExcitingCurrent   float64 // A
	WindingResistance float64 // ohm
	WindingInductance float64 // H
	LoadResistance    float64 // ohm
}

func (t *Tone) describe(c *constants) {
	c.add(&t.Teeth, "teeth", "1", WholeNumber, "teeth of the tone wheel")
	c.add(&t.LinkageSlope, "linkage-slope", "V s/A", Positive, "flux linkage of the winding that each tooth varies, for each ampere of exciting current")
	c.add(&t.ExcitingCurrent, "exciting-current", "A", NotNegative, "direct current that magnetises the wheel")
	c.add(&t.WindingResistance, "winding-resistance", "ohm", NotNegative, "resistance of the winding")
	c.add(&t.WindingInductance, "winding-inductance", "H", NotNegative, "inductance of the winding")
	c.add(&t.LoadResistance, "load-resistance", "ohm", Positive, "resistance that the tone line puts on the winding")
}

// Frequency gives the frequency in Hz of an alternator with a number of
// periods a turn (pole pairs, or teeth of an inductor alternator), at a speed
// in turns a second.
func Frequency(periods, speed float64) float64 { return periods * speed }

// Frequency gives the tone's frequency in Hz at a speed in turns a second.
func (t *Tone) Frequency(speed float64) float64 { return Frequency(t.Teeth, speed) }

// OpenVoltage gives the r.m.s. voltage in V of the unloaded winding at a speed
// in turns a second: E = k N w I / sqrt(2).
func (t *Tone) OpenVoltage(speed float64) float64 {
	return t.LinkageSlope * t.ExcitingCurrent * 2 * math.Pi * t.Frequency(speed) / math.Sqrt2
}

// Voltage gives the r.m.s. voltage in V at the tone line.
func (t *Tone) Voltage(speed float64) float64 {
	w := 2 * math.Pi * t.Frequency(speed)
	return t.OpenVoltage(speed) * t.LoadResistance /
		math.Hypot(t.WindingResistance+t.LoadResistance, w*t.WindingInductance)
}

// drag is the mean torque in N m at w rad/s: the power that the loaded
// winding takes, (E^2/2) R/|Z|^2, over the speed.
func (t *Tone) drag(w float64) float64 {
	r := t.WindingResistance + t.LoadResistance
	x := t.Teeth * w * t.WindingInductance
	a := t.LinkageSlope * t.Teeth * t.ExcitingCurrent
	return a * a * w * r / (2 * (r*r + x*x))
}
