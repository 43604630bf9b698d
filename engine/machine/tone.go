package machine

import "math"

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

// ToneOpen is what can happen to the tone wheels, all at once.
const ToneOpen Action = "tone winding open"

// tone is a tone wheel at work.
type tone struct {
	Tone
	open  bool
	spent int
}

func (t *tone) copy() part { c := *t; return &c }

func (t *tone) join(s *system) {
	t.spent = s.spends("tones")
	s.fault(ToneOpen, "The windings of the tone wheels are broken, so no tone goes out.",
		func() { t.open = true })
}

func (t *tone) add(x *instant, _, _ []float64) {
	if !t.open {
		x.torque -= t.drag(x.w)
	}
}

func (t *tone) account(x *instant, _, lines []float64) {
	if !t.open {
		lines[t.spent] += t.drag(x.w) * x.w
	}
}
