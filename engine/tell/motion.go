package tell

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"slipring/engine/waveform"
)

// Motion is a figure that moves: a mechanism drawn from computed states over
// one turn or a few. Signals holds those that the mechanism needs, and
// nothing else, all over the same stretch of time.
type Motion struct {
	Name      string
	Mechanism Mechanism
	Signals   waveform.Set
	Sizes     []Size
}

// Mechanism says what a motion draws.
type Mechanism string

// The mechanisms that can be drawn, each with the signals and sizes that it
// needs.
const (
	// Governor: "shaft angle" (deg, 0 with the weight straight down), "weight
	// travel" (mm, outward past the contact), "governor contact" (1 closed).
	// Optional: the signal "speed" (Hz), shown by a needle, whose scale goes
	// from the size "slowest" to the size "fastest" (Hz) where both are given,
	// and otherwise holds just what the signal does; the size "contact radius"
	// (mm), with which the page says how many times too large the travel is
	// drawn; the size "gravity" (m/s2): where it is 0, no pull of gravity is
	// drawn; the sizes "bells" and "all bells", of which so many ring.
	Governor Mechanism = "governor"

	// Regulator, the vibrating voltage regulator: "plunger travel" (mm, upward
	// past the contact), "regulator coil current" (A), "regulator contact"
	// (1 closed).
	Regulator Mechanism = "regulator"

	// Generator: "shaft angle" (deg), "output" (V). Optional: the signal
	// "generator field current" (A), for the description; the size "ring angle"
	// (deg), by which the winding is ahead of the shaft, 0 when left out.
	Generator Mechanism = "generator"

	// Whole, the drawing of the whole demonstration in the house's scene.toml:
	// "shaft angle" (deg). It shows more where it is given "output current" and
	// "armature current" (A), and "governor contact" (1 closed).
	Whole Mechanism = "set"

	// Bell, a polarised bell: "bell current" (A).
	Bell Mechanism = "bell"

	// Fuse: "armature current" (A), "fuse heat" (A2), and the size "melting
	// current" (A), whose square is the heat that melts it.
	Fuse Mechanism = "fuse"

	// Balance, a weight at rest against what its spinning makes of it: "pull"
	// (g, as much as would weigh the same), and the size "weight" (g).
	// Optional: the signal "speed" (Hz).
	Balance Mechanism = "balance"

	// ToneWheel: "shaft angle" (deg) and the size "teeth", a whole number.
	ToneWheel Mechanism = "tone-wheel"
)

// Size is one dimension of a mechanism, such as the number of teeth.
type Size struct {
	Name   string
	Number float64
	Unit   string // "" for a pure number
}

// need is a signal or a size that a mechanism asks for.
type need struct {
	name, unit string
	contact    bool // steps between 0 and 1
	optional   bool
}

type mechanismNeeds struct {
	mechanism Mechanism
	signals   []need
	sizes     []need
	longest   float64 // s that it may show
}

// What a motion may show, in s. More would be too much for 120 frames, or for
// a visitor's patience: of what turns or trembles a few turns, of what goes
// one way a start.
const (
	ofTurns = 0.5
	ofStart = 10
)

func allNeeds() []mechanismNeeds {
	angle := need{name: "shaft angle", unit: "deg"}
	speed := need{name: "speed", unit: "Hz", optional: true}
	return []mechanismNeeds{
		{Governor,
			[]need{angle, {name: "weight travel", unit: "mm"}, {name: "governor contact", contact: true}, speed},
			[]need{
				{name: "contact radius", unit: "mm", optional: true}, {name: "gravity", unit: "m/s2", optional: true},
				{name: "slowest", unit: "Hz", optional: true}, {name: "fastest", unit: "Hz", optional: true},
				{name: "bells", optional: true}, {name: "all bells", optional: true}},
			ofTurns},
		{Regulator,
			[]need{{name: "plunger travel", unit: "mm"}, {name: "regulator coil current", unit: "A"}, {name: "regulator contact", contact: true}},
			nil, ofTurns},
		{Generator,
			[]need{angle, {name: "output", unit: "V"}, {name: "generator field current", unit: "A", optional: true}},
			[]need{{name: "ring angle", unit: "deg", optional: true}}, ofTurns},
		{Whole,
			[]need{angle, {name: "output current", unit: "A", optional: true}, {name: "armature current", unit: "A", optional: true}, {name: "governor contact", contact: true, optional: true}},
			nil, ofTurns},
		{ToneWheel, []need{angle}, []need{{name: "teeth"}}, ofTurns},
		{Bell, []need{{name: "bell current", unit: "A"}}, nil, ofTurns},
		{Fuse, []need{{name: "armature current", unit: "A"}, {name: "fuse heat", unit: "A2"}},
			[]need{{name: "melting current", unit: "A"}}, ofStart},
		{Balance, []need{{name: "pull", unit: "g"}, speed}, []need{{name: "weight", unit: "g"}}, ofStart},
	}
}

