package machine

import (
	"fmt"
	"math"

	"slipring/engine/ode"
	"slipring/engine/waveform"
)

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
	c.needOwn("generator")
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

// WeightWith gives the force in N that holds the plunger down where it just
// touches the contact, once its spring has been stretched by a way in m more:
// W + k d.
func (r *Regulator) WeightWith(stretched float64) float64 { return r.Weight + r.Spring*stretched }

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

// What can happen to a regulator.
const (
	RegulatorWelded    Action = "regulator contact welded"
	RegulatorStuckOpen Action = "regulator contact stuck open"
	CoilOpen           Action = "regulator coil open"
	PlungerStuck       Action = "regulator plunger stuck"
	FreeRegulator      Action = "regulator contact freed" // it works again
)

// regulator is the regulator at work.
type regulator struct {
	Regulator
	generator           *generator
	coil, plunger, rate int // A; m above the point where the contact touches; m/s

	regulating    contact
	topped        bool // the plunger is at its upper stop
	coilOpen      bool
	plungerStuck  bool
	coilOnBrushes bool // the coil is fed with direct current

	inCoil, inPlunger int
}

func (r *regulator) copy() part { c := *r; return &c }

func (r *regulator) set(how Setup) { r.coilOnBrushes = how.CoilOnBrushes }

func (r *regulator) join(s *system) {
	r.generator = r.on(s)
	r.coil = s.state("coil current", 0.01, false) // follows the others within a part of a turn, and is the least exact
	r.plunger, r.rate = s.state("travel", 1e-4, true), s.state("rate", 1e-2, true)
	s.contact("regulator contact", &r.regulating)
	s.shows("regulator coil current", "A", waveform.Current, r.coil, 1)
	s.shows("plunger travel", "mm", waveform.Quantity, r.plunger, 1e3)
	r.inCoil, r.inPlunger = s.spends("regulator coil"), s.spends("regulator plunger")

	s.fault(RegulatorWelded, "The regulator contact is welded, so the generator's field is always full.",
		func() { r.regulating.stuck = stuckClosed })
	s.fault(RegulatorStuckOpen, "The regulator contact no longer makes, so the resistor stays in the generator's field circuit.",
		func() { r.regulating.stuck = stuckOpen })
	s.fault(CoilOpen, "The regulator's coil is broken; the plunger falls and its contact stays closed.",
		func() { r.coilOpen = true })
	s.fault(PlungerStuck, "The regulator's plunger is stuck where it is.",
		func() { r.plungerStuck = true })
	s.act(action{
		what:  FreeRegulator,
		lacks: func(Change) error { return fmt.Errorf("there is no regulator contact to be freed") },
		do:    func(*Simulation, Change, []float64) { r.regulating.stuck = works },
	})
}

func (r *regulator) on(s *system) *generator { return partner[*generator](s, r) }

func (r *regulator) live() bool { return !r.coilOpen && !r.coilOnBrushes }

func (r *regulator) draw(y []float64) (current, share, drops float64) {
	l := r.inductance(y[r.plunger])
	i := y[r.coil]
	return i, 1 / l, r.drop(i, y[r.rate]) / l
}

// dry says whether the coil is out of its circuit.
func (r *regulator) dry() bool { return r.coilOpen || r.generator.ringLifted && !r.coilOnBrushes }

// add adds coil and plunger.
func (r *regulator) add(_ *instant, y, d []float64) {
	z, rate, i := y[r.plunger], y[r.rate], y[r.coil]
	if !r.dry() {
		v := r.generator.at.ac
		if r.coilOnBrushes {
			v = r.generator.at.dc
		}
		d[r.coil] = (v - r.drop(i, rate)) / r.inductance(z)
	}
	if r.plungerStuck {
		return
	}
	force := r.pull(i) - r.Weight - r.Spring*z - r.Damping*rate
	if r.regulating.touching {
		force -= r.ContactStiffness * z * max(0, 1-r.ContactLoss*rate)
	}
	if r.topped {
		force -= r.StopStiffness * (z - r.StopTravel) * max(0, 1+r.StopLoss*rate)
	}
	d[r.plunger] = rate
	d[r.rate] = force / r.Mass
}

// level is the height of the plunger at which its contact changes next: above
// the touching point while it is closed, below it while open.
func (r *regulator) level() float64 {
	if r.regulating.touching {
		return r.ContactHysteresis
	}
	return -r.ContactHysteresis
}

func (r *regulator) watch(y []float64, first bool) []level {
	// within the hysteresis the contact stays as it is
	if math.Abs(y[r.plunger]) > r.ContactHysteresis || first {
		r.regulating.touching = y[r.plunger] < 0
	}
	r.topped = y[r.plunger] > r.StopTravel
	return []level{
		{Guard: ode.Guard{Coordinate: r.plunger, Level: r.level(), Above: !r.regulating.touching},
			cross: func(_ float64, _ []float64, g *ode.Guard) {
				r.regulating.touching = !r.regulating.touching
				g.Level = r.level()
			}},
		{Guard: ode.Guard{Coordinate: r.plunger, Level: r.StopTravel, Above: r.topped},
			cross: func(float64, []float64, *ode.Guard) { r.topped = !r.topped }},
	}
}

func (r *regulator) still(y []float64) {
	if r.dry() {
		y[r.coil] = 0
	}
	if r.plungerStuck {
		y[r.rate] = 0
	}
}

func (r *regulator) dead(y []float64) { y[r.coil] = 0 }

// rest lays the plunger on its contact.
func (r *regulator) rest(y []float64) {
	y[r.plunger] = -r.Weight / (r.Spring + r.ContactStiffness + 1e-9)
}

func (r *regulator) ask(_ *estimate, y []float64) { y[r.plunger] = -1e-5 }

func (r *regulator) keep() float64           { return step(r.regulating.touching) }
func (r *regulator) recall(touching float64) { r.regulating.touching = touching != 0 }

func (r *regulator) account(_ *instant, y, lines []float64) {
	z, rate := y[r.plunger], y[r.rate]
	lines[r.inCoil] += r.CoilResistance * y[r.coil] * y[r.coil]
	lost := r.Damping * rate
	if r.regulating.touching {
		lost += r.ContactStiffness * z * (max(0, 1-r.ContactLoss*rate) - 1)
	}
	if r.topped {
		lost += r.StopStiffness * (z - r.StopTravel) * (max(0, 1+r.StopLoss*rate) - 1)
	}
	lines[r.inPlunger] += lost * rate
}

func (r *regulator) stored(y []float64) float64 {
	z, rate := y[r.plunger], y[r.rate]
	e := r.inductance(z)*y[r.coil]*y[r.coil]/2 + r.Mass*rate*rate/2 + r.Weight*z + r.Spring*z*z/2
	if r.regulating.touching {
		e += r.ContactStiffness * z * z / 2
	}
	if r.topped {
		e += r.StopStiffness * (z - r.StopTravel) * (z - r.StopTravel) / 2
	}
	return e
}
