// Package story says where a computed number comes from: by which equations the
// engine works out what a cell asks it for.
//
//	keys := story.Decides("bench.Run.Frequency")
//	e, ok := story.Find(keys[0])
//
// The equations stand with the code that solves them, and which of them decide a
// figure of a run stands with package bench; this package puts both together. It
// runs nothing, and knows no lesson.
package story

import (
	"slices"
	"strings"

	"slipring/engine/bench"
	"slipring/engine/circuit"
	"slipring/engine/cutting"
	"slipring/engine/equation"
	"slipring/engine/machine"
	"slipring/engine/reconcile"
	"slipring/engine/sift"
	"slipring/engine/waveform"
	"slipring/engine/wiring"
)

// Parts gives all that is explained: the parts of the machine in the order of a
// logbook, then what is about no part.
func Parts() []equation.Part {
	return append(machine.Explained(), circuit.Explained(), sift.Explained(), cutting.Explained(), reconcile.Explained(), waveform.Explained(), wiring.Explained())
}

// Find gives the equation of a key.
func Find(key string) (equation.Equation, bool) {
	for _, p := range Parts() {
		for _, e := range p.Equations {
			if e.Key == key {
				return e, true
			}
		}
	}
	return equation.Equation{}, false
}

// Decides gives the keys of the equations that decide what a name of the engine
// stands for, nearest first; nil for a name that no equation decides.
func Decides(name string) []string {
	if keys := bench.Solved(name); keys != nil {
		return keys
	}
	for _, p := range Parts() {
		for _, e := range p.Equations {
			if slices.Contains(e.By, name) {
				return append([]string{e.Key}, given(e)...)
			}
		}
	}
	return nil
}

// given gives the equations that an equation's symbols come from.
func given(e equation.Equation) []string {
	var keys []string
	for _, s := range e.Symbols {
		if s.Equation != "" && !slices.Contains(keys, s.Equation) {
			keys = append(keys, s.Equation)
		}
	}
	return keys
}

// Constants gives the constants of a card that a name of the engine stands for:
// governor.radius for machine.Governor.Radius, those of the full load for
// bench.Set.FullLoad; nil when it is none.
func Constants(name string) []string {
	if name == "bench.Set.FullLoad" {
		return all("full-load")
	}
	fields := strings.Split(name, ".")
	if len(fields) != 3 || fields[0] != "machine" {
		return nil
	}
	key := dashed(fields[2])
	for _, part := range []string{dashed(fields[1]), "low-" + dashed(fields[1])} {
		if c, ok := machine.Described(part + "." + key); ok {
			return []string{c.Name()}
		}
	}
	return nil
}

func all(part string) (names []string) {
	list, _ := machine.Describe(part)
	for _, d := range list {
		names = append(names, part+"."+d.Key)
	}
	return names
}

// dashed writes a name of Go as a card does.
func dashed(name string) string {
	var b strings.Builder
	for i, c := range name {
		if i > 0 && c >= 'A' && c <= 'Z' {
			b.WriteByte('-')
		}
		b.WriteRune(c)
	}
	return strings.ToLower(b.String())
}
