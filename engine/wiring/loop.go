package wiring

import "math"

// Loop is a pair of wires, out and return, that carries a current.
type Loop struct {
	Length      float64 // m, one way
	Current     float64 // A
	Temperature float64 // C, of the copper
	Rule        Rule    // zero: 0.00393 a degree from 20 C
}

func (l Loop) check() error {
	if !(l.Length > 0) || math.IsInf(l.Length, 1) {
		return flaw("give the length of one wire in m, above 0", "a loop of %g m one way", l.Length)
	}
	if !(l.Current >= 0) || math.IsInf(l.Current, 1) {
		return flaw("give the current in A, 0 or more", "a loop that carries %g A", l.Current)
	}
	_, err := l.Rule.Factor(l.Temperature)
	return err
}

// Resistance gives the resistance of both wires together in ohm, for a
// cross-section in mm².
func (l Loop) Resistance(area float64) (float64, error) {
	if err := l.check(); err != nil {
		return 0, err
	}
	r, err := Resistance(area, l.Temperature, l.Rule)
	return 2 * l.Length * r, err
}

// Drop gives the voltage in V that both wires together lose, for a
// cross-section in mm².
func (l Loop) Drop(area float64) (float64, error) {
	r, err := l.Resistance(area)
	return r * l.Current, err
}

// area gives the cross-section in mm² that loses just the given voltage.
func (l Loop) area(drop float64) (float64, error) {
	if err := l.check(); err != nil {
		return 0, err
	}
	if !(drop > 0) || math.IsInf(drop, 1) {
		return 0, flaw("give the voltage that may be lost in V, above 0", "a loop that may lose %g V", drop)
	}
	r, err := Resistance(1, l.Temperature, l.Rule)
	return 2 * l.Length * r * l.Current / drop, err
}

// Gauge gives the thinnest gauge with which the loop loses no more than drop
// volts. It fails when even 4/0 loses more.
func (l Loop) Gauge(drop float64) (Gauge, error) {
	need, err := l.area(drop)
	if err != nil {
		return 0, err
	}
	for g := Thinnest; g >= Thickest; g-- {
		if g.Area() >= need {
			return g, nil
		}
	}
	return 0, tooThin("4/0", need, drop)
}

// Sizes lists the nominal cross-sections in mm² of IEC 60228 from 0.5 to 300.
func Sizes() []float64 {
	return []float64{0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 150, 185, 240, 300}
}

// Size gives the smallest cross-section of Sizes, in mm², with which the loop
// loses no more than drop volts. It fails when even the largest loses more.
//
// It reckons with copper of just that cross-section. A cable may be sold under
// a size when it keeps below the greatest resistance that IEC 60228 allows,
// which is 4 to 13 % more: leave that much, or measure the cable.
func (l Loop) Size(drop float64) (float64, error) {
	need, err := l.area(drop)
	if err != nil {
		return 0, err
	}
	for _, a := range Sizes() {
		if a >= need {
			return a, nil
		}
	}
	return 0, tooThin("300 mm²", need, drop)
}

func tooThin(largest string, need, drop float64) error {
	return flaw("shorten the loop, lower the current or allow a larger drop",
		"even wire of %s loses more than %g V here: it would take %.4g mm²", largest, drop, need)
}
