package machine

import (
	"fmt"
	"math"

	"slipring/engine/ode"
	"slipring/engine/waveform"
)

// Governor is the centrifugal contact governor: a weight on a leaf spring that
// turns with the shaft and closes a contact when it moves outward. Gravity
// draws the weight out when it is below the shaft and in when it is above, so
// that near its speed the contact works once in each turn.
//
// The closed forms below hold for a free contact, one so light that it does
// not disturb the weight.
type Governor struct {
	Radius           float64 // m, of the weight when it touches the contact
	ContactSpeed     float64 // turns/s at which it would rest there without gravity
	SpringFrequency  float64 // Hz
	Damping          float64 // ratio
	Weight           float64 // kg
	ContactStiffness float64 // N/m
	ContactLoss      float64 // s/m
	StopTravel       float64 // m
	StopStiffness    float64 // N/m
	StopDamping      float64 // N s/m
	Gravity          float64 // m/s2; 0 for a shaft that stands on end
}

func (g *Governor) describe(c *constants) {
	c.need("shaft")
	c.add(&g.Radius, "radius", "m", Positive, "distance of the weight from the axis when it just touches the contact")
	c.add(&g.ContactSpeed, "contact-speed", "Hz", Positive, "turns a second at which the weight would rest at the contact, were there no gravity")
	c.add(&g.SpringFrequency, "spring-frequency", "Hz", Positive, "natural frequency of the weight on its leaf spring, shaft at rest")
	c.add(&g.Damping, "damping", "1", NotNegative, "damping ratio of the weight on its leaf spring")
	c.add(&g.Weight, "weight", "kg", Positive, "mass of the weight")
	c.add(&g.ContactStiffness, "contact-stiffness", "N/m", NotNegative, "stiffness of the contact wiper")
	c.add(&g.ContactLoss, "contact-loss", "s/m", NotNegative, "rise of the wiper's force with the speed of its compression")
	c.add(&g.StopTravel, "stop-travel", "m", Positive, "travel of the weight past the contact at which it meets the outer stop")
	c.add(&g.StopStiffness, "stop-stiffness", "N/m", Positive, "stiffness of the outer stop")
	c.add(&g.StopDamping, "stop-damping", "N s/m", NotNegative, "damping of the outer stop")
	g.Gravity = Gravity // for a shaft that lies level
}

// A governor whose weight is out when it is down needs a spring frequency of
// more than sqrt(2) times the shaft speed: gravity acts once a turn, the
// centrifugal pull takes off one square of the speed, and inertia the other.
func (g *Governor) flaws(Card) []Flaw {
	least := math.Sqrt2 * g.ContactSpeed
	if g.SpringFrequency > least {
		return nil
	}
	return []Flaw{{Key: "spring-frequency",
		Reason: fmt.Sprintf("%g Hz is too soft: it must be more than sqrt(2) times the contact speed, %.4g Hz", g.SpringFrequency, least),
		Next:   "check both spring-frequency and contact-speed"}}
}

// Offset gives the travel in m past the contact at which the weight would
// rest at a speed in turns a second, without gravity:
//
//	S = (w^2 - wc^2) r / (w0^2 - w^2)
func (g *Governor) Offset(speed float64) float64 {
	w2, c2, s2 := g.squares(speed)
	return (w2 - c2) * g.Radius / (s2 - w2)
}

// Amplitude gives the amplitude in m of the swing that gravity causes once a
// turn at a speed in turns a second:
//
//	A = g / sqrt((w0^2 - 2 w^2)^2 + (2 zeta w0 w)^2)
//
// One w^2 is the centrifugal pull, which grows as the weight moves out; the
// other is the weight's inertia.
func (g *Governor) Amplitude(speed float64) float64 {
	w2, _, s2 := g.squares(speed)
	damp := 2 * g.Damping * math.Sqrt(s2*w2)
	return g.Gravity / math.Hypot(s2-2*w2, damp)
}

