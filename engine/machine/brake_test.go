package machine_test

import (
	"math"
	"strings"
	"testing"

	"slipring/engine/machine"
)

// A resistor across the armature brakes a motor without losses whose field
// stays on a stiff battery. Speed and current then follow
// J w' = K i, L i' = -K w - (Ra + R) i, a pair of exponentials (rheostatic
// braking, as in B. L. and A. K. Theraja, A Textbook of Electrical Technology,
// Vol. II, on electric braking of shunt motors; from memory), and what the
// shaft had stored goes into the two resistances in their ratio.
func TestBrake(t *testing.T) {
	const ra, volts, slope, ohm = 0.4, 200.0, 0.3, 1.6
	const k, la, inertia, w0 = slope * 4, 1e-3, 2.0, 100.0 // 4 A through 50 ohm
	c := textbookCard(ra, volts, slope)
	sim, err := machine.NewIn(c, machine.Setup{Audit: true}, quiet, map[string]float64{"motor field current": 4, "shaft speed": w0})
	if err != nil {
		t.Fatal(err)
	}
	if err := sim.Plan(machine.Change{What: machine.BrakeArmature, Amount: ohm}); err != nil {
		t.Fatal(err)
	}
	r := (ra + ohm) / la
	root := math.Sqrt(r*r - 4*k*k/(la*inertia))
	slow, fast := (-r+root)/2, (-r-root)/2
	for _, at := range []float64{0.01, 0.5, 2, 5} {
		if err := sim.Advance(at - sim.Time()); err != nil {
			t.Fatal(err)
		}
		w := w0 * (slow*math.Exp(fast*at) - fast*math.Exp(slow*at)) / (slow - fast)
		i := inertia / k * w0 * slow * fast * (math.Exp(fast*at) - math.Exp(slow*at)) / (slow - fast)
		state, _ := sim.Coordinates()
		if math.Abs(state[2]-w) > 1e-5*w0 || math.Abs(state[0]-i) > 1e-5*k*w0/(ra+ohm) {
			t.Errorf("after %g s %.6f rad/s at %.6f A, want %.6f at %.6f", at, state[2], state[0], w, i)
		}
	}
	heat := map[string]float64{}
	for _, s := range sim.Audit().Spent {
		heat[s.Where] = s.Joule
	}
	if got := heat["braking resistor"] / heat["motor armature and starter"]; math.Abs(got-ohm/ra) > 1e-6 {
		t.Errorf("the resistor takes %g times what the armature takes, want %g", got, ohm/ra)
	}
	state, _ := sim.Coordinates()
	if got, want := heat["braking resistor"]+heat["motor armature and starter"], inertia*(w0*w0-state[2]*state[2])/2-la*state[0]*state[0]/2; math.Abs(got/want-1) > 1e-8 {
		t.Errorf("%g J of heat, %g J left the shaft", got, want)
	}
}

// The whole set brakes far quicker than it coasts, even when its fuse is gone
// or the switch opens too, and its own field then brakes it.
func TestBrakeTheWholeSet(t *testing.T) {
	c := readCard(t, "whole-set")
	stops := func(changes ...machine.Change) float64 {
		t.Helper()
		sim := settled(t, c, machine.Setup{}, quiet)
		if err := sim.Plan(changes...); err != nil {
			t.Fatal(err)
		}
		speed := record(t, sim, 20, "speed").Signals[0]
		for i, n := range speed.Y {
			if n < 2 {
				return speed.T[i]
			}
		}
		return math.Inf(1)
	}
	brake := machine.Change{At: 1, What: machine.BrakeArmature, Amount: 0.5}
	open := machine.Change{At: 1, What: machine.OpenSwitch}
	coasts, braked, alone := stops(open)-1, stops(brake)-1, stops(brake, open)-1
	if braked > coasts/5 || braked < 0.1 {
		t.Errorf("down to two turns a second in %.2f s coasting, in %.2f s braked", coasts, braked)
	}
	if alone < braked || alone > coasts {
		t.Errorf("with the switch open too it takes %.2f s, with its field on %.2f s, coasting %.2f s", alone, braked, coasts)
	}
	// the fuse is not in the loop, and melted it does not hinder
	melted := settled(t, c, machine.Setup{}, quiet)
	if err := melted.Plan(machine.Change{At: 0.5, What: machine.PutLoad, Load: machine.Load{Torque: 60}},
		machine.Change{At: 2, What: machine.PutLoad}, machine.Change{At: 2, What: machine.BrakeArmature, Amount: 0.5}); err != nil {
		t.Fatal(err)
	}
	set := record(t, melted, 3, "armature current", "fuse heat")
	if a := set.Signals[0].At(1.9); a != 0 {
		t.Errorf("%g A with the fuse melted", a)
	}
	for _, bad := range []machine.Change{{What: machine.BrakeArmature}, {What: machine.BrakeArmature, Amount: -1}, {What: machine.FreeRegulator}} {
		if err := settled(t, readCard(t, "governed-motor"), machine.Setup{}, quiet).Plan(bad); err == nil {
			t.Errorf("%+v was planned", bad)
		}
	}
}

