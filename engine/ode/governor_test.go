package ode

import "math"

// The reference problem: a shunt motor whose field resistor is shorted by the
// contact of a leaf-spring weight on its shaft. Its figures are invented. The
// weight passes the contact plane some forty times a second and often grazes
// it, which is what makes the problem hard.
const (
	gArmature = iota // A
	gField           // A
	gSpeed           // rad/s
	gAngle           // rad
	gTravel          // m, outward
	gVelocity        // m/s
	gDim
)

const contactPlane = 0.8e-3 // m

type governor struct {
	closed bool
	events int
}

func (g *governor) derivative(_ float64, y, dydt []float64) {
	const (
		supply          = 48.0  // V
		armature        = 0.5   // ohm
		armatureL       = 4e-3  // H
		field           = 60.0  // ohm
		resistor        = 43.0  // ohm, in the field circuit while the contact is open
		fieldL          = 20.0  // H
		inertia         = 0.08  // kg m2
		viscous         = 5e-4  // N m s
		friction        = 0.15  // N m
		mass            = 0.020 // kg
		radius          = 12e-3 // m
		natural         = 2 * math.Pi * 60
		setting         = 2 * math.Pi * 20.3
		ratio           = 0.02
		dashpot         = 0.05 // N s/m, only while closed
		gravity         = 9.81
		preload         = natural*natural*contactPlane - setting*setting*(radius+contactPlane) // m/s2
		linkage, half   = 0.469, 0.15
		twoRatioNatural = 2 * ratio * natural
		naturalSquared  = natural * natural
		dashpotUnitMass = dashpot / mass
	)
	y = y[:gDim]
	dydt = dydt[:gDim]
	k := linkage * y[gField] / (half + y[gField])
	r := field
	w := y[gSpeed]
	v := y[gVelocity]
	a := w*w*(radius+y[gTravel]) - naturalSquared*y[gTravel] + preload - twoRatioNatural*v + gravity*math.Cos(y[gAngle])
	if g.closed {
		a -= dashpotUnitMass * v
	} else {
		r += resistor
	}
	dydt[gArmature] = (supply - armature*y[gArmature] - k*w) / armatureL
	dydt[gField] = (supply - r*y[gField]) / fieldL
	dydt[gSpeed] = (k*y[gArmature] - friction - viscous*w) / inertia
	dydt[gAngle] = w
	dydt[gTravel] = v
	dydt[gVelocity] = a
}

func (g *governor) problem() Problem {
	return Problem{
		Dim:        gDim,
		Derivative: g.derivative,
		Scale:      []float64{1, 0.1, 1, 1, 1e-4, 1e-2},
		Guards:     []Guard{{Coordinate: gTravel, Level: contactPlane}},
		Crossing: func(_ int, _ float64, _ []float64, guards []Guard) bool {
			g.closed = guards[0].Above
			g.events++
			return false
		},
	}
}

func (g *governor) start(s *Solver) {
	g.closed, g.events = false, 0
	s.Start(0, []float64{5, 0.5, 2 * math.Pi * 20, 0, 0.7e-3, 0})
}
