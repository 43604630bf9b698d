package bench_test

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/card"
	"slipring/engine/machine"
	"slipring/engine/tell"
	"slipring/engine/waveform"
)

func open(t testing.TB, name string) *bench.Set {
	t.Helper()
	file := "../machine/testdata/" + name + ".toml"
	source, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	c, messages := card.Read(file, source)
	for _, m := range messages {
		t.Fatal(m)
	}
	return bench.New([]machine.Card{c}).Open(name)
}

var full = machine.Load{Resistance: 47}

func TestWholeSet(t *testing.T) {
	set := open(t, "whole-set")
	if r := set.VoltageRegulation(full); r < 0.02 || r > 0.03 {
		t.Errorf("voltage regulation %g", r)
	}
	if r := set.SpeedRegulation(full); r < 0.004 || r > 0.006 {
		t.Errorf("speed regulation %g", r)
	}
	// 84 V on 84^2/146 ohm is 146 W
	if a, b := set.Steady(machine.Load{Watts: 146}), set.Steady(machine.Load{Resistance: 84 * 84 / 146.0}); math.Abs(a.Frequency-b.Frequency) > 1e-9 {
		t.Errorf("a load of 146 W gives %g Hz, of its resistance %g Hz", a.Frequency, b.Frequency)
	}
	run := set.Steady(full)
	amplitudes := run.Harmonics(5)
	if crest := run.OutputVoltage * math.Sqrt2; math.Abs(amplitudes[1]/crest-1) > 0.01 {
		t.Errorf("fundamental %.2f V, crest of the r.m.s. voltage %.2f V", amplitudes[1], crest)
	}
	// the load's ripple at twice the frequency makes a third harmonic
	if amplitudes[3] < 2*amplitudes[2] {
		t.Errorf("third harmonic %.3g V, second %.3g V", amplitudes[3], amplitudes[2])
	}
	if d := run.Distortion(); d < amplitudes[3]/amplitudes[1] || d > 0.1 {
		t.Errorf("distortion %g", d)
	}
	if v := set.LowTone().Frequency(19.95); math.Abs(v-159.6) > 1e-9 {
		t.Errorf("low tone %g Hz", v)
	}
	if v := set.LowTone().OpenVoltage(19.95); math.Abs(v-11.3) > 0.05 {
		t.Errorf("low tone %g V", v)
	}
	if v := set.HighTone().OpenVoltage(19.95); math.Abs(v-11.9) > 0.05 {
		t.Errorf("high tone %g V", v)
	}
	a := set.Energy(full, 1)
	spent := a.Stored + a.Arcs
	for _, w := range a.Spent {
		spent += w.Joule
	}
	if math.Abs(spent/a.Supplied-1) > 1e-7 || math.Abs(a.Supplied-run.BatteryPower) > 0.5 {
		t.Errorf("%g J supplied, %g J spent and stored; mean power %g W", a.Supplied, spent, run.BatteryPower)
	}
}

