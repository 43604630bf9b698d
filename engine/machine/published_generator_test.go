package machine_test

import (
	"math"
	"testing"

	"slipring/engine/machine"
	"slipring/engine/waveform"
)

const steinmetz = "C. P. Steinmetz, Theory and Calculation of Transient Electric Phenomena and Oscillations, Sect. I ch. III, "

// steinmetzField is the field of par. 22 to 24: 8 poles in series, 62.5 ohm,
// 18,000 turns, Phi = 4.69 i/(1 + 0.125 i) megalines (4.6875 to give 12.5 at
// 4 A), 20 V for each megaline at rated speed, here 20 turns a second.
func steinmetzField() machine.Magnetization {
	w := 2 * math.Pi * 20
	return machine.Magnetization{Slope: 20 * 4.6875 / w, Saturation: 8, Sharpness: 1,
		Linkage: 18000 * 0.01 / 20 * w, Leakage: 1e-6}
}

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
	f := steinmetzField()
	occ := piecewise([][2]float64{{0, 10}, {1, 90}, {2, 170}, {3, 217.5}, {4, 251}, {5, 272.5}, {6, 281}})
	return []published{
		{"A", steinmetz + "par. 24", "megalines at 4 A", f.Constant(4) * 2 * math.Pi * 20 / 20, 12.5, 1e-9},
		{"A", steinmetz + "par. 24", "V at 62.5 ohm", f.BuildsUpTo(20, 62.5), 250, 1e-6},
		{"A", steinmetz + "par. 24", "critical ohm", f.CriticalResistance(20), 93.8, 0.06},
		{"A", steinmetz + "par. 24", "critical speed in % of rated", 100 * f.CriticalSpeed(62.5) / 20, 66.7, 0.05},
		// read by the author on a graph, of which the table holds seven points
		{"B", "R. K. Srivastava, Electrical Machines, Cengage 2011, Ex. 4.11", "V at 50 ohm", machine.LineCrossing(occ, 50, 6), 277.17, 0.1},
	}
}

func frequencyRows(*testing.T) []published {
	const (
		neets   = "NEETS Module 5 (NAVEDTRA 14177), p. 3-14"
		miller  = "K. B. Miller, American Telephone Practice, Fig. 336"
		hawkins = "Hawkins Electrical Guide, v. 5 p. 146"
	)
	return []published{
		{"A", neets, "Hz, 2 poles at 3600 r/min", machine.Frequency(1, 3600.0/60), 60, 1e-9},
		{"A", neets, "Hz, 4 poles at 1800 r/min", machine.Frequency(2, 1800.0/60), 60, 1e-9},
		{"A", neets, "Hz, 6 poles at 500 r/min", machine.Frequency(3, 500.0/60), 25, 1e-9},
		{"A", neets, "Hz, 12 poles at 4000 r/min", machine.Frequency(6, 4000.0/60), 400, 1e-9},
		{"A", miller, "Hz, 2 poles at 1000 r/min", machine.Frequency(1, 1000.0/60), 16.67, 0.005},
		{"A", miller, "Hz, 8 poles at 1000 r/min", machine.Frequency(4, 1000.0/60), 66.67, 0.005},
		// 200 poles 0.25 in apart at 25,000 ft/min: 100 turns a second
		{"A", hawkins, "Hz of 200 poles", machine.Frequency(100, 25000*12/0.25/200/60), 10000, 1e-6},
	}
}

