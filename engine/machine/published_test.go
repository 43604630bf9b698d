package machine_test

import (
	"maps"
	"math"
	"testing"

	"slipring/engine/machine"
)

// published is one number from a book, held against the function of this
// package that the simulation is made of, or against the simulation itself.
//
// The grade says how sure the number is: A, the answer was read in print (or a
// scan); B, the problem was read in a transcription that carries an answer
// typed from the book; C, problem and method were read in a transcription, and
// the answer is its program's; M, from memory.
//
// A row counts only when it fails a result that is wrong by a thousandth, to
// either side; coarse says why one cannot.
//
// No row calls Battery.Terminal, Generator.BuildUpTime, Governor.OpenFractionSlope,
// RadiusFromPoints, ContactSpeedFromPoints, Bell.Impedance, ACMotor.LoadAngle or
// Magnetization.Stored, since no printed value of theirs has been read. In step
// the speed is that of the mains however strong the motor, so no printed speed
// tells its torque.
type published struct {
	grade  string
	source string
	what   string
	got    float64
	want   float64
	within float64
	coarse string
}

// why a row cannot tell a thousandth
const (
	slideRule   = "printed to slide-rule accuracy"
	twoFigures  = "printed to two figures"
	threeFigure = "printed to three figures"
)

func (p published) passes(got float64) bool { return math.Abs(got-p.want) <= p.within }

func TestPublished(t *testing.T) {
	problems := map[string]bool{} // whether the source is of grade A or B, of rows that count
	for _, subject := range []struct {
		name string
		rows func(*testing.T) []published
	}{
		{"shunt motor", motorRows}, {"starters", starterRows}, {"generator", generatorRows},
		{"transients", transientRows}, {"frequencies", frequencyRows}, {"mains", mainsRows},
		{"governor", governorRows}, {"regulator", regulatorRows}, {"fuse", fuseRows},
		{"losses", lossRows}, {"tone winding", toneRows},
	} {
		t.Run(subject.name, func(t *testing.T) {
			fine := 0
			for _, p := range subject.rows(t) {
				t.Run(p.source+", "+p.what, func(t *testing.T) {
					if !p.passes(p.got) {
						t.Errorf("got %.7g, want %g within %g", p.got, p.want, p.within)
					}
					blunt := p.passes(1.001*p.got) || p.passes(0.999*p.got)
					if blunt != (p.coarse != "") {
						t.Errorf("passes with an error of a thousandth: %v; the reason for it: %q", blunt, p.coarse)
					}
				})
				if p.coarse == "" && p.grade != "M" {
					problems[p.source] = p.grade == "A" || p.grade == "B"
					fine++
				}
			}
			if fine < 2 {
				t.Errorf("only %d checks that tell a thousandth", fine)
			}
		})
	}
	sure := 0
	for _, grade := range problems {
		if grade {
			sure++
		}
	}
	if 2*sure < len(problems) {
		t.Errorf("only %d of %d problems are of grade A or B", sure, len(problems))
	}
	t.Logf("%d problems, %d of grade A or B", len(problems), sure)
}

// constant is a constant of a card that no one has measured.
func constant(v float64, unit string) machine.Given {
	return machine.Given{Value: v, Unit: unit, Origin: machine.Assumed}
}

// constantField is a motor whose machine constant does not depend on its field
// current, as in problems that speak of the armature alone.
func constantField(ra, k float64) machine.Motor {
	return machine.Motor{ArmatureResistance: ra, BrushDropCurrent: 1e-12,
		Field: machine.Magnetization{Residual: k, Saturation: 1}}
}

// ratedAt is the motor whose constant makes the given speed (turns/s) at the
// given voltage and armature current.
func ratedAt(ra, brush, volts, current, speed float64) machine.Motor {
	m := constantField(ra, (volts-ra*current-brush)/(2*math.Pi*speed))
	m.BrushDrop = brush
	return m
}

// weakened is the same motor with its field at a part of its strength.
func weakened(m machine.Motor, part float64) *machine.Motor {
	m.Field.Residual *= part
	return &m
}

