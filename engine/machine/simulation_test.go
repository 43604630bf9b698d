package machine_test

import (
	"math"
	"strings"
	"testing"

	"slipring/engine/machine"
)

func settled(t testing.TB, c machine.Card, how machine.Setup, load machine.Load) *machine.Simulation {
	t.Helper()
	sim, err := machine.New(c, how, load)
	if err != nil {
		t.Fatal(err)
	}
	if err := sim.Settle(); err != nil {
		t.Fatal(err)
	}
	return sim
}

func measured(t testing.TB, c machine.Card, how machine.Setup, load machine.Load) machine.Summary {
	t.Helper()
	sum, err := settled(t, c, how, load).Measure()
	if err != nil {
		t.Fatal(err)
	}
	return sum
}

func changed(t testing.TB, c machine.Card, constants map[string]float64) machine.Card {
	t.Helper()
	for name, v := range constants {
		var err error
		if c, err = c.With(name, v); err != nil {
			t.Fatal(err)
		}
	}
	return c
}

var (
	idle = machine.Load{Torque: 0.3}
	busy = machine.Load{Torque: 1.3}
)

// A summary must not depend on how finely the run was integrated.
func TestMeasureConverges(t *testing.T) {
	c := readCard(t, "governed-motor")
	fine := measured(t, c, machine.Setup{RelTol: 1e-11}, busy)
	usual := measured(t, c, machine.Setup{}, busy)
	for _, v := range [][2]float64{
		{usual.Frequency, fine.Frequency}, {usual.OpenFraction, fine.OpenFraction},
		{usual.ArmatureCurrent, fine.ArmatureCurrent}, {usual.FieldCurrent, fine.FieldCurrent},
		{usual.Bus, fine.Bus}, {usual.Output, fine.Output},
	} {
		if math.Abs(v[0]/v[1]-1) > 1e-6 {
			t.Errorf("%.9g at the usual tolerance, %.9g at a fine one", v[0], v[1])
		}
	}
	if fine.Spread > 1e-8 {
		t.Errorf("spread of a steady run: %g", fine.Spread)
	}
}

// The mean power into the motor must equal what it loses and gives: a check
// on all the means together. (Copper, brushes, iron, friction and load; the
// field's power is its current times the bus voltage.)
func TestMeanPowerBalance(t *testing.T) {
	c := readCard(t, "governed-motor")
	sum := measured(t, c, machine.Setup{}, busy)
	m, sh := model[machine.Motor](c, "motor"), model[machine.Shaft](c, "shaft")
	k := m.Field.Constant(sum.FieldCurrent)
	w := 2 * math.Pi * sum.Frequency
	shaft := (1.3 + sh.LossTorque(sum.Frequency) + m.Iron.LossTorque(k, sum.Frequency)) * w
	armature := m.ArmatureVoltage(sum.Bus, sum.ArmatureCurrent, 0) * sum.ArmatureCurrent
	// means of products differ from products of means by the small ripple
	if math.Abs(armature/shaft-1) > 1e-3 {
		t.Errorf("armature gives %.4f W, shaft takes %.4f W", armature, shaft)
	}
}

func TestHunting(t *testing.T) {
	c := readCard(t, "governed-motor")
	for _, h := range []struct {
		name      string
		card      machine.Card
		how       machine.Setup
		low, high float64 // Hz of hunting
	}{
		{"no gravity", c, machine.Setup{Upright: true}, 4, 5},
		{"much damping", changed(t, c, map[string]float64{"governor.damping": 10}), machine.Setup{}, 1.7, 2.1},
		{"locked to every sixth turn", changed(t, c, map[string]float64{"governor.damping": 3.2}), machine.Setup{}, 3.2, 3.5},
	} {
		s := measured(t, h.card, h.how, idle)
		if !s.Hunts || s.HuntFrequency < h.low || s.HuntFrequency > h.high {
			t.Errorf("%s: hunts %v at %g Hz, want %g to %g", h.name, s.Hunts, s.HuntFrequency, h.low, h.high)
		}
	}
	// neither a steady machine nor one with half the field inductance hunts
	for _, card := range []machine.Card{c, changed(t, c, map[string]float64{
		"motor.field-linkage": 19.5, "motor.field-leakage-inductance": 1.5})} {
		if s := measured(t, card, machine.Setup{}, busy); s.Hunts || s.Period != 1 {
			t.Errorf("hunts at %g Hz, repeats after %d turns", s.HuntFrequency, s.Period)
		}
	}
}