func TestWhatHappens(t *testing.T) {
	set := open(t, "whole-set")
	direct, soft := set.Start(8), set.StartWith(11, 5, 8)
	if direct.ArmatureMost < 85 || soft.ArmatureMost > 11.2 {
		t.Errorf("the start takes %g A, with a starter %g A", direct.ArmatureMost, soft.ArmatureMost)
	}
	for _, r := range []*bench.Run{direct, soft} {
		if math.Abs(r.Frequency-19.95) > 0.05 {
			t.Errorf("the start ends at %g Hz", r.Frequency)
		}
		if y := r.Traces("speed").Window(0, 1).Signals[0].Y; y[0] != 0 {
			t.Errorf("the trace of a start begins at %g Hz", y[0])
		}
	}
	coast := set.Coast(full, 20)
	if math.Abs(coast.Frequency) > 0.01 || math.Abs(coast.SpeedHigh-19.87) > 0.03 {
		t.Errorf("coasting from %g Hz ends at %g Hz", coast.SpeedHigh, coast.Frequency)
	}
	if v := set.BuildUp(20, 4).DirectVoltage; math.Abs(v-119.7) > 1 {
		t.Errorf("builds up to %g V", v)
	}
	sag := set.Sag(machine.Load{}, 3, 1, 5)
	if well := set.Steady(machine.Load{}); sag.OpenFraction <= well.OpenFraction || sag.BusVoltage > well.BusVoltage-2.9 {
		t.Errorf("after a sag the bus has %g V, the contact is open for %g", sag.BusVoltage, sag.OpenFraction)
	}
	names := set.Faults()
	if !slices.Contains(names, "governor leaf broken") {
		t.Fatalf("faults: %v", names)
	}
	broken := set.Fault("governor leaf broken", full, 10)
	if broken.Frequency > 18 || broken.OpenFraction != 0 {
		t.Errorf("with a broken leaf %g Hz, open %g", broken.Frequency, broken.OpenFraction)
	}
	contact := broken.Traces("governor contact", "speed").Window(0, 2).Signals[0]
	if contact.At(1.9) != 1 {
		t.Error("with a broken leaf the contact is not closed")
	}
	if set.FaultSentence("governor leaf broken") == "" {
		t.Error("a fault without a sentence")
	}
	hunts := set.WithCoilOnBrushes().WithConstant("regulator.coil-resistance", 2135).Steady(machine.Load{})
	if hunts.RegulatorRate > 15 || hunts.OutputSpread < 1 {
		t.Errorf("on direct current the regulator works %g times a second, the voltage spreads by %g V", hunts.RegulatorRate, hunts.OutputSpread)
	}
	dynamo := open(t, "driven-dynamo").DrivenAt(20).Steady(full)
	if math.Abs(dynamo.OutputVoltage-82.5) > 1 || dynamo.Frequency < 19.9999 {
		t.Errorf("the driven dynamo gives %g V at %g Hz", dynamo.OutputVoltage, dynamo.Frequency)
	}
	twin := open(t, "ac-driven-twin").Steady(full)
	if math.Abs(twin.Frequency-20) > 1e-6 || math.Abs(twin.OutputVoltage-82) > 1.5 {
		t.Errorf("the mains-driven twin gives %g V at %g Hz", twin.OutputVoltage, twin.Frequency)
	}
}

// A run that is begun in a state of one's own, one that is braked, one whose
// contact a hand holds, and one that has another steady state.
func TestWhatMayBeAsked(t *testing.T) {
	set := open(t, "whole-set")
	again := set.Begin(machine.Start{FuseHeat: 300}, machine.Load{}, 20)
	if !strings.HasPrefix(again.Stopped, "the fuse melted") || set.Start(20).Stopped != "" {
		t.Errorf("a warm fuse: %q, a cold one: %q", again.Stopped, set.Start(20).Stopped)
	}
	if n := set.Begin(machine.Start{Speed: 15}, full, 2).Traces("speed").Window(0, 0.1).Signals[0].Y[0]; n != 15 {
		t.Errorf("begins at %g turns a second", n)
	}
	braked, coasting := set.Brake(full, 0.5, 3), set.Coast(full, 3)
	if braked.Frequency > 1 || coasting.Frequency < 5 {
		t.Errorf("after 3 s it makes %g turns a second braked, %g coasting", braked.Frequency, coasting.Frequency)
	}
	held := set.Play(machine.Load{}, 3, machine.HoldGovernor(0.5, 1, 1.25, 2)...)
	if c := held.Traces("governor contact").Window(0, 3).Signals[0]; c.At(0.75) != 0 || c.At(1.1) != 1 || c.At(1.9) != 0 || c.At(2.5) != 1 {
		t.Error("the contact is not where the hand holds it")
	}
	loose := set.WithConstant("regulator.damping", 0.3).Steady(machine.Load{})
	if math.Abs(loose.OutputVoltage-83.25) > 0.01 || math.Abs(loose.OutputElsewhere-87.2) > 0.02 {
		t.Errorf("little damping: %g V, elsewhere %g V", loose.OutputVoltage, loose.OutputElsewhere)
	}
	if v := set.Steady(full).OutputElsewhere; v != 0 {
		t.Errorf("elsewhere %g V at full load", v)
	}
}

// What stands still, or is not there, is told at the cell with its cause and
// what to do.
func TestWhatIsNotThere(t *testing.T) {
	set, alone := open(t, "whole-set"), demo(t)
	twin := open(t, "ac-driven-twin")
	for _, c := range []struct {
		call       func()
		text, hint string
	}{
		{func() { set.Steady(machine.Load{Torque: 8}) }, "the fuse melts under this load, which takes 26 A of the armature", "less load"},
		{func() { alone.Steady(machine.Load{Torque: 60}) }, "the shaft stalls", "less load"},
		{func() { alone.Steady(idle).Traces("speed", "regulator contact") }, `the signal "regulator contact" needs the part [regulator]`, "governor contact"},
		{func() { twin.Steady(full).Traces("weight travel") }, `needs the part [governor]`, "plunger travel"},
		{func() { twin.OpenFractionAt(20) }, "has no governor", "card"},
		{func() { alone.Begin(machine.Start{FuseHeat: 3}, idle, 2) }, "[fuse]", ""},
		{func() { alone.Brake(idle, 0, 2) }, "a resistor of 0 ohm cannot be put across", ""},
		{func() { new(tell.Sheet).Value("idle.open", 100*twin.Steady(full).OpenFraction, "%") }, `value "idle.open" is NaN`, "a part that the set has not"},
	} {
		func() {
			defer func() {
				m, ok := recover().(tell.Misuse)
				if !ok || !strings.Contains(m.Text, c.text) || !strings.Contains(m.Hint, c.hint) || m.Hint == "" {
					t.Errorf("want %q and %q, got %+v", c.text, c.hint, m)
				}
			}()
			c.call()
		}()
	}
}

