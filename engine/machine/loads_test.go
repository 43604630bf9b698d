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
	bell := machine.NewBell(*c.Bell)
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

	tone := machine.NewTone(*c.LowTone)
	a := audited(t, c, machine.Setup{HeldSpeed: 20})
	var watts float64
	for _, w := range a.Spent {
		if w.Where == "tones" {
			watts = w.Joule
		}
	}
	high := machine.NewTone(*c.HighTone)
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

// The induction motor has its greatest torque at its pull-out slip, half of
// both by Kloss's formula at the slip that solves it, none when synchronous.
func TestACMotor(t *testing.T) {
	m := machine.NewACMotor(*readCard(t, "ac-driven-twin").ACMotor)
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