func starterRows(*testing.T) []published {
	const (
		nagrath = "I. J. Nagrath and D. P. Kothari, Electric Machines, Ex. 7.43"
		kosow   = "I. L. Kosow, Electric Machinery and Transformers, 2nd ed., Ex. 4-13"
	)
	// 220 V, 0.4 ohm, the current between 55 and 35 A
	total := 220 / 55.0
	sections := machine.StarterSections(total, total/math.Pow(55/35.0, 2), 2)
	m := constantField(0.2, 0)
	m.BrushDrop = 2
	return []published{
		{"C", nagrath, "ohm of the first section", sections[0], 1.4545, 5e-5},
		{"C", nagrath, "ohm of the second section", sections[1], 0.9256, 5e-5},
		{"C", nagrath, "sections", machine.StarterCount(total, 0.4, 55, 35), 5.09, 0.005},
		{"C", kosow, "ohm at standstill", m.AddedResistance(120, 0, 1.5*75), 0.85, 0.005},
		{"C", kosow, "ohm at 30 V", m.AddedResistance(120, 30, 1.5*75), 0.582, 0.0005},
		{"C", kosow, "ohm at 60 V", m.AddedResistance(120, 60, 1.5*75), 0.316, 0.0005},
	}
}

// A field winding alone, as the motor of a set that stands still with its
// armature open: the current in A after so many seconds on a voltage.
func fieldAfter(t *testing.T, volts, ohm, henry, from, seconds float64) float64 {
	t.Helper()
	c := textbookCard(1, volts, 1e-9)
	c.Motor.FieldResistance.Value, c.Motor.FieldLeakageInductance.Value = ohm, henry
	sim, err := machine.NewAt(c, machine.Setup{AtRest: true}, machine.Load{}, []float64{0, from, 0, 0, 0, 0})
	if err != nil {
		t.Fatal(err)
	}
	if err := sim.Plan(machine.Change{What: machine.MotorBrushLifted}); err != nil {
		t.Fatal(err)
	}
	if err := sim.Advance(seconds); err != nil {
		t.Fatal(err)
	}
	y, _ := sim.Coordinates()
	return y[1]
}

// A shunt generator alone, with the field of the book and no armature
// resistance. It begins at 20 turns a second with a field current in A; its
// shaft stops uniformly in a time in s, or is held when that is 0.
func selfExcited(t *testing.T, f machine.Magnetization, current, stop float64) *machine.Simulation {
	t.Helper()
	c := textbookCard(1, 1, 1)
	c.Battery, c.Motor = nil, nil
	k := func(v float64, unit string) machine.Constant {
		return machine.Constant{Value: v, Unit: unit, From: machine.Assumed}
	}
	c.Generator = &machine.GeneratorCard{
		ArmatureResistance: k(1e-9, "ohm"), ArmatureInductance: k(0, "H"),
		FieldCard: machine.FieldCard{
			FieldResistance: k(62.5, "ohm"),
			FieldLinkage:    k(f.Linkage, "1"), FieldLeakageInductance: k(f.Leakage, "H"),
			ResidualConstant: k(0, "V s"), ConstantSlope: k(f.Slope, "V s/A"),
			SaturationCurrent: k(f.Saturation, "A"), SaturationSharpness: k(f.Sharpness, "1"),
		},
		IronCard: machine.IronCard{IronHysteresis: k(0, "N m"), IronEddy: k(0, "N m s"), IronReference: k(1, "V s")},
	}
	how := machine.Setup{HeldSpeed: 20}
	if stop > 0 {
		// a heavy shaft that only its dry friction stops; a motor whose switch opens at once
		how.HeldSpeed = 0
		c.Shaft.Inertia.Value = 1e7
		c.Shaft.Friction.Value = 1e7 * 2 * math.Pi * 20 / stop
		c.ACMotor = &machine.ACMotorCard{SupplyFrequency: k(60, "Hz"), PolePairs: k(3, "1"), SynchronousTorque: k(0, "N m"), PullOutTorque: k(1, "N m"), PullOutSlip: k(0.1, "1")}
	}
	y := make([]float64, 14)
	y[2], y[6] = 2*math.Pi*20, current
	sim, err := machine.NewAt(c, how, machine.Load{}, y)
	if err != nil {
		t.Fatal(err)
	}
	if stop > 0 {
		if err := sim.Plan(machine.Change{What: machine.OpenSwitch}); err != nil {
			t.Fatal(err)
		}
	}
	return sim
}

