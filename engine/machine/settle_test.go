package machine_test

import (
	"errors"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"slipring/engine/machine"
	"slipring/engine/ode"
)

// A set that is made under a load settles where one ends that has run idle
// before it got the load, its fuse as warm.
func TestSettledFromGuessAsFromIdle(t *testing.T) {
	for name, loads := range map[string][]machine.Load{
		"whole-set": {{Resistance: 0.1}, {Resistance: 0.5}, {Resistance: 2}, {Resistance: 6}, {Resistance: 20}, {Resistance: 47}, {Resistance: 1000},
			{Torque: 3}, {Torque: 7}, {Bells: 60}, {Bells: 500}, {Torque: 2, Resistance: 20, Bells: 50}},
		"governed-motor": {{Torque: 1.3}, {Torque: 8}, {Torque: 15}},
		"ac-driven-twin": {{Torque: 3}, {Resistance: 47}},
	} {
		c := readCard(t, name)
		idle := settled(t, c, machine.Setup{}, quiet)
		for _, load := range loads {
			guessed := settled(t, c, machine.Setup{}, load)
			loaded, err := idle.Clone()
			if err != nil {
				t.Fatal(err)
			}
			if err := loaded.Change(load); err != nil {
				t.Fatal(err)
			}
			if err := loaded.Settle(); err != nil {
				t.Fatalf("%s, %+v: %v", name, load, err)
			}
			want, _ := loaded.Coordinates()
			if far := farthest(guessed, want); far > 3e-6 {
				t.Errorf("%s, %+v: the states differ by %.2g", name, load, far)
			}
			a, err := guessed.Measure()
			if err != nil {
				t.Fatal(err)
			}
			b, err := loaded.Measure()
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(a.Frequency/b.Frequency-1) > 1e-7 || math.Abs(a.Output/b.Output-1) > 1e-7 || a.Period != b.Period {
				t.Errorf("%s, %+v: from a guess %.8f Hz, %.7f V, every %d turns; from idle %.8f Hz, %.7f V, every %d turns",
					name, load, a.Frequency, a.Output, a.Period, b.Frequency, b.Output, b.Period)
			}
		}
	}
	// half an ohm: the point once reached from idle alone
	if s := measured(t, readCard(t, "whole-set"), machine.Setup{}, machine.Load{Resistance: 0.5}); math.Abs(s.Frequency-17.75) > 0.005 || math.Abs(s.ArmatureCurrent-19.1) > 0.05 {
		t.Errorf("with half an ohm %.3f Hz and %.2f A", s.Frequency, s.ArmatureCurrent)
	}
}

