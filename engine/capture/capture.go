// Package capture reads what an oscilloscope recorded, as numbers or as a
// picture of its screen, and says what it shows and how surely.
//
// The first call is ReadNumbers for a table, or ReadPicture for a picture; then
// Measure:
//
//	c, messages := capture.ReadNumbers("bell.csv", file)
//	report := capture.Measure(c)
//
// Every result carries its standard uncertainty and where that comes from: the
// distance of the samples, noise, pixels, the spread from turn to turn. How true
// the instrument's own clock and scales are is not in it, since no capture shows
// that.
//
// The package opens no files and knows no machine. Of a picture it keeps
// nothing but the traces.
package capture

import (
	"slipring/engine/diag"
	"slipring/engine/waveform"
)

// MostChannels is how many channels a capture may have.
const MostChannels = 4

// Capture is one file's channels over one stretch of time.
type Capture struct {
	File     string
	Channels []Channel
}

// Channel is one trace: samples at even distances.
type Channel struct {
	Name string
	Unit string    // of the SI without prefixes, as far as it was known
	From float64   // s, instant of the first sample
	Step float64   // s between samples
	Y    []float64 // in the unit; of a picture without a place of 0 V, from its middle line

	place    diag.Message // where it stands: file, line, column
	clipped  bool         // some values lay beyond what the instrument shows
	scale    bool         // the volts are not known, only parts of the screen
	timeless bool         // the time is not known, only parts of the screen
	grain    float64      // s that an edge is rounded to: Step, or a column of the instrument's screen
	counted  bool         // the rounding is that of the samples themselves, and known
	guessed  bool         // nothing tells what an edge is rounded to, and grain is what it is at most
	seen     *seen        // what only a picture tells; nil for numbers
	quantum  float64      // the smallest difference of two values
}

// seen is what a picture tells of a trace besides its middle in each column.
type seen struct {
	low, high float64 // of the trace's two levels, in the unit
	twoLevels bool
	edges     []edge
	edge      float64 // s, what an edge is uncertain by but for the grain
	fraction  float64 // s, what an interval is uncertain by in common
	period    float64 // part of the period, from the lattice
	level     float64 // in the unit, what a height is uncertain by, but for where 0 V lies
	zero      float64 // in the unit, what the place of 0 V is uncertain by
	zeroRead  float64 // divisions, how finely that was read
	zeroless  string  // why nothing that counts from 0 V is told; "" where 0 V was given
	hidden    bool    // another trace hides it in places
}

// Signal gives the channel as a signal that can be drawn and measured.
func (c Channel) Signal() waveform.Signal {
	g := waveform.Signal{Name: c.Name, Unit: c.Unit, T: make([]float64, len(c.Y)), Y: c.Y}
	switch c.Unit {
	case "V":
		g.Kind = waveform.Voltage
	case "A":
		g.Kind = waveform.Current
	}
	for i := range g.T {
		g.T[i] = c.From + float64(i)*c.Step
	}
	return g
}

// Result is one measured quantity of one channel.
type Result struct {
	Channel     string
	Name        string  // one of Names
	Value       float64 // in the unit; fractions from 0 to 1
	Unit        string
	Uncertainty float64 // one standard deviation, in the unit
	Why         string  // where the uncertainty comes from
}

// Missing is what was looked for and not found.
type Missing struct {
	Channel string
	Name    string // one of Names
	Why     string
}

// Doubt is how far a channel's single values may be off.
type Doubt struct {
	Channel string
	Height  float64 // in its unit, standard uncertainty of one value
	Time    float64 // s, standard uncertainty of the place of one edge
}

// Report is what a capture shows. Begin is an instant at which the channel rises
// from which phases count, and Period how long its turns are; 0 when none was
// found.
type Report struct {
	Begin    float64 // s
	Period   float64 // s
	Doubts   []Doubt // one a channel
	Results  []Result
	Missing  []Missing
	Messages []diag.Message
}

// Names of all results, in the order in which they are given.
const (
	Frequency      = "frequency"
	Period         = "period"
	FractionHigh   = "fraction high"
	FractionLow    = "fraction low"
	RMS            = "r.m.s."
	Mean           = "mean"
	PeakToPeak     = "peak to peak"
	RiseTime       = "rise time"
	FallTime       = "fall time"
	HalfDifference = "half difference"
	Distortion     = "distortion"
	Phase          = "phase"
	EdgesATurn     = "edges a turn"
)
