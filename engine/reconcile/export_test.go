package reconcile

import (
	"cmp"
	"slices"

	"slipring/engine/circuit"
)

// Case is a slot as the tests see it: its options, each with its wires and its
// prior.
type Case struct {
	Wires  [][][2]string
	Priors []float64
}

// Cases gives all slots.
func (b *Board) Cases() (out []Case) {
	for _, s := range b.slots {
		c := Case{}
		for _, o := range s.options {
			wires := [][2]string{}
			for _, w := range o.wires {
				wires = append(wires, [2]string{b.terminals[b.wires[w].a], b.terminals[b.wires[w].b]})
			}
			c.Wires, c.Priors = append(c.Wires, wires), append(c.Priors, o.prior)
		}
		out = append(out, c)
	}
	return out
}

// WrongReadings are the chances that a tester is wrongly open and wrongly closed.
func WrongReadings() (open, closed float64) { return wronglyOpen, wronglyClosed }

// Proven says which wires a closed reading hangs on.
func (b *Board) Proven() map[[2]string]bool {
	out := map[[2]string]bool{}
	for w, r := range b.proofs() {
		if r > 0 {
			out[[2]string{b.terminals[b.wires[w].a], b.terminals[b.wires[w].b]}] = true
		}
	}
	return out
}

// Knowing gives readings worth taking for somebody who knows every answer: those
// that make most wires certain, none of which bear upon the same slots.
func (b *Board) Knowing(joined func(from, to string, hold circuit.Hold) bool) (out []Reading) {
	p := b.planner(false)
	type known struct {
		candidate
		closed bool
		makes  float64
	}
	var list []known
	taken := map[probe]int{}
	for _, r := range b.readings {
		taken[probe{r.ends, r.hold}]++
	}
	for _, one := range p.candidates() {
		c := p.judge(one)
		if c.gain < leastGain || taken[one] >= mostRepeats {
			continue
		}
		k := known{candidate: c, closed: joined(b.terminals[one.a], b.terminals[one.b], b.holds[one.hold].Hold)}
		i := 1
		if k.closed {
			i = 0
		}
		k.makes = float64(len(c.settles[i])) + 0.01*c.gain
		list = append(list, k)
	}
	slices.SortStableFunc(list, func(x, y known) int { return cmp.Compare(y.makes, x.makes) })
	met := map[int]bool{}
	for _, k := range list {
		if slices.ContainsFunc(k.slots, func(s int) bool { return met[s] }) {
			continue
		}
		for _, s := range k.slots {
			met[s] = true
		}
		out = append(out, Reading{From: b.terminals[k.a], To: b.terminals[k.b], Hold: b.holds[k.hold].Hold})
	}
	return out
}

// Asked says whether a drawn wire is not yet certain.
func (b *Board) Asked(from, to string) bool {
	return b.planner(false).asked(b.numbers[endsOf(b.at[from], b.at[to])])
}

// Limits are the chances from which on a wire is found and likely, and up to
// which it is not there.
func Limits() (found, likely, gone float64) { return enough, probable, hardly }

// Believe makes a drawn wire certain, as no readings do.
func (b *Board) Believe(from, to string) {
	n := b.wires[b.numbers[endsOf(b.at[from], b.at[to])]].slot
	clear(b.slots[n].chance)
	b.slots[n].chance[0] = 1
	b.refresh(n)
}

// Wrong is the chance that a reading is wrong, by its number.
func (b *Board) Wrong(n int) float64 { return b.wrong(n) }

// Chance is how likely a wire is there that may be there.
func (b *Board) Chance(from, to string) float64 {
	return b.wires[b.numbers[endsOf(b.at[from], b.at[to])]].chance
}
