package machine_test

import (
	"math"
	"testing"

	"slipring/engine/machine"
)

// published is one number from a book, held against the function of this
// package that the simulation is made of. The grade says how sure the number
// is: A, the answer was read in print (or a scan); B, the problem was read in
// a transcription that carries an answer typed from the book; C, problem and
// method were read in a transcription, and the answer was recomputed.
type published struct {
	grade  string
	source string
	what   string
	got    float64
	want   float64
	within float64
}

func TestPublished(t *testing.T) {
	problems := map[string]bool{} // whether the source is of grade A or B
	for _, subject := range []struct {
		name string
		rows func(*testing.T) []published
	}{
		{"shunt motor", motorRows}, {"starters", starterRows}, {"generator", generatorRows},
		{"transients", transientRows}, {"frequencies", frequencyRows},
	} {
		t.Run(subject.name, func(t *testing.T) {
			for _, p := range subject.rows(t) {
				if math.IsNaN(p.got) || math.Abs(p.got-p.want) > p.within {
					t.Errorf("%s, %s: got %.6g, want %g within %g", p.source, p.what, p.got, p.want, p.within)
				}
				problems[p.source] = p.grade == "A" || p.grade == "B"
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

// constantField is a motor whose machine constant does not depend on its field
// current, as in problems that speak of the armature alone.
func constantField(ra, k float64) machine.Motor {
	return machine.Motor{ArmatureResistance: ra, BrushDropCurrent: 1e-12,
		Field: machine.Magnetization{Residual: k, Saturation: 1}}
}

// ratedAt is the motor whose constant makes the given speed (turns/s) at the
// given voltage and armature current.
func ratedAt(ra, brush, volts, current, speed float64) machine.Motor {
	m := constantField(ra, 0)
	m.BrushDrop = brush
	m.Field.Residual = m.ArmatureVoltage(volts, current, 0) / (2 * math.Pi * speed)
	return m
}

// weakened is the same motor with its field at a part of its strength.
func weakened(m machine.Motor, part float64) *machine.Motor {
	m.Field.Residual *= part
	return &m
}

// largest is the difference of two lists where it is largest.
func largest(got, want []float64) float64 {
	if len(got) != len(want) {
		return math.NaN()
	}
	off := 0.0
	for i := range got {
		off = max(off, math.Abs(got[i]-want[i]))
	}
	return off
}

func motorRows(*testing.T) []published {
	const (
		chapman = "S. J. Chapman, Electric Machinery Fundamentals, 4th ed., Ex. 9-1"
		kosow   = "I. L. Kosow, Electric Machinery and Transformers, 2nd ed., "
		theraja = "B. L. and A. K. Theraja, A Textbook of Electrical Technology, Vol. II, "
		bird    = "J. Bird, Electrical and Electronic Principles and Technology, Problem "
	)
	// 250 V, 0.06 ohm, field 50 ohm (so 5 A), 1200 r/min with no armature current
	big := machine.Motor{ArmatureResistance: 0.06, BrushDropCurrent: 1e-12, FieldResistance: 50,
		Field: machine.Magnetization{Slope: 250 / (2 * math.Pi * 20) / 5, Saturation: 1e9}}
	field := big.FieldCurrent(250, 0)
	rpm := func(m machine.Motor, volts, armature, added float64) float64 {
		return 60 * m.Speed(volts, armature, field, added)
	}
	kosow48 := ratedAt(0.2, 3, 120, 40-120/60.0, 30)
	bird2221 := ratedAt(0.4, 0, 200, 30, 1350.0/60)
	bird2228 := ratedAt(0.2, 0, 500, 120, 10)
	theraja302 := ratedAt(0.25, 0, 250, 50, 750.0/60)
	weak302 := weakened(theraja302, 0.9) // at the same torque
	doe := constantField(0.4, 0)
	kimberly := constantField(0.15, 0)
	starter := constantField(0.25, 0)
	starter.BrushDrop = 3

	return []published{
		// seen: problem and points on two question pages; the rounded answers are the book's
		{"B", chapman, "r/min at 100 A", rpm(big, 250, 95, 0), 1173, 0.6},
		{"B", chapman, "r/min at 200 A", rpm(big, 250, 195, 0), 1144, 0.6},
		{"B", chapman, "r/min at 300 A", rpm(big, 250, 295, 0), 1115, 0.6},
		{"B", chapman, "N m at 200 A", big.Torque(field, 195), 388, 0.6},
		{"B", chapman, "N m at 300 A", big.Torque(field, 295), 587, 0.6},
		{"B", kosow + "Ex. 4-19", "speed regulation in %", 100 * machine.Regulation(1810, 1603), 12.9, 0.05},
		{"A", "DOE-HDBK-1011/2, Electrical Science, module 6, p. 12", "A at standstill", doe.StalledCurrent(260, 0), 650, 0.5},
		{"A", "Kimberly, electrical text on line, problem 13-15 (5)", "ohm for 150 % at start",
			kimberly.AddedResistance(230, 0, 1.5*74), 1.92, 0.005},
		{"B", "a worked starter problem, 5 hp, 230 V (question page 405066)", "ohm for 150 % at start",
			starter.AddedResistance(230, 0, 1.5*(18-230/115.0)), 9.2083, 5e-5},

		{"C", kosow + "Ex. 4-8", "r/min at half load", 60 * kosow48.Speed(120, 19, 0, 0), 1862.5, 0.5},
		{"C", kosow + "Ex. 4-8", "r/min at 125 %", 60 * kosow48.Speed(120, 1.25*38, 0, 0), 1768.7, 0.5},
		{"C", bird + "22.21", "r/min at 45 A", 60 * bird2221.Speed(200, 45, 0, 0), 1307, 0.5},
		{"C", bird + "22.28", "turns/s at 60 A with 0.5 ohm added", bird2228.Speed(500, 60, 0, 0.5), 9.62, 0.005},
		{"C", bird + "22.28", "turns/s at 60 A and 80 % flux", weakened(bird2228, 0.8).Speed(500, 60, 0, 0), 12.82, 0.005},
		{"C", theraja + "Ex. 30.2", "r/min at 90 % flux",
			60 * weak302.Speed(250, weak302.ArmatureCurrent(theraja302.Torque(0, 50), 0), 0, 0), 828, 0.6},
		{"C", theraja + "Ex. 30.50", "ohm off the six sections of a starter",
			largest(machine.StarterSections(220/40.0, 0.5, 6), []float64{1.812, 1.215, 0.815, 0.546, 0.366, 0.246}), 0, 1e-3},
	}
}

// The same problems once more through the whole simulation: the motor is
// built, loaded with the torque of the book's current, and left to settle.
func TestPublishedMotorsSimulated(t *testing.T) {
	for _, c := range []struct {
		what      string
		amps, rpm float64
	}{
		{"Chapman, Ex. 9-1, 100 A", 95, 1172.64},
		{"Chapman, Ex. 9-1, 200 A", 195, 1143.84},
		{"Chapman, Ex. 9-1, 300 A", 295, 1115.04},
	} {
		card := textbookCard(0.06, 250, 250/(2*math.Pi*20)/5)
		m := machine.NewMotor(*card.Motor)
		torque := m.Torque(5, c.amps)
		sim, err := machine.New(card, machine.Setup{}, machine.Load{Torque: torque})
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
		if got := 60 * sum.Frequency; math.Abs(got-c.rpm) > 0.05 || math.Abs(sum.ArmatureCurrent-c.amps) > 0.05 {
			t.Errorf("%s: %.3f r/min at %.3f A, want %.2f at %g", c.what, got, sum.ArmatureCurrent, c.rpm, c.amps)
		}
	}
}

// textbookCard is a motor of 50 ohm field resistance without losses, brush
// drop, residual or saturation, on a stiff battery.
func textbookCard(ra, volts, slope float64) machine.Card {
	c := func(v float64, unit string) machine.Constant {
		return machine.Constant{Value: v, Unit: unit, From: machine.Assumed}
	}
	return machine.Card{
		Name:    "textbook",
		Battery: &machine.BatteryCard{Voltage: c(volts, "V"), Resistance: c(0, "ohm"), Cells: c(1, "1")},
		Motor: &machine.MotorCard{
			ArmatureResistance: c(ra, "ohm"), ArmatureInductance: c(1, "mH"),
			BrushDrop: c(0, "V"), BrushDropCurrent: c(1, "A"),
			FieldCard: machine.FieldCard{
				FieldResistance: c(50, "ohm"), FieldResistor: c(1e-9, "ohm"),
				FieldLinkage: c(1, "1"), FieldLeakageInductance: c(5, "H"),
				ResidualConstant: c(0, "V s"), ConstantSlope: c(slope, "V s/A"),
				SaturationCurrent: c(1e9, "A"), SaturationSharpness: c(2, "1"),
			},
			IronCard: machine.IronCard{IronHysteresis: c(0, "N m"), IronEddy: c(0, "N m s"), IronReference: c(1, "V s")},
		},
		Shaft: &machine.ShaftCard{Inertia: c(2, "kg m2"), Friction: c(0, "N m"),
			ViscousFriction: c(0, "N m s"), Windage: c(0, "N m s2")},
	}
}
