package machine

import (
	"math"

	"slipring/engine/waveform"
)

// Shaft is all that turns, with its mechanical losses.
type Shaft struct {
	Inertia         float64 // kg m2, without the governor weight
	Friction        float64 // N m
	ViscousFriction float64 // N m s
	Windage         float64 // N m s2
}

// Iron is the loss torque of an armature whose iron is turned through a field.
type Iron struct {
	Hysteresis float64 // N m
	Eddy       float64 // N m s
	Reference  float64 // V s, machine constant for which the two hold
}

func (s *Shaft) describe(c *constants) {
	c.add(&s.Inertia, "inertia", "kg m2", Positive, "moment of inertia of all that turns, without the governor weight")
	c.add(&s.Friction, "friction", "N m", NotNegative, "torque of bearings and brushes that does not depend on speed")
	c.add(&s.ViscousFriction, "viscous-friction", "N m s", NotNegative, "friction torque for each rad/s")
	c.add(&s.Windage, "windage", "N m s2", NotNegative, "air drag torque for each (rad/s) squared")
}

// describe adds the iron's constants to those of its machine.
func (r *Iron) describe(c *constants) {
	c.add(&r.Hysteresis, "iron-hysteresis", "N m", NotNegative, "hysteresis torque of the armature iron at the reference constant")
	c.add(&r.Eddy, "iron-eddy", "N m s", NotNegative, "eddy-current torque for each rad/s at the reference constant")
	c.add(&r.Reference, "iron-reference", "V s", Positive, "machine constant for which the two iron torques hold")
}

// LossTorque gives the torque in N m of bearings, brushes and air at a speed
// in turns a second:
//
//	T = friction tanh(w/0.5) + viscous w + windage w |w|,  w = 2 pi n
func (s *Shaft) LossTorque(speed float64) float64 {
	w := 2 * math.Pi * speed
	return s.loss(w, direction(w))
}

func (s *Shaft) loss(w, dir float64) float64 {
	return s.Friction*dir + s.ViscousFriction*w + s.Windage*w*math.Abs(w)
}

// LossTorque gives the torque in N m lost in the iron at a machine constant
// in V s and a speed in turns a second:
//
//	T = (K/K0)^2 (hysteresis tanh(w/0.5) + eddy w),  w = 2 pi n
func (r *Iron) LossTorque(constant, speed float64) float64 {
	w := 2 * math.Pi * speed
	return r.loss(constant, w, direction(w))
}

func (r *Iron) loss(constant, w, dir float64) float64 {
	b := constant / r.Reference
	return b * b * (r.Hysteresis*dir + r.Eddy*w)
}

// direction is the sense of turning as dry friction sees it: +1 or -1, going
// smoothly through 0 within about 1 rad/s of standstill.
func direction(w float64) float64 {
	if w > 10 {
		return 1 // tanh(20) is 1 to the last bit
	}
	return math.Tanh(w / 0.5)
}

// DryBearing is what can happen to a shaft.
const DryBearing Action = "dry bearing"

// shaft is the shaft at work. The system adds up what acts on it.
type shaft struct {
	Shaft
	speed, angle int     // rad/s; rad, 0 when the governor's weight is straight down
	brake        float64 // N m
	held         bool    // an outside drive holds the speed

	in, inFriction, inBrake int
}

func (h *shaft) copy() part { c := *h; return &c }

func (h *shaft) set(how Setup) { h.held = how.HeldSpeed > 0 }

func (h *shaft) join(s *system) {
	h.speed, h.angle = s.state("speed", 1, true), s.state("angle", 1, false)
	s.shows("speed", "Hz", waveform.Quantity, h.speed, 1/(2*math.Pi))
	s.signal("shaft angle", "deg", waveform.Angle, func(_ float64, y []float64) float64 {
		return 180 / math.Pi * math.Mod(y[h.angle], 2*math.Pi)
	})
	h.in, h.inFriction, h.inBrake = s.supplies(), s.spends("bearings and air"), s.spends("brake")
	s.fault(DryBearing, "A bearing has run dry, and its friction is three times what it was.",
		func() { h.Friction *= 3 })
}

func (h *shaft) put(l Load) { h.brake = l.Torque }

func (h *shaft) account(x *instant, _, lines []float64) {
	if h.held {
		lines[h.in] = -(x.torque + x.reaction) * x.w
	}
	lines[h.inFriction] = h.loss(x.w, x.dir) * x.w
	lines[h.inBrake] = h.brake * x.dir * x.w
}

func (h *shaft) stored(y []float64) float64 { return h.Inertia * y[h.speed] * y[h.speed] / 2 }
