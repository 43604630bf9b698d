// Package drift says whether readings of one thing, taken one after the other
// over months, wander: with the charts of individual values and moving ranges
// (Shewhart), of exponentially weighted moving averages (EWMA), and of cumulative
// sums (CUSUM), as in the NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.
//
// Limits come from how well the readings repeat, not from the class of the
// meter, whose error is the same every time.
package drift

import (
	"fmt"
	"math"
	"slices"
)

// Chart is a row of points with their limits. All slices are of one length.
type Chart struct {
	Centre    float64
	Points    []float64
	Low, High []float64 // limits of each point
	Beyond    []int     // points outside their limits, from the first
}

func (c *Chart) find() {
	for i, y := range c.Points {
		if y < c.Low[i] || y > c.High[i] {
			c.Beyond = append(c.Beyond, i)
		}
	}
}

// Error is why there is no chart, with a next step.
type Error struct{ Text, Next string }

func (e Error) Error() string { return e.Text }

// Constants of a moving range of two readings, as in every table of control
// charts: d2 makes a standard deviation of their mean, D4 a limit.
const (
	d2 = 1.128
	d4 = 3.267
)

// leastReadings is how many readings a chart needs before its limits mean
// anything at all.
const leastReadings = 5

// Individuals gives the chart of the readings themselves, with limits of three
// standard deviations, which the mean of the moving ranges gives, and the chart
// of these ranges, one point shorter.
func Individuals(readings []float64) (values, ranges Chart, err error) {
	if err := enough(readings); err != nil {
		return Chart{}, Chart{}, err
	}
	for i := 1; i < len(readings); i++ {
		ranges.Points = append(ranges.Points, math.Abs(readings[i]-readings[i-1]))
	}
	ranges.Centre = mean(ranges.Points)
	ranges.Low = make([]float64, len(ranges.Points))
	ranges.High = slices.Repeat([]float64{d4 * ranges.Centre}, len(ranges.Points))
	ranges.find()
	values = Chart{Centre: mean(readings), Points: slices.Clone(readings)}
	reach := 3 * ranges.Centre / d2
	values.Low = slices.Repeat([]float64{values.Centre - reach}, len(readings))
	values.High = slices.Repeat([]float64{values.Centre + reach}, len(readings))
	values.find()
	return values, ranges, nil
}

// EWMA gives the chart of moving averages around a target: each point is a
// weight times the newest reading and the rest of the point before, from the
// target on. Limits are the given number of the average's standard deviations,
// which rise from the first point to
// deviation sqrt(weight/(2 - weight)); deviation is that of a reading.
func EWMA(readings []float64, target, deviation, weight, limits float64) (Chart, error) {
	if !(weight > 0 && weight <= 1) {
		return Chart{}, Error{fmt.Sprintf("a moving average cannot weigh its newest reading with %v", weight), "give a weight above 0, up to 1, such as 0.2"}
	}
	if err := sized(readings, target, deviation, limits); err != nil {
		return Chart{}, err
	}
	c := Chart{Centre: target}
	at := target
	for i, x := range readings {
		at = weight*x + (1-weight)*at
		reach := limits * deviation * math.Sqrt(weight/(2-weight)*(1-math.Pow(1-weight, 2*float64(i+1))))
		c.Points, c.Low, c.High = append(c.Points, at), append(c.Low, target-reach), append(c.High, target+reach)
	}
	c.find()
	return c, nil
}

// Sums are the two rows of a CUSUM chart, in the unit of the readings.
type Sums struct {
	High, Low []float64 // what the readings add up to above the target, and below
	Beyond    []int     // points at which one of them has passed the limit
}

// Against gives the chart of moving averages around the mean of the first
// readings, as many as reference says, which are taken to be sound. The limits
// count that this mean is itself only as sure as so few readings make it:
// both standard deviations, in quadrature. Points of the reference are not
// beyond.
func Against(readings []float64, reference int, deviation, weight, limits float64) (Chart, error) {
	if reference < leastReadings || reference >= len(readings) {
		return Chart{}, Error{fmt.Sprintf("%d readings are not more than the %d that a chart is set by", len(readings), max(reference, leastReadings)), fmt.Sprintf("take at least %d, on different days", max(reference, leastReadings)+1)}
	}
	c, err := EWMA(readings, mean(readings[:reference]), deviation, weight, limits)
	if err != nil {
		return Chart{}, err
	}
	c.Beyond = nil
	for i := range c.Points {
		reach := math.Hypot(c.High[i]-c.Centre, limits*deviation/math.Sqrt(float64(reference)))
		c.Low[i], c.High[i] = c.Centre-reach, c.Centre+reach
	}
	c.find()
	c.Beyond = slices.DeleteFunc(c.Beyond, func(i int) bool { return i < reference })
	return c, nil
}

// Began gives the reading with which it began that a point of a chart of moving
// averages is beyond its limits: the one after the last whose average lay on
// the other side of the centre (the estimate of E. G. Nishina, A comparison of
// control charts from the viewpoint of change-point estimation, 1992, from
// memory).
func (c *Chart) Began(point int) int {
	up := c.Points[point] > c.Centre
	for i := point; i > 0; i-- {
		if (c.Points[i-1] > c.Centre) != up {
			return i
		}
	}
	return 0
}

// CUSUM adds up by how much more than slack the readings lie above the target,
// and below; neither sum falls below 0. A sum beyond the limit is a signal.
func CUSUM(readings []float64, target, slack, limit float64) (Sums, error) {
	if err := sized(readings, target, limit, slack); err != nil {
		return Sums{}, err
	}
	var s Sums
	high, low := 0.0, 0.0
	for i, x := range readings {
		high = max(0, high+x-(target+slack))
		low = max(0, low+(target-slack)-x)
		s.High, s.Low = append(s.High, high), append(s.Low, low)
		if high > limit || low > limit {
			s.Beyond = append(s.Beyond, i)
		}
	}
	return s, nil
}

func mean(list []float64) float64 {
	sum := 0.0
	for _, x := range list {
		sum += x
	}
	return sum / float64(len(list))
}

func enough(readings []float64) error {
	if len(readings) < leastReadings {
		return Error{fmt.Sprintf("%d readings make no limits", len(readings)), fmt.Sprintf("take at least %d, on different days", leastReadings)}
	}
	return sized(readings, 0, 1, 1)
}

// sized wants numbers, and sizes above 0.
func sized(readings []float64, target, a, b float64) error {
	for i, x := range append(slices.Clone(readings), target) {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			if i == len(readings) {
				return Error{"the target of a chart is no number", "give the value that the readings should have"}
			}
			return Error{fmt.Sprintf("reading %d is no number", i+1), "leave it out, or write what was read"}
		}
	}
	if !(a > 0 && b > 0) || math.IsInf(a, 0) || math.IsInf(b, 0) {
		return Error{"the limits of a chart are not above 0", "give how much readings differ from one another, and limits, as numbers above 0"}
	}
	return nil
}
