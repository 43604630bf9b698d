package machine_test

import (
	"math"
	"testing"

	"slipring/engine/machine"
)

// No energy is made or lost: what comes in is spent, stored, or gone in an arc
// at a switch. This holds each term of the equations against all the others.
func TestEnergyAudit(t *testing.T) {
	whole := readCard(t, "whole-set")
	alone := readCard(t, "governed-motor")
	sharp := changed(t, whole, map[string]float64{"motor.saturation-sharpness": 3, "generator.saturation-sharpness": 1,
		"generator.constant-slope": 14})
	rough := changed(t, whole, map[string]float64{"regulator.contact-hysteresis": 20e-6})
	twin := readCard(t, "ac-driven-twin")
	for _, c := range []struct {
		name    string
		card    machine.Card
		how     machine.Setup
		settle  bool
		load    machine.Load
		changes []machine.Change
		seconds float64
	}{
		{"governed motor", alone, machine.Setup{}, true, idle, nil, 2},
		{"governed motor, loaded on the way", alone, machine.Setup{}, true, idle, []machine.Change{{At: 0.5, Load: busy}}, 2},
		{"whole set at full load", whole, machine.Setup{}, true, full, nil, 2},
		{"other iron", sharp, machine.Setup{}, true, full, nil, 2},
		{"bells", whole, machine.Setup{}, true, machine.Load{Bells: 40}, nil, 2},
		{"load goes off", whole, machine.Setup{}, true, full, []machine.Change{{At: 0.512, Load: quiet}}, 2},
		{"contact hysteresis", rough, machine.Setup{}, true, full, nil, 2},
		{"direct start", whole, machine.Setup{AtRest: true}, false, quiet, nil, 3},
		{"direct start with other iron", sharp, machine.Setup{AtRest: true}, false, quiet, nil, 3},
		{"coil on the brushes", whole, machine.Setup{CoilOnBrushes: true}, true, quiet, nil, 2},
		{"held speed", whole, machine.Setup{HeldSpeed: 20}, true, full, nil, 2},
		{"coasting", whole, machine.Setup{}, true, full, []machine.Change{{At: 0.5, What: machine.OpenSwitch}}, 8},
		{"braking", whole, machine.Setup{}, true, full, []machine.Change{{At: 0.5, What: machine.BrakeArmature, Amount: 0.5}}, 4},
		{"braking with the switch open", whole, machine.Setup{}, true, full, []machine.Change{{At: 0.5, What: machine.BrakeArmature, Amount: 0.5}, {At: 0.6, What: machine.OpenSwitch}}, 4},
		{"coasting, then braking", whole, machine.Setup{}, true, full, []machine.Change{{At: 0.5, What: machine.OpenSwitch}, {At: 1, What: machine.BrakeArmature, Amount: 2}}, 4},
		{"leaf broken", whole, machine.Setup{}, true, quiet, []machine.Change{{At: 0.5, What: machine.LeafBroken}}, 3},
		{"field open", whole, machine.Setup{}, true, quiet, []machine.Change{{At: 0.5, What: machine.MotorFieldOpen}}, 3},
		{"short", whole, machine.Setup{}, true, full, []machine.Change{{At: 0.5, What: machine.BellBusShort}}, 3},
		{"mains", twin, machine.Setup{}, true, full, nil, 2},
	} {
		c.how.Audit = true
		c.how.RelTol = 1e-9
		sim, err := machine.New(c.card, c.how, c.load)
		if err != nil {
			t.Fatal(err)
		}
		if c.settle {
			if err := sim.Settle(); err != nil {
				t.Fatal(err)
			}
		}
		if err := sim.Plan(c.changes...); err != nil {
			t.Fatal(err)
		}
		if err := sim.Advance(c.seconds); err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		a := sim.Audit()
		if part := math.Abs(a.Missing) / a.Supplied; !(part < 1e-8) {
			t.Errorf("%s: %.3g J of %.6g J are missing, a part of %.2g: %+v", c.name, a.Missing, a.Supplied, part, a)
		}
		switched := len(c.changes) > 0 && c.changes[0].What != machine.PutLoad
		if !switched && c.name != "load goes off" && c.name != "contact hysteresis" && !c.card.Has("fuse") && a.Arcs != 0 {
			t.Errorf("%s: %g J went in arcs", c.name, a.Arcs)
		}
	}
}

// When the main switch opens, the flux of armature and field together stays,
// and the arc takes the energy that two inductors lose when their currents i
// and j must become equal: LM/(L+M) (i-j)^2/2.
func TestArcOfTheMainSwitch(t *testing.T) {
	c := textbookCard(0.06, 250, 0.4)
	sim, err := machine.NewIn(c, machine.Setup{Audit: true}, quiet, map[string]float64{"motor armature current": 100, "motor field current": 5, "shaft speed": 125})
	if err != nil {
		t.Fatal(err)
	}
	if err := sim.Plan(machine.Change{What: machine.OpenSwitch}); err != nil {
		t.Fatal(err)
	}
	if err := sim.Advance(1e-9); err != nil {
		t.Fatal(err)
	}
	const la, l = 0.001, 5 + 0.4
	// the armature's current runs against the loop
	if got, want := sim.Audit().Arcs, la*l/(la+l)*(100+5)*(100+5)/2; math.Abs(got/want-1) > 1e-6 {
		t.Errorf("the arc takes %g J, want %g", got, want)
	}
}
