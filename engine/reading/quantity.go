package reading

import (
	"strings"

	"slipring/engine/machine"
)

// Quantity is what a meter can show of a set that runs.
type Quantity struct {
	Name   string // as it is written in a file of readings
	SIUnit string
	Of     func(machine.Summary) float64
}

// Quantities lists what can be read of a running set, means over whole turns.
// Further ones are the constants of the card, by PART.KEY, which an ohmmeter, a
// rule or a balance shows.
func Quantities() []Quantity {
	return []Quantity{
		{"speed", "Hz", func(s machine.Summary) float64 { return s.Frequency }},
		{"contact open", "1", func(s machine.Summary) float64 { return s.OpenFraction }},
		{"field current", "A", func(s machine.Summary) float64 { return s.FieldCurrent }},
		{"armature current", "A", func(s machine.Summary) float64 { return s.ArmatureCurrent }},
		{"bus voltage", "V", func(s machine.Summary) float64 { return s.Bus }},
		{"output voltage", "V", func(s machine.Summary) float64 { return s.Output }},
		{"commutator voltage", "V", func(s machine.Summary) float64 { return s.Direct }},
		{"generator field current", "A", func(s machine.Summary) float64 { return s.GeneratorField }},
		{"regulator closed", "1", func(s machine.Summary) float64 { return s.RegulatorClosed }},
	}
}

// Factor says by what a value in the written unit has to be multiplied to be in
// the SI unit. Besides the units of a card, a speed may be in turns a minute.
func Factor(si, written string) (float64, bool) {
	if si == "Hz" && (written == "1/min" || written == "turns a minute") {
		return 1.0 / 60, true
	}
	return machine.Multiple(si, written)
}

// InUnit gives a value in the SI unit as the reading writes its own: in its unit.
func (r Reading) InUnit(x float64) float64 {
	times, ok := Factor(r.SIUnit, r.Unit)
	if !ok {
		return x
	}
	return x / times
}

// Shown gives the value as the meter showed it, in the unit that the reading is
// written with.
func (r Reading) Shown() float64 {
	x, _, _ := number(r.Written)
	return x
}

// Decimals says with how many the reading is written.
func (r Reading) Decimals() int {
	m := numberForm.FindStringSubmatch(strings.ReplaceAll(r.Written, "−", "-"))
	if m == nil || m[3] != "" {
		return 0
	}
	return len(m[2])
}

func units(si string) string {
	if si == "Hz" {
		return "Hz or 1/min"
	}
	return machine.UnitChoices(si)
}

// quantity gives the SI unit of what was read, and its name as it stands in
// Quantities.
func quantity(written string) (name, si string, ok bool) {
	for _, q := range Quantities() {
		if strings.EqualFold(q.Name, written) {
			return q.Name, q.SIUnit, true
		}
	}
	c, ok := machine.Described(written)
	return written, c.SIUnit, ok && c.Columns == nil
}
