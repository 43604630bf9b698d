package reconcile

import (
	"fmt"
	"slices"
	"strings"
)

// Verdict is what is said of a wire.
type Verdict string

// The verdicts, fixed so that scripts can rely on them.
const (
	Found    Verdict = "found"  // a closed reading hangs on it
	Likely   Verdict = "likely" // but no such reading
	Question Verdict = "open question"
	NotThere Verdict = "not there"
)

// From which chance on a wire with its reading is found, up to which it is not
// there, and from which on it is likely.
const (
	enough   = 0.996
	hardly   = 0.005
	probable = 0.9
)

// Judged is a wire and what is said of it.
type Judged struct {
	From, To string
	Wire     string // its number, where a drawing has one
	Verdict  Verdict
	Chance   float64
	Because  string   // the reading with its place in a file, or the sheets
	Evidence string   // the verdict and the same, the reading with its day
	Reason   Reason   // the same, for those who say it in words of their own
	Sheets   []string // that have it; none for a wire that no drawing has
	Believed bool     // of all ways in which its like may be, this is the likeliest
	Power    bool     // current of a battery, an alternator or a set can flow over it; see powered

	slot int // alternatives have the same
}

// Judged gives all drawn wires, in the order of the sheets, and undrawn ones that
// may well be there.
func (b *Board) Judged() (out []Judged) {
	proof, nets, powered := b.proofs(), b.nets(b.likeliest()), b.powered()
	for w := range b.wires {
		one := &b.wires[w]
		p := b.wires[w].chance
		if !b.named(w) {
			continue
		}
		v := b.verdict(w, p, proof[w] > 0)
		j := Judged{From: b.terminals[one.a], To: b.terminals[one.b], Wire: one.name, Verdict: v, Chance: p, Power: powered[w], slot: one.slot}
		j.Reason = b.reason(w, v, proof[w]-1, nets)
		j.Because = j.Reason.say(placed)
		j.Evidence = string(v) + ": " + j.Reason.say(dated)
		s := &b.slots[one.slot]
		j.Believed = slices.Contains(s.options[s.best()].wires, w)
		for _, s := range one.drawn {
			j.Sheets = append(j.Sheets, b.sheets[s].Name)
		}
		out = append(out, j)
	}
	return out
}

// hardlyThought is the chance from which on a wire that no drawing has is named.
const hardlyThought = 0.01

// named says whether something is said of a wire.
func (b *Board) named(w int) bool {
	return len(b.wires[w].drawn) > 0 || b.wires[w].chance >= hardlyThought
}

// verdict says what is said of a wire that is there with a chance p.
func (b *Board) verdict(w int, p float64, proven bool) Verdict {
	switch {
	case p >= enough && proven:
		return Found
	case p >= probable:
		return Likely
	case p <= hardly && b.slots[b.wires[w].slot].touched:
		return NotThere
	}
	return Question
}

// likeliest says which wires are likelier there than not.
func (b *Board) likeliest() []bool {
	there := make([]bool, len(b.wires))
	for w := range b.wires {
		there[w] = b.wires[w].chance >= 0.5
	}
	return there
}

// proofs gives, for each wire, the first closed reading that hangs on it, plus 1;
// 0 for none. A reading hangs on a wire when its terminals are joined as the
// wiring likeliest is, and would not be without the wire: a path past it, through
// other wires or a part, leaves it unproven.
func (b *Board) proofs() []int {
	there, proof := b.likeliest(), make([]int, len(b.wires))
	for i := range b.readings {
		t := &b.readings[i]
		if !t.Closed {
			continue
		}
		for _, w := range b.hangsOn(t.ends, t.hold, there) {
			if proof[w] == 0 {
				proof[w] = i + 1
			}
		}
	}
	return proof
}

// hangsOn lists the wires without which two terminals would not be joined.
func (b *Board) hangsOn(e ends, hold int, there []bool) (out []int) {
	block := slices.Clone(b.between(e.a, e.b, hold, func(w int) bool { return there[w] }))
	node := map[int]int{}
	for _, t := range []int{e.a, e.b} {
		node[t] = len(node)
	}
	for _, x := range block {
		for _, t := range []int{x.a, x.b} {
			if _, ok := node[t]; !ok {
				node[t] = len(node)
			}
		}
	}
	parents := make([]int, len(node))
	for i, without := range block {
		if without.wire < 0 {
			continue
		}
		for k := range parents {
			parents[k] = k
		}
		for k, x := range block {
			if k != i {
				unite(parents, node[x.a], node[x.b])
			}
		}
		if find(parents, node[e.a]) != find(parents, node[e.b]) {
			out = append(out, without.wire)
		}
	}
	return out
}

