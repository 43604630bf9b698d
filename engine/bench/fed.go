package bench

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"slipring/engine/circuit"
	"slipring/engine/machine"
	"slipring/engine/waveform"
)

// still is a set that does nothing. Its governor contact is open, and the
// resistor beside it in the way of the field's current.
func still(s *Set) circuit.Set {
	m := s.Motor()
	out := circuit.Set{Armature: m.ArmatureResistance, Field: m.FieldResistance + m.FieldResistor}
	if s.card.Has("low-tone") {
		out.Low = winding(s.LowTone())
	}
	if s.card.Has("high-tone") {
		out.High = winding(s.HighTone())
	}
	return out
}

func winding(t *machine.Tone) circuit.Winding {
	return circuit.Winding{Resistance: t.WindingResistance, Inductance: t.WindingInductance}
}

// wiredRun is what a set does that is fed through a wiring.
type wiredRun struct {
	Set    circuit.Set
	Works  []working
	Melted float64 // the time in s at which the fuse of its armature melted; 0 for never
}

// wired gives what a set does that is fed so, up to a time in s. It is
// kept, also for later shelves, since most faults of a wiring change nothing about
// it. The changes are what is wrong with it from the beginning.
func (s *Shelf) wired(set *Set, load machine.Load, ill []machine.Change, fed []feeding, until float64) (wiredRun, error) {
	key := fmt.Sprintf("%s | fed through a wiring, %+v %v for %v s", set.key, load, fed, until)
	if len(ill) > 0 {
		key += fmt.Sprintf(": %+v", ill)
	}
	if had, ok := s.sets[key]; ok {
		return had, nil
	}
	if s.sets == nil {
		s.sets = map[string]wiredRun{}
	}
	var recalled wiredRun
	if json.Unmarshal(s.recalled[key], &recalled) == nil {
		s.sets[key] = recalled
		return recalled, nil
	}
	out := wiredRun{Set: still(set)}
	from := machine.Start{}
	for i := 0; i < len(fed); i++ {
		if !fed[i].on {
			continue // a set that coasts is part of the run before
		}
		// this run lasts until the set is fed again after it was not
		end, next := until, i+1
		for ; next < len(fed); next++ {
			if fed[next].on && !fed[next-1].on {
				end = fed[next].at
				break
			}
		}
		rec, err := set.fedThrough(from, load, ill, fed[i:next], end)
		if err != nil {
			return out, err
		}
		also := rec.Signals[len(rec.Signals)-len(set.also()):]
		rec.Signals = rec.Signals[:len(rec.Signals)-len(also)]
		out.Works = append(out.Works, workings(also, fed[i].at, end)...)
		if at, ok := set.meltedAt(also); ok && out.Melted == 0 {
			out.Melted = fed[i].at + at
		}
		from = last(rec)
		for _, x := range instants(set, rec, fed[i:next]) {
			if slices.ContainsFunc(ill, func(c machine.Change) bool { return c.What == machine.ToneOpen }) {
				x.Low, x.High = 0, 0
			}
			if x.At <= end {
				out.Set.Record = append(out.Set.Record, x)
			}
		}
		i = next - 1
	}
	s.sets[key] = out
	if content, err := json.Marshal(out); err == nil { // what is not finite is not kept
		s.fresh[key] = content
	}
	return out, nil
}

// shortest is how long, in s, a set is run at least.
const shortest = 0.1

// recorded signals, in the order in which instants and last take them
var recorded = []string{"armature current", "bus voltage", "speed", "field current", "output", "generator field current"}

// fedThrough runs a set from a state on, fed as the list says, until a time in s.
func (s *Set) fedThrough(from machine.Start, load machine.Load, ill []machine.Change, fed []feeding, end float64) (waveform.Set, error) {
	how := s.how
	how.AtRest, how.Start, how.Starter = true, from, fed[0].ohm
	sim, err := machine.New(s.card, how, load)
	if err != nil {
		return waveform.Set{}, err
	}
	if err := sim.Plan(ill...); err != nil {
		return waveform.Set{}, err
	}
	t0 := fed[0].at
	open := false
	for i, f := range fed {
		var changes []machine.Change
		at := f.at - t0
		switch {
		case !f.on:
			changes = append(changes, machine.Change{At: at, What: machine.OpenSwitch})
		case i > 0:
			changes = append(changes, machine.Change{At: at, What: machine.SetStarter, Amount: f.ohm})
		}
		if f.on && !f.field && !open {
			open = true
			changes = append(changes, machine.Change{At: at, What: machine.MotorFieldOpen})
		}
		if err := sim.Plan(changes...); err != nil {
			return waveform.Set{}, err
		}
	}
	names := recorded
	if !s.card.Has("generator") {
		names = names[:4]
	}
	names = append(slices.Clone(names), s.also()...)
	return sim.Record(max(end-t0, shortest), names...)
}

