package machine_test

import (
	"math"
	"testing"

	"slipring/engine/machine"
)

// freeGovernor is a governor without contact force, its weight at a radius in
// m, on a leaf of a frequency in Hz.
func freeGovernor(radius, contact, spring, damping float64) machine.Governor {
	return machine.Governor{Radius: radius, ContactSpeed: contact, SpringFrequency: spring, Damping: damping, Gravity: machine.Gravity}
}

// The governor is a weight on a spring that turns, driven by gravity once a
// turn. Each of the three has its published problems: spring-loaded governors,
// centrifuges, forced vibrations, and the part of a cycle for which a sine is
// above a level.
func governorRows(t *testing.T) []published {
	const (
		centrifuge = "relative centrifugal force 1.118e-5 r n^2, r in cm, n in r/min (clinical laboratory practice)"
		turning    = "centrifugal acceleration at 3000 r/min and 10 cm (qammunity.org/7976110)"
		charger    = "A. S. Sedra and K. C. Smith, Microelectronic Circuits, diode that charges a battery (expertsmind.com)"
		hartnell   = "B. K. Sarkar, Theory of Machines, ill. 7.7"
		bevan      = "T. Bevan, The Theory of Machines, Ex. 4 p. 468"
		table      = "mass on a spring that turns on a table, 1 kg, 200 N/m, 0.5 m, 2 rad/s (byjus.com)"
	)
	const stiff = 1e7 // Hz: the leaf does not give, so kappa is 1

	// in Rao's vibration a leaf that turns at 10 rad/s has lost twice 100 1/s2 of
	// stiffness to the centrifugal pull and to inertia, one of which is in Rao's
	// k/m of 400: 500 1/s2 at rest; 2 zeta w0 = c/m = 2 1/s
	w0 := math.Sqrt(500)
	vibration := freeGovernor(1, 1, w0/(2*math.Pi), 1/w0)
	vibration.Gravity = 10
	// the other, 1 1/s2 with a damping ratio of 0.2, at 0.1 rad/s
	w1 := math.Sqrt(1.01)
	slow := freeGovernor(1, 1, w1/(2*math.Pi), 0.2/w1)
	slow.Gravity = 10.0 / 150

	// the charger: a swing of 24 with a level of 12, so that the weight's mean
	// place lies half a swing inside the contact
	half := machine.Governor{Radius: 0.012, SpringFrequency: 60, Gravity: machine.Gravity}
	w, s := 2*math.Pi*20.0, 2*math.Pi*60.0
	swing := half.Gravity / (s*s - 2*w*w)
	half.ContactSpeed = math.Sqrt(w*w+swing/2*(s*s-w*w)/half.Radius) / (2 * math.Pi)

	// Hartnell: 3 kg at 120 mm and 320 r/min; arms of 120 and 80 mm, so that
	// 20 kN/m at the sleeve are 20 (80/120)^2/2 kN/m at each ball, and 15 mm there
	// are 22.5 mm here
	sarkar := freeGovernor(0.120, 320/60.0, math.Sqrt(20e3*math.Pow(80/120.0, 2)/2/3)/(2*math.Pi), 0)
	// 5 lb at 5 in and 240 r/min; 7 in at 252; ball springs 1.5 lb/in (two, between
	// the balls, so that each ball feels four times that for each inch of its own),
	// and the answer's 23 lb/in through arms of 6 and 4 in
	inch := 0.0254
	perBall := 2*1.5*2 + 23*math.Pow(4/6.0, 2)/2 // lb/in
	ball := freeGovernor(5*inch, 4, math.Sqrt(perBall/5*9.80665/inch)/(2*math.Pi), 0)
	free := freeGovernor(0.5, 1e-9, math.Sqrt(200)/(2*math.Pi), 0)

	rcf := func(radius, rpm, gravity float64) float64 {
		g := freeGovernor(radius, rpm/60, stiff, 0)
		g.Gravity = gravity
		return 1 / g.BandWidth()
	}
	atTop := freeGovernor(0.1, 0, stiff, 0)
	once := 1 / math.Sqrt(1.118e-5*10) // r/min at which the pull equals gravity, 10 cm out
	triple := freeGovernor(0.1, math.Sqrt(3)*once/60, stiff, 0)
	return []published{
		{"B", turning, "times gravity", rcf(0.1, 3000, 9.807), 1006.382, 0.01, ""},
		{"A", centrifuge, "times gravity, 5 cm at 10,000 r/min", rcf(0.05, 10000, machine.Gravity), 5590, 2.5, ""},
		{"A", centrifuge, "r/min at which a weight stays out at the top", 60 * atTop.BandHigh(), once, 0.03, ""},
		{"A", centrifuge, "r/min at which a weight held by three times gravity stays in at the bottom", 60 * triple.BandLow(), math.Sqrt2 * once, 0.04, ""},
		{"A", charger, "part of the cycle below the level", half.OpenFraction(20), 2.0 / 3, 1e-9, ""},
		{"A", charger, "part of the turn open, simulated", openSimulated(t, half), 2.0 / 3, 1e-4, ""},
		{"M", rao, "m of a weight's swing", vibration.Amplitude(10 / (2 * math.Pi)), 0.03326, 5e-6, ""},
		{"M", rao, "m of a weight's swing, simulated", swingSimulated(t, vibration, 10/(2*math.Pi)), 0.03326, 5e-6, ""},
		{"B", exam, "m of a weight's swing", slow.Amplitude(0.1 / (2 * math.Pi)), 0.07, 0.005, twoFigures},
		// travel follows from the difference of two squares of speed, 5 % apart: for
		// a thousandth of it a book would have to print its speed to six figures
		{"C", hartnell, "mm of ball travel at 327.9 r/min", 1e3 * sarkar.Offset(327.9/60), 22.5, 0.3, "speeds are printed to four figures"},
		{"C", bevan, "in of ball travel at 252 r/min", ball.Offset(252/60.0) / inch, 2, 0.02, "the spring is printed to two figures"},
		{"B", table, "cm", 100 * free.Offset(2/(2*math.Pi)), 1, 0.03, "the page leaves m w^2 out beside k"},
	}
}

