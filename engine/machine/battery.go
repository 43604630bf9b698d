package machine

import (
	"fmt"
	"math"
)

// Battery is the station battery.
type Battery struct {
	Voltage    float64 // V, with no current drawn
	Resistance float64 // ohm
	Cells      float64 // in series

	// a sag: the voltage goes on changing by slope V/s from since to until
	slope, since, until float64
}

func (b *Battery) describe(c *constants) {
	c.add(&b.Voltage, "voltage", "V", Positive, "voltage of the battery with no current drawn")
	c.add(&b.Resistance, "resistance", "ohm", NotNegative, "resistance of the cells and their leads")
	c.add(&b.Cells, "cells", "1", WholeNumber, "cells in series")
}

func (b *Battery) flaws(c Card) []Flaw {
	if c.Has("motor") {
		return nil
	}
	return []Flaw{{Part: "battery", Reason: "nothing draws a current from it without a motor",
		Next: "add the part [motor] to the card, or leave the battery out"}}
}

// Terminal gives the voltage in V at a current in A.
func (b *Battery) Terminal(current float64) float64 {
	return terminal(b.Voltage, b.Resistance, current)
}

func terminal(source, resistance, current float64) float64 { return source - resistance*current }

// source is the voltage with no current drawn at time t.
func (b *Battery) source(t float64) float64 {
	if b.slope == 0 {
		return b.Voltage
	}
	return b.Voltage + b.slope*(min(max(t, b.since), b.until)-b.since)
}

// Fuse is the fuse in the armature circuit. Its heat q, as the square of a
// current, follows q' = (I^2 - q)/tau, and it melts when q reaches the square
// of its melting current.
type Fuse struct {
	MeltingCurrent float64 // A, the smallest that melts it in the end
	TimeConstant   float64 // s
}

func (f *Fuse) describe(c *constants) {
	c.need("motor")
	c.add(&f.MeltingCurrent, "melting-current", "A", Positive, "smallest armature current that melts the fuse in the end; the rating printed on a fuse is lower, and is carried for ever")
	c.add(&f.TimeConstant, "time-constant", "s", Positive, "time constant with which the fuse warms")
}

// MeltingTime gives the time in s after which a steady current in A melts a
// cold fuse: t = -tau ln(1 - (I_F/I)^2), or infinity for a current that it
// carries for ever.
func (f *Fuse) MeltingTime(current float64) float64 {
	part := f.MeltingCurrent / current
	if part >= 1 || part <= -1 {
		return math.Inf(1)
	}
	return -f.TimeConstant * math.Log1p(-part*part)
}

func (f *Fuse) rate(heat, current float64) float64 {
	return (current*current - heat) / f.TimeConstant
}

// settled gives the heat in A^2 at which the fuse ends when what it carried
// between two strobes repeats itself for ever: what comes in between them is
// q1 - q0 exp(-T/tau).
func (f *Fuse) settled(from, to strobe) float64 {
	stays := math.Exp((from.t - to.t) / f.TimeConstant)
	return (to.y[atFuse] - from.y[atFuse]*stays) / (1 - stays)
}

// carries says whether the fuse carries a current in A for ever.
func (f *Fuse) carries(current float64) error {
	if current < f.MeltingCurrent {
		return nil
	}
	return Standstill{
		Cause: fmt.Sprintf("the fuse melts under this load, which takes %.3g A of the armature; from %.3g A on it melts", current, f.MeltingCurrent),
		Next:  "put on less load; a run that begins under less, such as Step, shows when the fuse goes",
	}
}
