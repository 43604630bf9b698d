package calibrate

import (
	"math"
	"slices"

	"slipring/engine/machine"
	"slipring/engine/reading"
)

const (
	contactSpeed   = "governor.contact-speed"
	generatorSlope = "generator.constant-slope"
	generatorBend  = "generator.saturation-current"
	plungerWeight  = "regulator.plunger-weight"
)

// seeds gives where the search begins: the card, save for what a closed form
// tells from the readings. From a start 20 to 30 % off a search would often end
// where a contact is always open or always closed, which no slope leads out of.
func (p *problem) seeds() []float64 {
	start := make([]float64, len(p.constants))
	for i, c := range p.constants {
		start[i] = c.SI()
		var x float64
		ok := false
		switch c.Name() {
		case "motor.constant-slope":
			x, ok = p.slope(c)
		case contactSpeed:
			x, ok = p.contactSpeed()
		case generatorSlope, generatorBend:
			x, ok = p.curve(c.Name())
		case plungerWeight:
			x, ok = p.weight()
		}
		if ok && x > c.SI()/far && x < c.SI()*far {
			start[i] = x
		}
	}
	return start
}

// far is by which factor a closed form may differ from the card before it is
// taken for a slip of the pen.
const far = 3

// worth says how good a start is: the readings of contacts that work, where the
// model's do not, and the sum of Huber's fit, to which no reading brings much.
func (p *problem) worth(x []float64) (stuck []int, sum float64, ok bool) {
	predicted, err := p.predict(x, p.readings)
	if err != nil {
		return nil, 0, false
	}
	for i, r := range p.readings {
		if far := math.Abs(predicted[i]-r.Value) / math.Hypot(r.U, r.Class); far < 1 {
			sum += far * far
		} else {
			sum += 2*far - 1
		}
	}
	return unlike(p.readings, predicted), sum, true
}

// scan takes the card for a start where that is better: as a whole, for what
// follows from the generator's voltages, or for one constant, since a closed form
// may follow one false reading. It looks for another start where the model's
// contacts would not work even so, though those of the machine did: constant by
// constant, at these parts of its value. It sets those readings aside of which the
// model has nothing to say then.
func (p *problem) scan() (aside []Left) {
	best, sum, ok := p.worth(p.start)
	try := func(x []float64) {
		b, s, runs := p.worth(x)
		if runs && (!ok || len(b) < len(best) || len(b) == len(best) && s < sum) {
			best, sum, ok, p.start = b, s, true, x
		}
	}
	seeds, card := p.start, make([]float64, len(p.constants))
	for i, c := range p.constants {
		card[i] = c.SI()
	}
	try(card)
	exchange := func(these func(name string) bool) {
		x := slices.Clone(p.start)
		for i, c := range p.constants {
			if these(c.Name()) {
				if x[i] = card[i]; p.start[i] == card[i] {
					x[i] = seeds[i]
				}
			}
		}
		if !slices.Equal(x, p.start) {
			try(x)
		}
	}
	exchange(func(name string) bool {
		return name == generatorSlope || name == generatorBend || name == plungerWeight
	})
	for _, c := range p.constants {
		exchange(func(name string) bool { return name == c.Name() })
	}
	if ok && len(best) == 0 {
		return nil
	}
	for _, name := range [...]string{"motor.constant-slope", "motor.field-resistor", "motor.field-resistance", "motor.saturation-current"} {
		i := slices.IndexFunc(p.constants, func(c machine.Constant) bool { return c.Name() == name })
		if i < 0 {
			continue
		}
		from := slices.Clone(p.start)
		for _, part := range [...]float64{0.7, 0.77, 0.84, 0.89, 0.94, 1.06, 1.12, 1.2, 1.3, 1.43} {
			x := slices.Clone(from)
			x[i] = part * from[i]
			try(x)
		}
	}
	for i := len(best) - 1; i >= 0; i-- {
		aside = append(aside, p.take(best[i]))
	}
	return aside
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
	x, _, err := alone.statement().Robust()
	if err != nil {
		return 0, false
	}
	return x[0], true
}

// contactSpeed gives the governor's contact speed from the speeds and open
// fractions that were read in the same situations, by the closed form of
// machine.Governor.OpenFraction.
func (p *problem) contactSpeed() (float64, bool) {
	if !p.card.Has("governor") {
		return 0, false
	}
	var found []float64
	for _, speed := range p.readings {
		i := slices.IndexFunc(p.readings, func(r reading.Reading) bool {
			return r.Quantity == "contact open" && r.How.Key() == speed.How.Key()
		})
		_, turned := speed.How.Changed[contactSpeed]
		if speed.Quantity != "speed" || i < 0 || turned {
			continue
		}
		if at, ok := p.closesAt(speed.Value, p.readings[i].Value); ok {
			found = append(found, at)
		}
	}
	return middle(found)
}

// middle gives the middle one of some numbers, so that one false one does no harm
// where there are three.
func middle(list []float64) (float64, bool) {
	if len(list) == 0 {
		return 0, false
	}
	slices.Sort(list)
	return list[(len(list)-1)/2], true
}

// closesAt gives the contact speed with which the contact is open for a part of
// the time at a speed.
func (p *problem) closesAt(speed, open float64) (float64, bool) {
	at := func(contact float64) float64 {
		card, err := p.card.With(contactSpeed, contact)
		if err != nil {
			return math.NaN()
		}
		g := machine.Governor{Gravity: machine.Gravity}
		card.Read("governor", &g)
		return g.OpenFraction(speed)
	}
	// Below its contact speed the contact is open.
	shut, never := 0.8*speed, 1.25*speed
	if open <= 0.02 || open >= 0.98 || !(at(shut) < open) || !(at(never) > open) {
		return 0, false
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