// Signals lists the signals without which the mechanism cannot be drawn.
func (m Mechanism) Signals() []string {
	var out []string
	for _, of := range allNeeds() {
		for _, n := range of.signals {
			if of.mechanism == m && !n.optional {
				out = append(out, n.name)
			}
		}
	}
	return out
}

const (
	mostMotionTurns = 6    // of the shaft
	leastMotionTime = 1e-4 // s
	mostTeeth       = 60
	mostBells       = 60
)

// Motion tells a figure that moves. Its name begins with the mechanism, and
// may go on after a dot: "governor", "governor.loaded", "regulator",
// "generator", "tone-wheel.low". The set holds the signals that the mechanism
// needs, with their units; others in it are left out.
func (s *Sheet) Motion(name string, signals waveform.Set, sizes ...Size) {
	s.name("motion", name)
	if s.depth > 0 {
		panic(Misuse{
			fmt.Sprintf("motion %q is told under a knob", name),
			"tell it outside the knob, one motion for each position worth showing"})
	}
	head, _, _ := strings.Cut(name, ".")
	var of mechanismNeeds
	var known []string
	for _, n := range allNeeds() {
		known = append(known, fmt.Sprintf("%q", string(n.mechanism)))
		if string(n.mechanism) == head {
			of = n
		}
	}
	if of.mechanism == "" {
		panic(Misuse{
			fmt.Sprintf("motion %q names no mechanism that can be drawn", name),
			"begin the name with one of " + strings.Join(known, ", ") + `, as in "governor.loaded"`})
	}
	m := Motion{Name: name, Mechanism: of.mechanism}
	m.Signals = pick(name, of, signals)
	m.Sizes = measure(name, of, sizes)
	for _, g := range m.Signals.Signals {
		s.count("motion", name, len(g.T))
	}
	s.result.Motions = append(s.result.Motions, m)
}

// pick takes the signals that a mechanism needs, in the order of its needs.
func pick(name string, of mechanismNeeds, set waveform.Set) waveform.Set {
	byName := map[string]waveform.Signal{}
	for _, g := range set.Signals {
		byName[g.Name] = g
	}
	var missing, wanted []string
	var had []need
	for _, n := range of.signals {
		if !n.optional {
			wanted = append(wanted, fmt.Sprintf("%q", n.name))
		}
		if _, ok := byName[n.name]; ok {
			had = append(had, n)
		} else if !n.optional {
			missing = append(missing, fmt.Sprintf("%q", n.name))
		}
	}
	hint := "take them from a run: run.Traces(" + strings.Join(wanted, ", ") + ").Turns(1)"
	if of.longest > ofTurns {
		hint = "give each as a signal with its name and unit; those of a run come from run.Traces(" + strings.Join(wanted, ", ") + ").Window(0, 2)"
	}
	if len(missing) > 0 {
		panic(Misuse{fmt.Sprintf("motion %q lacks the signal %s", name, strings.Join(missing, " and ")), hint})
	}
	out := waveform.Set{Starts: set.Starts}
	finite("motion", name, set.Starts...)
	from, to := math.Inf(-1), math.Inf(1)
	for _, n := range had {
		g := byName[n.name]
		checkSignal(name, n, g, hint)
		from, to = max(from, g.T[0]), min(to, g.T[len(g.T)-1])
		out.Signals = append(out.Signals, g)
	}
	for _, g := range out.Signals {
		if slack := 1e-6 * (to - from); !(to > from) || from-g.T[0] > slack || g.T[len(g.T)-1]-to > slack {
			panic(Misuse{fmt.Sprintf("the signals of motion %q do not cover the same time", name), hint})
		}
	}
	if to-from < leastMotionTime || to-from > of.longest {
		panic(Misuse{
			fmt.Sprintf("motion %q would show %s s; it can show %v to %v s", name, short(to-from), leastMotionTime, of.longest),
			"ask for fewer turns, such as Turns(1), or for a shorter window"})
	}
	if angle := out.Signals[0]; angle.Name == "shaft angle" {
		if n := turned(angle); n > mostMotionTurns {
			panic(Misuse{
				fmt.Sprintf("motion %q would show %.1f turns of the shaft; it can show %d", name, n, mostMotionTurns),
				"ask for fewer turns, such as Turns(1)"})
		}
	}
	return out
}