// Transients, all by running the simulation.
func transientRows(t *testing.T) []published {
	const bird = "J. Bird, Electrical and Electronic Principles and Technology, ch. 18, Problem "
	// par. 22: 250 V on 62.5 ohm and 562.5 H; then 31.25 ohm and 140.6 H. The
	// printed times are of slide-rule accuracy.
	slow := func(seconds float64) float64 { return fieldAfter(t, 250, 62.5, 562.5, 0, seconds) / 4 }
	quick := func(seconds float64) float64 { return fieldAfter(t, 250, 31.25, 140.6, 0, seconds) / 8 }
	load := func(seconds float64) float64 { return fieldAfter(t, 125, 0.125, 0.000125, 0, seconds) }
	rows := []published{
		{"A", steinmetz + "par. 22", "part after 6.23 s", slow(6.23), 0.5, 0.002},
		{"A", steinmetz + "par. 22", "part after 20.8 s", slow(20.8), 0.9, 0.002},
		{"A", steinmetz + "par. 22, reconnected", "part after 3.11 s", quick(3.11), 0.5, 0.002},
		{"A", steinmetz + "par. 22, reconnected", "part after 10.4 s", quick(10.4), 0.9, 0.002},
		{"A", steinmetz + "par. 21", "A after 0.00069 s", load(0.00069), 500, 3},
		{"A", steinmetz + "par. 21", "A after 0.0023 s", load(0.0023), 900, 1},
		{"C", bird + "10", "A after 0.3 s", fieldAfter(t, 120, 15, 3, 0, 0.3), 6.215, 0.0005},
		{"C", bird + "10", "A after 0.379 s", fieldAfter(t, 120, 15, 3, 0, 0.379), 0.85 * 8, 0.005},
		{"C", bird + "12", "A 1 s after the supply is gone", fieldAfter(t, 1e-9, 20, 6, 6, 1), 0.214, 0.0001},
		{"C", bird + "12", "A after 0.691 s", fieldAfter(t, 1e-9, 20, 6, 6, 0.691), 0.6, 0.001},
	}

	// par. 23: the machine stops uniformly in 40 s, its field on its own
	// armature, with straight iron (562.5 H) at the critical resistance
	straight := machine.Magnetization{Slope: 62.5 / (2 * math.Pi * 20), Saturation: 1e9, Sharpness: 2, Linkage: 1}
	straight.Leakage = 562.5 - straight.Slope
	fade := record(t, selfExcited(t, straight, 4, 40), 42, "generator field current").Signals[0]
	// par. 24: it builds up from a residual of 10 V; times by the book's own
	// equation with its exact coefficients, which the printed ones meet to 0.7 %
	f := steinmetzField()
	rise := record(t, selfExcited(t, f, f.CurrentFor(10/(2*math.Pi*20)), 0), 160, "commutator voltage").Signals[0]
	rows = append(rows, []published{
		{"A", steinmetz + "par. 23", "A after 40 s", fade.At(40), 0.436, 0.00436},
		{"A", steinmetz + "par. 23", "s to one half", falls(fade, 2), 22.15, 0.2215},
		{"A", steinmetz + "par. 23", "s to one tenth", falls(fade, 0.4), 40.73, 0.4073},
	}...)
	for _, p := range [][2]float64{{50, 46.4}, {100, 70.1}, {150, 88.3}, {200, 108.4}, {225, 123.9}, {240, 142.1}} {
		rows = append(rows, published{"A", steinmetz + "par. 24", "s to build up", reaches(rise, p[0]), p[1], 0.008 * p[1]})
	}
	return rows
}

// falls gives the time at which a falling signal first passes a level.
func falls(g waveform.Signal, level float64) float64 {
	for i, y := range g.Y {
		if y <= level {
			return g.T[i]
		}
	}
	return math.Inf(1)
}
