package circuit

import (
	"fmt"
	"slices"
)

// Hold is what somebody does to parts while he tests: those whose contacts he
// moves by hand, and those that he takes out.
type Hold struct{ Moved, Out []string }

// Ways gives the pairs of terminals that parts join by themselves with all power
// off, as a continuity tester finds them: contacts as they lie, or moved, and
// what has so many ohm at most. What a part that is taken out joined is not among
// them. A set gives none: its leads are lifted before anybody tests.
func (w Wiring) Ways(most float64, hold Hold) ([][2]string, error) {
	b, err := Wiring{Parts: w.Parts}.laid()
	if err != nil {
		return nil, err
	}
	out := map[int]bool{}
	for _, name := range hold.Out {
		i := w.part(name)
		if i < 0 {
			return nil, w.NoPart(name)
		}
		out[i] = true
	}
	names := make([]string, len(b.marks))
	for name, at := range b.marks {
		names[at] = name
	}
	n := b.still()
	of := make([]int, len(n.joints)) // their parts
	for i := range b.movers {
		for _, l := range b.movers[i].legs {
			of[l.joint] = b.movers[i].part
		}
	}
	for _, name := range hold.Moved {
		i := w.part(name)
		if i < 0 {
			return nil, w.NoPart(name)
		}
		m := slices.IndexFunc(b.movers, func(m mover) bool { return m.part == i && !m.melts && len(m.legs) > 0 })
		if m < 0 {
			return nil, Flaw{Parts: []string{name}, Reason: fmt.Sprintf("nobody can hold %s: it has no contacts that move", w.Parts[i].called()), Next: "take it out, or hold a part with contacts"}
		}
		b.movers[m].move(&n, true)
	}
	var ways [][2]string
	for i, j := range n.joints {
		if !j.open && !out[of[i]] {
			ways = append(ways, [2]string{names[j.a], names[j.b]})
		}
	}
	for i := range n.branches {
		if one := &n.branches[i]; one.conducts(true) && one.r <= most && !out[one.part] {
			ways = append(ways, [2]string{names[one.a], names[one.b]})
		}
	}
	return ways, nil
}

// NoPart says that there is no part of a name.
func (w Wiring) NoPart(name string) error {
	var all []string
	for _, p := range w.Parts {
		all = append(all, p.Name)
	}
	return Flaw{Reason: fmt.Sprintf("there is no part %q", name), Next: near(name, all, "use a name of parts.toml; it has: ")}
}
