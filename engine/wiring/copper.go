package wiring

import "math"

// Resistivity is that of annealed copper of 100 % conductivity at 20 C, in
// ohm mm²/m: 1/58 = 0.017241 (IEC 60028, the International Annealed Copper
// Standard).
const Resistivity = 1.0 / 58

// Rule says how the resistance of copper goes with temperature. Books use
// several straight lines, all of them right to a fraction of a per cent and
// none equal to another, so whoever compares with a table has to know its rule.
type Rule int

const (
	// Alpha00393 is R = R20 (1 + 0.00393 (t - 20)): IEC 60028 and NBS Circular
	// 31 for copper of 100 % conductivity. The zero Rule.
	Alpha00393 Rule = iota
	// Alpha004 is R = R20 (1 + 0.004 (t - 20)): the rounded coefficient behind
	// the printed table of correction factors of IEC 60228.
	Alpha004
	// Zero2345 is R = R20 (234.5 + t)/(234.5 + 20): the line that would come to
	// nothing at -234.5 C; the formula beside the table of IEC 60228, and the
	// usual one for windings in America.
	Zero2345
	// Zero235 is R = R20 (235 + t)/(235 + 20), the usual one for windings in
	// IEC 60034-1 (from memory).
	Zero235
)

// zero gives the temperature in C, taken positive, at which the line of the
// rule comes to nothing.
func (r Rule) zero() (float64, error) {
	switch r {
	case Alpha00393:
		return 1/0.00393 - 20, nil
	case Alpha004:
		return 1/0.004 - 20, nil
	case Zero2345:
		return 234.5, nil
	case Zero235:
		return 235, nil
	}
	return 0, flaw("use Alpha00393, Alpha004, Zero2345 or Zero235", "rule %d is none of the rules for copper", int(r))
}

// String names the rule as pages should.
func (r Rule) String() string {
	switch r {
	case Alpha00393:
		return "0.00393 a degree from 20 C"
	case Alpha004:
		return "0.004 a degree from 20 C"
	case Zero2345:
		return "(234.5 + t)/254.5"
	case Zero235:
		return "(235 + t)/255"
	}
	return "no rule"
}

// The temperatures for which the straight lines are taken, in C. Far outside,
// the resistance of copper bends away from them.
const (
	coldest = -100
	hottest = 400
)

// Factor gives the resistance of copper at a temperature in C over that at 20 C.
func (r Rule) Factor(celsius float64) (float64, error) {
	zero, err := r.zero()
	if err != nil {
		return 0, err
	}
	if !(celsius >= coldest && celsius <= hottest) {
		return 0, flaw("give a temperature in C from -100 to 400", "copper at %g C", celsius)
	}
	return (zero + celsius) / (zero + 20), nil
}

// Correction gives what a resistance measured at a temperature in C is
// multiplied by to have it at 20 C, as in tables of correction factors:
// 1/Factor.
func (r Rule) Correction(celsius float64) (float64, error) {
	f, err := r.Factor(celsius)
	return 1 / f, err
}

// WindingTemperature gives the mean temperature in C of a copper winding that
// had the resistance cold (ohm) at the temperature at (C) and now has hot
// (ohm): (zero + at) hot/cold - zero, by the change of resistance.
func WindingTemperature(cold, at, hot float64, rule Rule) (float64, error) {
	zero, err := rule.zero()
	if err != nil {
		return 0, err
	}
	if !(cold > 0 && hot > 0) || math.IsInf(cold, 1) || math.IsInf(hot, 1) {
		return 0, flaw("give both resistances in ohm, above 0", "a winding of %g ohm cold and %g ohm hot", cold, hot)
	}
	if !(at >= coldest && at <= hottest) {
		return 0, flaw("give the temperature of the cold reading in C from -100 to 400", "a cold reading at %g C", at)
	}
	t := (zero+at)*(hot/cold) - zero
	if !(t >= coldest && t <= hottest) {
		return 0, flaw("read both resistances again, with the same leads", "%g ohm at %g C and %g ohm now would be %.0f C", cold, at, hot, t)
	}
	return t, nil
}

// Resistance gives the resistance of annealed copper in ohm a metre, of a
// cross-section in mm² at a temperature in C.
func Resistance(area, celsius float64, rule Rule) (float64, error) {
	f, err := rule.Factor(celsius)
	if err != nil {
		return 0, err
	}
	if !(area > 0) || math.IsInf(area, 1) {
		return 0, flaw("give a cross-section in mm², above 0", "a wire of %g mm²", area)
	}
	return Resistivity / area * f, nil
}
