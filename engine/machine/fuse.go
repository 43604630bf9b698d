package machine

import (
	"fmt"
	"math"

	"slipring/engine/ode"
	"slipring/engine/waveform"
)

// Fuse is the fuse in the armature circuit. Its heat q, as the square of a
// current, follows q' = (I^2 - q)/tau, and it melts when q reaches the square
// of its melting current.
type Fuse struct {
	MeltingCurrent float64 // A, the smallest that melts it in the end
	TimeConstant   float64 // s
}

func (f *Fuse) describe(c *constants) {
	c.needOwn("motor")
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

// settled gives the heat in A^2 at which the fuse ends when what it carried in
// a time in s repeats itself for ever. Its heat rose from q0 to q1 in that time:
// what came in is q1 - q0 exp(-T/tau).
func (f *Fuse) settled(q0, q1, seconds float64) float64 {
	stays := math.Exp(-seconds / f.TimeConstant)
	return (q1 - q0*stays) / (1 - stays)
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

// fuse is the fuse at work.
type fuse struct {
	Fuse
	motor  *motor
	heat   int
	blown  bool
	melted struct{ at, current float64 } // s and A
	spared bool                          // it cannot melt, for now
}

func (f *fuse) copy() part { c := *f; return &c }

func (f *fuse) join(s *system) {
	f.motor = partner[*motor](s, f)
	f.heat = s.state("heat", 1, false) // slow, and acts on nothing before the fuse melts
	s.shows("fuse heat", "A2", waveform.Quantity, f.heat, 1)
}

func (f *fuse) add(_ *instant, y, d []float64) {
	if f.blown {
		return
	}
	through := y[f.motor.armature]
	if f.motor.braking {
		through = 0
	}
	d[f.heat] = f.rate(y[f.heat], through)
}

// melt melts the fuse at time t.
func (f *fuse) melt(t float64, y []float64) {
	f.blown = true
	f.melted.at, f.melted.current = t, math.Abs(y[f.motor.armature])
	f.motor.closes()
	f.motor.still(y)
}

func (f *fuse) watch([]float64, bool) []level {
	f.spared = false
	return []level{{
		Guard: ode.Guard{Coordinate: f.heat, Level: f.MeltingCurrent * f.MeltingCurrent, Off: f.blown},
		cross: func(t float64, y []float64, g *ode.Guard) {
			f.melt(t, y)
			g.Off = true
		},
		off: func() bool { return f.blown || f.spared },
	}}
}

func (f *fuse) later(t float64) { f.melted.at -= t }

func (f *fuse) give(_ *estimate, y []float64) {
	i := y[f.motor.armature]
	y[f.heat] = min(i*i, 0.9*f.MeltingCurrent*f.MeltingCurrent)
}
