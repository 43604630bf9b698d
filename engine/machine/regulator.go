package machine

import "math"

// Regulator is the vibrating voltage regulator. A solenoid across the output
// lifts a plunger against its weight and a spring; the contact under the
// plunger shorts the generator's field resistor while it is closed. The pull
// of an alternating current ripples at twice the frequency, and this ripple
// keeps the contact at work.
type Regulator struct {
	CoilResistance      float64 // ohm
	CoilInductance      float64 // H, plunger at the contact
	CoilInductanceSlope float64 // H/m
	Mass                float64 // kg
	Weight              float64 // N
	Spring              float64 // N/m
	Damping             float64 // N s/m
	ContactStiffness    float64 // N/m
	ContactLoss         float64 // s/m
	ContactHysteresis   float64 // m, to either side
	StopTravel          float64 // m
	StopStiffness       float64 // N/m
	StopLoss            float64 // s/m
}

func (r *Regulator) describe(c *constants) {
	c.need("generator")
	c.add(&r.CoilResistance, "coil-resistance", "ohm", Positive, "resistance of the solenoid")
	c.add(&r.CoilInductance, "coil-inductance", "H", Positive, "inductance of the solenoid with the plunger just touching the contact")
	c.add(&r.CoilInductanceSlope, "coil-inductance-slope", "H/m", Positive, "rise of that inductance as the plunger rises")
	c.add(&r.Mass, "plunger-mass", "kg", Positive, "mass that moves with the plunger")
	c.add(&r.Weight, "plunger-weight", "N", Positive, "force that holds the plunger down where it just touches the contact")
	c.add(&r.Spring, "spring-stiffness", "N/m", NotNegative, "stiffness of the plunger's spring")
	c.add(&r.Damping, "damping", "N s/m", NotNegative, "damping of the plunger by its dashpot")
	c.add(&r.ContactStiffness, "contact-stiffness", "N/m", NotNegative, "stiffness of the contact leaf")
	c.add(&r.ContactLoss, "contact-loss", "s/m", NotNegative, "rise of the leaf's force with the speed of its compression")
	c.add(&r.ContactHysteresis, "contact-hysteresis", "m", NotNegative, "plunger travel above the touching point at which the contact breaks, and below it at which it makes")
	c.add(&r.StopTravel, "stop-travel", "m", Positive, "plunger travel at which it meets its upper stop")
	c.add(&r.StopStiffness, "stop-stiffness", "N/m", Positive, "stiffness of the upper stop")
	c.add(&r.StopLoss, "stop-loss", "s/m", NotNegative, "rise of the stop's force with the speed of its compression")
}

// Dither gives the amplitude in m of the ripple that the alternating pull puts
// on the plunger at a speed in turns a second, with the contact closed for a
// part of the time:
//
//	A = W/(M sqrt((w2^2 - k/M)^2 + (c w2/M)^2)),  w2 = 4 pi n
//
// with W the plunger's weight, k its spring with the part of the contact leaf
// that bears on the whole, c its damping.
func (r *Regulator) Dither(speed, closed float64) float64 {
	w2 := 4 * math.Pi * speed
	k := r.Spring + closed*r.ContactStiffness
	return r.Weight / (r.Mass * math.Hypot(w2*w2-k/r.Mass, r.Damping*w2/r.Mass))
}

func (r *Regulator) inductance(z float64) float64 {
	return r.CoilInductance + r.CoilInductanceSlope*z
}

// drop is what resistance and motion take off the coil's voltage
func (r *Regulator) drop(current, rate float64) float64 {
	return (r.CoilResistance + r.CoilInductanceSlope*rate) * current
}

// pull is the force in N that lifts the plunger: half the slope of the
// inductance times the current squared.
func (r *Regulator) pull(current float64) float64 {
	return 0.5 * r.CoilInductanceSlope * current * current
}

// regulate adds coil and plunger, with v the voltage across the coil.
func (s *system) regulate(y, d []float64, v float64) {
	r := &s.regulator
	z, rate := y[atPlunger], y[atPlungerRate]
	i := y[atCoil]
	if s.coilOpen || s.ringLifted && !s.coilOnBrushes {
		d[atCoil] = 0
	} else {
		d[atCoil] = (v - r.drop(i, rate)) / r.inductance(z)
	}
	if s.plungerStuck {
		d[atPlunger], d[atPlungerRate] = 0, 0
		return
	}
	force := r.pull(i) - r.Weight - r.Spring*z - r.Damping*rate
	if s.regulating.touching {
		force -= r.ContactStiffness * z * max(0, 1-r.ContactLoss*rate)
	}
	if s.topped {
		force -= r.StopStiffness * (z - r.StopTravel) * max(0, 1+r.StopLoss*rate)
	}
	d[atPlunger] = rate
	d[atPlungerRate] = force / r.Mass
}
