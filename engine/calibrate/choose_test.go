package calibrate_test

import (
	"slices"
	"testing"

	"slipring/engine/calibrate"
	"slipring/engine/machine"
)

// With none named, what some reading leans on is fitted; what nobody measured is
// only named, and a nameplate's constant is neither.
func TestChoose(t *testing.T) {
	c := shipped(t)
	chosen, guessed, err := calibrate.Choose(c, idle(t, c))
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Contains(chosen, "motor.field-resistance") {
		t.Errorf("the speed leans on the field's resistance, but chosen are %q", chosen)
	}
	for _, name := range chosen {
		if one, _ := c.Constant(name); one.Uncertainty == 0 || one.Origin == machine.Nameplate {
			t.Errorf("%s was chosen: %+v", name, one)
		}
	}
	for _, name := range []string{"fuse.melting-current", "shaft.inertia", "regulator.plunger-mass"} {
		if one, ok := c.Constant(name); !ok || one.Uncertainty == 0 {
			t.Errorf("%s is not in doubt on this card", name)
		}
		if slices.Contains(chosen, name) {
			t.Errorf("no steady reading leans on %s, but it was chosen", name)
		}
	}
	if len(guessed) < 2 || guessed[0] != "governor.contact-speed" {
		t.Errorf("speed and open fraction lean on the contact speed most, but guessed are %q", guessed)
	}
	for _, name := range guessed {
		if one, _ := c.Constant(name); one.Uncertainty > 0 || one.Origin == machine.Measured {
			t.Errorf("%s is called a guess: %+v", name, one)
		}
	}
}
