package machine_test

import (
	"math"
	"testing"

	"slipring/engine/machine"
)

// The forced vibration of a mass of 10 kg on 4000 N/m and 20 N s/m, driven by
// 100 N at 10 rad/s (S. S. Rao, Mechanical Vibrations, Ex. 3.3; from memory),
// and of an undamped one at a tenth of its frequency, 10 N on 150 N/m with a
// damping ratio of 0.2 (a question of an examination, read on a page that gives
// the answer as a choice of 0.05, 0.07, 0.70 and 0.90 m).
const (
	rao  = "S. S. Rao, Mechanical Vibrations, Ex. 3.3"
	exam = "examination question on 10 N and 150 N/m (adapala-academy.com/forum/939)"
)

func regulatorRows(t *testing.T) []published {
	const control = "C. P. Steinmetz, Theory and Calculation of Transient Electric Phenomena and Oscillations, Sect. II ch. II, par. "
	const coil = "single-coil system L = 2 + 10 x - 250 x^2 at 2 A on 100 N/m (homeworksource.com/1092941)"
	// par. 7: 0.15 s with the resistance shorted and 0.05 s with it in circuit.
	// Of its two equations (7) the second, 3.91 (1 + 0.391 e^...), meets the
	// terminal conditions (1) and is used; the first, with 0.128, does not. Nor is
	// (11) used, which leaves the transient terms of (9) out.
	shut, open := shortedField(t, 0.15, 0.05)
	// par. 8: the greatest variation, with both times alike. Equation (23),
	// r1 t0/(4 L), leaves out terms of the next order in t0: 0.15 % of it at 0.2 s
	const order = "equation (23) leaves out the next order in the time"
	r := machine.Regulator{Mass: 10, Weight: 100, Spring: 4000, Damping: 20}
	tenth := machine.Regulator{Mass: 150, Weight: 10, Spring: 150, Damping: 2 * 0.2 * 150}
	return []published{
		{"A", control + "7", "A when the resistance comes into circuit", shut, 3.91 * 1.391, 0.0028, ""},
		{"A", control + "7, conditions (1)", "A when it is shorted again, from the same equation", open, 3.91 * (1 + 0.391*math.Exp(-0.16*0.05)), 0.0028, ""},
		{"A", control + "8", "% variation of the current, 5 times a second", 100 * shortedFieldSwing(t, 0.2), 0.3, 0.0006, order},
		{"A", control + "8", "% variation of the current, every 2/3 s", 100 * shortedFieldSwing(t, 2/3.0), 1, 0.006, order},
		{"A", control + "8, equation (23)", "% variation of the current, 50 times a second", 100 * shortedFieldSwing(t, 0.02), 100 * 24 * 0.02 / (4 * 400), 1e-5, ""},
		// the page balances 2 (10 - 500 x) N against 100 x, so x = 10/550; a coil with
		// the straight part of that inductance does so on 1100 N/m
		{"B", coil, "m of plunger travel", plungerAt(t, 2, 10, 1100, 1e-9), 10 / 550.0, 1e-5, ""},
		{"M", rao, "m of a plunger's ripple", r.Dither(10/(4*math.Pi), 0), 0.03326, 5e-6, ""},
		{"B", exam, "m of a plunger's ripple", tenth.Dither(0.1/(4*math.Pi), 0), 0.07, 0.005, twoFigures},
	}
}

// regulated is a generator whose armature makes a constant voltage at 20 turns
// a second, with a regulator on its brushes whose contact the test works.
func regulated(volts, winding, resistor, henry float64) machine.Card {
	k := constant
	c := generatorAlone(plainShaft(1, 0), machine.Magnetization{}, 1)
	return parts(c, map[string]given{"generator": straightField(winding, resistor, henry, volts/(2*math.Pi*20), 1e-12), "regulator": {
		"coil-resistance": k(1e4, "ohm"), "coil-inductance": k(2, "H"), "coil-inductance-slope": k(1, "H/m"),
		"plunger-mass": k(0.05, "kg"), "plunger-weight": k(0.5, "N"), "spring-stiffness": k(70, "N/m"), "damping": k(3, "N s/m"),
		"contact-stiffness": k(300, "N/m"), "contact-loss": k(0, "s/m"), "contact-hysteresis": k(0, "m"),
		"stop-travel": k(0.1, "m"), "stop-stiffness": k(3000, "N/m"), "stop-loss": k(0, "s/m"),
	}})
}

// shortedField runs the exciter field of the book, 40 ohm with 24 ohm that a
// contact shorts, 400 H, 250 V, for two minutes with the contact shut and open
// for the given times in s. It gives the current in A at the end of each.
func shortedField(t *testing.T, shut, open float64) (atOpening, atClosing float64) {
	t.Helper()
	sim, err := machine.NewIn(regulated(250, 40, 24, 400), machine.Setup{HeldSpeed: 20, CoilOnBrushes: true}, machine.Load{},
		map[string]float64{"shaft speed": 2 * math.Pi * 20, "generator field current": 5.4})
	if err != nil {
		t.Fatal(err)
	}
	cycles := int(120 / (shut + open))
	var plan []machine.Change
	for i := range cycles {
		at := float64(i) * (shut + open)
		plan = append(plan, machine.Change{At: at, What: machine.RegulatorWelded},
			machine.Change{At: at + shut, What: machine.RegulatorStuckOpen})
	}
	if err := sim.Plan(plan...); err != nil {
		t.Fatal(err)
	}
	current := func(until float64) float64 {
		if err := sim.Advance(until - sim.Time()); err != nil {
			t.Fatal(err)
		}
		return sim.State("generator field current")
	}
	last := float64(cycles-1) * (shut + open)
	return current(last + shut), current(last + shut + open)
}

// shortedFieldSwing gives by which part of itself that current swings with the
// contact shut for half of a time in s and open for the other half.
func shortedFieldSwing(t *testing.T, cycle float64) float64 {
	high, low := shortedField(t, cycle/2, cycle/2)
	return high/low - 1
}

// plungerAt gives where in m the plunger of a regulator comes to rest, its coil
// of a slope in H/m fed with a current in A, on a spring in N/m, with a weight in N.
func plungerAt(t *testing.T, amps, slope, spring, weight float64) float64 {
	t.Helper()
	c := regulated(10*amps, 40, 24, 400)
	for name, value := range map[string]float64{"coil-resistance": 10, "coil-inductance-slope": slope, "spring-stiffness": spring,
		"plunger-weight": weight, "plunger-mass": 1, "damping": 30} {
		c = set(c, "regulator."+name, value)
	}
	sim, err := machine.NewIn(c, machine.Setup{HeldSpeed: 20, CoilOnBrushes: true}, machine.Load{}, map[string]float64{"shaft speed": 2 * math.Pi * 20})
	if err != nil {
		t.Fatal(err)
	}
	return last(record(t, sim, 10, "plunger travel").Signals[0]) / 1e3
}
