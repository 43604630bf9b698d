package machine_test

import (
	"math"
	"testing"

	"slipring/engine/machine"
	"slipring/engine/waveform"
)

const steinmetz = "C. P. Steinmetz, Theory and Calculation of Transient Electric Phenomena and Oscillations, Sect. I ch. III, "

// froehlich is the field of a self-excited machine in the terms of the book:
// megalines for each ampere at low density, b, volts for each megaline at 20
// turns a second, and field turns.
func froehlich(phi, b, ec, turns float64) machine.Magnetization {
	w := 2 * math.Pi * 20
	return machine.Magnetization{Slope: ec * phi / w, Saturation: 1 / b, Sharpness: 1,
		Linkage: turns * 0.01 / ec * w, Leakage: 1e-9}
}

// shunt is the machine of par. 24, series that of par. 25. In the book both obey
// one equation: what the armature makes goes into its field's circuit.
func shunt() machine.Magnetization  { return froehlich(4.69, 0.125, 20, 18000) }
func series() machine.Magnetization { return froehlich(0.15, 0.01, 60, 160) }

// piecewise is the curve through points (field current, volts), straight
// between them.
func piecewise(points [][2]float64) func(float64) float64 {
	return func(i float64) float64 {
		for k := 1; k < len(points); k++ {
			a, b := points[k-1], points[k]
			if i <= b[0] || k == len(points)-1 {
				return a[1] + (b[1]-a[1])*(i-a[0])/(b[0]-a[0])
			}
		}
		return 0
	}
}

func generatorRows(*testing.T) []published {
	const circuits = "C. P. Steinmetz, Theory and Calculation of Electric Circuits, ch. III, pp. 46"
	f, s := shunt(), series()
	// a line of reluctivity, in thousandths a + sigma H: what B comes to
	saturated := func(a, sigma float64) float64 {
		m := machine.Magnetization{Slope: 1000 / a, Saturation: a / sigma, Sharpness: 1}
		return m.Constant(1e9)
	}
	occ := piecewise([][2]float64{{0, 10}, {1, 90}, {2, 170}, {3, 217.5}, {4, 251}, {5, 272.5}, {6, 281}})
	tangent := machine.Magnetization{Slope: 159 * 60 / (2 * math.Pi * 1000), Saturation: 1e9}
	return []published{
		{"A", steinmetz + "par. 24", "critical ohm", f.CriticalResistance(20), 93.8, 0.05, ""},
		{"A", steinmetz + "par. 24", "critical V for each megaline", 20 * f.CriticalSpeed(62.5) / 20, 13.3, 0.05, threeFigure},
		{"A", steinmetz + "par. 25", "critical V for each megaline", 60 * s.CriticalSpeed(3) / 20, 20, 0.01, ""},
		{"A", steinmetz + "par. 25", "critical V for each megaline, short-circuited", 60 * s.CriticalSpeed(0.24) / 20, 1.6, 0.001, ""},
		{"A", steinmetz + "par. 25", "V, short-circuited", s.BuildsUpTo(20, 0.24), 876, 0.5, ""},
		// 600 V on 3 ohm
		{"A", steinmetz + "par. 25", "A for 600 V", s.CurrentFor(600 / (2 * math.Pi * 20)), 200, 0.05, ""},
		{"A", circuits, "lines a cm2 at most, H up to 18", saturated(0.102, 0.059), 16950, 5, ""},
		{"A", circuits, "lines a cm2 at most, H up to 80", saturated(0.18, 0.0548), 18250, 5, ""},
		{"A", circuits, "lines a cm2 at most", saturated(0.70, 0.0477), 20960, 5, ""},
		// read by the author on a graph, of which the table holds seven points
		{"B", "R. K. Srivastava, Electrical Machines, Cengage 2011, Ex. 4.11", "V at 50 ohm", machine.LineCrossing(occ, 50, 6), 277.17, 0.1, ""},
		// 105 and 159 V at 1 A were read by the authors on a graph
		{"B", "U. A. and M. V. Bakshi, DC Machines and Synchronous Machines, Ex. 1.13", "r/min at which 105 ohm is critical",
			60 * tangent.CriticalSpeed(105), 660.38, 0.05, ""},
	}
}

