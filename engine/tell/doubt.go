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

// When gives a line with a band around it that is as wide along the x axis as
// it is not known when the line reaches each of some levels: for each level one
// standard uncertainty, in the unit of that axis. The levels rise or fall, and so
// does the line, apart from a last stretch that stays where it is. Where what is
// in doubt is when something happens, such a band goes no higher than the line
// does, as one of Doubt would.
func (l Line) When(levels, us []float64) Line {
	if len(levels) < 2 || len(levels) != len(us) || len(l.X) != len(l.Y) {
		panic(Misuse{
			fmt.Sprintf("line %q has %d points, %d levels and %d doubts about when it reaches them", l.Label, len(l.X), len(levels), len(us)),
			"give at least two levels, each with its doubt"})
	}
	rises := levels[len(levels)-1] > levels[0]
	at := func(xs, ys []float64, x float64, rising bool) float64 {
		i := 0
		for i < len(xs) && (xs[i] < x) == rising && xs[i] != x {
			i++
		}
		switch {
		case i == 0:
			return ys[0]
		case i == len(xs):
			return ys[i-1]
		case xs[i] == xs[i-1]:
			return ys[i]
		}
		return ys[i-1] + (ys[i]-ys[i-1])*(x-xs[i-1])/(xs[i]-xs[i-1])
	}
	early, late := make([]float64, len(l.X)), make([]float64, len(l.X))
	for i, x := range l.X {
		u := at(levels, us, l.Y[i], rises)
		early[i], late[i] = x-2*u, x+2*u
		if i > 0 {
			early[i], late[i] = max(early[i], early[i-1]), max(late[i], late[i-1])
		}
	}
	low, high := make([]float64, len(l.X)), make([]float64, len(l.X))
	for i, x := range l.X {
		one, other := at(early, l.Y, x, true), at(late, l.Y, x, true)
		low[i], high[i] = min(one, other, l.Y[i]), max(one, other, l.Y[i])
	}
	return l.Between(low, high)
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
