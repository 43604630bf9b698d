package machine_test

import (
	"math"
	"testing"

	"slipring/engine/machine"
)

// Parts of the load by their own statement: a bell's impedance from its volts
// and its current in the simulation, a tone wheel's power from its drag.
func TestLoads(t *testing.T) {
	c := readCard(t, "whole-set")
	bell := model[machine.Bell](c, "bell")
	load := machine.Load{Bells: 20}
	sum := measured(t, c, machine.Setup{}, load)
	set, err := settled(t, c, machine.Setup{}, load).RecordTurns(20, "output current", "output", "regulator coil current")
	if err != nil {
		t.Fatal(err)
	}
	// current of the bells is what the coil does not take
	bells := set.Signals[0]
	for i, v := range set.Signals[2].Y {
		bells.Y[i] -= v
	}
	amps, err := bells.Harmonics(20, 1)
	if err != nil {
		t.Fatal(err)
	}
	volts, err := set.Signals[1].Harmonics(20, 1)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := volts.Amplitude[1]/(amps.Amplitude[1]/20), bell.Impedance(sum.Frequency); math.Abs(got/want-1) > 2e-3 {
		t.Errorf("a bell has %.1f ohm in the simulation, %.1f ohm by its parts", got, want)
	}

	tone := model[machine.Tone](c, "low-tone")
	a := audited(t, c, machine.Setup{HeldSpeed: 20})
	var watts float64
	for _, w := range a.Spent {
		if w.Where == "tones" {
			watts = w.Joule
		}
	}
	high := model[machine.Tone](c, "high-tone")
	want := 0.0
	for _, t := range []machine.Tone{tone, high} {
		v := t.Voltage(20)
		i := v / t.LoadResistance
		want += i * i * (t.LoadResistance + t.WindingResistance)
	}
	if math.Abs(watts/want-1) > 1e-9 {
		t.Errorf("the tones take %g W of the shaft, their circuits %g W", watts, want)
	}
}

// audited gives where the energy of one second of a settled, idle set goes.
func audited(t *testing.T, c machine.Card, how machine.Setup) machine.Audit {
	t.Helper()
	how.Audit = true
	sim := settled(t, c, how, quiet)
	if err := sim.Advance(1); err != nil {
		t.Fatal(err)
	}
	return sim.Audit()
}

// The cage has its greatest torque at its pull-out slip, half of it by Kloss's formula at the slip that solves it, none when synchronous.
func TestACMotor(t *testing.T) {
	m := model[machine.ACMotor](readCard(t, "ac-driven-twin"), "ac-motor")
	if m.Synchronous != 20 {
		t.Errorf("60 Hz on three pole pairs: %g turns a second", m.Synchronous)
	}
	at := func(slip float64) float64 { return m.Torque(m.Synchronous * (1 - slip)) }
	if got := at(m.PullOutSlip); math.Abs(got-m.PullOutTorque) > 1e-12 {
		t.Errorf("%g N m at the pull-out slip, want %g", got, m.PullOutTorque)
	}
	if at(0) != 0 || at(0.9*m.PullOutSlip) >= m.PullOutTorque || at(1.1*m.PullOutSlip) >= m.PullOutTorque {
		t.Error("the pull-out torque is not the greatest, or there is torque without slip")
	}
	if got := at((2 - math.Sqrt(3)) * m.PullOutSlip); math.Abs(got/m.PullOutTorque-0.5) > 1e-12 {
		t.Errorf("half the torque was expected, got %g of it", got/m.PullOutTorque)
	}
}

// A set driven in step with the mains keeps its speed whatever the load, which
// is why it needs no governor: the speed is 60 Hz over 3 pole pairs, and only
// the load angle gives. Without the torque in step it slips, and slows.
func TestTwinKeepsStep(t *testing.T) {
	card := readCard(t, "ac-driven-twin")
	motor := model[machine.ACMotor](card, "ac-motor")
	speed := func(c machine.Card, torque float64) machine.Summary {
		t.Helper()
		sim, err := machine.New(c, machine.Setup{}, machine.Load{Torque: torque})
		if err != nil {
			t.Fatal(err)
		}
		if err := sim.Settle(); err != nil {
			t.Fatal(err)
		}
		sum, err := sim.Measure()
		if err != nil {
			t.Fatal(err)
		}
		return sum
	}
	for _, torque := range []float64{0, 1, 3} {
		if sum := speed(card, torque); math.Abs(sum.Frequency-20) > 1e-6 || sum.Period != 1 {
			t.Errorf("with %g N m the twin makes %.9g turns a second and repeats every %d turns", torque, sum.Frequency, sum.Period)
		}
	}
	slipping := changed(t, card, map[string]float64{"ac-motor.synchronous-torque": 0})
	if idle, busy := speed(slipping, 0).Frequency, speed(slipping, 3).Frequency; !(busy < idle-0.1 && idle < 20) {
		t.Errorf("without the torque in step it makes %g, and %g under load", idle, busy)
	}
	if got := motor.LoadAngle(3); math.Abs(got-math.Pi/6) > 1e-12 {
		t.Errorf("half the greatest torque at a load angle of %g rad, want pi/6", got)
	}
}

// Overloaded, it falls out of step and stalls, and the run says so.
func TestTwinFallsOutOfStep(t *testing.T) {
	sim, err := machine.New(readCard(t, "ac-driven-twin"), machine.Setup{}, machine.Load{Torque: 15})
	if err != nil {
		t.Fatal(err)
	}
	if err := sim.Settle(); err == nil {
		sum, err := sim.Measure()
		if err == nil && sum.Frequency > 19 {
			t.Errorf("under 15 N m it still makes %g turns a second", sum.Frequency)
		}
	}
}
