package bench

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
)

// mostBins is how many answers a question about a reading may have.
const mostBins = 8

// bins sorts readings into as few ranges as nobody can take for each other: apart
// says whether two readings, the smaller first, differ by more than what a meter
// may be wrong. Of too many ranges those stay apart that are farthest from each
// other for their size, and ranges that are said alike are one. It gives the range
// of each reading, and what is said of the ranges.
func bins(readings []float64, apart func(a, b float64) bool, say func(r [2]float64) string) (place []int, answers []string) {
	sorted := slices.Clone(readings)
	slices.Sort(sorted)
	type gap struct {
		at   int // the reading behind it
		size float64
	}
	var gaps []gap
	for i := 1; i < len(sorted); i++ {
		if a, b := sorted[i-1], sorted[i]; a != b && apart(a, b) {
			size := math.Inf(1)
			if !math.IsInf(b, 1) {
				size = (b - a) / (math.Abs(a) + math.Abs(b))
			}
			gaps = append(gaps, gap{i, size})
		}
	}
	slices.SortStableFunc(gaps, func(a, b gap) int { return cmp.Compare(b.size, a.size) })
	gaps = gaps[:min(len(gaps), mostBins-1)]
	slices.SortFunc(gaps, func(a, b gap) int { return cmp.Compare(a.at, b.at) })
	var ends []float64
	var said []int
	from := 0
	for _, g := range append(gaps, gap{at: len(sorted)}) {
		answer := say([2]float64{sorted[from], sorted[g.at-1]})
		o := slices.Index(answers, answer)
		if o < 0 {
			o, answers = len(answers), append(answers, answer)
		}
		ends, said = append(ends, sorted[g.at-1]), append(said, o)
		from = g.at
	}
	for _, x := range readings {
		place = append(place, said[slices.IndexFunc(ends, func(end float64) bool { return x <= end })])
	}
	return place, answers
}

// said writes a range of readings.
func said(r [2]float64, unit string, step float64) string {
	write := func(x float64) string {
		if step > 0 {
			return fmt.Sprintf("%.*f", int(max(0, math.Ceil(-math.Log10(step)-1e-9))), x)
		}
		if x < 1 {
			return "0"
		}
		digits := 2 - int(math.Floor(math.Log10(x)))
		scale := math.Pow(10, float64(digits))
		return strconv.FormatFloat(math.Round(x*scale)/scale, 'f', max(digits, 0), 64)
	}
	a, z := write(math.Abs(r[0])), write(math.Abs(r[1]))
	if r[0] < 0 && r[1] <= 0 {
		a, z = z, a
	}
	switch {
	case math.IsInf(r[1], 1):
		return "no way through"
	case a == z:
		return "about " + a + " " + unit
	}
	return a + " to " + z + " " + unit
}
