// Package watch holds readings of a machine beside what its model gives, and
// says what wanders over the months.
//
//	beside := watch.Beside(readings, predicted)
//	trend, err := watch.Follow(watch.Days(readings, around))
//
// It runs no model: whoever asks hands in what the model gives, which bench
// keeps from one run of the command to the next.
//
// What a governor does to the speed cannot be seen on the speed alone: a winding
// that is warmer in summer, or a battery that is fuller, moves it as much as
// months of a tiring leaf. So all readings of one day are fitted together, for
// the governor's contact speed, the resistance of the motor's field, and the
// battery's voltage. The first of these is followed; the others take up what
// they are there for.
package watch

import (
	"fmt"
	"math"
	"slices"

	"slipring/engine/fit"
	"slipring/engine/reading"
)

// Off is a reading beside what the model gives.
type Off struct {
	reading.Reading
	Expected float64 // in the reading's SI unit; NaN when the model gives nothing
	Far      float64 // reading less Expected, in standard uncertainties of the reading with its meter
}

// Beside gives each reading beside what was predicted for it.
func Beside(readings []reading.Reading, predicted []float64) []Off {
	out := make([]Off, len(readings))
	for i, r := range readings {
		out[i] = Off{r, predicted[i], (r.Value - predicted[i]) / math.Hypot(r.U, r.Class)}
	}
	return out
}

// What the readings of a day are fitted for. Only the first two are charted.
const (
	ContactSpeed    = "governor.contact-speed"
	FieldResistance = "motor.field-resistance"
	supply          = "battery.voltage"
)

// Constants gives the constants that a day is fitted for, and how far each may
// well be off on a day, as a part: a leaf that has tired, a winding 25 K warmer,
// a battery that is full or low (common practice, no source).
func Constants() (names []string, doubts []float64) {
	return []string{ContactSpeed, FieldResistance, supply}, []float64{0.05, 0.1, 0.06}
}

// Used says whether a reading tells something of the pair: it is of a set that
// runs as its card says.
func Used(r reading.Reading) bool {
	return slices.Contains([]string{"speed", "contact open", "bus voltage", "field current"}, r.Quantity) &&
		r.How.Held == 0 && !r.How.Brushes && len(r.How.Changed) == 0
}

// Around is a model near its card: what each reading should be, and by how much
// it rises with the logarithm of each constant.
type Around struct {
	Constants []float64 // the card's, in the order of Constants, in SI units
	At        []float64
	Slopes    [][]float64 // of each reading, one a constant
}

// Step is the part by which a constant is moved, up and down, for a slope.
const Step = 1e-3

// Day is what the readings of one day say of the constants.
type Day struct {
	Date     string
	Constant []float64 // in the order of Constants
	U        []float64 // of the readings alone, without what the classes of the meters add alike on each day
}

// Days fits the readings of each day, by weighted least squares on the model
// taken as straight around its card. A day without a speed and an open contact
// in one situation is left out, since these two tell the contact speed. Readings
// are those that are Used, in any order.
func Days(readings []reading.Reading, around Around) (out []Day, err error) {
	byDate := map[string][]int{}
	var dates []string
	for i, r := range readings {
		if byDate[r.Date] == nil {
			dates = append(dates, r.Date)
		}
		byDate[r.Date] = append(byDate[r.Date], i)
	}
	slices.Sort(dates)
	names, doubts := Constants()
	for _, date := range dates {
		of := byDate[date]
		if !tells(readings, of) {
			continue
		}
		p := fit.Problem{}
		for k, name := range names {
			p.Constants = append(p.Constants, fit.Constant{Name: name, Start: around.Constants[k], Positive: true, Prior: around.Constants[k], Doubt: doubts[k] * around.Constants[k]})
		}
		for _, i := range of {
			p.Readings = append(p.Readings, fit.Reading{Name: readings[i].Quantity, Value: readings[i].Value, U: readings[i].U})
		}
		p.Predict = func(x []float64) ([]float64, error) {
			y := make([]float64, len(of))
			for n, i := range of {
				y[n] = around.At[i]
				for k := range x {
					y[n] += around.Slopes[i][k] * math.Log(x[k]/around.Constants[k])
				}
			}
			return y, nil
		}
		found, err := p.Solve()
		if err != nil {
			return nil, fmt.Errorf("the readings of %s: %w", date, err)
		}
		d := Day{Date: date}
		for _, c := range found.Constants {
			d.Constant, d.U = append(d.Constant, c.Value), append(d.U, c.U)
		}
		out = append(out, d)
	}
	return out, nil
}

// tells says whether readings of a day have a speed and an open contact in one
// situation.
func tells(readings []reading.Reading, of []int) bool {
	for _, i := range of {
		if readings[i].Quantity == "speed" && slices.ContainsFunc(of, func(j int) bool {
			return readings[j].Quantity == "contact open" && readings[j].How.Key() == readings[i].How.Key()
		}) {
			return true
		}
	}
	return false
}
