package machine_test

import (
	"math"
	"testing"

	"slipring/engine/machine"
)

// A contact that is moved out is further from a weight which rests where it
// did: for a contact that does not press, the weight's place in space depends on
// its leaf and the speed alone, wherever the contact stands.
func TestContactMoved(t *testing.T) {
	const speed = 20
	rests := func(radius, contactSpeed float64) float64 {
		card := governorCard(t, map[string]float64{"radius": radius, "contact-speed": contactSpeed, "contact-stiffness": 0})
		sim, err := machine.New(without(card, "motor", "battery", "output"), machine.Setup{HeldSpeed: speed, RelTol: 1e-10, Upright: true}, machine.Load{})
		if err != nil {
			t.Fatal(err)
		}
		if err := sim.Settle(); err != nil {
			t.Fatal(err)
		}
		return last(record(t, sim, 2, "weight travel").Signals[0]) / 1e3
	}
	g := model[machine.Governor](governorCard(t, nil), "governor")
	before := rests(g.Radius, g.ContactSpeed)
	for _, out := range []float64{-4e-4, -1e-4, 1e-4, 3e-4} {
		after := rests(g.Radius+out, g.ContactSpeedAt(out))
		if e := math.Abs(before - after - out); e > 1e-9 {
			t.Errorf("a contact moved out by %g m stands %g m from where the weight rests, %g m before", out, -after, -before)
		}
	}
}

// A spring that is stretched by a way holds the plunger down by that way, where
// nothing else holds it: the same current lifts it so much less (Hooke's law,
// OpenStax, University Physics, Volume 1, 8.1, from memory).
func TestSpringStretched(t *testing.T) {
	const stretched, spring = 2e-3, 1100
	r := machine.Regulator{Weight: 1e-9, Spring: spring}
	free, held := plungerAt(t, 2, 10, spring, r.Weight), plungerAt(t, 2, 10, spring, r.WeightWith(stretched))
	if e := math.Abs(free - held - stretched); e > 1e-7 {
		t.Errorf("a spring stretched by %g m holds the plunger %g m lower", stretched, free-held)
	}
}

func TestScrewsNeedTheirRegulators(t *testing.T) {
	c := parts(governorCard(t, nil), map[string]given{"screws": {"governor-pitch": constant(0.3, "mm"), "regulator-pitch": constant(0.4, "mm")}})
	if flaws := c.Validate(); len(flaws) == 0 {
		t.Error("screws of a regulator that is not there are no flaw")
	}
	both := parts(readCard(t, "whole-set"), map[string]given{"screws": {"governor-pitch": constant(0.3, "mm"), "regulator-pitch": constant(0.4, "mm")}})
	if flaws := both.Validate(); len(flaws) > 0 {
		t.Errorf("%v", flaws)
	}
	s := model[machine.Screws](both, "screws")
	if math.Abs(s.GovernorPitch-3e-4) > 1e-15 || math.Abs(s.RegulatorPitch-4e-4) > 1e-15 {
		t.Errorf("%+v", s)
	}
}