func frequencyRows(*testing.T) []published {
	tone := func(teeth float64) *machine.Tone {
		return &machine.Tone{Teeth: teeth, LinkageSlope: 1, ExcitingCurrent: 1, LoadResistance: 1}
	}
	return []published{
		{"A", "caption of an inductor alternator with 300 teeth, Wikimedia Commons", "Hz at 20,000 r/min",
			tone(300).Frequency(20000 / 60.0), 100000, 1, ""},
		{"C", "C. I. Hubert, Electric Machines, Ex. 1.8", "Hz of 40 cycles a turn at 20 turns/s", tone(40).Frequency(20), 800, 0.1, ""},
		{"C", "B. L. and A. K. Theraja, A Textbook of Electrical Technology, Vol. II, Ex. 37.6", "Hz of 8 cycles a turn at 375 r/min",
			machine.Frequency(8, 375/60.0), 50, 0.01, ""},
	}
}

// Motors in step with the mains, simulated, and the torque of a cage.
func mainsRows(t *testing.T) []published {
	const (
		neets   = "NEETS Module 5 (NAVEDTRA 14177), p. 3-14"
		theraja = "B. L. and A. K. Theraja, A Textbook of Electrical Technology, Vol. II, Ex. 34.12"
	)
	card := func(hertz, pairs, pullOut, slip float64) machine.Card {
		return parts(machine.Card{Name: "mains"}, map[string]given{"shaft": plainShaft(0.04, 0.2), "ac-motor": acMotor(hertz, pairs, 6, pullOut, slip)})
	}
	inStep := func(hertz, pairs float64) float64 {
		return 60 * measured(t, card(hertz, pairs, 6, 0.12), machine.Setup{}, machine.Load{Torque: 1}).Frequency
	}
	// 8 poles at 50 Hz, 150 kg m at most, at 660 r/min
	cage := model[machine.ACMotor](card(50, 4, 150, 0.12), "ac-motor")
	return []published{
		{"A", neets, "r/min of 4 poles at 60 Hz", inStep(60, 2), 1800, 1, ""},
		{"A", neets, "r/min of 6 poles at 25 Hz", inStep(25, 3), 500, 0.1, ""},
		{"A", neets, "r/min of 12 poles at 400 Hz", inStep(400, 6), 4000, 1, ""},
		{"C", theraja, "kg m at a slip of 0.04", cage.Torque(0.96 * cage.Synchronous), 90, 0.05, ""},
	}
}

// acMotor is a motor on mains of a frequency in Hz, with torques in N m.
func acMotor(hertz, pairs, inStep, pullOut, slip float64) given {
	k := constant
	return given{"supply-frequency": k(hertz, "Hz"), "pole-pairs": k(pairs, "1"), "synchronous-torque": k(inStep, "N m"),
		"pull-out-torque": k(pullOut, "N m"), "pull-out-slip": k(slip, "1")}
}

// A field winding alone, as the motor of a set that stands still with its
// armature open: the current in A after so many seconds on a voltage.
func fieldAfter(t *testing.T, volts, ohm, henry, from, seconds float64) float64 {
	t.Helper()
	c := set(set(textbookCard(1, volts, 1e-9), "motor.field-resistance", ohm), "motor.field-leakage-inductance", henry)
	sim, err := machine.NewIn(c, machine.Setup{AtRest: true}, machine.Load{}, map[string]float64{"motor field current": from})
	if err != nil {
		t.Fatal(err)
	}
	if err := sim.Plan(machine.Change{What: machine.MotorBrushLifted}); err != nil {
		t.Fatal(err)
	}
	if err := sim.Advance(seconds); err != nil {
		t.Fatal(err)
	}
	return sim.State("motor field current")
}

