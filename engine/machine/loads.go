package machine

import (
	"fmt"
	"math"
)

// Load is what the set has to drive. The zero value is an idle set.
type Load struct {
	Torque     float64 // N m, a brake on the shaft
	Resistance float64 // ohm, lamps or a load rheostat across the rings; 0 leaves them off
	Watts      float64 // W that the rheostat would take at the nameplate voltage; another way to give Resistance
	Bells      int     // bells that ring, with their capacitors
}

// FullLoad is what the house calls full load: bells that ring, and lamps that
// burn at the same time, as the load rheostat's resistance.
type FullLoad Load

func (l *FullLoad) describe(c *constants) {
	var bells float64
	c.need("bell", "rheostat")
	c.add(&bells, "bells", "1", WholeNumber, "bells that ring at once under full load")
	c.add(&l.Resistance, "lamp-resistance", "ohm", Positive, "resistance of all signal lamps together that burn under full load")
	l.Bells = int(bells)
}

// fullLoad says what a load is, and does nothing else.
type fullLoad struct{ FullLoad }

func (l *fullLoad) copy() part   { c := *l; return &c }
func (l *fullLoad) join(*system) {}

// check says what is impossible about a load for this machine.
func (s *system) check(l Load) error {
	for _, v := range []struct {
		name, unit string
		value      float64
	}{{"torque", "N m", l.Torque}, {"resistance", "ohm", l.Resistance}, {"power", "W", l.Watts}} {
		if !(v.value >= 0) || math.IsInf(v.value, 0) {
			return fmt.Errorf("a load cannot have a %s of %g %s", v.name, v.value, v.unit)
		}
	}
	switch {
	case l.Bells < 0:
		return fmt.Errorf("a load cannot have %d bells", l.Bells)
	case l.Resistance > 0 && l.Watts > 0:
		return fmt.Errorf("a load gives the rheostat twice, as %g ohm and as %g W; give one of them", l.Resistance, l.Watts)
	case (l.Resistance > 0 || l.Watts > 0) && first[*rheostat](s) == nil:
		return fmt.Errorf("a load rheostat needs the parts [generator] and [rheostat] on the card")
	case l.Watts > 0 && s.output.Voltage == 0:
		return fmt.Errorf("a load in watts needs the nameplate voltage, in the part [output] of the card")
	case l.Bells > 0 && first[*bell](s) == nil:
		return fmt.Errorf("bells need the parts [generator] and [bell] on the card")
	}
	return nil
}

// put sets the load. Branches that open keep their current until still takes it.
func (s *system) put(l Load) {
	s.load = l
	each(s, func(p loading) { p.put(l) })
}
