// Package waveform holds sampled signals and measures them.
//
// A Set is what a run of the machine hands to a figure: some signals over the
// same stretch of time, and the instants at which each turn of the shaft (or
// any other cycle) begins. The first call is Set.Named for one of its signals,
// or a Signal literal for samples from elsewhere; then
//
//	s.Mean, s.RMS, s.ACRMS             averages over the whole span
//	s.StateLevels, s.Timing            levels, period, width, duty, transitions
//	s.Frequency, s.HalfCycles          from crossings of a level
//	s.Harmonics, s.THD, s.Spectrum     what it is made of
//	set.Ripple, set.Hunting            within a turn, and over many
//
// A signal is taken exactly as it is drawn, straight lines or steps between
// samples that may lie at any distance, and averages and harmonics are
// integrals over that drawing. What cannot be measured gives a *Failure, never
// a number that means nothing.
//
// The package knows no machine, reads no files and draws nothing.
package waveform

import (
	"fmt"
	"math"
	"sort"
	"strings"
)

// Signal is one sampled quantity. T (seconds, rising) and Y have equal length.
// A stepped signal, such as a contact, holds each value until the next sample;
// the others are joined by straight lines, and may jump by two samples at one
// instant.
type Signal struct {
	Name    string
	Unit    string
	Kind    Kind
	Stepped bool
	T, Y    []float64
}

// Kind is what a signal is, where its unit does not say enough. Whoever records
// a signal gives it, and whoever draws it reads it.
type Kind int

// The kinds of signals.
const (
	Quantity Kind = iota // no more than its unit says
	Contact              // 1 while closed, 0 while open
	Angle                // back at its beginning after each turn
	Voltage
	Current
	Working // 1 while a relay is operated, a lamp lit or a bell rings, 0 while not
)

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
		return Set{}, emptyWindow(from, to)
	}
	var out Set
	for _, sig := range s.Signals {
		cut, err := sig.Window(from, to)
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
		return Set{}, &Failure{Reason: ErrRequest, Next: "ask for 1 turn or more",
			Detail: fmt.Sprintf("asked for %d turns; at least 1 is needed", n)}
	}
	if len(s.Starts) < n+1 {
		return Set{}, &Failure{Reason: ErrNoPeriod, Next: "record a longer stretch, or ask for fewer turns",
			Detail: fmt.Sprintf("asked for %d turns, but the set holds %d", n, max(len(s.Starts)-1, 0))}
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

// Window gives the part of the signal from instant from up to instant to, in
// seconds, with time counted from from. Values at both ends are interpolated
// (held, where the signal is stepped); of a jump at either end only the value
// inside the window is kept, save that a stepped signal ends with the value
// that it has at to. It fails when the window is empty or not covered.
func (g Signal) Window(from, to float64) (Signal, error) {
	if !(to > from) {
		return Signal{}, emptyWindow(from, to)
	}
	n := len(g.T)
	if n == 0 || n != len(g.Y) || math.IsNaN(g.T[0]) || g.T[0] > from || !(g.T[n-1] >= to) {
		return Signal{}, g.fail(ErrOutside, "record a longer stretch, or ask for a window inside it",
			"it does not cover %g s to %g s", from, to)
	}
	out := Signal{Name: g.Name, Unit: g.Unit, Kind: g.Kind, Stepped: g.Stepped}
	add := func(t, y float64) {
		out.T = append(out.T, t-from)
		out.Y = append(out.Y, y)
	}
	i := sort.SearchFloat64s(g.T, from)
	start := g.At(from)
	for ; g.T[i] == from; i++ {
		start = g.Y[i] // the last of a jump is the value inside
	}
	add(from, start)
	for ; g.T[i] < to; i++ {
		add(g.T[i], g.Y[i])
	}
	add(to, g.At(to))
	return out, nil
}

func emptyWindow(from, to float64) error {
	return &Failure{Reason: ErrRequest, Next: "let it end after it begins",
		Detail: fmt.Sprintf("an empty window: from %g s to %g s", from, to)}
}

// Named gives the signal of that name.
func (s Set) Named(name string) (Signal, error) {
	var known []string
	for _, g := range s.Signals {
		if g.Name == name {
			return g, nil
		}
		known = append(known, fmt.Sprintf("%q", g.Name))
	}
	return Signal{}, &Failure{Reason: ErrRequest, Detail: fmt.Sprintf("no signal is called %q", name),
		Next: "known are: " + strings.Join(known, ", ")}
}
