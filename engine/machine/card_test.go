package machine_test

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"slipring/engine/machine"
)

func TestConstantsAreWholeAndOrdered(t *testing.T) {
	c := readCard(t, "governed-motor")
	seen := map[string]bool{}
	last := -1
	parts := machine.PartNames()
	for _, e := range c.Constants() {
		name := e.Name()
		if seen[name] || e.Doc == "" || e.Unit == "" || e.Origin == "" {
			t.Errorf("constant %q is incomplete or stands twice: %+v", name, e)
		}
		seen[name] = true
		i := 0
		for i < len(parts) && parts[i] != e.Part {
			i++
		}
		if i < last || i == len(parts) {
			t.Errorf("constant %q is out of order", name)
		}
		last = i
		if one, ok := c.Constant(name); !ok || one != e {
			t.Errorf("%q is not found", name)
		}
		if known, ok := machine.Described(name); !ok || known.Description != e.Description {
			t.Errorf("%q is described as %+v", name, known)
		}
	}
	if len(seen) < 30 {
		t.Errorf("only %d constants", len(seen))
	}
	for _, name := range []string{"motor.nothing", "nothing", "generator.field-resistance"} {
		if _, ok := c.Constant(name); ok {
			t.Errorf("found %q, which is not there", name)
		}
	}
}

func TestWithLeavesTheCardAlone(t *testing.T) {
	c := readCard(t, "governed-motor")
	d, err := c.With("governor.radius", 0.02)
	if err != nil {
		t.Fatal(err)
	}
	before, _ := c.Constant("governor.radius")
	after, _ := d.Constant("governor.radius")
	if before.Value != 13.263 || after.Value != 0.02 || after.Origin != machine.Assumed {
		t.Errorf("before %v, after %v", before, after)
	}
	if after.SI() != 0.02 || before.SI() != 0.013263 {
		t.Error("wrong values in SI units")
	}
}

func TestValidate(t *testing.T) {
	for name, r := range map[string]struct {
		spoil     func(*machine.Card)
		part, key string
		reason    string
	}{
		"negative":        {func(c *machine.Card) { *c = set(*c, "motor.armature-resistance", -1) }, "motor", "armature-resistance", "impossible"},
		"zero":            {func(c *machine.Card) { *c = set(*c, "shaft.inertia", 0) }, "shaft", "inertia", "impossible"},
		"no unit":         {func(c *machine.Card) { c.Put("shaft", "inertia", constant(0.04, "")) }, "shaft", "inertia", "unit"},
		"wrong unit":      {func(c *machine.Card) { c.Put("governor", "radius", constant(13, "kg")) }, "governor", "radius", `"kg"`},
		"too soft":        {func(c *machine.Card) { *c = set(*c, "governor.spring-frequency", 28.7) }, "governor", "spring-frequency", "too soft"},
		"motor no source": {func(c *machine.Card) { *c = without(*c, "battery") }, "motor", "", "battery"},
		"no shaft":        {func(c *machine.Card) { *c = without(*c, "shaft") }, "motor", "", "shaft"},
	} {
		c := readCard(t, "governed-motor")
		r.spoil(&c)
		flaws := c.Validate()
		if len(flaws) == 0 {
			t.Errorf("%s: no flaw found", name)
			continue
		}
		f := flaws[0]
		if f.Part != r.part || f.Key != r.key || !strings.Contains(f.Error(), r.reason) || f.Next == "" {
			t.Errorf("%s: got %+v", name, f)
		}
	}
	// just stiff enough: sqrt(2) times 20.3341 is 28.757
	c := set(readCard(t, "governed-motor"), "governor.spring-frequency", 28.8)
	if f := c.Validate(); len(f) > 0 {
		t.Error(f)
	}
}

// A constant that nothing on the card uses is a flaw, as a battery is that
// nothing draws from; without it the card is whole.
func TestUnusedConstants(t *testing.T) {
	c := without(readCard(t, "whole-set"), "regulator")
	flaws := c.Validate()
	if len(flaws) != 1 || flaws[0].Error() != "generator.field-resistor: nothing puts it into the field circuit without a regulator" || flaws[0].Next == "" {
		t.Errorf("flaws: %v", flaws)
	}
	c.Put("generator", "field-resistor", machine.Given{})
	if flaws := c.Validate(); len(flaws) > 0 {
		t.Error(flaws)
	}
	for _, e := range c.Constants() {
		if e.Part == "generator" && e.Key == "field-resistor" {
			t.Error("the constant that is not there is listed")
		}
	}
	if _, err := c.With("generator.field-resistor", 500); err == nil {
		t.Error("it can be changed all the same")
	}
	if g := model[machine.Generator](c, "generator"); g.FieldResistor != 0 || g.FieldResistance != 400 {
		t.Errorf("the generator has %+v", g)
	}
	c = without(c, "motor", "governor", "fuse")
	if flaws := c.Validate(); len(flaws) != 1 || flaws[0].Part != "battery" {
		t.Errorf("a battery without a motor: %v", flaws)
	}
}

// Figures of parts that a machine has not are no numbers, and their signals
// cannot be recorded.
func TestMissingParts(t *testing.T) {
	for name, c := range map[string]struct {
		lacks   []string
		signals map[string]string // and the part that each needs
	}{
		"governed-motor": {[]string{"OutputPower", "Direct", "GeneratorField", "RegulatorClosed", "RegulatorRate"},
			map[string]string{"regulator contact": "regulator", "plunger travel": "regulator", "commutator voltage": "generator", "output current": "generator", "fuse heat": "fuse"}},
		"ac-driven-twin": {[]string{"OpenFraction", "ClosuresPerTurn", "Spread", "FieldCurrent", "ArmatureCurrent", "MostArmature", "Bus", "BatteryPower"},
			map[string]string{"governor contact": "governor", "weight travel": "governor", "bus voltage": "motor", "armature current": "motor"}},
		"whole-set": {},
	} {
		sim := settled(t, readCard(t, name), machine.Setup{}, quiet)
		for signal, part := range c.signals {
			if err := sim.Recordable("speed", signal); err == nil || !strings.Contains(err.Error(), "["+part+"]") || slices.Contains(sim.Signals(), signal) {
				t.Errorf("%s: recording %q gives %v", name, signal, err)
			}
		}
		if err := sim.Recordable(sim.Signals()...); err != nil || len(sim.Signals()) < 5 {
			t.Errorf("%s: %v", name, err)
		}
		short, err := sim.MeasureFor(1)
		if err != nil {
			t.Fatal(err)
		}
		for _, sum := range []machine.Summary{measured(t, readCard(t, name), machine.Setup{}, quiet), short} {
			v := reflect.ValueOf(sum)
			for i := range v.NumField() {
				field := v.Type().Field(i).Name
				if f := v.Field(i); f.Kind() == reflect.Float64 && math.IsNaN(f.Float()) != slices.Contains(c.lacks, field) {
					t.Errorf("%s: %s is %g", name, field, f.Float())
				}
			}
		}
	}
}

func TestMultiple(t *testing.T) {
	for _, r := range []struct {
		si, written string
		factor      float64
		ok          bool
	}{{"m", "mm", 1e-3, true}, {"m", "m", 1, true}, {"kg", "g", 1e-3, true}, {"m", "g", 0, false}, {"ohm", "", 0, false}} {
		if f, ok := machine.Multiple(r.si, r.written); f != r.factor || ok != r.ok {
			t.Errorf("%q for %q: %v %v", r.written, r.si, f, ok)
		}
	}
	if got := machine.UnitChoices("m"); got != "m, mm or um" {
		t.Error(got)
	}
}
