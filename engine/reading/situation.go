package reading

import (
	"fmt"
	"math"
	"strings"

	"slipring/engine/machine"
	"slipring/engine/rows"
)

// Situation is how the set ran while it was read.
type Situation struct {
	FullLoad bool // the load that the card calls full; Load is then empty
	Load     machine.Load
	Held     float64            // turns a second at which something drives the shaft; 0 for nothing
	Brushes  bool               // the regulator coil is fed from the commutator
	Changed  map[string]float64 // constants that were set otherwise, in SI units
}

// Key is the same for two situations that are.
func (s Situation) Key() string {
	return fmt.Sprintf("%v %+v %v %v %v", s.FullLoad, s.Load, s.Held, s.Brushes, s.Changed) // fmt sorts the keys of maps
}

// load reads what the set had to drive: nothing, idle, full, or a sum such as
// 12 bells + 110 ohm.
func (p *parser) load(r *Reading, f rows.Field) {
	switch strings.ToLower(f.Text) {
	case "", "idle":
		return
	case "full":
		r.How.FullLoad = true
		return
	}
	for one := range strings.SplitSeq(f.Text, "+") {
		written, unit, _ := strings.Cut(strings.TrimSpace(one), " ")
		x, _, ok := number(written)
		unit = strings.TrimSpace(unit)
		places := map[string]*float64{"ohm": &r.How.Load.Resistance, "W": &r.How.Load.Watts, "N m": &r.How.Load.Torque}
		switch at := places[unit]; {
		case !ok || x < 0:
		case (unit == "bells" || unit == "bell") && x == math.Trunc(x) && x < 1e6:
			r.How.Load.Bells = int(x)
			continue
		case at != nil:
			*at = x
			continue
		}
		p.say(f, fmt.Sprintf("%q is no load", f.Text), "write idle, full, or what was connected: 12 bells, 110 ohm, 60 W, a brake of 0.3 N m, or a sum such as 12 bells + 110 ohm")
		return
	}
}

// setting reads what was not as on the card: driven at 16 Hz, coil on the
// brushes, PART.KEY = 300 ohm, or several with + between them.
func (p *parser) setting(r *Reading, f rows.Field) {
	if f.Text == "" {
		return
	}
	hint := "write driven at 16 Hz, coil on the brushes, or a constant as it was set, such as generator.field-resistor = 300 ohm; with + between several"
	for one := range strings.SplitSeq(f.Text, "+") {
		one = strings.TrimSpace(one)
		if one == "coil on the brushes" {
			r.How.Brushes = true
			continue
		}
		name, si, given := "", "Hz", ""
		if after, ok := strings.CutPrefix(one, "driven at "); ok {
			given = after
		} else if before, after, ok := strings.Cut(one, "="); ok {
			name, given = strings.TrimSpace(before), strings.TrimSpace(after)
			c, known := machine.Described(name)
			if !known || c.Columns != nil {
				p.say(f, fmt.Sprintf("a machine card has no constant %q", name), hint)
				return
			}
			si = c.SIUnit
		}
		written, unit, _ := strings.Cut(given, " ")
		x, _, ok := number(written)
		times, fits := Factor(si, strings.TrimSpace(unit))
		if !ok || !fits || name == "" && x <= 0 {
			p.say(f, fmt.Sprintf("%q is no setting", one), hint)
			return
		}
		if name == "" {
			r.How.Held = x * times
			continue
		}
		if r.How.Changed == nil {
			r.How.Changed = map[string]float64{}
		}
		r.How.Changed[name] = x * times
	}
}
