package reconcile

import (
	"cmp"
	"slices"

	"slipring/engine/circuit"
)

// Board is what is believed of a board's wires: what its sheets say, and what
// readings have said since.
type Board struct {
	parts     circuit.Wiring
	terminals []string
	at        map[string]int
	beside    [][]int // of each terminal: those where its wire may have been put instead
	sheets    []Sheet // in the order of their dates, those without last
	wires     []wire
	wiresAt   [][]int // of each terminal
	numbers   map[ends]int
	slots     []slot
	readings  []taken
	holds     []hold
	walk      walker
}

// ends are two terminals by number, the smaller first.
type ends struct{ a, b int }

func endsOf(a, b int) ends { return ends{min(a, b), max(a, b)} }

// wire is one that may be there.
type wire struct {
	ends
	slot   int
	chance float64 // that it is there
	name   string
	drawn  []int // sheets that have it; none for one that was thought of for a reading's sake
	like   int   // a drawn wire of its slot that no test with nothing held tells it from; -1 for none
}

// hold is what parts join by themselves while some are held or out. The first of
// a board is that with none; others have the ways of those parts alone.
type hold struct {
	circuit.Hold
	ways   []ends
	waysAt map[int][]int
	held   map[string]bool // the parts
}

// taken is a reading by numbers.
type taken struct {
	Reading
	ends
	hold int
	link link // how it hangs on wires that are not settled
}

// nearest is how many terminals of a strip, to each side, a wire may have been
// put to in place of the right one, and mostBeside how many of another part.
const (
	nearest    = 2
	mostBeside = 6
)

// New gives what the sheets of a board say. The parts must be ones in which
// CheckParts finds nothing.
func New(parts circuit.Wiring, sheets []Sheet) (*Board, error) {
	b := &Board{parts: parts, at: map[string]int{}, numbers: map[ends]int{}}
	for _, p := range parts.Parts {
		marks, err := p.Marks()
		if err != nil {
			return nil, err
		}
		first := len(b.terminals)
		for _, m := range marks {
			b.at[p.Name+"."+m] = len(b.terminals)
			b.terminals = append(b.terminals, p.Name+"."+m)
		}
		for i := range marks {
			b.beside = append(b.beside, neighbours(p, first, i, len(marks)))
		}
	}
	b.wiresAt = make([][]int, len(b.terminals))
	b.walk = newWalker(len(b.terminals))
	if _, err := b.holding(circuit.Hold{}); err != nil {
		return nil, err
	}
	b.order(sheets)
	b.draw()
	return b, nil
}

// Sheets gives the sheets in the order in which they are believed to have been
// drawn.
func (b *Board) Sheets() []Sheet { return slices.Clone(b.sheets) }

// Readings gives the readings in the order in which they were taken.
func (b *Board) Readings() (out []Reading) {
	for _, t := range b.readings {
		out = append(out, t.Reading)
	}
	return out
}

// neighbours lists where on the part a wire may have been put instead.
func neighbours(p circuit.Part, first, i, n int) (out []int) {
	for k := range n {
		far := max(i-k, k-i)
		if far > 0 && (p.Kind == "strip" && far <= nearest || p.Kind != "strip" && len(out) < mostBeside) {
			out = append(out, first+k)
		}
	}
	return out
}

// order puts the sheets into the order of their dates. One without a date comes
// behind the dated sheet that it has most wires in common with, since it was
// copied from that or the other way round.
func (b *Board) order(sheets []Sheet) {
	var undated []Sheet
	for _, s := range sheets {
		if s.Date == "" {
			undated = append(undated, s)
		} else {
			b.sheets = append(b.sheets, s)
		}
	}
	slices.SortStableFunc(b.sheets, func(s, t Sheet) int { return cmp.Compare(s.Date, t.Date) })
	for _, u := range undated {
		place, most := len(b.sheets), -1
		for i, s := range b.sheets {
			if n := inCommon(s, u); n > most {
				place, most = i+1, n
			}
		}
		b.sheets = slices.Insert(b.sheets, place, u)
	}
}

func inCommon(s, t Sheet) (n int) {
	has := map[pair]bool{}
	for _, d := range s.Wires {
		has[pairOf(d.From, d.To)] = true
	}
	for _, d := range t.Wires {
		if has[pairOf(d.From, d.To)] {
			n++
		}
	}
	return n
}

// draw makes each wire of a sheet one that may be there, and slots of them.
func (b *Board) draw() {
	for i, s := range b.sheets {
		for _, d := range s.Wires {
			e := endsOf(b.at[d.From], b.at[d.To])
			w := b.wire(e)
			b.wires[w].drawn = append(b.wires[w].drawn, i)
			b.wires[w].name = cmp.Or(b.wires[w].name, d.Wire)
		}
	}
	for _, alike := range b.alternatives() {
		n := len(b.slots)
		for _, w := range alike {
			b.wires[w].slot = n
		}
		b.slots = append(b.slots, b.newSlot(alike))
	}
	for n := range b.slots {
		b.refresh(n)
		b.bridged(n)
	}
}

// wire gives the number of the wire between two terminals, which may be new.
func (b *Board) wire(e ends) int {
	if w, ok := b.numbers[e]; ok {
		return w
	}
	w := len(b.wires)
	b.numbers[e] = w
	b.wires = append(b.wires, wire{ends: e, slot: -1, like: -1})
	b.wiresAt[e.a], b.wiresAt[e.b] = append(b.wiresAt[e.a], w), append(b.wiresAt[e.b], w)
	return w
}

// holding gives the number of what is joined while something is held or out.
func (b *Board) holding(is circuit.Hold) (int, error) {
	for i, h := range b.holds {
		if slices.Equal(h.Moved, is.Moved) && slices.Equal(h.Out, is.Out) {
			return i, nil
		}
	}
	h := hold{Hold: is, waysAt: map[int][]int{}, held: map[string]bool{}}
	some := b.parts
	if len(b.holds) > 0 {
		some.Parts = nil
		for _, name := range slices.Concat(is.Moved, is.Out) {
			if p, ok := b.parts.Part(name); ok && !h.held[name] {
				some.Parts = append(some.Parts, p)
			}
			h.held[name] = true
		}
	}
	ways, err := some.Ways(Threshold, is)
	if err != nil {
		return 0, err
	}
	for i, way := range ways {
		e := ends{b.at[way[0]], b.at[way[1]]}
		h.ways = append(h.ways, e)
		h.waysAt[e.a], h.waysAt[e.b] = append(h.waysAt[e.a], i), append(h.waysAt[e.b], i)
	}
	b.holds = append(b.holds, h)
	return len(b.holds) - 1, nil
}

// waysFrom gives the ways from a terminal: their numbers, and the list that these
// count in.
func (b *Board) waysFrom(t, n int) (list []int, ways []ends) {
	h := &b.holds[0]
	if n > 0 && b.holds[n].held[partOf(b.terminals[t])] {
		h = &b.holds[n]
	}
	return h.waysAt[t], h.ways
}

// asDrawn gives a wire as a sheet names it.
func (b *Board) asDrawn(w int) *Drawn {
	one := b.wires[w]
	return &Drawn{From: b.terminals[one.a], To: b.terminals[one.b], Wire: one.name}
}

// called names a wire in a message.
func called(number, from, to string) string {
	text := from + " to " + to
	if number != "" {
		return number + " (" + text + ")"
	}
	return text
}