// A light rotor with a middling field closes its contact every other turn
// under load; that is no hunting, and the summary must say so.
func TestEveryOtherTurn(t *testing.T) {
	c := changed(t, readCard(t, "governed-motor"), map[string]float64{
		"shaft.inertia": 0.012, "motor.field-linkage": 6, "motor.field-leakage-inductance": 0.5,
	})
	s := measured(t, c, machine.Setup{}, busy)
	if s.Period != 2 || s.Hunts {
		t.Errorf("repeats after %d turns with %g closures a turn, hunts %v", s.Period, s.ClosuresPerTurn, s.Hunts)
	}
	if s.Spread < 0.01 {
		t.Errorf("spread of the open fraction: %g", s.Spread)
	}
}

func TestRefusals(t *testing.T) {
	c := readCard(t, "governed-motor")
	noMotor := without(c, "motor", "battery")
	bad := without(c, "shaft")
	bad.Fit("shaft")
	for _, r := range []struct {
		card machine.Card
		how  machine.Setup
		load machine.Load
		want string
	}{
		{noMotor, machine.Setup{}, idle, "nothing turns the shaft"},
		{bad, machine.Setup{}, idle, "no unit"},
		{c, machine.Setup{HeldSpeed: -1}, idle, "cannot be held"},
		{c, machine.Setup{HeldSpeed: math.NaN()}, idle, "cannot be held"},
		{c, machine.Setup{Gravity: -1}, idle, "cannot pull"},
		{c, machine.Setup{}, machine.Load{Torque: math.Inf(1)}, "torque"},
	} {
		_, err := machine.New(r.card, r.how, r.load)
		if err == nil || !strings.Contains(err.Error(), r.want) {
			t.Errorf("got %v, want an error about %q", err, r.want)
		}
	}
	sim, err := machine.New(c, machine.Setup{}, machine.Load{Torque: 50})
	if err != nil {
		t.Fatal(err)
	}
	if err := sim.Settle(); err == nil {
		t.Error("a load that stalls the motor settled")
	}
}

func TestNoAllocationInAStep(t *testing.T) {
	for _, name := range []string{"governed-motor", "whole-set"} {
		sim := settled(t, readCard(t, name), machine.Setup{}, machine.Load{})
		if n := testing.AllocsPerRun(5, func() {
			if err := sim.Advance(0.5); err != nil {
				t.Fatal(err)
			}
		}); n > 0 {
			t.Errorf("%s: %g allocations in half a second", name, n)
		}
	}
}

func benchmarkSecond(b *testing.B, name string, rel float64, load machine.Load) {
	sim := settled(b, readCard(b, name), machine.Setup{RelTol: rel}, load)
	b.ReportAllocs()
	for b.Loop() {
		if err := sim.Advance(1); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSecondGovernedMotor1e6(b *testing.B) { benchmarkSecond(b, "governed-motor", 1e-6, busy) }
func BenchmarkSecondGovernedMotor1e8(b *testing.B) { benchmarkSecond(b, "governed-motor", 1e-8, busy) }
func BenchmarkSecondWholeSet1e6(b *testing.B)      { benchmarkSecond(b, "whole-set", 1e-6, full) }
func BenchmarkSecondWholeSet1e8(b *testing.B)      { benchmarkSecond(b, "whole-set", 1e-8, full) }

// A run as a lesson asks for it: settle, then sum up sixty turns.
func BenchmarkSteadyWholeSet(b *testing.B) {
	c := readCard(b, "whole-set")
	for b.Loop() {
		measured(b, c, machine.Setup{}, full)
	}
}
