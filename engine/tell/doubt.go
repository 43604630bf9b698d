package tell

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Doubtful tells a number with its standard uncertainty u, both in the unit.
// It also tells name.least and name.most, the ends of what it may well be: two
// standard uncertainties to each side, rounded outward to the first digit of u.
// Where chances are as usual, 95 of 100 lie between (JCGM 100:2008, 6.3.3).
//
//	tell.Doubtful("still", 19.9, 3.1, "s") // still.least is 13, still.most is 27
//
// A page then says "between [13 s][still.least] and [27 s][still.most]".
func (s *Sheet) Doubtful(name string, number, u float64, unit string) {
	if !(u >= 0) || math.IsInf(u, 0) {
		panic(Misuse{
			fmt.Sprintf("value %q has the uncertainty %v", name, u),
			"give one standard deviation, from 0 upwards, as set.Doubt makes it"})
	}
	s.Value(name, number, unit)
	s.result.Values[len(s.result.Values)-1].Uncertainty = u
	least, most := extent(number, u)
	s.Value(name+".least", least, unit)
	s.Value(name+".most", most, unit)
}

func extent(number, u float64) (least, most float64) {
	if u == 0 {
		return number, number
	}
	per := math.Pow(10, float64(Place(u))) // so many of the place make one
	const slip = 1e-9                      // of a place: what is a round number already stays one
	return math.Floor((number-2*u)*per+slip) / per, math.Ceil((number+2*u)*per-slip) / per
}

// Place gives the decimal place of the one digit to which a number that is not
// 0 is rounded: how many digits behind the decimal sign, or fewer than none for
// tens and hundreds. That of 0.0962 is 1, since it rounds to 0.1.
func Place(x float64) int {
	_, exponent, _ := strings.Cut(strconv.FormatFloat(x, 'e', 0, 64), "e")
	n, err := strconv.Atoi(exponent)
	if err != nil { // of what is not finite, which no sheet takes
		return 0
	}
	return -n
}

// Doubt gives a line with a band around it that fades: for each of its points
// one standard uncertainty, in the unit of the pane. The band is two of them
// wide to each side.
func (l Line) Doubt(us []float64) Line {
	low, high := make([]float64, len(us)), make([]float64, len(us))
	for i, u := range us {
		if i < len(l.Y) {
			low[i], high[i] = l.Y[i]-2*u, l.Y[i]+2*u
		}
	}
	return l.Between(low, high)
}

// Between gives a line with a band that fades towards the edges low and high,
// which stand two standard uncertainties off, or nearer where the quantity
// cannot be further, as a speed that cannot be below zero.
func (l Line) Between(low, high []float64) Line {
	l.Low, l.High = low, high
	return l
}

// band refuses what a band cannot be.
func (l Line) band(figure string) {
	if l.Low == nil && l.High == nil {
		return
	}
	if len(l.Low) != len(l.X) || len(l.High) != len(l.X) {
		panic(Misuse{
			fmt.Sprintf("line %q of figure %q has %d points and a band of %d and %d", l.Label, figure, len(l.X), len(l.Low), len(l.High)),
			"give each point of the line its doubt"})
	}
	if l.Marks || l.Stepped {
		panic(Misuse{
			fmt.Sprintf("%q of figure %q has a band, but is no line from point to point", l.Label, figure),
			"give the band to a tell.Curve"})
	}
	finite("figure", figure, l.Low...)
	finite("figure", figure, l.High...)
	for i, y := range l.Y {
		if l.Low[i] > y || l.High[i] < y {
			panic(Misuse{
				fmt.Sprintf("line %q of figure %q leaves its band: %v is not between %v and %v", l.Label, figure, y, l.Low[i], l.High[i]),
				"give the lower edge first, and the band of the same line"})
		}
	}
}
