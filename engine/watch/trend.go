package watch

import (
	"math"
	"time"

	"slipring/engine/drift"
)

// Trend is how the pair went over the days.
type Trend struct {
	Days      []Day
	Reference int         // so many days from the first set the centre
	Chart     drift.Chart // moving averages of the contact speed
	Spoke     int         // the day from which on all are beyond the limits, to the last; -1 when the last is not
	Since     int         // the day since which it has wandered; -1 while it has not
	Rate      float64     // part of the contact speed, a month, since then; 0 while it has not wandered
}

// How the chart is drawn. The weight and the limits are those that a drift of
// half a standard deviation a month asks for (NIST/SEMATECH e-Handbook,
// 6.3.2.4, gives 0.2 to 0.3 and 3); TestSpeaks tells what comes of them.
const (
	reference = 8
	weight    = 0.2
	limits    = 3
)

// Least is how many days a chart needs.
const Least = reference + 1

// Follow charts the contact speed over the days. Limits come from how well the
// readings repeat, which is what they say of themselves, without the classes of
// their meters. A day that is far less sure than the others is not charted.
func Follow(days []Day) (Trend, error) {
	days = sureEnough(days)
	t := Trend{Days: days, Reference: reference, Spoke: -1, Since: -1}
	var speeds []float64
	square := 0.0
	for _, d := range days {
		speeds = append(speeds, d.Constant[0])
		square += d.U[0] * d.U[0]
	}
	var err error
	if t.Chart, err = drift.Against(speeds, reference, math.Sqrt(square/float64(max(1, len(days)))), weight, limits); err != nil {
		return t, err
	}
	// What once was beyond and came back has not wandered.
	for i, last := len(t.Chart.Beyond)-1, len(days)-1; i >= 0 && t.Chart.Beyond[i] == last; i, last = i-1, last-1 {
		t.Spoke = last
	}
	if t.Spoke >= 0 {
		t.Since = t.Chart.Began(t.Spoke)
		t.Rate = rate(days[t.Since:], t.Chart.Centre)
	}
	return t, nil
}

// sureEnough leaves out days that are less than half as sure as the surest half.
func sureEnough(days []Day) (out []Day) {
	if len(days) == 0 {
		return nil
	}
	least := math.Inf(1)
	for _, d := range days {
		least = min(least, d.U[0])
	}
	for _, d := range days {
		if d.U[0] <= 2.5*least {
			out = append(out, d)
		}
	}
	return out
}

// month is the mean length of one, in days (the Gregorian year has 365.2425).
const month = 365.2425 / 12

// rate gives the slope of a line through days, as a part of the centre, a month;
// 0 of fewer than two.
func rate(days []Day, centre float64) float64 {
	if len(days) < 2 {
		return 0
	}
	meanT, meanY := 0.0, 0.0
	for _, d := range days {
		meanT += Months(days[0].Date, d.Date) / float64(len(days))
		meanY += d.Constant[0] / float64(len(days))
	}
	num, den := 0.0, 0.0
	for _, d := range days {
		t := Months(days[0].Date, d.Date) - meanT
		num, den = num+t*(d.Constant[0]-meanY), den+t*t
	}
	if den == 0 {
		return 0
	}
	return num / den / centre
}

// Months gives the time from one day to another, in months; both are as readings
// write them.
func Months(from, to string) float64 {
	a, errA := time.Parse(time.DateOnly, from)
	b, errB := time.Parse(time.DateOnly, to)
	if errA != nil || errB != nil {
		return math.NaN()
	}
	return b.Sub(a).Hours() / 24 / month
}
