package reconcile

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