// A machine that does not turn says why, and what to do.
func TestStandstill(t *testing.T) {
	whole, alone, twin := readCard(t, "whole-set"), readCard(t, "governed-motor"), readCard(t, "ac-driven-twin")
	safe := changed(t, whole, map[string]float64{"fuse.melting-current": 500})
	settle := func(c machine.Card, load machine.Load, changes ...machine.Change) func() error {
		return func() error {
			sim, err := machine.New(c, machine.Setup{}, load)
			if err != nil {
				return err
			}
			if err := sim.Plan(changes...); err != nil {
				return err
			}
			return sim.Settle()
		}
	}
	for _, c := range []struct {
		what string
		run  func() error
		says string
	}{
		{"more than the fuse carries", settle(whole, machine.Load{Torque: 8}), "the fuse melts under this load, which takes 26 A"},
		{"more than the motor turns, and than the fuse carries", settle(whole, machine.Load{Torque: 30}), "the fuse melts under this load"},
		{"more than the motor turns", settle(alone, machine.Load{Torque: 50}), "the shaft stalls"},
		{"the switch opens", settle(whole, quiet, machine.Change{At: 0.5, What: machine.OpenSwitch}), "the main switch is open"},
		{"a brush is lifted", settle(whole, quiet, machine.Change{At: 0.5, What: machine.MotorBrushLifted}), "a motor brush is lifted"},
		{"the field opens", settle(safe, machine.Load{Torque: 3}, machine.Change{At: 0.5, What: machine.MotorFieldOpen}), "field circuit is broken"},
		{"out of step", settle(twin, machine.Load{Torque: 15}), "fallen out of step"},
		{"the fuse goes on the way", func() error {
			sim := settled(t, whole, machine.Setup{}, quiet)
			if err := sim.Change(machine.Load{Torque: 10}); err != nil {
				return err
			}
			return sim.Settle()
		}, "the fuse melted at 3.9"},
		{"the fuse goes while it is measured", func() error {
			sim := settled(t, whole, machine.Setup{}, quiet)
			if err := sim.Plan(machine.Change{At: 1, What: machine.PutLoad, Load: machine.Load{Torque: 20}}); err != nil {
				return err
			}
			_, err := sim.Measure()
			return err
		}, "the fuse melted at"},
		{"turns of a shaft that stands", func() error {
			sim := begun(t, whole, machine.Setup{AtRest: true})
			if err := sim.Plan(machine.Change{What: machine.OpenSwitch}); err != nil {
				return err
			}
			_, err := sim.RecordTurns(3, "speed")
			return err
		}, "the main switch is open"},
	} {
		err := c.run()
		var still machine.Standstill
		if !errors.As(err, &still) || !strings.Contains(still.Cause, c.says) || still.Next == "" {
			t.Errorf("%s: %v (%q), want %q", c.what, err, still.Next, c.says)
		}
	}
	// a run that may end so says it too
	sim := settled(t, whole, machine.Setup{}, quiet)
	if err := sim.Plan(machine.Change{At: 1, What: machine.MotorFieldOpen}); err != nil {
		t.Fatal(err)
	}
	sum, err := sim.MeasureFor(20)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(sum.Stopped, "the fuse melted at 1.3") {
		t.Errorf("with its field open the set ends so: %q", sum.Stopped)
	}
	if s := measured(t, whole, machine.Setup{}, quiet).Stopped; s != "" {
		t.Errorf("a set that turns is said to have stopped: %q", s)
	}
}

// On end the set hunts under load too, where the generator's torque sways the
// speed twice a turn, and as often as the means of turns in a record swing.
func TestHuntingUnderLoad(t *testing.T) {
	c := readCard(t, "whole-set")
	for _, load := range []machine.Load{quiet, {Resistance: 94}, full, {Resistance: 40}} {
		sim := settled(t, c, machine.Setup{Upright: true}, load)
		again, err := sim.Clone()
		if err != nil {
			t.Fatal(err)
		}
		sum, err := sim.Measure()
		if err != nil {
			t.Fatal(err)
		}
		if !sum.Hunts || sum.HuntFrequency < 3 || sum.HuntFrequency > 5.5 {
			t.Errorf("%+v: hunts %v at %.2f Hz, between %.3f and %.3f Hz", load, sum.Hunts, sum.HuntFrequency, sum.LowSpeed, sum.HighSpeed)
		}
		set, err := again.RecordTurns(240, "speed")
		if err != nil {
			t.Fatal(err)
		}
		seen, err := set.Hunting("speed")
		if err != nil {
			t.Fatal(err)
		}
		// under load the swing is irregular, and two runs of it are no more alike
		if within := map[bool]float64{true: 0.01, false: 0.2}[load == quiet]; math.Abs(seen.Frequency/sum.HuntFrequency-1) > within {
			t.Errorf("%+v: %.3f Hz in the summary, %.3f Hz in the record", load, sum.HuntFrequency, seen.Frequency)
		}
	}
}

