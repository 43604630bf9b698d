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

// NewBattery takes the battery's constants, in SI units, from its card. They
// must have been validated.
func NewBattery(c BatteryCard) Battery {
	card := Card{Battery: &c}
	v := card.values()
	return Battery{Voltage: v(&c.Voltage), Resistance: v(&c.Resistance), Cells: v(&c.Cells)}
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

// NewFuse takes the fuse's constants, in SI units, from its card. They must
// have been validated.
func NewFuse(c FuseCard) Fuse {
	card := Card{Fuse: &c}
	v := card.values()
	return Fuse{v(&c.MeltingCurrent), v(&c.TimeConstant)}
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
