package calibrate

import (
	"slipring/engine/fit"
	"slipring/engine/machine"
	"slipring/engine/reading"
)

// Settle fits as Run does, without intervals and advice.
func Settle(card machine.Card, constants []string, readings []reading.Reading) (*fit.Result, []Left, error) {
	p, err := about(card, constants, readings)
	if err != nil {
		return nil, nil, err
	}
	out := &Outcome{}
	r, err := p.settle(out)
	return r, out.Left, err
}

// Statement gives what is asked of engine/fit when a search begins at the card.
func Statement(card machine.Card, constants []string, readings []reading.Reading) (fit.Problem, error) {
	p, err := about(card, constants, readings)
	if err != nil {
		return fit.Problem{}, err
	}
	for _, c := range p.constants {
		p.start = append(p.start, c.SI())
	}
	return p.statement(), nil
}

// Choose gives what Run fits when no constants are named, and what it names as
// only guessed.
func Choose(card machine.Card, readings []reading.Reading) (chosen, guessed []string, err error) {
	p, err := about(card, nil, readings)
	if err != nil {
		return nil, nil, err
	}
	for _, c := range p.constants {
		chosen = append(chosen, c.Name())
	}
	return chosen, p.guessed, nil
}
