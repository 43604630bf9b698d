package machine_test

import (
	"errors"
	"math"
	"testing"

	"slipring/engine/machine"
	"slipring/engine/ode"
)

// FuzzScenario lets faults, loads and switches happen to a set at any time and
// in any order. Each run must end with finite numbers or a failure that says
// why; the budget of steps ends a run that would not.
func FuzzScenario(f *testing.F) {
	f.Add([]byte{0, 10, 0, 50}, byte(0))
	f.Add([]byte{4, 10, 0, 50, 9, 20, 0, 0, 2, 30, 0, 0}, byte(1))
	f.Add([]byte{20, 1, 200, 0, 12, 9, 9, 9, 7, 0, 0, 0}, byte(2))
	f.Add([]byte{26, 10, 120, 0, 2, 20, 0, 0, 27, 30, 0, 0, 28, 40, 0, 0}, byte(0))
	card, actions := readCard(f, "whole-set"), machine.Actions()
	f.Fuzz(func(t *testing.T, script []byte, start byte) {
		how := machine.Setup{RelTol: 1e-5, MaxSteps: 20000, AtRest: start&1 != 0, Upright: start&2 != 0, CoilOnBrushes: start&4 != 0}
		if start&8 != 0 {
			how.HeldSpeed = float64(start>>4) * 3
		}
		sim, err := machine.New(card, how, machine.Load{Bells: int(start) % 7})
		if err != nil {
			t.Skip()
		}
		for len(script) >= 4 && len(script) <= 80 {
			a, b := float64(script[2]), float64(script[3])
			c := machine.Change{What: actions[int(script[0])%len(actions)], At: float64(script[1]) / 500, Amount: a - 100, Over: b / 500,
				Load: machine.Load{Torque: a / 20, Resistance: b, Bells: int(script[2])}}
			_ = sim.Plan(c) // a change that makes no sense is refused, and the rest goes on
			script = script[4:]
		}
		set, err := sim.Record(0.5, sim.Signals()...)
		var failure *ode.Failure
		if err != nil && !errors.As(err, &failure) {
			t.Fatalf("failed with %v, which is no failure of the solver", err)
		}
		for _, g := range set.Signals {
			for _, y := range g.Y {
				if math.IsNaN(y) || math.IsInf(y, 0) {
					t.Fatalf("%s is %v", g.Name, y)
				}
			}
		}
	})
}

// A run that would take for ever ends with the solver's error.
func TestStepBudget(t *testing.T) {
	sim, err := machine.New(readCard(t, "whole-set"), machine.Setup{MaxSteps: 100}, machine.Load{})
	if err != nil {
		t.Fatal(err)
	}
	if err := sim.Advance(100); !errors.Is(err, ode.ErrBudget) {
		t.Errorf("got %v, want %v", err, ode.ErrBudget)
	}
}