// OpenFraction gives the part of each turn for which the contact is open at a
// speed in turns a second:
//
//	d = 1 - arccos(-S/A)/pi
//
// with S by machine.Governor.Offset and A by machine.Governor.Amplitude. It is
// 1 below the regulating band and 0 above it.
func (g *Governor) OpenFraction(speed float64) float64 {
	u := -g.Offset(speed) / g.Amplitude(speed)
	return 1 - math.Acos(min(max(u, -1), 1))/math.Pi
}

// OpenFractionSlope gives the change of OpenFraction for each turn a second
// of speed, in the middle of the regulating band, for a weight with little
// damping:
//
//	dd/dn = -4 w r kappa / (g sqrt(1 - u^2)),  u = -cos(pi d)
//	kappa = (w0^2 - 2 w^2)/(w0^2 - w^2)
func (g *Governor) OpenFractionSlope(speed float64) float64 {
	u := -math.Cos(math.Pi * g.OpenFraction(speed))
	return -4 * 2 * math.Pi * speed * g.Radius * g.kappa(speed) / (g.Gravity * math.Sqrt(1-u*u))
}

// BandLow gives the speed in turns a second below which the contact stays
// open all the turn; little damping. w^2 = wc^2 - g/(r kappa).
func (g *Governor) BandLow() float64 { return g.bandEdge(-1) }

// BandHigh gives the speed in turns a second above which the contact stays
// closed all the turn; little damping. w^2 = wc^2 + g/(r kappa).
func (g *Governor) BandHigh() float64 { return g.bandEdge(+1) }

func (g *Governor) bandEdge(side float64) float64 {
	n := g.ContactSpeed
	for range 100 {
		wc := 2 * math.Pi * g.ContactSpeed
		next := math.Sqrt(wc*wc+side*g.Gravity/(g.Radius*g.kappa(n))) / (2 * math.Pi)
		if math.Abs(next-n) < 1e-14*n {
			return next
		}
		n = next
	}
	return n
}

// BandWidth gives the width of the regulating band as a part of the speed, by
// its first-order form g/(w^2 r kappa).
func (g *Governor) BandWidth() float64 {
	w := 2 * math.Pi * g.ContactSpeed
	return g.Gravity / (w * w * g.Radius * g.kappa(g.ContactSpeed))
}

// RadiusFromPoints gives the product r kappa in m of a governor whose free
// contact is open for the part open1 of each turn at speed1, and open2 at
// speed2 (turns a second):
//
//	r kappa = g (u2 - u1)/(w1^2 - w2^2),  u = -cos(pi d)
func RadiusFromPoints(speed1, open1, speed2, open2 float64) float64 {
	w1, w2 := 2*math.Pi*speed1, 2*math.Pi*speed2
	return Gravity * (math.Cos(math.Pi*open1) - math.Cos(math.Pi*open2)) / (w1*w1 - w2*w2)
}

// ContactSpeedFromPoints gives the contact speed in turns a second of the
// same governor: wc^2 = w1^2 + g u1/(r kappa).
func ContactSpeedFromPoints(speed1, open1, speed2, open2 float64) float64 {
	w1 := 2 * math.Pi * speed1
	u1 := -math.Cos(math.Pi * open1)
	return math.Sqrt(w1*w1+Gravity*u1/RadiusFromPoints(speed1, open1, speed2, open2)) / (2 * math.Pi)
}

// ContactSpeedAt gives the turns a second at which the weight would rest at its
// contact without gravity, once the contact has been moved out by a way in m
// (inward when it is less than zero). There the leaf pulls more, on a longer
// radius:
//
//	nu^2 = (wc^2 r + w0^2 d)/(r + d)
func (g *Governor) ContactSpeedAt(out float64) float64 {
	_, c2, s2 := g.squares(0)
	return math.Sqrt((c2*g.Radius+s2*out)/(g.Radius+out)) / (2 * math.Pi)
}

func (g *Governor) kappa(speed float64) float64 {
	w2, _, s2 := g.squares(speed)
	return (s2 - 2*w2) / (s2 - w2)
}