func motorRows(*testing.T) []published {
	const (
		chapman  = "S. J. Chapman, Electric Machinery Fundamentals, 4th ed., Ex. 9-1"
		kosow    = "I. L. Kosow, Electric Machinery and Transformers, 2nd ed., "
		theraja  = "B. L. and A. K. Theraja, A Textbook of Electrical Technology, Vol. II, "
		bird     = "J. Bird, Electrical and Electronic Principles and Technology, Problem "
		bakshi   = "U. A. and M. V. Bakshi, DC Machines and Synchronous Machines, "
		elements = "C. P. Steinmetz, Theoretical Elements of Electrical Engineering, 4th ed., section 2, par. 13"
	)
	// 250 V, 0.06 ohm, field 50 ohm (so 5 A), 1200 r/min with no armature
	// current. Its speeds and torques were read as the points of a worked answer;
	// the book's own 1173 r/min and 190 N m are from memory.
	big := machine.Motor{ArmatureResistance: 0.06, BrushDropCurrent: 1e-12, FieldResistance: 50,
		Field: machine.Magnetization{Slope: 250 / (2 * math.Pi * 20) / 5, Saturation: 1e9}}
	field := big.FieldCurrent(250, 0)
	rpm := func(m machine.Motor, volts, armature, added float64) float64 {
		return 60 * m.Speed(volts, armature, field, added)
	}
	kosow48 := ratedAt(0.2, 3, 120, 40-120/60.0, 30)
	kosow416 := ratedAt(0.5, 5, 230, 4-230/230.0, 1810/60.0)
	bird2216 := ratedAt(0.5, 0, 350, 60, 15)
	bird2221 := ratedAt(0.4, 0, 200, 30, 1350.0/60)
	bird2228 := ratedAt(0.2, 0, 500, 120, 10)
	bakshi216 := ratedAt(0.1, 2, 250, 4-250/124.0, 20)
	theraja302 := ratedAt(0.25, 0, 250, 50, 750.0/60)
	weak302 := weakened(theraja302, 0.9) // at the same torque
	unipolar := constantField(1, 0.25/(2*math.Pi))
	doe := constantField(0.4, 0)
	loaded := 60 * kosow416.Speed(230, 54, 0, 0)

	return []published{
		{"B", chapman, "r/min at 100 A", rpm(big, 250, 95, 0), 1172.6, 0.06, ""},
		{"B", chapman, "r/min at 200 A", rpm(big, 250, 195, 0), 1143.8, 0.06, ""},
		{"B", chapman, "r/min at 300 A", rpm(big, 250, 295, 0), 1115, 0.06, ""},
		{"B", chapman, "N m at 200 A", big.Torque(field, 195), 388.0, 0.1, ""},
		{"B", chapman, "N m at 300 A", big.Torque(field, 295), 586.7, 0.2, ""},
		{"A", "DOE-HDBK-1011/2, Electrical Science, module 6, p. 12", "A at standstill", doe.StalledCurrent(260, 0), 650, 0.5, ""},
		{"A", elements, "V of a turn that cuts 25 megalines 50 times a second", unipolar.BackEMF(0, 50), 12.5, 0.01, ""},

		{"B", kosow + "Ex. 4-16 and 4-19", "r/min at full load", loaded, 1603, 0.6, ""},
		{"C", kosow + "Ex. 4-16 and 4-19", "% speed regulation", 100 * machine.Regulation(1810, loaded), 12.9, 0.05, threeFigure},
		{"C", kosow + "Ex. 4-19", "% speed regulation, series", 100 * machine.Regulation(1311, 505), 159.6, 0.05, ""},
		{"C", kosow + "Ex. 4-8", "r/min at half load", 60 * kosow48.Speed(120, 19, 0, 0), 1862.5, 0.5, ""},
		{"C", kosow + "Ex. 4-8", "r/min at 125 %", 60 * kosow48.Speed(120, 1.25*38, 0, 0), 1768.7, 0.5, ""},
		{"C", bird + "22.16", "N m at 60 A", bird2216.Torque(0, 60), 203.7, 0.05, ""},
		{"C", bird + "22.18", "A for 35 N m at 85 % flux", weakened(constantField(1, 25/16.0), 0.85).ArmatureCurrent(35, 0), 26.35, 0.005, ""},
		{"C", bird + "22.21", "r/min at 45 A", 60 * bird2221.Speed(200, 45, 0, 0), 1307, 0.5, ""},
		{"C", bird + "22.28", "turns/s at 60 A with 0.5 ohm added", bird2228.Speed(500, 60, 0, 0.5), 9.62, 0.005, ""},
		{"C", bird + "22.28", "turns/s at 60 A and 80 % flux", weakened(bird2228, 0.8).Speed(500, 60, 0, 0), 12.82, 0.005, ""},
		{"C", bakshi + "Ex. 2.16", "r/min at 61 A and 95 % flux", 60 * weakened(bakshi216, 0.95).Speed(250, 61-250/124.0, 0, 0), 1234.102, 0.05, ""},
		{"C", theraja + "Ex. 30.2", "r/min at 90 % flux",
			60 * weak302.Speed(250, weak302.ArmatureCurrent(theraja302.Torque(0, 50), 0), 0, 0), 828, 0.6, "printed as 828, where 828.5 is meant"},
	}
}

