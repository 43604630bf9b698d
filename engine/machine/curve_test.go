package machine_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"slipring/engine/machine"
)

// srivastava is the open-circuit curve at 1000 r/min of R. K. Srivastava,
// Electrical Machines, Cengage 2011, Ex. 4.11.
func srivastava() given {
	g := constant(1000/60.0, "Hz")
	g.Rows = [][]float64{{0, 10}, {1, 90}, {2, 170}, {3, 217.5}, {4, 251}, {5, 272.5}, {6, 281}}
	g.Units = []string{"A", "V"}
	return given{"open-circuit": g}
}

// tabled gives a card whose generator has a curve in place of its formula.
func tabled(c machine.Card, curve given) machine.Card {
	c = c.Clone()
	for _, key := range []string{"residual-constant", "constant-slope", "saturation-current", "saturation-sharpness"} {
		c.Put("generator", key, machine.Given{})
	}
	return parts(c, map[string]given{"generator": curve})
}

// The book draws the critical line through the point at 1 A. It reads 277.17 V for
// 50 ohm off its graph, where straight lines from point to point give 277.11 V
// (generatorRows); a smooth line through points 1 A apart that bend over lies
// above those, here by half a per cent.
func TestCurveOfABook(t *testing.T) {
	c := tabled(readCard(t, "whole-set"), srivastava())
	if flaws := c.Validate(); len(flaws) > 0 {
		t.Fatal(flaws)
	}
	g := model[machine.Generator](c, "generator")
	const speed = 1000 / 60.0
	if v := g.Field.BuildsUpTo(speed, 50); v < 277.11 || v > 277.11*1.006 {
		t.Errorf("builds up to %.2f V at 50 ohm, want 277.17", v)
	}
	if r := g.Field.CriticalResistance(speed); math.Abs(r-90) > 1e-9 {
		t.Errorf("critical resistance %.6f ohm, want 90", r)
	}
	if n := 60 * g.Field.CriticalSpeed(50); math.Abs(n-1000*50/90.0) > 1e-9 {
		t.Errorf("critical speed %.6f r/min for 50 ohm", n)
	}
	for i, v := range []float64{10, 90, 170, 217.5, 251, 272.5, 281} {
		if got := g.Field.Constant(float64(i)) * 2 * math.Pi * speed; math.Abs(got-v) > 1e-9 {
			t.Errorf("at %d A %.9g V, measured %g", i, got, v)
		}
	}
}

// Slope, inverse and stored energy of a curve against its values, beyond its
// end and for currents that run backwards too; and it rises everywhere.
func TestCurve(t *testing.T) {
	m := model[machine.Generator](tabled(readCard(t, "whole-set"), srivastava()), "generator").Field
	const h = 1e-6
	for _, i := range []float64{-7, -2.3, -0.4, 0.05, 0.7, 1.5, 3.99, 5.5, 8} {
		slope := (m.Constant(i+h) - m.Constant(i-h)) / (2 * h)
		if math.Abs(slope-m.SlopeAt(i)) > 1e-6 || slope < 0 {
			t.Errorf("%g A: slope %g, by differences %g", i, m.SlopeAt(i), slope)
		}
		if got := m.CurrentFor(m.Constant(i)); math.Abs(got-i) > 1e-9 {
			t.Errorf("the current for K(%g A) is %g", i, got)
		}
		if stored, want := (m.Stored(i+h)-m.Stored(i-h))/(2*h), i*m.Inductance(i); math.Abs(stored-want) > 1e-6*(1+math.Abs(want)) {
			t.Errorf("%g A: stored energy rises by %g J/A, want i L = %g", i, stored, want)
		}
	}
	for i := 0.0; i < 6; i += 0.01 {
		if m.SlopeAt(i) < 0 {
			t.Errorf("at %g A the curve falls", i)
		}
	}
}

