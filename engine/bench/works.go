package bench

import (
	"slices"

	"slipring/engine/machine"
	"slipring/engine/waveform"
)

// What is seen of a set at work on a wiring beside what it puts on its terminals:
// whether its contacts work, and whether its fuse melts.

// working is for what part of the time a set's contacts were closed, in the short
// while before a time in s; 0 for a contact that the set has not.
type working struct{ At, Governor, Regulator float64 }

const (
	governing, regulating = "governor contact", "regulator contact"
	warming               = "fuse heat"
)

// also are signals of the parts that the set has, which are recorded last.
func (s *Set) also() (names []string) {
	for part, name := range map[string]string{"governor": governing, "regulator": regulating, "fuse": warming} {
		if s.card.Has(part) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// shortWhile is for how long, in s, a contact is watched to see whether it works.
const shortWhile = 0.5

// workings gives for what part of each short while contacts were closed, in a record
// that begins at a time and serves until another.
func workings(also []waveform.Signal, t0, end float64) (out []working) {
	for to := t0 + shortWhile; to <= end; to += shortWhile {
		w := working{At: to}
		for _, g := range also {
			switch g.Name {
			case governing:
				w.Governor = closedFor(g, to-shortWhile-t0, to-t0) / shortWhile
			case regulating:
				w.Regulator = closedFor(g, to-shortWhile-t0, to-t0) / shortWhile
			}
		}
		out = append(out, w)
	}
	return out
}

// meltedAt gives the time in s of a record at which the set's fuse melted: its heat
// stays then at the square of the current that melts it.
func (s *Set) meltedAt(also []waveform.Signal) (float64, bool) {
	for _, g := range also {
		if g.Name != warming {
			continue
		}
		melting := part[machine.Fuse](s, "fuse").MeltingCurrent
		for i, heat := range g.Y {
			if heat >= melting*melting*(1-1e-6) {
				return g.T[i], true
			}
		}
	}
	return 0, false
}

// closedFor gives for how long, in s, a contact was closed from one time to another.
func closedFor(g waveform.Signal, from, to float64) (sum float64) {
	for i, t := range g.T {
		next := to
		if i+1 < len(g.T) {
			next = g.T[i+1]
		}
		sum += g.Y[i] * max(0, min(next, to)-max(t, from))
	}
	return sum
}
