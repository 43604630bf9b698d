package calibrate_test

import (
	"strings"
	"testing"

	"slipring/engine/calibrate"
	"slipring/engine/machine"
	"slipring/engine/reading"
)

// idle are a speed and an open fraction that a card itself makes with nothing
// connected.
func idle(t *testing.T, c machine.Card) []reading.Reading {
	t.Helper()
	s, err := calibrate.State(c, reading.Situation{})
	if err != nil {
		t.Fatal(err)
	}
	return []reading.Reading{
		{Date: "2026-11-01", Quantity: "speed", SIUnit: "Hz", Value: s.Frequency, U: 0.05, Load: "idle"},
		{Date: "2026-11-01", Quantity: "contact open", SIUnit: "1", Value: s.OpenFraction, U: 0.02, Load: "idle"},
	}
}

// Cards whose constants are all a few parts in a hundred off may run in odd
// ways, which a fit that ends there says. The factors are those of ten, found by
// trying some cards at random.
func TestOddStates(t *testing.T) {
	truth := shipped(t)
	for want, factors := range map[string][]float64{
		"idle: the set repeats itself only after 3 turns":            {1.057, 1.041, 1.006, 0.981, 1.078, 0.991, 0.968, 1.078, 0.977, 0.957},
		"idle: the set does not repeat itself from turn to turn":     {1.034, 0.908, 0.953, 0.976, 1.085, 1.003, 0.905, 1.015, 0.995, 0.951},
		"idle: the governor contact never closes, so that the speed": {0.947, 0.999, 0.916, 1.040, 1.027, 1.010, 1.083, 0.935, 1.016, 0.990},
		"idle: the governor contact never opens, so that the speed":  {1.024, 0.928, 0.906, 1.036, 0.903, 0.988, 0.936, 0.938, 1.058, 1.066},
		"idle: the governor contact hardly closes, and skips turns":  {0.934, 1.031, 1.032, 0.938, 0.991, 1.022, 1.070, 0.989, 1.092, 0.999},
	} {
		c := truth
		for i, name := range ten {
			c = with(t, c, name, factors[i])
		}
		out, err := calibrate.Run(c, []string{"governor.contact-speed"}, idle(t, c), false)
		if err != nil {
			t.Errorf("%s: %v", want, err)
			continue
		}
		if len(out.Notes) == 0 || !strings.HasPrefix(out.Notes[0], want) {
			t.Errorf("%q, want %s", out.Notes, want)
		}
	}
}

// A load at which the model stands still is no place to fit: that is said.
func TestStalls(t *testing.T) {
	c := shipped(t)
	readings := idle(t, c)
	readings[0].How.Load.Torque, readings[0].Load = 60, "60 N m"
	out, err := calibrate.Run(c, []string{"governor.contact-speed"}, readings, false)
	if err == nil {
		t.Fatalf("%+v", out)
	}
	t.Log(err)
	if !strings.Contains(err.Error(), "says nothing at the start") {
		t.Error(err)
	}
}

// Readings that are dangerous are asked for only with what is dangerous about
// them, and only when they are wanted.
func TestDangerousAdvice(t *testing.T) {
	c := shipped(t)
	readings := idle(t, c)
	// with the contact's state and the speed alone, nothing is known of the field
	names := []string{"generator.constant-slope", "generator.saturation-current", "motor.field-resistor", "motor.constant-slope"}
	hazards := 0
	for _, dangerous := range []bool{false, true} {
		out, err := calibrate.Run(c, names, readings, dangerous)
		if err != nil {
			t.Fatal(err)
		}
		if len(out.Next) == 0 {
			t.Error("nothing is worth reading")
		}
		for _, a := range out.Next {
			t.Log(dangerous, a.Reading, a.Hazard, a.Gain)
			risky := strings.Contains(a.Reading, "regulator contact held closed") || strings.Contains(a.Reading, "motor's field current")
			if risky != (a.Hazard != "") || a.Hazard != "" && !dangerous {
				t.Errorf("%q, hazard %q", a.Reading, a.Hazard)
			}
			if a.Hazard != "" {
				hazards++
			}
			// Whatever else has to be touched is touched dead, but for a tachometer.
			if !risky && !strings.Contains(a.Reading, "proved dead") && !strings.Contains(a.Reading, "by tachometer") {
				t.Errorf("%q does not say that the set is dead first", a.Reading)
			}
		}
	}
	if hazards == 0 {
		t.Error("no dangerous reading is worth taking, so that nothing was checked")
	}
}