// turned makes a free governor alone on a shaft held at a speed in turns/s.
func turned(t *testing.T, g machine.Governor, speed float64) *machine.Simulation {
	t.Helper()
	k := constant
	c := parts(machine.Card{Name: "governor"}, map[string]given{"shaft": plainShaft(1, 0), "governor": {
		"radius": k(g.Radius, "m"), "contact-speed": k(g.ContactSpeed, "Hz"), "spring-frequency": k(g.SpringFrequency, "Hz"),
		"damping": k(g.Damping, "1"), "weight": k(0.01, "kg"), "contact-stiffness": k(0, "N/m"), "contact-loss": k(0, "s/m"),
		"stop-travel": k(10, "m"), "stop-stiffness": k(1, "N/m"), "stop-damping": k(0, "N s/m")}})
	return settled(t, c, machine.Setup{HeldSpeed: speed, Gravity: g.Gravity, RelTol: 1e-10}, machine.Load{})
}

// openSimulated is the open fraction of a governor's contact at 20 turns/s.
func openSimulated(t *testing.T, g machine.Governor) float64 {
	t.Helper()
	g.Damping = 0.003 // enough to settle; it changes the swing by less than 1e-5
	sum, err := turned(t, g, 20).Measure()
	if err != nil {
		t.Fatal(err)
	}
	return sum.OpenFraction
}

// swingSimulated is the amplitude in m of a weight's swing at a speed in turns/s.
func swingSimulated(t *testing.T, g machine.Governor, speed float64) float64 {
	t.Helper()
	g.ContactSpeed = speed
	set, err := record(t, turned(t, g, speed), 21/speed, "weight travel").Turns(20)
	if err != nil {
		t.Fatal(err)
	}
	h, err := set.Signals[0].Harmonics(20, 1)
	if err != nil {
		t.Fatal(err)
	}
	return h.Amplitude[1] / 1e3
}

