package machine

import "fmt"

// Battery is the station battery.
type Battery struct {
	Voltage    float64 // V, with no current drawn
	Resistance float64 // ohm
	Cells      float64 // in series

	// a sag: the voltage goes on changing by slope V/s from since to until
	slope, since, until float64
}

func (b *Battery) describe(c *constants) {
	c.add(&b.Voltage, "voltage", "V", Positive, "voltage of the battery with no current drawn")
	c.add(&b.Resistance, "resistance", "ohm", NotNegative, "resistance of the cells and their leads")
	c.add(&b.Cells, "cells", "1", WholeNumber, "cells in series")
}

func (b *Battery) flaws(c Card) []Flaw {
	if c.Has("motor") {
		return nil
	}
	return []Flaw{{Reason: "nothing draws a current from it without a motor",
		Next: "add the part [motor] to the card, or leave the battery out"}}
}

// Terminal gives the voltage in V at a current in A.
func (b *Battery) Terminal(current float64) float64 {
	return terminal(b.Voltage, b.Resistance, current)
}

func terminal(source, resistance, current float64) float64 { return source - resistance*current }

// source is the voltage with no current drawn at time t.
func (b *Battery) source(t float64) float64 {
	if b.slope == 0 {
		return b.Voltage
	}
	return b.Voltage + b.slope*(min(max(t, b.since), b.until)-b.since)
}

// battery is the battery at work.
type battery struct {
	Battery
	motors   []*motor // that draw from it
	in, heat int
}

func (b *battery) copy() part { c := *b; return &c }

func (b *battery) join(s *system) {
	b.motors = nil
	if b == first[*battery](s) {
		each(s, func(m *motor) { b.motors = append(b.motors, m) })
	}
	b.in, b.heat = s.supplies(), s.spends("battery")
	sag := func(c Change) error { return fmt.Errorf("the battery cannot sag by %g V", c.Amount) }
	s.act(action{
		what:  SagBattery,
		lacks: sag,
		check: func(c Change) error {
			if c.Amount >= b.Voltage {
				return sag(c)
			}
			return nil
		},
		do: b.sag,
	})
	s.fault(BadCell, "One cell of the battery is dead, and a joint adds a fifth of an ohm.", func() {
		b.Voltage *= (b.Cells - 1) / b.Cells
		b.Resistance += BadJoint
	})
}

// What can happen to a battery.
const (
	SagBattery Action = "battery sags" // its voltage falls
	BadCell    Action = "bad cell or joint"
)

// BadJoint is what a bad joint of a battery adds to its resistance, in ohm.
const BadJoint = 0.2

func (b *battery) sag(s *Simulation, c Change, _ []float64) {
	b.Voltage, b.slope = b.source(s.Time()), 0
	if c.Over == 0 {
		b.Voltage -= c.Amount
		return
	}
	b.slope, b.since, b.until = -c.Amount/c.Over, s.Time(), s.Time()+c.Over
	// the solver must not step over the end of the slope
	s.insert(Change{At: b.until, What: SagBattery, Part: c.Part})
}

// current is what the battery gives, in A.
func (b *battery) current(y []float64) (sum float64) {
	for _, m := range b.motors {
		sum += m.draws(y)
	}
	return sum
}

func (b *battery) later(t float64) {
	b.since -= t
	b.until -= t
}

func (b *battery) account(x *instant, y, lines []float64) {
	i := b.current(y)
	lines[b.in] = b.source(x.t) * i
	lines[b.heat] = b.Resistance * i * i
}