func starterRows(*testing.T) []published {
	const (
		nagrath = "I. J. Nagrath and D. P. Kothari, Electric Machines, Ex. 7.43"
		kosow   = "I. L. Kosow, Electric Machinery and Transformers, 2nd ed., "
		theraja = "B. L. and A. K. Theraja, A Textbook of Electrical Technology, Vol. II, "
	)
	// 220 V, 0.4 ohm, the current between 55 and 35 A
	total := 220 / 55.0
	sections := machine.StarterSections(total, total/math.Pow(55/35.0, 2), 2)
	m := constantField(0.2, 0)
	m.BrushDrop = 2
	kimberly := constantField(0.15, 0)
	question := constantField(0.25, 0)
	question.BrushDrop = 3
	// 7.46 kW at 200 V with an efficiency of 0.85, started with 1.5 times its current
	theraja3049, rated := constantField(0.25, 0), 7460/0.85/200
	first := theraja3049.AddedResistance(200, 0, 1.5*rated)

	rows := []published{
		{"B", "a worked starter problem, 5 hp, 230 V (question page 405066)", "ohm for 150 % at start",
			question.AddedResistance(230, 0, 1.5*(18-230/115.0)), 9.2083, 5e-5, ""},
		{"A", "Kimberly, electrical text on line, problem 13-15 (5)", "ohm for 150 % at start",
			kimberly.AddedResistance(230, 0, 1.5*74), 1.92, 0.005, threeFigure},
		{"C", nagrath, "ohm of the first section", sections[0], 1.4545, 5e-5, ""},
		{"C", nagrath, "ohm of the second section", sections[1], 0.9256, 5e-5, ""},
		{"C", nagrath, "sections", machine.StarterCount(total, 0.4, 55, 35), 5.09, 0.005, threeFigure},
		{"C", kosow + "Ex. 4-12", "A at standstill", m.StalledCurrent(120, 0), 590, 0.5, ""},
		{"C", kosow + "Ex. 4-13", "ohm at standstill", m.AddedResistance(120, 0, 1.5*75), 0.85, 0.005, twoFigures},
		{"C", kosow + "Ex. 4-13", "ohm at 30 V", m.AddedResistance(120, 30, 1.5*75), 0.582, 0.0005, threeFigure},
		{"C", kosow + "Ex. 4-13", "ohm at 60 V", m.AddedResistance(120, 60, 1.5*75), 0.316, 0.0005, threeFigure},
		{"C", theraja + "Ex. 30.49", "ohm at standstill", first, 2.788, 0.0006, ""},
		{"C", theraja + "Ex. 30.49", "V of back EMF at the rated current", theraja3049.ArmatureVoltage(200, rated, first), 66.67, 0.01, ""},
	}
	// 220 V, 0.5 ohm, at most 40 A; with six sections the current falls to
	// 40 A/11^(1/6), which is 26.8 A
	theraja3050 := constantField(0.5, 0)
	six := theraja3050.Starter(220, 40, 26.8)
	for i, want := range []float64{1.812, 1.215, 0.815, 0.546, 0.366, 0.246} {
		coarse := ""
		if i > 1 {
			coarse = threeFigure
		}
		rows = append(rows, published{"C", theraja + "Ex. 30.50", "ohm of section " + string(rune('1'+i)),
			six[i], want, 0.0006, coarse})
	}
	return rows
}

