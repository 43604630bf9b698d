package calibrate_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"slipring/engine/calibrate"
	"slipring/engine/card"
	"slipring/engine/machine"
	"slipring/engine/reading"
)

func shipped(t testing.TB) machine.Card {
	t.Helper()
	const file = "../../lessons/cards/bell-current-set.toml"
	source, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	c, messages := card.Read(file, source)
	for _, m := range messages {
		t.Fatal(m)
	}
	return c
}

func with(t testing.TB, c machine.Card, name string, factor float64) machine.Card {
	t.Helper()
	one, ok := c.Constant(name)
	if !ok {
		t.Fatal(name)
	}
	out, err := c.With(name, factor*one.SI())
	if err != nil {
		t.Fatal(err)
	}
	given := one.Given
	given.Value *= factor
	out.Put(one.Part, one.Key, given)
	return out
}

// made are readings that the card itself makes, in four situations or more, with
// noise of their own uncertainty: so many standard deviations as noise gives.
// Shown says which quantities are read in a situation.
func made(t testing.TB, c machine.Card, noise func() float64, shown func(load, quantity string) bool) (out []reading.Reading) {
	t.Helper()
	contact, _ := c.Constant("governor.contact-speed")
	tied, err := c.With(contact.Name(), contact.SI()/2)
	if err != nil {
		t.Fatal(err)
	}
	var full machine.FullLoad
	c.Read("full-load", &full)
	meter := map[string]float64{"V": noise(), "A": noise()}
	for _, s := range []struct {
		load string
		card machine.Card
		how  reading.Situation
		of   machine.Load
	}{
		{"idle", c, reading.Situation{}, machine.Load{}},
		{"full", c, reading.Situation{FullLoad: true}, machine.Load(full)},
		{"0.6 N m", c, reading.Situation{Load: machine.Load{Torque: 0.6}}, machine.Load{Torque: 0.6}},
		{"contact tied", tied, reading.Situation{Changed: map[string]float64{contact.Name(): contact.SI() / 2}}, machine.Load{}},
	} {
		run := steady(t, s.card, s.of)
		for _, q := range reading.Quantities() {
			if !shown(s.load, q.Name) {
				continue
			}
			x := q.Of(run)
			own, class := 0.002, 0.005
			switch q.Name {
			case "speed":
				own, class = 0.001, 0
			case "contact open":
				own, class = 0.01/x, 0
			}
			r := reading.Reading{Date: "2026-11-01", Quantity: q.Name, SIUnit: q.SIUnit, U: own * x, Class: class * x, Instrument: "meter", Load: s.load, How: s.how, File: "made.csv"}
			r.Value = x + noise()*r.U + meter[q.SIUnit]*r.Class
			out = append(out, r)
		}
	}
	return out
}

// twelve are those of six constants.
func twelve(t testing.TB, c machine.Card, noise func() float64) []reading.Reading {
	t.Helper()
	out := made(t, c, noise, func(load, quantity string) bool {
		switch quantity {
		case "speed":
			return true
		case "contact open", "output voltage":
			return load != "contact tied"
		case "generator field current":
			return load == "idle" || load == "full"
		}
		return false
	})
	if len(out) != 12 {
		t.Fatalf("%d readings", len(out))
	}
	return out
}

// steady computes a steady state as pages show it, more finely than a fit does.
func steady(t testing.TB, c machine.Card, load machine.Load) machine.Summary {
	t.Helper()
	sim, err := machine.New(c, machine.Setup{}, load)
	if err != nil {
		t.Fatal(err)
	}
	if err := sim.Settle(); err != nil {
		t.Fatal(err)
	}
	s, err := sim.Measure()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func none() float64 { return 0 }

var six = []string{"governor.contact-speed", "governor.radius", "motor.constant-slope", "generator.constant-slope", "regulator.plunger-weight", "shaft.friction"}

// From a card that is 5 to 20 % off, with the priors of that card, readings
// without noise lead back to what they were made from, within what the fit says
// of itself.
func TestBackToTheTruth(t *testing.T) {
	truth := shipped(t)
	readings := twelve(t, truth, none)
	off := truth
	for i, name := range six {
		off = with(t, off, name, []float64{1.05, 0.9, 1.1, 0.9, 1.02, 1.1}[i])
	}
	out, err := calibrate.Run(off, six, readings, false)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range out.Constants {
		right, _ := truth.Constant(c.Card.Name())
		t.Logf("%-26s %.6g +- %.2g, truth %.6g, was %.6g, prior %.2g", c.Card.Name(), c.Value, c.U, right.SI(), c.Card.SI(), c.Prior)
		if math.Abs(c.Value-right.SI()) > 2*c.U {
			t.Errorf("%s is %v +- %v, truth %v", c.Card.Name(), c.Value, c.U, right.SI())
		}
	}
	t.Logf("chi2 %.3g of %d, %d steps, %d runs; alike %+v", out.Fit.Chi2, out.Fit.Freedom, out.Fit.Steps, out.Fit.Runs, out.Alike)
	for _, a := range out.Next {
		t.Logf("next: %s, gain %.3f", a.Reading, a.Gain)
		if a.Hazard != "" || strings.Contains(a.Reading, "regulator contact held closed") {
			t.Errorf("%q is dangerous, and nobody asked for that", a.Reading)
		}
	}
	if len(out.Left) != 0 || len(out.Next) == 0 {
		t.Errorf("left %v, next %v", out.Left, out.Next)
	}
}
