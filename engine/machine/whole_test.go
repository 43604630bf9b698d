package machine_test

import (
	"math"
	"testing"

	"slipring/engine/machine"
)

var (
	quiet = machine.Load{}
	full  = machine.Load{Resistance: 47}
)

// What every keeper of such a set expects of it (common practice, no source).
func TestTradePointsOfTheWholeSet(t *testing.T) {
	c := readCard(t, "whole-set")
	none, all := measured(t, c, machine.Setup{}, quiet), measured(t, c, machine.Setup{}, full)
	for _, p := range []struct {
		s               machine.Summary
		frequency, open float64
	}{{none, 19.95, 0.77}, {all, 19.85, 0.87}} {
		if math.Abs(p.s.Frequency-p.frequency) > 0.02 || math.Abs(p.s.OpenFraction-p.open) > 0.01 {
			t.Errorf("%.4f Hz, open %.4f; want %g, %g", p.s.Frequency, p.s.OpenFraction, p.frequency, p.open)
		}
		if p.s.ClosuresPerTurn != 1 || p.s.Period != 1 || p.s.Beyond != "" {
			t.Errorf("%g closures a turn, repeats after %d, beyond %q", p.s.ClosuresPerTurn, p.s.Period, p.s.Beyond)
		}
		if p.s.RegulatorRate < 10 || p.s.RegulatorRate > 99 {
			t.Errorf("the regulator contact works %g times a second; want tens", p.s.RegulatorRate)
		}
		if p.s.OutputSpread > 0.002*p.s.Output {
			t.Errorf("the voltage spreads by %g V", p.s.OutputSpread)
		}
		if p.s.HalfCycles == 0 || math.Abs(p.s.HalfCycles) > 1e-3 {
			t.Errorf("half cycles differ by %g of a period", p.s.HalfCycles)
		}
	}
	if r := machine.Regulation(none.Output, all.Output); r < 0.02 || r > 0.03 {
		t.Errorf("the voltage falls by %.2f %%; want 2 to 3", 100*r)
	}
}

// Values of a study made with two other programs, for the same set.
func TestTheStudysVoltages(t *testing.T) {
	c := readCard(t, "whole-set")
	for _, p := range []struct {
		load         machine.Load
		volts, watts float64
	}{
		{quiet, 84.49, 0}, {machine.Load{Resistance: 94}, 83.43, 0}, {full, 82.23, 146}, {machine.Load{Bells: 60}, 84.7, 0},
	} {
		s := measured(t, c, machine.Setup{}, p.load)
		if math.Abs(s.Output-p.volts) > 0.03 {
			t.Errorf("%+v: %.3f V, want %.2f", p.load, s.Output, p.volts)
		}
		if p.watts > 0 && math.Abs(s.OutputPower-p.watts) > 0.5 {
			t.Errorf("%+v: %.2f W, want %g", p.load, s.OutputPower, p.watts)
		}
	}
	// many bells, with their capacitors, raise the voltage a little
	if a, b := measured(t, c, machine.Setup{}, quiet), measured(t, c, machine.Setup{}, machine.Load{Bells: 60}); b.Output <= a.Output {
		t.Errorf("60 bells: %.3f V, none: %.3f V", b.Output, a.Output)
	}
	g := model[machine.Generator](c, "generator")
	for _, p := range []struct{ got, want, within float64 }{
		{g.Field.CriticalResistance(20), 1037, 0.5},
		{g.Field.CriticalSpeed(404), 7.79, 0.005},
		{g.Field.CriticalSpeed(904), 17.44, 0.005},
		{g.BuildUpTime(20, 404, g.Field.CurrentFor(60/(2*math.Pi*20))), 1.20, 0.05},
	} {
		if math.Abs(p.got-p.want) > p.within {
			t.Errorf("got %g, want %g", p.got, p.want)
		}
	}
	// amplitude of the plunger's ripple: 154 um by the formula with the contact
	// leaf left out, 159 simulated
	r := model[machine.Regulator](c, "regulator")
	if a := 1e6 * r.Dither(20, 0); math.Abs(a-154) > 0.5 {
		t.Errorf("dither %.1f um, want 154", a)
	}
	if a := 1e6 * r.Dither(19.95, 0.405); math.Abs(a-159) > 3 {
		t.Errorf("dither with the contact leaf %.1f um, want 159", a)
	}
	low, high := swingOf(t, settled(t, c, machine.Setup{}, quiet), "plunger travel")
	if a := 1e3 * (high - low) / 2; math.Abs(a-159) > 1 {
		t.Errorf("simulated dither %.1f um, want 159", a)
	}
}