// A plunger with little damping has a rhythm of several turns beside the usual
// one; with its usual damping it has none.
func TestOtherSteadyStates(t *testing.T) {
	c := readCard(t, "whole-set")
	others := func(damping float64, load machine.Load) (volts float64, out []float64) {
		t.Helper()
		sim := settled(t, changed(t, c, map[string]float64{"regulator.damping": damping}), machine.Setup{}, load)
		found, err := sim.Others()
		if err != nil {
			t.Fatal(err)
		}
		sum, err := sim.Measure()
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range found {
			out = append(out, o.Output)
		}
		return sum.Output, out
	}
	volts, found := others(0.3, quiet)
	if math.Abs(volts-83.25) > 0.01 || !slices.ContainsFunc(found, func(v float64) bool { return math.Abs(v-87.2) < 0.02 }) {
		t.Errorf("little damping: %.3f V, elsewhere %.3f V; want 83.25, and 87.2", volts, found)
	}
	for _, load := range []machine.Load{quiet, full, {Bells: 50, Resistance: 110}} {
		if volts, found := others(3, load); len(found) > 0 {
			t.Errorf("usual damping, %+v: %.3f V, elsewhere %.3f V", load, volts, found)
		}
	}
	// near what the fuse carries, looking for others melts none
	for _, load := range []machine.Load{{Torque: 7.5}, {Bells: 500}} {
		if volts, found := others(3, load); len(found) > 0 {
			t.Errorf("near the fuse's limit, %+v: %.3f V, elsewhere %.3f V", load, volts, found)
		}
	}
	// a machine without regulator is not asked
	if found, err := settled(t, readCard(t, "governed-motor"), machine.Setup{}, idle).Others(); err != nil || found != nil {
		t.Errorf("a motor alone: %v, %v", found, err)
	}
}

// Which method integrates a run, and how finely, is not seen in its figures.
func TestMethodsAgree(t *testing.T) {
	c := readCard(t, "whole-set")
	for _, load := range []machine.Load{quiet, full, {Resistance: 10}} {
		usual := reflect.ValueOf(measured(t, c, machine.Setup{}, load))
		for _, other := range []machine.Setup{{Method: ode.DormandPrince54}, {RelTol: 1e-11}} {
			against := reflect.ValueOf(measured(t, c, other, load))
			for i := range usual.NumField() {
				name := usual.Type().Field(i).Name
				a, b := usual.Field(i), against.Field(i)
				if a.Kind() != reflect.Float64 {
					if a.Interface() != b.Interface() {
						t.Errorf("%+v, %+v: %s is %v, and %v", load, other, name, a, b)
					}
					continue
				}
				size := math.Abs(b.Float())
				switch name { // differences, which are zero of a steady run
				case "Spread", "HuntFrequency", "HalfCycles":
					size = 1
				case "OutputSpread":
					size = usual.FieldByName("Output").Float()
				}
				if d := math.Abs(a.Float() - b.Float()); d > 1e-7*size {
					t.Errorf("%+v, %+v: %s is %.12g, and %.12g", load, other, name, a.Float(), b.Float())
				}
			}
		}
	}
}

// byMethod runs a benchmark of the whole set, idle and under load, with both
// methods.
func byMethod(b *testing.B, run func(b *testing.B, sim func() *machine.Simulation)) {
	c := readCard(b, "whole-set")
	for _, load := range []struct {
		name string
		load machine.Load
	}{{"idle", quiet}, {"loaded", full}} {
		for _, method := range []ode.Method{ode.DormandPrince8, ode.DormandPrince54} {
			b.Run(load.name+"/"+method.String(), func(b *testing.B) {
				run(b, func() *machine.Simulation { return settled(b, c, machine.Setup{Method: method}, load.load) })
			})
		}
	}
}

// The cost of a run as a lesson asks for it: settling, summing up sixty turns,
// and looking for other steady states where there are none. It decides which
// method is used where none is asked for.
func BenchmarkSettle(b *testing.B) {
	byMethod(b, func(b *testing.B, settle func() *machine.Simulation) {
		for b.Loop() {
			settle()
		}
	})
}

func BenchmarkMeasure(b *testing.B) {
	byMethod(b, func(b *testing.B, settle func() *machine.Simulation) {
		sim := settle()
		for b.Loop() {
			if _, err := sim.MeasureTurns(60); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkOthers(b *testing.B) {
	byMethod(b, func(b *testing.B, settle func() *machine.Simulation) {
		sim := settle()
		for b.Loop() {
			if found, err := sim.Others(); err != nil || found != nil {
				b.Fatal(found, err)
			}
		}
	})
}