// A contact that a hand holds closes and opens at the times that are told, and
// works again when it is freed.
func TestHeldContacts(t *testing.T) {
	c := readCard(t, "whole-set")
	for _, h := range []struct {
		signal  string
		changes []machine.Change
		free    machine.Action
	}{
		{"governor contact", machine.HoldGovernor(0.5, 0.6, 0.65, 0.8, 0.82), machine.FreeGovernor},
		{"regulator contact", machine.HoldRegulator(0.5, 0.6, 0.65, 0.8, 0.82), machine.FreeRegulator},
	} {
		sim := settled(t, c, machine.Setup{}, quiet)
		if err := sim.Plan(append(h.changes, machine.Change{At: 1.5, What: h.free})...); err != nil {
			t.Fatal(err)
		}
		contact := record(t, sim, 3, h.signal).Signals[0]
		for _, s := range []struct{ from, to, is float64 }{{0.5, 0.6, 0}, {0.6, 0.65, 1}, {0.65, 0.8, 0}, {0.8, 0.82, 1}, {0.82, 1.5, 0}} {
			for _, at := range []float64{s.from + 1e-9, (s.from + s.to) / 2, s.to - 1e-9} {
				if got := contact.At(at); got != s.is {
					t.Errorf("%s: %g at %g s, want %g", h.signal, got, at, s.is)
				}
			}
		}
		changes := 0
		for i, at := range contact.T {
			if at > 2 && contact.Y[i] == 1 {
				changes++
			}
		}
		if changes < 15 {
			t.Errorf("%s: closes %d times in a second after it was freed", h.signal, changes)
		}
	}
}

// A set begins in the state that is told: a fuse still warm from a first
// direct start melts in the second; a shaft that turns goes on from there.
func TestStartFromAState(t *testing.T) {
	c := readCard(t, "whole-set")
	from := func(s machine.Start) machine.Setup { return machine.Setup{AtRest: true, Start: s} }
	for heat, melts := range map[float64]bool{0: false, 20: false, 300: true} {
		sum, err := begun(t, c, from(machine.Start{FuseHeat: heat})).MeasureFor(20)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.HasPrefix(sum.Stopped, "the fuse melted"); got != melts {
			t.Errorf("with a heat of %g A2 the fuse melts: %v (%q at %.2f turns a second)", heat, got, sum.Stopped, sum.Frequency)
		}
	}
	set := record(t, begun(t, c, from(machine.Start{Speed: 15, Armature: 3, Field: 0.4, GeneratorField: 0.1})), 10,
		"speed", "armature current", "field current", "generator field current", "weight travel")
	for i, want := range []float64{15, 3, 0.4, 0.1} {
		if got := set.Signals[i].Y[0]; math.Abs(got-want) > 1e-12 {
			t.Errorf("%s begins at %g, want %g", set.Signals[i].Name, got, want)
		}
	}
	// the weight hangs where it would stay at that speed, below the contact
	g := model[machine.Governor](c, "governor")
	if got := set.Signals[4].Y[0]; got > 0 || math.Abs(got/1e3-g.Offset(15)) > 2*g.Amplitude(15) {
		t.Errorf("the weight begins at %g mm, its offset there is %g mm", got, 1e3*g.Offset(15))
	}
	if n := last(set.Signals[0]); math.Abs(n-19.95) > 0.05 {
		t.Errorf("it ends at %g turns a second", n)
	}
	for what, bad := range map[string]machine.Setup{
		"cannot begin at -1":  from(machine.Start{Speed: -1}),
		"cannot have a heat":  from(machine.Start{FuseHeat: 700}),
		"cannot begin at 5":   {HeldSpeed: 20, Start: machine.Start{Speed: 5}},
		"cannot begin with a": from(machine.Start{Field: math.NaN()}),
	} {
		if _, err := machine.New(c, bad, quiet); err == nil || !strings.Contains(err.Error(), what) {
			t.Errorf("got %v, want %q", err, what)
		}
	}
	if _, err := machine.New(readCard(t, "governed-motor"), from(machine.Start{FuseHeat: 3}), quiet); err == nil || !strings.Contains(err.Error(), "[fuse]") {
		t.Errorf("heat in a fuse that is not there: %v", err)
	}
}
