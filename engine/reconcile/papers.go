package reconcile

import "slipring/engine/circuit"

// Papers is what there is on paper about a board's wires.
type Papers struct {
	Sheets   []Sheet
	Readings []Reading
}

// Board gives what is believed of the wires between such parts.
func (p Papers) Board(parts circuit.Wiring) (*Board, error) {
	b, err := New(parts, p.Sheets)
	for i := 0; err == nil && i < len(p.Readings); i++ {
		err = b.Take(p.Readings[i])
	}
	return b, err
}