// The same problems once more through the whole simulation: the motor is
// built, loaded with the torque of the book's current, and left to settle.
func TestPublishedMotorsSimulated(t *testing.T) {
	for _, c := range []struct {
		what              string
		amps, torque, rpm float64
	}{
		{"Chapman, Ex. 9-1, 200 A", 195, 388.0, 1143.8},
		{"Chapman, Ex. 9-1, 300 A", 295, 586.7, 1115},
	} {
		card := textbookCard(0.06, 250, 250/(2*math.Pi*20)/5)
		sim, err := machine.New(card, machine.Setup{}, machine.Load{Torque: c.torque})
		if err != nil {
			t.Fatal(err)
		}
		if err := sim.Settle(); err != nil {
			t.Fatal(err)
		}
		sum, err := sim.Measure()
		if err != nil {
			t.Fatal(err)
		}
		// the printed torques are good to 3e-4, and speeds follow them a little
		if got := 60 * sum.Frequency; math.Abs(got-c.rpm) > 0.1 || math.Abs(sum.ArmatureCurrent-c.amps) > 4e-4*c.amps {
			t.Errorf("%s: %.3f r/min at %.3f A, want %.2f at %g", c.what, got, sum.ArmatureCurrent, c.rpm, c.amps)
		}
	}
}

// textbookCard is a motor of 50 ohm field resistance without losses, brush
// drop, residual or saturation, on a stiff battery.
func textbookCard(ra, volts, slope float64) machine.Card {
	c := constant
	return parts(machine.Card{Name: "textbook"}, map[string]given{
		"battery": {"voltage": c(volts, "V"), "resistance": c(0, "ohm"), "cells": c(1, "1")},
		"motor": joined(given{
			"armature-resistance": c(ra, "ohm"), "armature-inductance": c(1, "mH"), "brush-drop": c(0, "V"), "brush-drop-current": c(1, "A"),
		}, straightField(50, 1e-9, 5, 0, slope), noIron()),
		"shaft": plainShaft(2, 0),
	})
}

// joined gives the constants of several together.
func joined(all ...given) given {
	out := given{}
	for _, one := range all {
		maps.Copy(out, one)
	}
	return out
}

// straightField is a field without saturation: resistances of the winding and
// of the resistor in ohm, inductance in H, residual in V s, slope in V s/A.
func straightField(winding, resistor, henry, residual, slope float64) given {
	c := constant
	return given{
		"field-resistance": c(winding, "ohm"), "field-resistor": c(resistor, "ohm"),
		"field-linkage": c(1, "1"), "field-leakage-inductance": c(henry, "H"),
		"residual-constant": c(residual, "V s"), "constant-slope": c(slope, "V s/A"),
		"saturation-current": c(1e9, "A"), "saturation-sharpness": c(2, "1"),
	}
}

// noIron is an armature whose iron loses nothing.
func noIron() given {
	c := constant
	return given{"iron-hysteresis": c(0, "N m"), "iron-eddy": c(0, "N m s"), "iron-reference": c(1, "V s")}
}

// plainShaft is a shaft of an inertia in kg m2 with nothing but dry friction in N m.
func plainShaft(inertia, friction float64) given {
	c := constant
	return given{"inertia": c(inertia, "kg m2"), "friction": c(friction, "N m"), "viscous-friction": c(0, "N m s"), "windage": c(0, "N m s2")}
}
