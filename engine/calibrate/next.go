package calibrate

import (
	"math"
	"slices"
	"strings"

	"slipring/engine/fit"
	"slipring/engine/reading"
)

// Advice is a reading that would say more.
type Advice struct {
	Reading string // in words
	Hazard  string // what is dangerous about it
	fit.Advice
}

// candidate is a reading that a volunteer could take.
type candidate struct {
	say     string
	take    reading.Reading // its SI unit and uncertainties are parts of its value
	own     float64         // standard uncertainty, a part of the value
	class   float64         // of the instrument, a part of the value
	meter   string
	minutes float64
	hazard  string
}

func (c candidate) dangerous(hazard string) candidate {
	c.hazard = hazard
	return c
}

// How far a governor's contact speed and a plunger's weight have to be moved to
// hold their contacts closed, as a part.
const (
	governorHeld = 0.5
	plungerHeld  = 3
)

// candidates lists what could be read next on this card, with what it takes: the
// uncertainties and the minutes are common practice, no source.
func (p *problem) candidates() []candidate {
	idle, full := reading.Situation{}, reading.Situation{FullLoad: true}
	closed := reading.Situation{}
	if c, ok := p.card.Constant(contactSpeed); ok {
		closed.Changed = map[string]float64{contactSpeed: governorHeld * c.SI()}
	}
	over := reading.Situation{}
	if c, ok := p.card.Constant("regulator.plunger-weight"); ok {
		over.Changed = map[string]float64{"regulator.plunger-weight": plungerHeld * c.SI()}
	}
	const clipped = ", its leads put on while the set was isolated and proved dead"
	running := func(quantity, say string, how reading.Situation, own, class float64, meter string, minutes float64) candidate {
		return candidate{say: say, take: reading.Reading{Quantity: quantity, How: how}, own: own, class: class, meter: meter, minutes: minutes}
	}
	all := []candidate{
		running("speed", "the speed, idle, by tachometer", idle, 0.001, 0, "", 5),
		running("contact open", "how long the governor contact is open, idle, by oscilloscope"+clipped, idle, 0.015, 0, "", 15),
		running("bus voltage", "the bus voltage, idle"+clipped, idle, 0.002, 0.003, "voltmeter on V", 3),
		// A meter in the field circuit of a running motor is one loose lead away from
		// a motor without its field.
		running("field current", "the motor's field current, idle", idle, 0.003, 0.006, "ammeter on A", 10).dangerous("a lead that comes loose opens the motor's field circuit, and the motor races until it bursts"),
		running("output voltage", "the output voltage, idle"+clipped, idle, 0.002, 0.003, "voltmeter on V", 3),
		running("generator field current", "the generator's field current, idle"+clipped, idle, 0.003, 0.006, "ammeter on A", 10),
	}
	if p.card.Has("full-load") {
		all = append(all,
			running("speed", "the speed, under full load, by tachometer", full, 0.001, 0, "", 8),
			running("contact open", "how long the governor contact is open, under full load, by oscilloscope"+clipped, full, 0.015, 0, "", 18),
			running("output voltage", "the output voltage, under full load"+clipped, full, 0.002, 0.003, "voltmeter on V", 6),
			running("generator field current", "the generator's field current, under full load"+clipped, full, 0.003, 0.006, "ammeter on A", 12))
	}
	if closed.Changed != nil {
		all = append(all, running("speed", "the speed with the governor contact held closed; tie it while the set is isolated and proved dead", closed, 0.001, 0, "", 20))
	}
	if over.Changed != nil {
		all = append(all, running("output voltage", "the output voltage with the regulator contact held closed", over, 0.002, 0.003, "voltmeter on V", 10).
			dangerous("it puts more than its nameplate voltage on the board"))
	}
	still := func(what, name string, own, class float64, meter string, minutes float64) {
		if _, ok := p.card.Constant(name); ok {
			all = append(all, candidate{say: what + ", with the set isolated and proved dead", take: reading.Reading{Quantity: name}, own: own, class: class, meter: meter, minutes: minutes})
		}
	}
	for _, w := range []struct{ what, name string }{
		{"the motor's field resistor", "motor.field-resistor"}, {"the motor's field winding", "motor.field-resistance"},
		{"the generator's field resistor", "generator.field-resistor"}, {"the generator's field winding", "generator.field-resistance"},
		{"the regulator's coil", "regulator.coil-resistance"},
	} {
		still("an ohmmeter on "+w.what, w.name, 0.002, 0.005, "ohmmeter on ohm", 10)
	}
	still("a rule on the radius of the governor's weight", "governor.radius", 0.01, 0, "", 15)
	still("the governor's weight on a balance", "governor.weight", 0.01, 0, "", 40)
	still("the regulator's plunger on a balance", "regulator.plunger-weight", 0.01, 0, "", 30)
	return all
}

// mostAdvice is how many readings are asked for.
const mostAdvice = 5

// worthwhile is the least gain that makes a reading worth taking: it shrinks the
// doubt of all constants together by a twentieth.
const worthwhile = 0.05

// next gives the readings to take next.
func (p *problem) next(r *fit.Result, dangerous bool) ([]Advice, error) {
	x := make([]float64, len(r.Constants))
	for i, c := range r.Constants {
		x[i] = c.Value
	}
	var list []fit.Candidate
	var kept []candidate
	var takes []reading.Reading
	possible := slices.DeleteFunc(p.candidates(), func(c candidate) bool { // a constant that was not fitted counts as exact
		return strings.Contains(c.take.Quantity, ".") && !slices.ContainsFunc(r.Constants, func(f fit.Found) bool { return f.Name == c.take.Quantity })
	})
	for i, value := range p.shown(x, possible) {
		c := possible[i]
		if !(value > 0) {
			continue // a set without that part, or that does not run so
		}
		one := fit.Candidate{Reading: fit.Reading{Name: c.say, U: c.own * value}, Cost: c.minutes, Hazard: c.hazard}
		if c.class > 0 {
			one.Shared = map[string]float64{c.meter: c.class * value}
		}
		list, kept, takes = append(list, one), append(kept, c), append(takes, c.take)
	}
	found, err := r.Next(list, func(x []float64) ([]float64, error) { return p.predict(x, takes) }, mostAdvice, dangerous)
	var out []Advice
	for _, a := range found {
		if a.Gain >= worthwhile {
			out = append(out, Advice{kept[a.Candidate].say, a.Hazard, a})
		}
	}
	return out, err
}

// shown gives what candidates would show; NaN where the model does not say.
func (p *problem) shown(x []float64, list []candidate) []float64 {
	var takes []reading.Reading
	for _, c := range list {
		takes = append(takes, c.take)
	}
	out, err := p.predict(x, takes)
	if err == nil {
		return out
	}
	for _, one := range takes {
		value, err := p.predict(x, []reading.Reading{one})
		if err != nil {
			value = []float64{math.NaN()}
		}
		out = append(out, value[0])
	}
	return out
}