// A curve that was read off the formula makes the same machine, and no energy.
func TestCurveLikeItsFormula(t *testing.T) {
	c := readCard(t, "whole-set")
	field := model[machine.Generator](c, "generator").Field
	curve := constant(20, "Hz")
	curve.Units = []string{"mA", "V"}
	for i := range 81 {
		amps := 0.4 * math.Pow(float64(i)/80, 1.5)
		curve.Rows = append(curve.Rows, []float64{1e3 * amps, field.Constant(amps) * 2 * math.Pi * 20})
	}
	table := tabled(c, given{"open-circuit": curve})
	a, b := measured(t, c, machine.Setup{}, full), measured(t, table, machine.Setup{}, full)
	for _, v := range []struct {
		what      string
		got, want float64
	}{{"speed", b.Frequency, a.Frequency}, {"output", b.Output, a.Output}, {"generator field", b.GeneratorField, a.GeneratorField}, {"open fraction", b.OpenFraction, a.OpenFraction}} {
		if math.Abs(v.got/v.want-1) > 2e-5 {
			t.Errorf("%s: %.8g, by the formula %.8g", v.what, v.got, v.want)
		}
	}
	sim := settled(t, table, machine.Setup{Audit: true}, full)
	if err := sim.Advance(2); err != nil {
		t.Fatal(err)
	}
	if e := sim.Audit(); math.Abs(e.Missing)/e.Supplied > 1e-8 {
		t.Errorf("%.3g J of %.6g J are missing", e.Missing, e.Supplied)
	}
	lost := record(t, begun(t, table, machine.Setup{HeldSpeed: 20, AtRest: true}), 4, "commutator voltage").Signals[0]
	if v := last(lost); v < 80 {
		t.Errorf("it builds up to %.1f V", v)
	}
	faster, err := table.With("generator.open-circuit", 21)
	if err != nil {
		t.Fatal(err)
	}
	quick := model[machine.Generator](faster, "generator")
	if k := quick.Field.Constant(0.1); math.Abs(k/field.Constant(0.1)-20/21.0) > 1e-4 {
		t.Errorf("the same curve at 21 turns a second: K %g", k)
	}
}

// What a table lacks is a flaw with a next step.
func TestCurveRefused(t *testing.T) {
	whole := readCard(t, "whole-set")
	for _, c := range []struct {
		spoil func(g *machine.Given)
		says  string
	}{
		{func(g *machine.Given) { g.Rows = g.Rows[:2] }, "2 rows"},
		{func(g *machine.Given) { g.Rows = g.Rows[1:] }, "does not begin at no field current"},
		{func(g *machine.Given) { g.Units = []string{"A"} }, "1 units for 2 columns"},
		{func(g *machine.Given) { g.Units = []string{"A", "ohm"} }, `"ohm" does not fit the voltage`},
		{func(g *machine.Given) { g.Rows[2] = []float64{2} }, "row 3 has 1 numbers"},
		{func(g *machine.Given) { g.Rows[2][0] = 1 }, "does not rise from row 2 to row 3"},
		{func(g *machine.Given) { g.Rows[2][1] = 80 }, "the voltage does not rise from row 2 to row 3"},
		{func(g *machine.Given) { g.Rows[2][1] = math.Inf(1) }, "not a number"},
		{func(g *machine.Given) { g.Value = 0 }, "impossible"},
	} {
		curve := srivastava()
		g := curve["open-circuit"]
		c.spoil(&g)
		flaws := tabled(whole, given{"open-circuit": g}).Validate()
		if len(flaws) != 1 || flaws[0].Part != "generator" || flaws[0].Key != "open-circuit" || !strings.Contains(flaws[0].Reason, c.says) || flaws[0].Next == "" {
			t.Errorf("want %q, got %+v", c.says, flaws)
		}
	}
	both := parts(whole, map[string]given{"generator": srivastava()})
	flaws := both.Validate()
	if len(flaws) != 4 || !strings.Contains(fmt.Sprint(flaws), "stands in its place") || !strings.Contains(flaws[0].Next, "open-circuit") {
		t.Errorf("curve and formula: %v", flaws)
	}
	has := func(c machine.Card, key string) bool {
		return slices.ContainsFunc(c.Constants(), func(one machine.Constant) bool { return one.Name() == "generator."+key })
	}
	table := tabled(whole, srivastava())
	if has(whole, "open-circuit") || !has(table, "open-circuit") || has(table, "constant-slope") || !has(table, "field-linkage") {
		t.Error("the constants that are listed are not those that count")
	}
}
