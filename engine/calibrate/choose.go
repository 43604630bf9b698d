package calibrate

import (
	"cmp"
	"math"
	"slices"

	"slipring/engine/machine"
)

// least is how far a constant's doubt has to move some reading, in the reading's
// own uncertainties, for the constant to be fitted unasked: what moves them less
// learns nothing from them.
const least = 0.1

// choose takes the constants to fit where none are named: those with an
// uncertainty on which some reading leans. What nobody measured and nobody gave
// an uncertainty is only named: a doubt of half of its value leads a search to
// sets that do not run. Errors are those of State.
func (p *problem) choose() error {
	was, err := p.predict(nil, p.readings)
	if err != nil {
		return err
	}
	var chosen []machine.Constant
	lean := map[string]float64{}
	for _, c := range p.card.Constants() {
		guess := c.Uncertainty == 0 && doubtOf(c.Origin) > doubtOf(machine.Measured)
		if c.Origin == machine.Nameplate || !fits(c) || c.Uncertainty == 0 && !guess {
			continue
		}
		far, err := p.leans(c, was)
		switch {
		case err != nil:
			return err
		case far > least && guess:
			p.guessed = append(p.guessed, c.Name())
			lean[c.Name()] = far
		case far > least:
			chosen = append(chosen, c)
		}
	}
	slices.SortStableFunc(p.guessed, func(a, b string) int { return cmp.Compare(lean[b], lean[a]) })
	p.constants = chosen
	return nil
}

// leans gives how far a constant's doubt moves the reading that leans on it
// most, in the reading's own uncertainties.
func (p *problem) leans(c machine.Constant, was []float64) (float64, error) {
	step := steps.Search * math.Abs(c.SI())
	is, err := (&problem{card: p.card, constants: []machine.Constant{c}}).predict([]float64{c.SI() + step}, p.readings)
	if err != nil {
		return 0, err
	}
	far := 0.0
	for i, r := range p.readings {
		far = math.Max(far, math.Abs(is[i]-was[i])/step*prior(c)/math.Hypot(r.U, r.Class))
	}
	return far, nil
}

// fits says that a constant can be fitted at all.
func fits(c machine.Constant) bool {
	return c.Bounds != machine.WholeNumber && c.Columns == nil && c.SI() != 0
}
