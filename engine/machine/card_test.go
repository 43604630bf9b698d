package machine_test

import (
	"strings"
	"testing"

	"slipring/engine/machine"
)

func TestEntriesAreWholeAndOrdered(t *testing.T) {
	c := readCard(t, "governed-motor")
	seen := map[string]bool{}
	last := -1
	parts := machine.PartNames()
	for _, e := range c.Entries() {
		name := e.Part + "." + e.Key
		if seen[name] || e.Doc == "" || e.Constant.Unit == "" || e.Constant.From == "" {
			t.Errorf("entry %q is incomplete or stands twice: %+v", name, e)
		}
		seen[name] = true
		i := 0
		for i < len(parts) && parts[i] != e.Part {
			i++
		}
		if i < last || i == len(parts) {
			t.Errorf("entry %q is out of order", name)
		}
		last = i
		if slot := c.Find(name); slot == nil || *slot.Constant != e.Constant {
			t.Errorf("Find(%q) does not find it", name)
		}
	}
	if len(seen) < 30 {
		t.Errorf("only %d entries", len(seen))
	}
	if c.Find("motor.nothing") != nil || c.Find("nothing") != nil {
		t.Error("found what is not there")
	}
}

func TestWithLeavesTheCardAlone(t *testing.T) {
	c := readCard(t, "governed-motor")
	d, err := c.With("governor.radius", 0.02)
	if err != nil {
		t.Fatal(err)
	}
	if c.Governor.Radius.Value != 13.263 || d.Governor.Radius.Value != 0.02 || d.Governor.Radius.From != machine.Assumed {
		t.Errorf("before %v, after %v", c.Governor.Radius, d.Governor.Radius)
	}
	if d.Find("governor.radius").SI() != 0.02 || c.Find("governor.radius").SI() != 0.013263 {
		t.Error("wrong values in SI units")
	}
}

func TestValidate(t *testing.T) {
	for name, r := range map[string]struct {
		spoil     func(*machine.Card)
		part, key string
		reason    string
	}{
		"negative":        {func(c *machine.Card) { c.Motor.ArmatureResistance.Value = -1 }, "motor", "armature-resistance", "impossible"},
		"zero":            {func(c *machine.Card) { c.Shaft.Inertia.Value = 0 }, "shaft", "inertia", "impossible"},
		"no unit":         {func(c *machine.Card) { c.Shaft.Inertia.Unit = "" }, "shaft", "inertia", "unit"},
		"wrong unit":      {func(c *machine.Card) { c.Governor.Radius.Unit = "kg" }, "governor", "radius", `"kg"`},
		"too soft":        {func(c *machine.Card) { c.Governor.SpringFrequency.Value = 28.7 }, "governor", "spring-frequency", "too soft"},
		"motor no source": {func(c *machine.Card) { c.Battery = nil }, "motor", "", "battery"},
		"no shaft":        {func(c *machine.Card) { c.Shaft = nil }, "motor", "", "shaft"},
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
	c := readCard(t, "governed-motor")
	c.Governor.SpringFrequency.Value = 28.8
	if f := c.Validate(); len(f) > 0 {
		t.Error(f)
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