// The hunting that a summary reports against the other measure of it, that of
// the means of turns in a recorded trace.
func TestHuntingMeasuredTwice(t *testing.T) {
	run := demo(t).WithoutGravity().Steady(idle)
	set := run.Traces("speed").Turns(200)
	var h waveform.Hunting
	h, err := set.Hunting("speed")
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(h.Frequency-run.HuntingFrequency) > 0.05 {
		t.Errorf("%g Hz in the summary, %g Hz in the trace", run.HuntingFrequency, h.Frequency)
	}
}

func TestMisuseOfTheWholeSet(t *testing.T) {
	set := open(t, "whole-set")
	alone := demo(t)
	for name, call := range map[string]func(){
		"unknown fault":        func() { set.Fault("rust", full, 3) },
		"fault without part":   func() { alone.Fault("residual lost", idle, 3) },
		"load without part":    func() { alone.Steady(full) },
		"bells without part":   func() { alone.Steady(machine.Load{Bells: 2}) },
		"two loads in one":     func() { set.Steady(machine.Load{Resistance: 47, Watts: 100}) },
		"endless":              func() { set.Play(full, 1e6) },
		"a change in the past": func() { set.Play(full, 3, machine.Change{At: -1}) },
		"no generator":         func() { alone.Generator() },
		"no tone":              func() { alone.LowTone() },
		"no build-up":          func() { alone.BuildUp(20, 3) },
		"limits of a starter":  func() { set.Starter(5, 11) },
		"idle starter":         func() { set.StartWith(0, 0, 5) },
		"energy of ever":       func() { set.Energy(full, math.Inf(1)) },
		"nothing drives it":    func() { open(t, "driven-dynamo").Steady(full) },
		"turns of a start":     func() { set.Start(5).Traces("speed").Turns(3) },
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

func TestScrews(t *testing.T) {
	set := open(t, "whole-set")
	c := set.Card()
	c.Fit("screws")
	c.Put("screws", "governor-pitch", machine.Given{Value: 0.2, Unit: "mm", Origin: machine.Assumed})
	c.Put("screws", "regulator-pitch", machine.Given{Value: 0.5, Unit: "mm", Origin: machine.Assumed})
	screwed := bench.New([]machine.Card{c}).Open("whole-set")
	turned := screwed.WithScrews(0.5, -1)
	for name, want := range map[string]float64{
		"governor.radius":          set.Constant("governor.radius") + 1e-4,
		"governor.contact-speed":   set.Governor().ContactSpeedAt(1e-4),
		"regulator.plunger-weight": set.Constant("regulator.plunger-weight") - set.Constant("regulator.spring-stiffness")*5e-4,
	} {
		if got := turned.Constant(name); math.Abs(got-want) > 1e-12 {
			t.Errorf("%s is %g, want %g", name, got, want)
		}
	}
	if screwed.WithScrews(0, 0) != screwed {
		t.Error("screws that are not turned make another set")
	}
	if a, b := screwed.WithScrews(0.5, 0).Steady(machine.Load{}), set.WithContactOut(1e-4).Steady(machine.Load{}); a.Frequency != b.Frequency || a.Frequency <= set.Steady(machine.Load{}).Frequency {
		t.Errorf("half a turn gives %g Hz, the same way of the contact %g Hz", a.Frequency, b.Frequency)
	}
	if low, as := turned.Steady(machine.Load{}).OutputVoltage, screwed.Steady(machine.Load{}).OutputVoltage; low >= as {
		t.Errorf("a slacker spring gives %g V, in place of %g V", low, as)
	}
	for _, far := range []float64{-200, 1e9} {
		func() {
			defer func() {
				if _, ok := recover().(tell.Misuse); !ok {
					t.Errorf("%g turns are no misuse", far)
				}
			}()
			screwed.WithScrews(far, 0)
		}()
	}
}