func swingOf(t *testing.T, sim *machine.Simulation, signal string) (low, high float64) {
	t.Helper()
	set, err := sim.Record(0.5, signal)
	if err != nil {
		t.Fatal(err)
	}
	low, high = math.Inf(1), math.Inf(-1)
	for _, v := range set.Signals[0].Y {
		low, high = min(low, v), max(high, v)
	}
	return low, high
}

// The regulator hunts when nothing dithers its plunger: with a coil on direct
// current, and with a dashpot so heavy that the ripple is less than the
// contact's hysteresis. A heavy dashpot alone does not do it.
func TestRegulatorHunts(t *testing.T) {
	c := readCard(t, "whole-set")
	dc := measured(t, changed(t, c, map[string]float64{"regulator.coil-resistance": 2135}),
		machine.Setup{CoilOnBrushes: true}, quiet)
	if dc.RegulatorRate < 7 || dc.RegulatorRate > 13 || dc.OutputSpread < 0.015*dc.Output {
		t.Errorf("direct current: the contact works %g times a second, voltage spreads by %g V", dc.RegulatorRate, dc.OutputSpread)
	}
	heavy := map[string]float64{"regulator.damping": 60}
	smooth := measured(t, changed(t, c, heavy), machine.Setup{}, quiet)
	if smooth.RegulatorRate < 35 || smooth.OutputSpread > 0.002*smooth.Output {
		t.Errorf("heavy dashpot: the contact works %g times a second, voltage spreads by %g V", smooth.RegulatorRate, smooth.OutputSpread)
	}
	heavy["regulator.contact-hysteresis"] = 100e-6
	rough := measured(t, changed(t, c, heavy), machine.Setup{}, quiet)
	if rough.RegulatorRate > 15 || rough.OutputSpread < 0.01*rough.Output {
		t.Errorf("heavy dashpot and hysteresis: the contact works %g times a second, voltage spreads by %g V", rough.RegulatorRate, rough.OutputSpread)
	}
}

// With a light rotor and a fast field the two halves of a cycle differ
// visibly, and the electrical angle of the rings decides which is longer.
func TestHalfCycles(t *testing.T) {
	c := changed(t, readCard(t, "governed-motor"), map[string]float64{
		"shaft.inertia": 0.012, "motor.field-linkage": 1.3, "motor.field-leakage-inductance": 0.1, "motor.armature-resistance": 0.3,
	})
	var largest float64
	for _, angle := range []float64{0, 90} {
		a := measured(t, changed(t, c, map[string]float64{"output.angle": angle}), machine.Setup{}, idle).HalfCycles
		b := measured(t, changed(t, c, map[string]float64{"output.angle": angle + 180}), machine.Setup{}, idle).HalfCycles
		if math.Abs(a+b) > 1e-6 {
			t.Errorf("at %g deg %g, on the other side %g", angle, a, b)
		}
		largest = max(largest, math.Abs(a))
	}
	// the record of the same output, measured as a signal
	c = changed(t, c, map[string]float64{"output.angle": 90})
	sum := measured(t, c, machine.Setup{}, idle)
	set, err := settled(t, c, machine.Setup{}, idle).RecordTurns(40, "output")
	if err != nil {
		t.Fatal(err)
	}
	seen, err := set.Signals[0].HalfCycles(0)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(seen.Inequality-sum.HalfCycles) > 1e-5 {
		t.Errorf("half cycles differ by %g in the summary, by %g in the record", sum.HalfCycles, seen.Inequality)
	}
	if largest < 0.003 {
		t.Errorf("half cycles differ by %g at most", largest)
	}
}
