package bench

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/circuit"
	"slipring/engine/tell"
)

// Wired gives a drawing back when the wiring has what it shows, and stops with
// the first thing that is otherwise. Each part of the drawing is one of
// wiring/parts.toml, called as there and with its marks at its ends, and each of
// its lines stands for wires that lead from one to the other, be it through a
// terminal strip that is not drawn; and what wires join is joined in the drawing.
//
//	tell.Schematic("start", bench.Wiring().Wired(tell.
//		Put("key", "start", "", 3, 1).Ends("13", "14").
//		...
func (w *Wiring) Wired(d tell.Schematic) tell.Schematic {
	lines, err := d.Lines()
	if err != nil {
		panic(err)
	}
	laid := w.laid()
	for _, p := range d.Parts {
		is, ok := laid.Part(p.Name)
		if !ok {
			panic(tell.Misuse{Text: fmt.Sprintf("the drawing has a part %q, and the wiring has none", p.Name), Hint: "call it as wiring/parts.toml does, or tell the drawing without Wired"})
		}
		known, err := is.Marks()
		if err != nil {
			panic(misuse(err))
		}
		for _, mark := range p.Marks() {
			if !slices.Contains(known, mark) {
				panic(tell.Misuse{Text: fmt.Sprintf("the drawing has an end %s.%s, and the wiring has none", p.Name, mark), Hint: fmt.Sprintf("the marks of %s are %s", p.Name, strings.Join(known, ", "))})
			}
		}
		if want := symbolFor(is, p); !slices.Contains(want, p.Kind) {
			panic(tell.Misuse{Text: fmt.Sprintf("the drawing has %s %s as a %s, and the wiring as a %s", p.Name, strings.Join(p.Marks(), "-"), p.Kind, is.Kind), Hint: "draw it as a " + strings.Join(want, " or ")})
		}
	}
	w.sameNets(d, lines, laid)
	return d
}

// sameNets holds the lines of a drawing against the wires.
func (w *Wiring) sameNets(d tell.Schematic, lines tell.Lines, laid circuit.Wiring) {
	root := map[string]string{}
	find := func(one string) string {
		for root[one] != "" {
			one = root[one]
		}
		return one
	}
	join := func(a, b string) {
		if a, b = find(a), find(b); a != b {
			root[b] = a
		}
	}
	for _, wire := range laid.Wires {
		join(wire.From, wire.To)
	}
	drawn := map[string]int{} // in which net an end is, from 1; 0 in none
	for i, net := range lines.Nets {
		for _, end := range net {
			drawn[end] = i + 1
			if find(end) != find(net[0]) {
				panic(tell.Misuse{Text: fmt.Sprintf("the drawing joins %s and %s, and no wire does", net[0], end), Hint: "look in wiring/wires.csv where its wire leads"})
			}
		}
	}
	first := map[string]string{} // of the ends that wires join
	for _, p := range d.Parts {
		for _, mark := range p.Marks() {
			end := p.Name + "." + mark
			r := find(end)
			other, had := first[r]
			if !had {
				first[r] = end
			} else if drawn[end] == 0 || drawn[end] != drawn[other] {
				panic(tell.Misuse{Text: fmt.Sprintf("wires join %s and %s, and the drawing does not", other, end), Hint: "join them in the drawing"})
			}
		}
	}
}

// symbolFor gives the kinds of symbol that an entry of the wiring can be drawn as.
// The last digits of a contact's marks say what it does (IEC 60947-5-1, from
// memory, as in circuit.Part.Marks).
func symbolFor(is circuit.Part, p tell.Symbol) []string {
	marks := strings.Join(p.Marks(), "-")
	contact := slices.Contains(is.Contacts, marks)
	one := p.Marks()[0]
	breaks := strings.HasSuffix(one, "1") || strings.HasSuffix(one, "5")
	switch {
	case is.Kind == "strip":
		return []string{"terminal"}
	case is.Kind == "key" && is.Stays:
		return []string{"switch"}
	case is.Kind == "key" && breaks:
		return []string{"break key"}
	case is.Kind == "key":
		return []string{"key"}
	case contact && breaks:
		return []string{"break contact"}
	case contact:
		return []string{"make contact"}
	case is.Kind == "relay" || is.Kind == "detector":
		return []string{"relay coil"}
	case is.Kind == "set" && marks == "A1-A2":
		return []string{"armature"}
	case is.Kind == "set" && marks == "E1-E2":
		return []string{"field winding"}
	case is.Kind == "set":
		return []string{"coil"}
	}
	return []string{is.Kind} // battery, resistor, fuse, lamp, bell and meters are called alike
}
