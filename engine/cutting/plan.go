// Package cutting makes the list of wire to cut, label and hang from a list of
// wires: how long each is, how thick and why, what colour, and how its ends are
// finished.
//
//	list, flaws := cutting.Cut(wiring, plan, amps)
//	for _, w := range list.Wires { ... }
//
// It is no wiring code and holds no table of one. What wire of a thickness may
// carry is said by the house's plan, with where that comes from; the local code
// and a licensed person decide. What it adds is arithmetic: currents of the
// circuit model, the resistance of copper, lengths over frames, and sums.
package cutting

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/wiring"
)

// Plan is what a house says of the wire that it hangs.
type Plan struct {
	Slack       float64 // m, at each end: to strip, to finish, and to finish once more
	Step        float64 // m; lengths are rounded up to it
	Waste       float64 // part of what is ordered besides
	Lot         float64 // m; what is ordered is rounded up to it
	Temperature float64 // C, of copper at work
	Least       float64 // mm²; nothing thinner is hung, for its strength alone

	Stock  []Stock
	Ends   map[string]End // by terminal, part or kind of part; the nearest counts
	Runs   []Run
	Places []Place
	Groups []Group
	States []State
}

// Stock is one thickness of wire that the house buys. All of it is stranded.
type Stock struct {
	Area    float64 // mm²
	Gauge   string  // of the American wire gauge, for wire that is sold by it; else ""
	Carries float64 // A, for good, behind the board
	From    string  // where that comes from
	Line    int
}

// End is how the end of a wire is finished.
type End string

// Ends of wires.
const (
	Solder  End = "solder"  // in a cup or around a tag
	Lug     End = "lug"     // a crimped ring, under a nut
	Ferrule End = "ferrule" // a crimped sleeve, in a clamp
	Eye     End = "eye"     // the strands bent to a ring, under a washer
)

// Ends lists them.
func Ends() []End { return []End{Solder, Lug, Ferrule, Eye} }

// Run is the way of wires from one frame to another, between the places where
// wires leave them.
type Run struct {
	Between [2]string
	Length  float64 // m
	Line    int
}

// Outside is the frame of parts that wire from the board does not reach: what
// stands at the far end of a line.
const Outside = "outside"

// Place is where a part stands on its frame, in m from the frame's left edge and
// up from its foot. Without a part, it is where wires leave the frame.
type Place struct {
	Part, Frame string
	Across, Up  float64
	Line        int
}

// Group is wires that belong together: of one colour, behind the same fuses, and
// with one allowance of voltage to lose.
type Group struct {
	Name    string
	Text    string // what it is for
	Texts   map[string]string
	Wires   []string // names, or W4-W12 for all from W4 to W12
	Colour  string   // letters of IEC 60757
	Fuses   []string // parts; what all of them pass for good, the wire has to carry
	Before  bool     // it stands before these fuses, so that nothing guards it
	Current float64  // A, of what the circuit model does not have; 0 for nothing
	From    string   // where that current comes from
	Voltage float64  // V, of which a share may be lost
	Drop    float64  // that share
	Line    int
}

// State is one in which currents are taken from the circuit model: faults are
// there from the beginning, and then keys are pressed one after the other.
type State struct {
	Name  string
	Text  string
	Texts map[string]string
	Full  bool // all bells and lamps of the full load; else the set runs idle
	Fail  []string
	Press []string
	Line  int
}

// Colours gives the letters of IEC 60757 for colours of insulation, in the
// standard's order.
func Colours() []string {
	return []string{"BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR", protective}
}

// protective is green-and-yellow, which marks the protective conductor and
// nothing else (IEC 60445).
const protective = "GNYE"

// ParseSize reads how thick wire is: "1.5 mm2", one of the sizes of IEC 60228, or
// a gauge such as "AWG 16".
func ParseSize(s string) (area float64, gauge string, err error) {
	word := strings.TrimSpace(s)
	if number, ok := strings.CutSuffix(strings.ReplaceAll(word, "²", "2"), "mm2"); ok {
		if area, err := strconv.ParseFloat(strings.TrimSpace(number), 64); err == nil && slices.Contains(wiring.Sizes(), area) {
			return area, "", nil
		}
		return 0, "", fmt.Errorf("%q is no cross-section of IEC 60228", s)
	}
	g, err := wiring.ParseGauge(word)
	if err != nil {
		return 0, "", err
	}
	return g.Area(), g.String(), nil
}

// SizeHint says how a thickness is written.
func SizeHint() string {
	var sizes []string
	for _, a := range wiring.Sizes() {
		sizes = append(sizes, fmt.Sprint(a))
	}
	return `write it as "1.5 mm2", of ` + strings.Join(sizes, ", ") + `, or as "AWG 16"`
}

// Beside gives the gauge that is sold beside a cross-section in mm²: the thinnest
// of no less copper, of the even numbers that shops have (common practice, no
// source), and from 1/0 on of all. It is "" beyond 4/0.
func Beside(area float64) string {
	for g := wiring.Thinnest; g >= wiring.Thickest; g-- {
		if sold := g%2 == 0 || g < 1; sold && g.Area() >= area*(1-1e-9) {
			return g.String()
		}
	}
	return ""
}

// Flaw is what is wrong with a plan, and the next step.
type Flaw struct {
	In     In
	Line   int
	Reason string
	Next   string

	// Works says that there is a list all the same: so it is when the plan names
	// a wire that was taken out of the wiring.
	Works bool
}

// In is the file that a flaw is in.
type In int

const (
	InPlan In = iota
	InPlaces
	InWires
	InParts
)

func (f Flaw) Error() string { return f.Reason }
