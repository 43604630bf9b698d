package calibrate

import (
	"math"
	"slices"

	"slipring/engine/machine"
	"slipring/engine/reading"
)

// seeds gives where the search begins: the card, save for what a closed form
// tells from the readings. From a start 20 to 30 % off a search would often end
// where a contact is always open or always closed, which no slope leads out of.
func (p *problem) seeds() []float64 {
	start := make([]float64, len(p.constants))
	for i, c := range p.constants {
		start[i] = c.SI()
		if slope, ok := p.slope(c); ok {
			start[i] = slope
		}
		if speed, ok := p.contactSpeed(); ok && c.Name() == contactSpeed {
			start[i] = speed
		}
	}
	return start
}

// scan looks for a better start where the model's contacts would not work with
// this one, though those of the machine did: constant by constant, at these parts
// of its value.
func (p *problem) scan() {
	worth := func(x []float64) (stuck int, chi2 float64) {
		predicted, err := p.predict(x, p.readings)
		if err != nil {
			return math.MaxInt, 0
		}
		for i, r := range p.readings {
			chi2 += math.Pow((predicted[i]-r.Value)/math.Hypot(r.U, r.Class), 2)
		}
		return len(unlike(p.readings, predicted)), chi2
	}
	stuck, chi2 := worth(p.start)
	if stuck == 0 {
		return
	}
	for _, name := range [...]string{"motor.constant-slope", "motor.field-resistor", "motor.field-resistance", "motor.saturation-current"} {
		i := slices.IndexFunc(p.constants, func(c machine.Constant) bool { return c.Name() == name })
		if i < 0 {
			continue
		}
		from := p.start[i]
		for _, part := range [...]float64{0.7, 0.77, 0.84, 0.89, 0.94, 1.06, 1.12, 1.2, 1.3, 1.43} {
			x := slices.Clone(p.start)
			x[i] = part * from
			if s, c := worth(x); s < stuck || s == stuck && c < chi2 {
				stuck, chi2, p.start = s, c, x
			}
		}
	}
}

// slope gives the motor's slope from the speeds at which its governor's contact
// was held, when that is the constant, since these alone lean on little else.
func (p *problem) slope(c machine.Constant) (float64, bool) {
	if c.Name() != "motor.constant-slope" {
		return 0, false
	}
	alone := problem{card: p.card, constants: []machine.Constant{c}, start: []float64{c.SI()}}
	for _, r := range p.readings {
		if _, held := r.How.Changed[contactSpeed]; held && r.Quantity == "speed" {
			alone.readings = append(alone.readings, r)
		}
	}
	if len(alone.readings) == 0 {
		return 0, false
	}
	r, err := alone.statement().Solve()
	if err != nil {
		return 0, false
	}
	return r.Constants[0].Value, true
}

const contactSpeed = "governor.contact-speed"

// contactSpeed gives the governor's contact speed from the first speed and open
// fraction that were read in one situation, by the closed form of
// machine.Governor.OpenFraction.
func (p *problem) contactSpeed() (float64, bool) {
	if !p.card.Has("governor") {
		return 0, false
	}
	for _, speed := range p.readings {
		i := slices.IndexFunc(p.readings, func(r reading.Reading) bool {
			return r.Quantity == "contact open" && r.How.Key() == speed.How.Key()
		})
		_, turned := speed.How.Changed[contactSpeed]
		if speed.Quantity != "speed" || i < 0 || turned {
			continue
		}
		open := p.readings[i].Value
		at := func(contact float64) float64 {
			card, err := p.card.With(contactSpeed, contact)
			if err != nil {
				return math.NaN()
			}
			g := machine.Governor{Gravity: machine.Gravity}
			card.Read("governor", &g)
			return g.OpenFraction(speed.Value)
		}
		// Below its contact speed the contact is open.
		shut, never := 0.8*speed.Value, 1.25*speed.Value
		if open <= 0.02 || open >= 0.98 || !(at(shut) < open) || !(at(never) > open) {
			continue
		}
		for range 50 {
			if middle := (shut + never) / 2; at(middle) < open {
				shut = middle
			} else {
				never = middle
			}
		}
		return (shut + never) / 2, true
	}
	return 0, false
}
