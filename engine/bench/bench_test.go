package bench_test

import (
	"math"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/machine"
	"slipring/engine/tell"
)

// demo is a governed motor alone, with a brake as its load.
func demo(t testing.TB) *bench.Set { return open(t, "governed-motor") }

var (
	idle = machine.Load{Torque: 0.3}
	busy = machine.Load{Torque: 1.3}
)

// What every keeper of such a set expects (common practice, no source): open
// for about 77 % of a turn at 19.95 turns a second idle, 87 % at 19.85 loaded,
// and one closure in each turn.
func TestTradePoints(t *testing.T) {
	for _, c := range []struct {
		name            string
		set             *bench.Set
		load            machine.Load
		frequency, open float64
	}{
		{"motor alone, idle", demo(t), idle, 19.95, 0.77},
		{"motor alone, loaded", demo(t), busy, 19.85, 0.87},
		{"whole set, idle", open(t, "whole-set"), machine.Load{}, 19.95, 0.77},
		{"whole set, loaded", open(t, "whole-set"), full, 19.85, 0.87},
	} {
		r := c.set.Steady(c.load)
		if math.Abs(r.Frequency-c.frequency) > 0.02 || math.Abs(r.OpenFraction-c.open) > 0.01 {
			t.Errorf("%s: %.4f Hz, open %.4f; want %.2f Hz, %.2f", c.name, r.Frequency, r.OpenFraction, c.frequency, c.open)
		}
		if r.ClosuresPerTurn != 1 || r.Period != 1 || r.HuntingFrequency != 0 {
			t.Errorf("%s: %g closures a turn, repeats after %d turns, hunts at %g Hz", c.name, r.ClosuresPerTurn, r.Period, r.HuntingFrequency)
		}
	}
}

func TestWithoutGravityItHunts(t *testing.T) {
	r := demo(t).WithoutGravity().Steady(idle)
	if r.HuntingFrequency < 4 || r.HuntingFrequency > 5 {
		t.Errorf("hunts at %g Hz; want 4 to 5", r.HuntingFrequency)
	}
	if swing := r.SpeedHigh - r.SpeedLow; swing < 0.05 || swing > 0.3 {
		t.Errorf("speed swings by %g Hz", swing)
	}
	if r.ClosuresPerTurn > 0.5 {
		t.Errorf("%g closures a turn", r.ClosuresPerTurn)
	}
}

// A weight on a spring swings in proportion to what drives it (superposition;
// Den Hartog, Mechanical Vibrations, section 2.8), so on the moon, where
// gravity pulls with 1.62 m/s2 (NASA, Moon Fact Sheet, from memory), by that
// part of what it does on the earth. The shaft turns too slowly for the
// contact to interfere.
func TestGravityOfTheMoon(t *testing.T) {
	set := demo(t)
	swing := func(s *bench.Set) float64 {
		low, high := math.Inf(1), math.Inf(-1)
		for _, y := range s.Held(19).Traces("weight travel").Turns(1).Signals[0].Y {
			low, high = min(low, y), max(high, y)
		}
		return high - low
	}
	earth := swing(set)
	if got, want := swing(set.WithGravity(1.62))/earth, 1.62/9.81; math.Abs(got/want-1) > 1e-4 {
		t.Errorf("on the moon the weight swings by %g of what it does here, want %g", got, want)
	}
	if got := swing(set.WithGravity(machine.Gravity)) / earth; math.Abs(got-1) > 1e-9 {
		t.Errorf("with the earth's gravity it swings by %g of what it does", got)
	}
	if g := set.WithGravity(1.62).Governor().Gravity; g != 1.62 {
		t.Errorf("the governor's closed forms take %g m/s2", g)
	}
	none, on := set.WithGravity(0), set.WithoutGravity().WithGravity(5)
	if swing(none) > 1e-6*earth || none.Governor().Gravity != 0 || on.Governor().Gravity != 5 {
		t.Error("gravity cannot be turned off and on again")
	}
}

func TestRunsAreKept(t *testing.T) {
	set := demo(t)
	if first, again := set.Steady(idle), set.Steady(idle); first != again {
		t.Error("the same run was made twice")
	}
	if set.Steady(idle) == set.Steady(busy) || set.Steady(idle) == set.WithoutGravity().Steady(idle) {
		t.Error("different runs are one")
	}
	a := set.WithConstant("governor.damping", 0.2).Steady(idle)
	b := set.WithConstant("governor.damping", 0.3).Steady(idle)
	if a == b || a.OpenFraction == b.OpenFraction {
		t.Error("two values of one constant gave one run")
	}
}