// The fuse warms as a machine does under a steady load, or a wire in a thermal
// relay: with one time constant, towards the square of its current.
func fuseRows(t *testing.T) []published {
	const (
		gupta    = "B. R. Gupta and V. Singhal, Fundamentals of Electric Drives and Control, "
		elements = "C. P. Steinmetz, Theoretical Elements of Electrical Engineering, 4th ed., section 6, par. 30"
		relay    = "thermal relay at 1.5 times its current, set to 101 % (commissioning manual of a maker of relays, 10.4.5)"
	)
	// a rise of a part of the final one, for each minute of a time constant
	rise := func(constant, part float64) float64 {
		f := machine.Fuse{MeltingCurrent: math.Sqrt(part), TimeConstant: constant}
		return f.MeltingTime(1)
	}
	heat, blown := stalledFuse(t, 57.71, 0.5)
	return []published{
		{"C", gupta + "Ex. 4.1", "min to 30 of 60 C, 57.71 min", rise(57.71, 30/60.0), 40, 0.02, ""},
		{"C", gupta + "Ex. 4.1", "min to 45 of 60 C", rise(57.71, 45/60.0), 80, 0.04, ""},
		{"C", gupta + "Ex. 4.1", "to 30 of 60 C, simulated to the melting", blown, 40, 0.02, ""},
		{"C", gupta + "Ex. 4.2", "min to 20 of 40 C, 43.28 min", rise(43.28, 20/40.0), 30, 0.02, ""},
		{"C", gupta + "Ex. 4.2", "min to 30 of 40 C", rise(43.28, 30/40.0), 60, 0.03, ""},
		{"A", elements, "part of the heat after one time constant, simulated", heat, 1 - 0.368, 5e-4, ""},
		{"A", relay, "time constants", rise(1, 1.01*1.01/(1.5*1.5)), 0.60, 0.005, twoFigures},
	}
}

// stalledFuse puts a motor that cannot turn on a battery, through a fuse with a
// time constant in s whose melting heat is a part of what it tends to. It gives
// the part of that heat after one time constant (in a fuse that holds), and the
// time in s after which the fuse has melted.
func stalledFuse(t *testing.T, seconds, part float64) (heat, melts float64) {
	t.Helper()
	const amps = 100
	run := func(rating float64) *machine.Simulation {
		c := set(set(textbookCard(1, amps, 1e-12), "shaft.inertia", 1e12), "motor.armature-inductance", 1000)
		c = parts(c, map[string]given{"fuse": {"melting-current": constant(rating, "A"), "time-constant": constant(seconds, "s")}})
		sim, err := machine.NewIn(c, machine.Setup{AtRest: true}, machine.Load{},
			map[string]float64{"motor armature current": amps, "motor field current": amps / 50.0}) // what its resistances allow
		if err != nil {
			t.Fatal(err)
		}
		return sim
	}
	heats := record(t, run(2*amps), seconds, "fuse heat").Signals[0]
	current := record(t, run(amps*math.Sqrt(part)), seconds, "armature current").Signals[0]
	return last(heats) / (amps * amps), passes(current, amps/2)
}

// Losses: air drag by the cube of the speed, hysteresis and eddy currents by
// the first and second power of the frequency, and a machine that runs down.
func lossRows(t *testing.T) []published {
	const (
		// the problem and equation (3-25) were read on p. 50; the answer stands on the
		// next page, which was not
		pump        = "DOE-HDBK-1012/3, Thermodynamics, Heat Transfer and Fluid Flow, module 3, p. 50, pump laws"
		transformer = "220/115 V, 25 Hz transformer on 440 V and 50 Hz (a textbook's single-phase transformers, Ex. 7.38)"
		bakshi      = "U. A. and M. V. Bakshi, DC Machines and Synchronous Machines, Ex. 3.19"
	)
	w := func(rpm float64) float64 { return 2 * math.Pi * rpm / 60 }
	fan := machine.Shaft{Windage: 45 / math.Pow(w(1800), 3)}
	iron := machine.Iron{Hysteresis: 100 / w(25*60), Eddy: 100 / math.Pow(w(25*60), 2), Reference: 1}
	runs := func(shaft, core, load float64) float64 {
		return runsDown(t, 74.89, shaft/w(1000), core/w(1000), load/w(1000))
	}
	return []published{
		{"C", pump, "kW at 3600 r/min, of 45 at 1800", fan.LossTorque(60) * w(3600), 360, 0.2, ""},
		{"C", transformer, "W of 100 and 100 at 25 Hz", iron.LossTorque(1, 50) * w(50*60), 600, 0.3, ""},
		{"C", bakshi, "s from 1030 to 970 r/min, field off", runs(1368.75, 0, 0), 36, 0.02, ""},
		{"C", bakshi, "s from 1030 to 970 r/min, field on", runs(1368.75, 1916.25, 0), 15, 0.008, ""},
		{"C", bakshi, "s from 1030 to 970 r/min, with 219 V and 10 A of load", runs(1368.75, 1916.25, 219*10), 9, 0.005, ""},
	}
}