func (g *Governor) squares(speed float64) (w2, contact2, spring2 float64) {
	const turn = 4 * math.Pi * math.Pi
	return turn * speed * speed, turn * g.ContactSpeed * g.ContactSpeed, turn * g.SpringFrequency * g.SpringFrequency
}

// weight is the governor with the products that its derivative needs.
type weight struct {
	Governor
	preload float64 // wc^2 r: pull of the spring at the contact, for each kg
	spring  float64 // w0^2
	damp    float64 // 2 zeta w0
	contact float64 // contact stiffness for each kg
	stop    float64 // outer stop's stiffness for each kg
	stopBy  float64 // its damping for each kg
}

func newWeight(g Governor) weight {
	_, c2, s2 := g.squares(0)
	return weight{
		Governor: g,
		preload:  c2 * g.Radius,
		spring:   s2,
		damp:     2 * g.Damping * math.Sqrt(s2),
		contact:  g.ContactStiffness / g.Weight,
		stop:     g.StopStiffness / g.Weight,
		stopBy:   g.StopDamping / g.Weight,
	}
}

// the force of the outer stop for each kg; also that of the axis, which a
// weight meets when its leaf is broken
func (g *weight) stopForce(past, v float64) float64 { return g.stop*past + g.stopBy*v }

func (g *weight) contactForce(s, v float64) float64 {
	return g.contact * s * max(0, 1+g.ContactLoss*v)
}

// innermost is how far inward a weight with a broken leaf falls, in m
func (g *weight) innermost() float64 { return -g.Radius / 2 }

// What can happen to a governor.
const (
	GovernorStuckOpen   Action = "governor contact stuck open"
	GovernorStuckClosed Action = "governor contact stuck closed"
	LeafBroken          Action = "governor leaf broken"
	ChangeLeaf          Action = "governor leaf slack" // by a part of its pull
	OnEnd               Action = "shaft on end"
	FreeGovernor        Action = "governor contact freed" // it works again
)

// governor is the governor at work.
type governor struct {
	weight
	shaft        *shaft
	travel, rate int // of the weight past its contact, m, and m/s

	governing  contact
	stopped    bool // the weight is at its outer stop
	fallen     bool // it is at the axis, its leaf broken
	leafBroken bool

	lost int
}

func (g *governor) copy() part { c := *g; return &c }

func (g *governor) set(how Setup) {
	g.Gravity = how.Pull()
	g.weight = newWeight(g.Governor)
}

func (g *governor) join(s *system) {
	g.shaft = s.shaft
	g.travel, g.rate = s.state("travel", 1e-4, true), s.state("rate", 1e-2, true)
	s.contact("governor contact", &g.governing)
	s.shows("weight travel", "mm", waveform.Quantity, g.travel, 1e3)
	g.lost = s.spends("governor")

	s.fault(GovernorStuckOpen, "The governor contact no longer makes, for dirt or a burnt point, so the resistor stays in the motor's field circuit.",
		func() { g.governing.stuck = stuckOpen })
	s.fault(GovernorStuckClosed, "The governor contact is welded, so the motor's field is always full.",
		func() { g.governing.stuck = stuckClosed })
	s.fault(LeafBroken, "The leaf that holds the governor weight is broken, and the weight flies out to its stop.",
		func() { g.leafBroken = true })
	s.act(action{
		what:     ChangeLeaf,
		sentence: "The pull of the governor's leaf has changed, by a slipped screw or a tired spring.",
		check: func(c Change) error {
			if c.Amount <= -1 {
				return fmt.Errorf("a leaf's pull cannot change by %g of itself", c.Amount)
			}
			return nil
		},
		do: func(_ *Simulation, c Change, _ []float64) { g.preload *= 1 + c.Amount },
	})
	s.fault(OnEnd, "The shaft stands on end, so that gravity no longer swings the governor's weight.",
		func() { g.Gravity = 0 })
	s.act(action{
		what:  FreeGovernor,
		lacks: func(Change) error { return fmt.Errorf("there is no governor contact to be freed") },
		do:    func(*Simulation, Change, []float64) { g.governing.stuck = works },
	})
}

