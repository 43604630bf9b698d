package machine_test

import (
	"encoding/json"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"slipring/engine/machine"
)

// again adds a second part of the kind of one that a card has, alike, under a
// name of its own.
func again(c machine.Card, part, name string) machine.Card {
	c = c.Clone()
	i := slices.IndexFunc(c.Parts, func(p machine.Part) bool { return p.Name == part })
	alike := maps.Clone(c.Parts[i].Given)
	c.FitAs(name, part)
	for key, g := range alike {
		c.Put(name, key, g)
	}
	return c
}

// two is the demonstration motor without its governor, and with a second motor
// like it on the same shaft and the same battery.
func two(t testing.TB) machine.Card {
	return again(without(readCard(t, "governed-motor"), "governor"), "motor", "helper")
}

// Two motors that are alike share a load, and do what one of half the armature
// and half the field resistance does.
func TestTwoMotorsActAsOne(t *testing.T) {
	c := two(t)
	one := without(readCard(t, "governed-motor"), "governor")
	for name, part := range map[string]float64{
		"armature-resistance": 0.5, "armature-inductance": 0.5, "brush-drop-current": 2, "field-resistance": 0.5, "field-resistor": 0.5,
		"field-linkage": 0.5, "field-leakage-inductance": 0.5, "saturation-current": 2, "constant-slope": 0.5,
		"iron-hysteresis": 2, "iron-eddy": 2,
	} {
		was, _ := one.Constant("motor." + name)
		one = set(one, "motor."+name, part*was.Value)
	}
	pair, single := measured(t, c, machine.Setup{}, busy), measured(t, one, machine.Setup{}, busy)
	for _, v := range []struct {
		what      string
		got, want float64
	}{
		{"speed", pair.Frequency, single.Frequency},
		{"armature current of each", pair.ArmatureCurrent, single.ArmatureCurrent / 2},
		{"field current of each", pair.FieldCurrent, single.FieldCurrent / 2},
		{"bus voltage", pair.Bus, single.Bus},
		{"power", pair.BatteryPower, single.BatteryPower},
	} {
		if math.Abs(v.got/v.want-1) > 1e-7 {
			t.Errorf("%s: %.9g, want %.9g", v.what, v.got, v.want)
		}
	}
}

// Two whole sets on one shaft, regulators, fuses, loads and all: no energy is made
// or lost.
func TestTwoOfEachKind(t *testing.T) {
	c := readCard(t, "whole-set")
	for _, p := range c.Parts {
		if p.Name != "shaft" && p.Name != "output" && p.Name != "battery" {
			c = again(c, p.Name, "second-"+p.Name)
		}
	}
	sim := settled(t, c, machine.Setup{Audit: true, RelTol: 1e-9}, machine.Load{Resistance: 94, Bells: 3})
	set := record(t, sim, 1, "armature current", "second-motor armature current", "generator field current", "second-generator generator field current",
		"output current", "second-generator output current")
	for i := range 2 {
		a, b := set.Signals[2*i], set.Signals[2*i+1]
		if last(a) < 0.05 || last(b) < 0.05 {
			t.Errorf("%s is %g, %s %g", a.Name, last(a), b.Name, last(b))
		}
	}
	if a, b := highest(set.Signals[4].Y), highest(set.Signals[5].Y); math.Abs(a/b-1) > 0.05 {
		t.Errorf("one generator gives %g A, the other %g A", a, b)
	}
	if a := sim.Audit(); math.Abs(a.Missing)/a.Supplied > 1e-8 {
		t.Errorf("%.3g J of %.6g J are missing", a.Missing, a.Supplied)
	}
	if err := sim.Plan(machine.Change{At: sim.Time(), What: machine.ResidualLost, Part: "second-generator"}); err != nil {
		t.Fatal(err)
	}
	if v := record(t, sim, 2, "second-generator commutator voltage", "commutator voltage"); math.Abs(last(v.Signals[0])) > 1 || last(v.Signals[1]) < 60 {
		t.Errorf("without residual %g V, the other %g V", last(v.Signals[0]), last(v.Signals[1]))
	}
}