// Reason is why a verdict is as it is: one of a reading, another wire and the
// sheets.
type Reason struct {
	Reading *Reading // that says so
	Instead *Drawn   // the wire that is there in place of this one
	Alike   *Drawn   // for one that no sheet has: the wire from which no test tells it
	On, Off []string // names of sheets: those that have it, and those that show both ends and have it not
}

// reason says why a verdict is as it is.
func (b *Board) reason(w int, v Verdict, proof int, nets [][]int) (r Reason) {
	one := &b.wires[w]
	s := &b.slots[one.slot]
	best := s.options[s.best()]
	r.On, r.Off = b.drawnBy(w)
	read := func(i int) Reason {
		reading := b.readings[i].Reading
		r.Reading = &reading
		return r
	}
	switch {
	case v == Found, v == Likely && proof >= 0: // likely with one reading: it may be wrong
		return read(proof)
	case v == NotThere && len(best.wires) > 0:
		r.Instead = b.asDrawn(best.wires[0])
		return r
	case v != Likely || len(r.On) == 0:
		if i := b.openAt(w, nets); i >= 0 {
			return read(i)
		}
	}
	if len(r.On) == 0 && !s.wide {
		r.Alike = b.asDrawn(s.alternatives[0])
	}
	return r
}

// say gives the reason in words; cited gives a reading.
func (r Reason) say(cited func(Reading) string) string {
	switch {
	case r.Reading != nil:
		return cited(*r.Reading)
	case r.Instead != nil:
		return "it is " + called(r.Instead.Wire, r.Instead.From, r.Instead.To) + " instead"
	case r.Alike != nil:
		return "drawn nowhere; no test with nothing held tells it from " + called(r.Alike.Wire, r.Alike.From, r.Alike.To)
	case len(r.On) == 0:
		return "drawn nowhere; beside a drawn wire that was not found"
	}
	text := "drawn on " + strings.Join(r.On, ", ")
	if len(r.Off) > 0 {
		text += ", not on " + strings.Join(r.Off, ", ")
	}
	return text
}

// placed gives a reading with its place in a file.
func placed(one Reading) string {
	if at := one.At(); at != "" {
		return fmt.Sprintf("%s, %s", one, at)
	}
	return one.String()
}

// dated gives a reading with its day.
func dated(one Reading) string {
	if one.When != "" {
		return fmt.Sprintf("%s, %s", one, one.When)
	}
	return one.String()
}

// nets gives, for each hold that some reading was taken with, which terminals are
// joined by such wires and by parts: those with the same number.
func (b *Board) nets(there []bool) [][]int {
	nets := make([][]int, len(b.holds))
	for i := range b.readings {
		if h := b.readings[i].hold; nets[h] == nil {
			nets[h] = b.net(there, h)
		}
	}
	return nets
}

// net is nets for one hold.
func (b *Board) net(there []bool, hold int) []int {
	h := &b.holds[hold]
	net := make([]int, len(b.terminals))
	for i := range net {
		net[i] = i
	}
	for w, is := range there {
		if is {
			unite(net, b.wires[w].a, b.wires[w].b)
		}
	}
	for _, way := range h.ways {
		unite(net, way.a, way.b)
	}
	if hold > 0 {
		for _, way := range b.holds[0].ways {
			if !h.held[partOf(b.terminals[way.a])] {
				unite(net, way.a, way.b)
			}
		}
	}
	for i := range net {
		net[i] = find(net, i)
	}
	return net
}

// openAt finds the last open reading that speaks against a wire: were it there,
// the terminals would be joined, and as the wiring is likeliest they are not.
func (b *Board) openAt(w int, nets [][]int) int {
	for i := len(b.readings) - 1; i >= 0; i-- {
		t := &b.readings[i]
		net := nets[t.hold]
		if would := endsOf(net[b.wires[w].a], net[b.wires[w].b]); !t.Closed && would.a != would.b && would == endsOf(net[t.a], net[t.b]) {
			return i
		}
	}
	return -1
}

// drawnBy says which sheets have a wire, and which show both of its ends and have
// it not.
func (b *Board) drawnBy(w int) (with, without []string) {
	one := &b.wires[w]
	for i, s := range b.sheets {
		switch {
		case slices.Contains(one.drawn, i):
			with = append(with, s.Name)
		case s.Shows(b.terminals[one.a], b.terminals[one.b]):
			without = append(without, s.Name)
		}
	}
	return with, without
}