// generatorAlone is a generator on a shaft, with a field of a resistance in ohm.
func generatorAlone(shaft given, f machine.Magnetization, ohm float64) machine.Card {
	k := constant
	return parts(machine.Card{Name: "generator"}, map[string]given{
		"shaft": shaft,
		"generator": joined(given{
			"armature-resistance": k(1e-9, "ohm"), "armature-inductance": k(0, "H"), "field-resistance": k(ohm, "ohm"),
			"field-linkage": k(f.Linkage, "1"), "field-leakage-inductance": k(f.Leakage, "H"),
			"residual-constant": k(f.Residual, "V s"), "constant-slope": k(f.Slope, "V s/A"),
			"saturation-current": k(f.Saturation, "A"), "saturation-sharpness": k(f.Sharpness, "1"),
		}, noIron()),
	})
}

// coasting begins a run of a generator alone: at a speed in turns/s, with a
// field current in A, its shaft held, or left to its friction by a motor whose
// switch opens at once.
func coasting(t *testing.T, c machine.Card, hold bool, speed, current float64, load machine.Load) *machine.Simulation {
	t.Helper()
	how := machine.Setup{}
	if hold {
		how.HeldSpeed = speed
	} else {
		c = parts(c, map[string]given{"ac-motor": acMotor(60, 3, 0, 1, 0.1)})
	}
	sim, err := machine.NewIn(c, how, load, map[string]float64{"shaft speed": 2 * math.Pi * speed, "generator field current": current})
	if err != nil {
		t.Fatal(err)
	}
	if !hold {
		if err := sim.Plan(machine.Change{What: machine.OpenSwitch}); err != nil {
			t.Fatal(err)
		}
	}
	return sim
}