func TestTraces(t *testing.T) {
	set := demo(t)
	run := set.Steady(idle)
	turns := run.Traces("governor contact", "output", "speed").Turns(3)
	if len(turns.Starts) != 4 || turns.Starts[0] != 0 {
		t.Fatalf("starts of turns: %v", turns.Starts)
	}
	contact := turns.Signals[0]
	open := 0.0
	for i := 1; i < len(contact.T); i++ {
		if contact.Y[i-1] == 0 {
			open += contact.T[i] - contact.T[i-1]
		}
	}
	if got := open / turns.Starts[3]; math.Abs(got-run.OpenFraction) > 1e-6 {
		t.Errorf("the trace is open for %.7f of the time, the run says %.7f", got, run.OpenFraction)
	}
	if got := 3 / turns.Starts[3]; math.Abs(got-run.Frequency) > 1e-6 {
		t.Errorf("the trace turns at %.7f Hz, the run says %.7f", got, run.Frequency)
	}
	// the output starts each turn at the keying angle, which is 0, going up
	out := turns.Signals[1]
	if math.Abs(out.Y[0]) > 1e-9 || out.At(0.0125) < 117 {
		t.Errorf("output starts at %g V and is %g V after a quarter turn", out.Y[0], out.At(0.0125))
	}
}

func TestStep(t *testing.T) {
	set := demo(t)
	r := set.Step(idle, busy, 3)
	steady := set.Steady(busy)
	if math.Abs(r.Frequency-steady.Frequency) > 1e-4 {
		t.Errorf("3 s after the step: %g Hz; settled: %g Hz", r.Frequency, steady.Frequency)
	}
	if r.SpeedLow > steady.SpeedLow-0.05 {
		t.Errorf("the speed dips to %g Hz only", r.SpeedLow)
	}
	w := r.Traces("speed").Window(0, 3.5).Signals[0]
	before := set.Steady(idle)
	if v := w.At(0.49); v < before.SpeedLow-1e-3 || v > before.SpeedHigh+1e-3 {
		t.Errorf("just before the step the trace shows %g Hz", v)
	}
	low := math.Inf(1)
	for _, v := range w.Y {
		low = min(low, v)
	}
	if math.Abs(low-r.SpeedLow) > 1e-3 {
		t.Errorf("the trace dips to %g Hz, the run says %g", low, r.SpeedLow)
	}
}

// The closed form holds for a contact that does not push back.
func TestRuleAgreesWithSimulation(t *testing.T) {
	set := demo(t).WithConstant("governor.contact-stiffness", 0)
	for _, n := range []float64{19.9, 20.1, 20.3, 20.5, 20.7} {
		rule, simulated := set.OpenFractionRule(n), set.OpenFractionAt(n)
		if math.Abs(rule-simulated) > 1e-6 {
			t.Errorf("at %g turns a second: rule %.7f, simulation %.7f", n, rule, simulated)
		}
	}
	low, high := set.Band()
	if o := set.OpenFractionAt(low - 0.02); o != 1 {
		t.Errorf("below the band the contact is open for %g", o)
	}
	if o := set.OpenFractionAt(high + 0.02); o != 0 {
		t.Errorf("above the band the contact is open for %g", o)
	}
}

func TestMisuse(t *testing.T) {
	set := demo(t)
	for name, call := range map[string]func(){
		"unknown constant":  func() { set.Constant("motor.wings") },
		"impossible value":  func() { set.WithConstant("shaft.inertia", -1) },
		"soft spring":       func() { set.WithConstant("governor.spring-frequency", 25) },
		"negative load":     func() { set.Steady(machine.Load{Torque: -1}) },
		"load that stalls":  func() { set.Steady(machine.Load{Torque: 100}) },
		"held backwards":    func() { set.Held(-20) },
		"unknown signal":    func() { set.Steady(idle).Traces("wind") },
		"no signal":         func() { set.Steady(idle).Traces() },
		"no turns":          func() { set.Steady(idle).Traces("speed").Turns(0) },
		"empty window":      func() { set.Steady(idle).Traces("speed").Window(1, 1) },
		"window too long":   func() { set.Steady(idle).Traces("speed").Window(0, 1e6) },
		"window of nothing": func() { set.Steady(idle).Traces("speed").Window(math.NaN(), 1) },
		"endless step":      func() { set.Step(idle, busy, 1e9) },
		"upward gravity":    func() { set.WithGravity(-1) },
		"no number":         func() { set.WithGravity(math.NaN()) },
		"unknown card":      func() { bench.New(nil).Open("other") },
	} {
		t.Run(name, func(t *testing.T) {
			defer func() {
				m, ok := recover().(tell.Misuse)
				if !ok || m.Text == "" || m.Hint == "" {
					t.Errorf("want a Misuse with text and hint, got %+v", m)
				}
			}()
			call()
		})
	}
}
