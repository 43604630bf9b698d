// Package tell holds what a lesson's cells hand to its pages: values that
// quotes and claims are checked against, figures, tables,
// motions, boards and sounds.
//
// A cell writes tell.Value("idle.speed", 16.64, "Hz"); inside a cell, tell is
// the Sheet of that lesson. When the cells have run, Sheet.Result is plain
// data that can be stored and read back without loss. The package draws
// nothing and checks nothing in the lesson's prose.
package tell

import "slipring/engine/waveform"

// Result is everything that one lesson's cells told, in the order told.
// It holds no NaN and no infinity: the Sheet refuses them.
type Result struct {
	Values  []Value
	Claims  []Claim
	Figures []Figure
	Tables  []Table
	Motions []Motion
	Boards  []Board  `json:",omitempty"`
	Sounds  []Sound  `json:",omitempty"`
	Finders []Finder `json:",omitempty"`

	Schematics []Schematic `json:",omitempty"`
	Strips     []Strips    `json:",omitempty"`

	Knobs   []Knob
	Cards   []string // names of the machine cards that the cells opened, in order
	Printed string   // what the cells printed, for the author only
}

// Value is a number with a name, which quotes can be bound to. Told under
// knobs, Number and Uncertainty are those at their start, and Frames and
// Uncertainties hold all.
type Value struct {
	Name        string
	Number      float64
	Unit        string  // "" for a pure number
	Uncertainty float64 `json:",omitempty"` // standard uncertainty; 0 of a number that was told without
	Framed
	Frames        []float64 `json:",omitempty"`
	Uncertainties []float64 `json:",omitempty"` // as long as Frames, or nil when all are 0
}

// Claim is something that the cells found to be true or false. Limits are the
// numbers that a sentence about it may hold; any other numeral in the
// sentence is an error. Told under knobs it holds when it does at every
// position, and Frames says at which.
type Claim struct {
	Name   string
	Holds  bool
	Limits []Limit
	Number float64 `json:",omitempty"` // the computed number, of a claim that was told with limits
	Found  string  // the computed side, for the message when it does not hold
	Framed
	Frames []bool `json:",omitempty"`
}

// Limit is one number that a claim was told with. Unit is "" for a pure number,
// and for the target of a tolerance in per cent, which is in the unit of the
// claim's Number.
type Limit struct {
	Number float64
	Unit   string
}

// Figure is one picture: one or more panes above each other that share the
// horizontal axis. Told under knobs, Panes are those at their start and Frames
// holds the panes of all; only the points of lines differ between frames.
type Figure struct {
	Name  string
	X     Axis
	Panes []Pane
	Framed
	Frames [][]Pane `json:",omitempty"`
}

// Axis names a quantity and its unit ("" for none).
type Axis struct {
	Label string
	Unit  string
}

// Pane is one set of axes with its lines.
type Pane struct {
	Y     Axis
	Lines []Line
}

// Line is one trace. X and Y have equal length. A stepped line holds each
// value until the next point. Marks draws points instead of a line (for
// measured or separately computed values). Kind is that of the signal that it
// shows; the zero value says no more than the unit of the pane. Low and High
// are the edges of a band around a line that leans on doubt, two standard
// uncertainties off; both are as long as X, or nil when there is none.
type Line struct {
	Label   string
	Kind    waveform.Kind
	X, Y    []float64
	Stepped bool
	Marks   bool

	// Measured says that the line was measured, so that it is drawn in dots, and
	// named as such where it is read aloud or in numbers.
	Measured bool `json:",omitempty"`

	Low, High []float64 `json:",omitempty"`
}

// Table is rows of numbers and words under heads with units. Told under knobs,
// Rows are those at their start and Frames holds the rows of all, as many in
// each.
type Table struct {
	Name    string
	Columns []Column
	Rows    [][]Entry // each as long as Columns
	Framed
	Frames [][][]Entry `json:",omitempty"`
}

// Column is a table's head. Decimals fixes how its numbers are written.
type Column struct {
	Head     string
	Unit     string
	Decimals int
}

// Entry is one field of a table: a word where Text is not "", else a number.
type Entry struct {
	Text   string
	Number float64
}

// chart makes a figure of a set of signals: one pane a signal, over time.
func chart(name string, s waveform.Set) Figure {
	f := Figure{Name: name, X: Axis{Label: "time", Unit: "s"}}
	for _, g := range s.Signals {
		f.Panes = append(f.Panes, Pane{
			Y:     Axis{Label: g.Name, Unit: g.Unit},
			Lines: []Line{{Label: g.Name, Kind: g.Kind, X: g.T, Y: g.Y, Stepped: g.Stepped}},
		})
	}
	return f
}