// Each of two has its own signals, faults and losses, and a run of both can be
// cloned, kept and resumed.
func TestTwoMotorsApart(t *testing.T) {
	c := two(t)
	sim := settled(t, c, machine.Setup{Audit: true}, busy)
	for _, name := range []string{"armature current", "helper armature current", "field current", "helper field current"} {
		if !slices.Contains(sim.Signals(), name) {
			t.Errorf("no signal %q among %q", name, sim.Signals())
		}
	}
	lifted := machine.Change{At: 0.2, What: machine.MotorBrushLifted, Part: "helper"}
	if err := sim.Plan(lifted); err != nil {
		t.Fatal(err)
	}
	kept, err := sim.Snapshot()
	if err != nil {
		t.Fatal(err)
	}
	text, _ := json.Marshal(kept)
	var back machine.Snapshot
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	resumed, err := machine.Resume(c, machine.Setup{Audit: true}, busy, back)
	if err != nil {
		t.Fatal(err)
	}
	cloned, err := sim.Clone()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []*machine.Simulation{sim, resumed, cloned} {
		set := record(t, s, 3, "armature current", "helper armature current")
		both, alone := set.Signals[0], set.Signals[1]
		if at := both.At(0.1); math.Abs(at/alone.At(0.1)-1) > 1e-6 {
			t.Errorf("before the fault %g A and %g A", at, alone.At(0.1))
		}
		if last(alone) != 0 || last(both) < 1.5*both.At(0.1) {
			t.Errorf("with a brush lifted %g A, and %g A in the other", last(alone), last(both))
		}
		a := s.Audit()
		if part := math.Abs(a.Missing) / a.Supplied; !(part < 1e-8) {
			t.Errorf("%.3g J of %.6g J are missing", a.Missing, a.Supplied)
		}
	}
	lifted.Part, lifted.At = "pump", 10
	if err := sim.Plan(lifted); err == nil || !strings.Contains(err.Error(), `"pump"`) {
		t.Errorf("a fault of a part that there is not: %v", err)
	}
}

// A set can have two governors, each at the resistor of its motor; but not two
// shafts.
func TestSeveralOnOneCard(t *testing.T) {
	c := again(again(readCard(t, "governed-motor"), "motor", "helper"), "governor", "second")
	set := record(t, settled(t, c, machine.Setup{}, busy), 1, "governor contact", "second governor contact", "weight travel", "second weight travel")
	for i := range 2 {
		a, b := set.Signals[2*i], set.Signals[2*i+1]
		for at := 0.05; at < 1; at += 0.1 {
			if math.Abs(a.At(at)-b.At(at)) > 1e-3 {
				t.Errorf("%s is %g, %s %g", a.Name, a.At(at), b.Name, b.At(at))
			}
		}
	}
	if n := len(again(c, "battery", "spare").Constants()); n != len(c.Constants())+3 {
		t.Errorf("%d constants with a spare battery, %d without", n, len(c.Constants()))
	}
	flaws := again(c, "shaft", "other").Validate()
	if len(flaws) != 1 || flaws[0].Part != "other" || flaws[0].Next == "" {
		t.Errorf("two shafts: %v", flaws)
	}
	fused := readCard(t, "whole-set")
	for _, part := range []string{"fuse", "regulator"} {
		flaws := again(fused, part, "other").Validate()
		if len(flaws) != 1 || flaws[0].Part != "other" || !strings.Contains(flaws[0].Reason, "of its own") || flaws[0].Next == "" {
			t.Errorf("two of %s: %v", part, flaws)
		}
	}
	if c.FitAs("x", "pump") {
		t.Error("there is no kind called pump")
	}
}