// Transients, all by running the simulation.
func transientRows(t *testing.T) []published {
	const bird = "J. Bird, Electrical and Electronic Principles and Technology, ch. 18, Problem "
	const elements = "C. P. Steinmetz, Theoretical Elements of Electrical Engineering, 4th ed., section 6, "
	// par. 22: 250 V on 62.5 ohm and 562.5 H; then 31.25 ohm and 140.6 H
	slow := func(seconds float64) float64 { return fieldAfter(t, 250, 62.5, 562.5, 0, seconds) / 4 }
	quick := func(seconds float64) float64 { return fieldAfter(t, 250, 31.25, 140.6, 0, seconds) / 8 }
	load := func(seconds float64) float64 { return fieldAfter(t, 125, 0.125, 0.000125, 0, seconds) }
	coil := func(seconds float64) float64 { return fieldAfter(t, 1e-9, 0.002, 0.000005, 90, seconds) }
	rows := []published{
		{"A", steinmetz + "par. 22", "part after 6.23 s", slow(6.23), 0.5, 0.002, slideRule},
		{"A", steinmetz + "par. 22", "part after 20.8 s", slow(20.8), 0.9, 0.002, slideRule},
		{"A", steinmetz + "par. 22, reconnected", "part after 3.11 s", quick(3.11), 0.5, 0.002, slideRule},
		{"A", steinmetz + "par. 22, reconnected", "part after 10.4 s", quick(10.4), 0.9, 0.002, slideRule},
		{"A", steinmetz + "par. 21", "A after 0.00069 s", load(0.00069), 500, 3, twoFigures},
		{"A", steinmetz + "par. 21", "A after 0.0023 s", load(0.0023), 900, 1, twoFigures},
		{"A", elements + "par. 32", "A after 2.34 s", fieldAfter(t, 6.95*33.2, 33.2, 112, 0, 2.34), 6.95 / 2, 0.009, threeFigure},
		{"A", elements + "par. 33", "A after 0.00576 s", coil(0.00576), 9, 0.015, threeFigure},
		{"C", bird + "10", "A after 0.3 s", fieldAfter(t, 120, 15, 3, 0, 0.3), 6.215, 0.0005, ""},
		{"C", bird + "10", "V across the inductance after 0.1 s", 120 - 15*fieldAfter(t, 120, 15, 3, 0, 0.1), 72.78, 0.005, ""},
		{"C", bird + "10", "A after 0.379 s", fieldAfter(t, 120, 15, 3, 0, 0.379), 0.85 * 8, 0.004, ""},
		{"C", bird + "12", "A 1 s after the supply is gone", fieldAfter(t, 1e-9, 20, 6, 6, 1), 0.214, 0.0005, threeFigure},
		{"C", bird + "12", "A after 0.691 s", fieldAfter(t, 1e-9, 20, 6, 6, 0.691), 0.6, 0.001, threeFigure},
	}

	// par. 23: the machine stops uniformly in 40 s, its field on its own
	// armature, with straight iron (562.5 H) at the critical resistance; a heavy
	// shaft, so that nothing but dry friction stops it
	straight := machine.Magnetization{Slope: 62.5 / (2 * math.Pi * 20), Saturation: 1e9, Sharpness: 2, Linkage: 1e-9, Leakage: 562.5}
	heavy := plainShaft(1e7, 1e7*2*math.Pi*20/40)
	fade := record(t, coasting(t, generatorAlone(heavy, straight, 62.5), false, 20, 4, machine.Load{}), 42, "generator field current").Signals[0]
	rows = append(rows, []published{
		{"A", steinmetz + "par. 23", "A after 40 s", fade.At(40), 0.436, 0.00436, slideRule},
		{"A", steinmetz + "par. 23", "s to one half", passes(fade, 2), 22.15, 0.2215, slideRule},
		{"A", steinmetz + "par. 23", "s to one tenth", passes(fade, 0.4), 40.73, 0.4073, slideRule},
	}...)

	// par. 24 and 25: a machine builds up from a residual of 10 V, or 60 V; its
	// field is on its armature
	builds := func(f machine.Magnetization, ohm, from, seconds float64) waveform.Signal {
		sim := coasting(t, generatorAlone(plainShaft(1, 0), f, ohm), true, 20, f.CurrentFor(from/(2*math.Pi*20)), machine.Load{})
		return record(t, sim, seconds, "commutator voltage").Signals[0]
	}
	for _, p := range []struct {
		what               string
		volts, ohm, within float64
		seconds            float64
	}{
		{"s to half excitation", 300, 3, 0.0005, 0.072},
		{"s to 0.9 excitation", 540, 3, 0.0005, 0.117},
		{"s to 300 V, short-circuited", 300, 0.24, 0.0005, 0.044},
	} {
		rise := builds(series(), p.ohm, 60, 0.2)
		rows = append(rows, published{"A", steinmetz + "par. 25", p.what, passes(rise, p.volts), p.seconds, p.within, twoFigures})
	}
	// par. 24 prints an equation alone, (38), with coefficients of slide-rule
	// accuracy; these times are reckoned from it here
	rise := builds(shunt(), 62.5, 10, 160)
	for _, volts := range []float64{50, 100, 200, 240} {
		seconds := 26.8*math.Log(volts) - 17.9*math.Log(31.25-0.125*volts) - 0.8
		rows = append(rows, published{"C", steinmetz + "par. 24, equation (38)", "s to build up", passes(rise, volts), seconds, 0.012 * seconds, slideRule})
	}
	return rows
}

// passes gives the time at which a signal first passes a level, straight
// between its samples.
func passes(g waveform.Signal, level float64) float64 {
	for i := 1; i < len(g.Y); i++ {
		if a, b := g.Y[i-1]-level, g.Y[i]-level; a*b <= 0 {
			return g.T[i-1] + (g.T[i]-g.T[i-1])*a/(a-b)
		}
	}
	return math.Inf(1)
}