// turned gives the turns that an angle in degrees goes through, where a fall
// by more than half a turn is the step from 360 to 0. The first and last of
// many samples do not count: a window cut at that step ends with an angle
// between 360 and 0 that the shaft never had.
func turned(angle waveform.Signal) float64 {
	first, last := 1, len(angle.Y)-1
	if last > 3 {
		first, last = 2, last-1
	}
	sum := 0.0
	for i := first; i <= last; i++ {
		d := angle.Y[i] - angle.Y[i-1]
		if d < -180 {
			d += 360
		}
		sum += math.Abs(d)
	}
	return sum / 360
}

func checkSignal(name string, n need, g waveform.Signal, hint string) {
	if len(g.T) != len(g.Y) || len(g.T) < 2 {
		panic(Misuse{
			fmt.Sprintf("signal %q of motion %q has %d instants and %d values", n.name, name, len(g.T), len(g.Y)), hint})
	}
	finite("motion", name, g.T...)
	finite("motion", name, g.Y...)
	if !sort.Float64sAreSorted(g.T) {
		panic(Misuse{fmt.Sprintf("the instants of signal %q of motion %q do not rise", n.name, name), hint})
	}
	if g.Unit != n.unit {
		panic(Misuse{
			fmt.Sprintf("signal %q of motion %q is in %q; it has to be in %q", n.name, name, g.Unit, n.unit), hint})
	}
	if !n.contact {
		return
	}
	if !g.Stepped {
		panic(Misuse{fmt.Sprintf("signal %q of motion %q is no contact: it has to be stepped", n.name, name), hint})
	}
	for _, y := range g.Y {
		if y != 0 && y != 1 {
			panic(Misuse{
				fmt.Sprintf("signal %q of motion %q is %s somewhere; a contact is 1 (closed) or 0 (open)", n.name, name, short(y)), hint})
		}
	}
}

// measure takes the sizes that a mechanism needs and refuses others.
func measure(name string, of mechanismNeeds, sizes []Size) []Size {
	var out []Size
	for _, n := range of.sizes {
		found := false
		for _, z := range sizes {
			if z.Name == n.name {
				found = true
				checkSize(name, n, z)
				out = append(out, z)
			}
		}
		if !found && !n.optional {
			panic(Misuse{
				fmt.Sprintf("motion %q lacks the size %q", name, n.name),
				fmt.Sprintf("add tell.Size{Name: %q, Number: 8} after the signals", n.name)})
		}
	}
	if len(out) != len(sizes) {
		for _, z := range sizes {
			known := false
			for _, n := range of.sizes {
				known = known || z.Name == n.name
			}
			if !known {
				panic(Misuse{
					fmt.Sprintf("motion %q has no size %q", name, z.Name),
					"leave it out"})
			}
		}
	}
	for i := range out {
		for k := range i {
			if out[k].Name == "slowest" && out[i].Name == "fastest" && out[k].Number >= out[i].Number {
				panic(Misuse{
					fmt.Sprintf("the scale of motion %q would go from %s to %s Hz", name, short(out[k].Number), short(out[i].Number)),
					"give the slower speed as \"slowest\""})
			}
			if out[i].Name == out[k].Name {
				panic(Misuse{fmt.Sprintf("motion %q is given the size %q twice", name, out[i].Name), "leave one out"})
			}
		}
	}
	return out
}

func checkSize(name string, n need, z Size) {
	finite("motion", name, z.Number)
	if z.Unit != n.unit {
		panic(Misuse{
			fmt.Sprintf("size %q of motion %q is in %q; it has to be in %q", z.Name, name, z.Unit, n.unit),
			"convert it in the cell"})
	}
	none := z.Name == "gravity" || z.Name == "ring angle" || z.Name == "bells"
	if z.Number < 0 && z.Unit != "deg" || z.Number == 0 && !none {
		panic(Misuse{fmt.Sprintf("size %q of motion %q is %s", z.Name, name, short(z.Number)), "give a number above zero"})
	}
	if z.Name == "teeth" && (z.Number != math.Trunc(z.Number) || z.Number < 2 || z.Number > mostTeeth) {
		panic(Misuse{
			fmt.Sprintf("a wheel with %s teeth cannot be drawn", short(z.Number)),
			fmt.Sprintf("give a whole number from 2 to %d", mostTeeth)})
	}
	if strings.HasSuffix(z.Name, "bells") && (z.Number != math.Trunc(z.Number) || z.Number > mostBells) {
		panic(Misuse{
			fmt.Sprintf("%s bells cannot be drawn", short(z.Number)),
			fmt.Sprintf("give a whole number up to %d", mostBells)})
	}
}