// add adds the weight, with the torque that it puts on the shaft and its moment
// of inertia.
func (g *governor) add(x *instant, y, d []float64) {
	travel, rate := y[g.travel], y[g.rate]
	rho := g.Radius + travel
	a := x.w*x.w*rho + g.Gravity*x.cos - g.damp*rate
	if !g.leafBroken {
		a -= g.preload + g.spring*travel
	}
	if g.governing.touching {
		a -= g.contactForce(travel, rate)
	}
	if g.stopped {
		a -= g.stopForce(travel-g.StopTravel, rate)
	}
	if g.fallen {
		a -= g.stopForce(travel-g.innermost(), rate)
	}
	d[g.travel], d[g.rate] = rate, a
	moment := g.Weight * rho
	x.reaction += -moment * (g.Gravity*x.sin + 2*rate*x.w)
	x.inertia += moment * rho
}

func (g *governor) watch(y []float64, _ bool) []level {
	g.governing.touching = y[g.travel] > 0
	g.stopped = y[g.travel] > g.StopTravel
	g.fallen = g.leafBroken && y[g.travel] < g.innermost()
	at := func(level float64, above, off bool) ode.Guard {
		return ode.Guard{Coordinate: g.travel, Level: level, Above: above, Off: off}
	}
	return []level{
		{Guard: at(0, g.governing.touching, false),
			cross: func(float64, []float64, *ode.Guard) { g.governing.touching = !g.governing.touching }},
		{Guard: at(g.StopTravel, g.stopped, false),
			cross: func(float64, []float64, *ode.Guard) { g.stopped = !g.stopped }},
		{Guard: at(g.innermost(), !g.fallen, !g.leafBroken),
			cross: func(float64, []float64, *ode.Guard) { g.fallen = !g.fallen },
			off:   func() bool { return !g.leafBroken }},
	}
}

func (g *governor) rest(y []float64) { y[g.travel] = (g.Gravity - g.preload) / g.spring }

// ask guesses a weight off its contact, where it would balance.
func (g *governor) ask(e *estimate, y []float64) {
	switch {
	case !e.held:
		y[g.travel] = g.Offset(e.speed)
	case g.SpringFrequency > 1.2*e.speed:
		y[g.travel] = g.Offset(e.speed) - 1e-5
	}
}

// staying puts the weight where it would stay at a speed in turns a second.
func (g *governor) staying(speed float64, y []float64) {
	w := 2 * math.Pi * speed
	// above its own frequency the weight stays nowhere but at its stop
	y[g.travel] = g.StopTravel
	if stiff := g.spring - w*w; stiff > 0 {
		y[g.travel] = min(g.StopTravel, g.Offset(speed)+g.Gravity/stiff)
	}
}

func (g *governor) account(_ *instant, y, lines []float64) {
	travel, rate := y[g.travel], y[g.rate]
	lost := g.damp * rate
	if g.governing.touching {
		lost += g.contactForce(travel, rate) - g.contact*travel
	}
	if g.stopped || g.fallen {
		lost += g.stopBy * rate
	}
	lines[g.lost] += g.Weight * lost * rate
}

func (g *governor) stored(y []float64) float64 {
	w, travel, rate := y[g.shaft.speed], y[g.travel], y[g.rate]
	rho := g.Radius + travel
	m := rho*rho*w*w/2 + rate*rate/2 - g.Gravity*rho*math.Cos(y[g.shaft.angle])
	if !g.leafBroken {
		m += g.preload*travel + g.spring*travel*travel/2
	}
	if g.governing.touching {
		m += g.contact * travel * travel / 2
	}
	if g.stopped {
		m += g.stop * (travel - g.StopTravel) * (travel - g.StopTravel) / 2
	}
	if g.fallen {
		m += g.stop * (travel - g.innermost()) * (travel - g.innermost()) / 2
	}
	return g.Weight * m
}