// runsDown gives the time in s in which a machine of an inertia in kg m2 falls
// from 1030 to 970 r/min by itself: with a friction torque, a hysteresis torque
// of its iron and a load, all in N m.
func runsDown(t *testing.T, inertia, friction, hysteresis, load float64) float64 {
	t.Helper()
	field := machine.Magnetization{Residual: 1, Slope: 1e-9, Saturation: 1e9, Sharpness: 2, Linkage: 1e-9, Leakage: 1e7}
	c := set(generatorAlone(plainShaft(inertia, friction), field, 1e6), "generator.iron-hysteresis", hysteresis) // its current is nil
	sim := coasting(t, c, false, 1030/60.0, 0, machine.Load{Torque: load})
	return passes(record(t, sim, 40, "speed").Signals[0], 970/60.0)
}

// The winding of a tone wheel: an alternator's electromotive force, and what a
// winding with resistance and inductance leaves of it at a load.
func toneRows(*testing.T) []published {
	const (
		elements = "C. P. Steinmetz, Theoretical Elements of Electrical Engineering, 4th ed., "
		theraja  = "B. L. and A. K. Theraja, A Textbook of Electrical Technology, Vol. II, Ex. 37."
	)
	// one turn in 6.4 megalines a pole, 20 poles
	turn := machine.Tone{Teeth: 10, LinkageSlope: 0.064, ExcitingCurrent: 1}
	// 10 conductors in each of 144 slots, three phases, so 240 turns; 0.03 Wb a
	// pole, distribution factor 0.96, 16 poles
	phase := machine.Tone{Teeth: 8, LinkageSlope: 240 * 0.96, ExcitingCurrent: 0.03}
	// 54 slots with 8 conductors, three phases: 72 turns; 0.1 Wb, factors 0.98 and 0.96, 6 poles
	other := machine.Tone{Teeth: 3, LinkageSlope: 72 * 0.98 * 0.96, ExcitingCurrent: 0.1}
	const rounded = math.Pi * math.Sqrt2 / 4.44 // the transcription has 4.44 for sqrt(2) pi
	// a line of 7.60 ohm and 4.35 ohm at 33.3 cycles that carries 62 A (crest) to
	// 4500 V, losing 472 and 272 V; 4980 V at its head
	line := machine.Tone{Teeth: 10, LinkageSlope: 4980 / (2 * math.Pi * 33.3), ExcitingCurrent: 1,
		WindingResistance: 472 / 62.0, WindingInductance: 272 / 62.0 / (2 * math.Pi * 33.3), LoadResistance: 4500 / 62.0}
	return []published{
		{"A", elements + "section 3, par. 19", "V at the crest of one turn", math.Sqrt2 * turn.OpenVoltage(200/60.0), 13.4, 0.05, threeFigure},
		{"A", elements + "section 7, par. 38", "V at the crest at the head of a line", math.Sqrt2 * line.OpenVoltage(3.33), 4980, 1, ""},
		{"A", elements + "section 7, par. 38", "V at the crest at its load", math.Sqrt2 * line.Voltage(3.33), 4500, 1.5, ""},
		{"C", theraja + "6", "V of a phase", phase.OpenVoltage(375 / 60.0), 1534.464 * rounded, 0.05, ""},
		{"C", theraja + "7", "V of a phase", other.OpenVoltage(1200 / 60.0), 1804.529664 * rounded, 0.05, ""},
	}
}