// last is the state in which a run ended.
func last(rec waveform.Set) machine.Start {
	at := func(i int) float64 {
		if i >= len(rec.Signals) {
			return 0
		}
		y := rec.Signals[i].Y
		return y[len(y)-1]
	}
	return machine.Start{Speed: max(0, at(2)), GeneratorField: at(5)}
}

// How finely instants are taken, in s: near a change of what feeds the set, and
// elsewhere; and how far, in V and Hz, a line between two may pass beside what is
// left out.
const (
	fine, coarse  = 0.01, 0.06
	near          = 0.5
	besideVolts   = 0.05
	besideField   = 0.3
	besideRings   = 0.3
	besideHz      = 0.02
	besideToneVol = 0.05
)

// instants turns a record into what the board is given: means over short times,
// and the r.m.s. voltage of the rings over a turn.
func instants(s *Set, rec waveform.Set, fed []feeding) []circuit.Instant {
	t0, m := fed[0].at, s.Motor()
	t := rec.Signals[0].T
	n := len(t)
	step := t[1] - t[0]
	sums := make([][]float64, len(rec.Signals))
	for i, g := range rec.Signals {
		sums[i] = make([]float64, n+1)
		for k, y := range g.Y {
			if i == 4 {
				y *= y
			}
			sums[i][k+1] = sums[i][k] + y
		}
	}
	mean := func(i int, around, over float64) float64 {
		a := min(max(int((around-over/2)/step), 0), n-1)
		z := min(max(int((around+over/2)/step), a+1), n)
		return (sums[i][z] - sums[i][a]) / float64(z-a)
	}
	speed := func(at float64) float64 { return max(0, mean(2, at, fine)) }
	turn := 1 / max(part[machine.Output](s, "output").Frequency, 1)
	var out []circuit.Instant
	for at := 0.0; at <= t[n-1]; {
		f, over := fed[0], coarse
		for _, x := range fed {
			if x.at-t0 <= at {
				f = x
			}
			if d := at - (x.at - t0); d > -fine && d < near {
				over = fine
			}
		}
		is := circuit.Instant{At: t0 + at, Back: mean(1, at, over) - (f.ohm+m.ArmatureResistance)*mean(0, at, over)}
		if f.field { // or else nothing flows in it
			is.FieldBack = mean(1, at, turn) - (m.FieldResistance+m.FieldResistor)*mean(3, at, turn)
		}
		v := speed(at)
		is.Hz = v
		if len(sums) > 4 {
			is.Rings = math.Sqrt(mean(4, at, turn))
		}
		if s.card.Has("low-tone") {
			is.Low, is.LowHz = s.LowTone().OpenVoltage(v), s.LowTone().Frequency(v)
		}
		if s.card.Has("high-tone") {
			is.High, is.HighHz = s.HighTone().OpenVoltage(v), s.HighTone().Frequency(v)
		}
		out = append(out, is)
		at += over
	}
	return thinned(out)
}

// thinned leaves out instants that a line between their neighbours meets.
func thinned(all []circuit.Instant) []circuit.Instant {
	out := []circuit.Instant{all[0]}
	for from := 0; from < len(all)-1; {
		to := from + 1
		for to+1 < len(all) && to-from < 200 && straight(all[from:to+2]) {
			to++
		}
		out = append(out, all[to])
		from = to
	}
	return out
}

// straight says whether all lie near the line from the first to the last.
func straight(all []circuit.Instant) bool {
	a, z := all[0], all[len(all)-1]
	for _, x := range all[1 : len(all)-1] {
		part := (x.At - a.At) / (z.At - a.At)
		off := func(a, x, z float64) float64 { return math.Abs(a + part*(z-a) - x) }
		if off(a.Back, x.Back, z.Back) > besideVolts || off(a.FieldBack, x.FieldBack, z.FieldBack) > besideField || off(a.Rings, x.Rings, z.Rings) > besideRings || off(a.Hz, x.Hz, z.Hz) > besideHz ||
			off(a.Low, x.Low, z.Low) > besideToneVol || off(a.High, x.High, z.High) > besideToneVol {
			return false
		}
	}
	return true
}
