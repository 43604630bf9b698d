// Package waveform holds sampled signals and what can be measured on them.
//
// A Set is what a run of the machine hands to a figure: some signals over the
// same stretch of time, and the instants at which each turn of the shaft (or
// any other cycle) begins. The package knows no machine.
package waveform

import (
	"fmt"
	"sort"
)

// Signal is one sampled quantity. T (seconds, rising) and Y have equal length.
// A stepped signal, such as a contact, holds each value until the next sample;
// the others are joined by straight lines.
type Signal struct {
	Name    string
	Unit    string
	Stepped bool
	T, Y    []float64
}

// Set is a group of signals over one stretch of time.
type Set struct {
	Signals []Signal
	Starts  []float64 // instants, in seconds and rising, at which a turn begins
}

// Window gives the part of the set from instant from up to instant to, in
// seconds, with time counted from from. Values at both ends are interpolated
// (held, for a stepped signal), so that each signal spans the window exactly.
// It fails when the window is empty or a signal does not cover it.
func (s Set) Window(from, to float64) (Set, error) {
	if !(to > from) {
		return Set{}, fmt.Errorf("an empty window: from %g s to %g s", from, to)
	}
	var out Set
	for _, sig := range s.Signals {
		cut, err := sig.window(from, to)
		if err != nil {
			return Set{}, err
		}
		out.Signals = append(out.Signals, cut)
	}
	for _, t := range s.Starts {
		if t >= from && t <= to {
			out.Starts = append(out.Starts, t-from)
		}
	}
	return out, nil
}

// Turns gives the first n whole turns of the set, with time counted from the
// start of the first. It fails when the set holds fewer.
func (s Set) Turns(n int) (Set, error) {
	if n < 1 {
		return Set{}, fmt.Errorf("asked for %d turns; at least 1 is needed", n)
	}
	if len(s.Starts) < n+1 {
		return Set{}, fmt.Errorf("asked for %d turns, but the set holds %d", n, max(len(s.Starts)-1, 0))
	}
	return s.Window(s.Starts[0], s.Starts[n])
}

// At gives the signal's value at instant t: interpolated, or held where the
// signal is stepped. Outside its span the nearest value holds.
func (g Signal) At(t float64) float64 {
	i := sort.SearchFloat64s(g.T, t)
	switch {
	case len(g.T) == 0:
		return 0
	case i == len(g.T):
		return g.Y[len(g.Y)-1]
	case g.T[i] == t || i == 0:
		return g.Y[i]
	case g.Stepped:
		return g.Y[i-1]
	}
	f := (t - g.T[i-1]) / (g.T[i] - g.T[i-1])
	return g.Y[i-1] + f*(g.Y[i]-g.Y[i-1])
}

func (g Signal) window(from, to float64) (Signal, error) {
	if len(g.T) == 0 || g.T[0] > from || g.T[len(g.T)-1] < to {
		return Signal{}, fmt.Errorf("signal %q does not cover %g s to %g s", g.Name, from, to)
	}
	out := Signal{Name: g.Name, Unit: g.Unit, Stepped: g.Stepped}
	add := func(t, y float64) {
		out.T = append(out.T, t-from)
		out.Y = append(out.Y, y)
	}
	add(from, g.At(from))
	for i := sort.SearchFloat64s(g.T, from); i < len(g.T) && g.T[i] < to; i++ {
		if g.T[i] > from {
			add(g.T[i], g.Y[i])
		}
	}
	add(to, g.At(to))
	return out, nil
}
