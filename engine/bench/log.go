package bench

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"slipring/engine/calibrate"
	"slipring/engine/drift"
	"slipring/engine/fit"
	"slipring/engine/reading"
	"slipring/engine/tell"
	"slipring/engine/watch"
)

// Enter puts on the shelf what was read off the house's sets, for Set.Readings
// to give.
func (s *Shelf) Enter(all []reading.Reading) { s.entered = all }

// Log is what was read off a set, in the folder readings of all lessons and
// beside each, oldest first: all of it, or a part.
type Log struct {
	set  *Set
	list []reading.Reading
}

// Readings gives what was read off this set, oldest first.
//
//	last := set.Readings().Since("2026-11-01")
//	tell.Value("speed", last.Of("speed").Under("idle").Values()[0], "Hz")
func (s *Set) Readings() Log {
	l := Log{set: s}
	for _, r := range s.shelf.entered {
		if r.Set == s.card.Name || r.Set == "" {
			l.list = append(l.list, r)
		}
	}
	slices.SortStableFunc(l.list, func(a, b reading.Reading) int { return strings.Compare(a.Date, b.Date) })
	return l
}

func (l Log) only(keep func(reading.Reading) bool) Log {
	out := Log{set: l.set}
	for _, r := range l.list {
		if keep(r) {
			out.list = append(out.list, r)
		}
	}
	return out
}

// Since gives what was read from a day on, such as 2026-11-01.
func (l Log) Since(day string) Log {
	return l.only(func(r reading.Reading) bool { return r.Date >= day })
}

// Until gives what was read up to a day, and on it.
func (l Log) Until(day string) Log {
	return l.only(func(r reading.Reading) bool { return r.Date <= day })
}

// Of gives the readings of one quantity, such as "speed", or of a constant, such
// as "motor.field-resistance".
func (l Log) Of(quantity string) Log {
	return l.only(func(r reading.Reading) bool { return r.Quantity == quantity })
}

// Under gives the readings that were taken under a load, as the files call it,
// such as "idle".
func (l Log) Under(load string) Log {
	return l.only(func(r reading.Reading) bool { return r.Load == load })
}

// Count says how many readings there are.
func (l Log) Count() int { return len(l.list) }

// Months gives when each was read, in months since the first reading of the set.
func (l Log) Months() (out []float64) {
	for _, r := range l.list {
		out = append(out, watch.Months(l.set.Readings().list[0].Date, r.Date))
	}
	return out
}

// Values gives what was read, in SI units (frequencies in Hz).
func (l Log) Values() (out []float64) {
	for _, r := range l.list {
		out = append(out, r.Value)
	}
	return out
}

// Brakes gives how strong a brake each was read under, in N m.
func (l Log) Brakes() (out []float64) {
	for _, r := range l.list {
		out = append(out, r.How.Load.Torque)
	}
	return out
}

// Doubts gives the standard uncertainty of each, its meter's class counted.
func (l Log) Doubts() (out []float64) {
	for _, r := range l.list {
		out = append(out, math.Hypot(r.U, r.Class))
	}
	return out
}

// Expected gives what the model gives for the load and the setting of each, in
// SI units.
func (l Log) Expected() []float64 {
	out, err := l.predict()
	if err != nil {
		panic(misuse(err))
	}
	return out
}

// Beside gives each reading beside what the model gives, for the pages.
func (l Log) Beside() ([]watch.Off, error) {
	predicted, err := l.predict()
	return watch.Beside(l.list, predicted), err
}

// predict gives what the readings should be. Each situation is computed once,
// and kept on the shelf.
func (l Log) predict() ([]float64, error) {
	quantities := reading.Quantities()
	out := make([]float64, len(l.list))
	states := map[string][]float64{}
	for i, r := range l.list {
		q := slices.IndexFunc(quantities, func(q reading.Quantity) bool { return q.Name == r.Quantity })
		if q < 0 {
			c, ok := l.set.card.Constant(r.Quantity)
			if !ok {
				return nil, tell.Misuse{Text: fmt.Sprintf("the card %q has no constant %q, which was read", l.set.card.Name, r.Quantity), Hint: fmt.Sprintf("see %s, line %d", r.File, r.Line)}
			}
			out[i] = c.SI()
			continue
		}
		key := r.How.Key()
		if states[key] == nil {
			var err error
			if states[key], err = l.set.read(r.How, quantities); err != nil {
				return nil, err
			}
		}
		out[i] = states[key][q]
	}
	return out, nil
}

// read gives all that can be read of the set in a situation.
func (s *Set) read(how reading.Situation, quantities []reading.Quantity) ([]float64, error) {
	key := fmt.Sprintf("%s | as read: %s", s.key, how.Key())
	return kept(s.shelf, key, func() ([]float64, error) {
		state, err := calibrate.State(s.card, how)
		if err != nil {
			return nil, err
		}
		out := make([]float64, len(quantities))
		for i, q := range quantities {
			if out[i] = q.Of(state); math.IsNaN(out[i]) {
				out[i] = 0 // of a part that the set has not
			}
		}
		return out, nil
	})
}

// kept gives what was made under a key, on this shelf or an earlier one, or makes
// it.
func kept[T any](s *Shelf, key string, produce func() (T, error)) (out T, err error) {
	for _, from := range []map[string]json.RawMessage{s.fresh, s.recalled} {
		if content, ok := from[key]; ok && json.Unmarshal(content, &out) == nil {
			return out, nil
		}
	}
	if out, err = produce(); err != nil {
		return out, err
	}
	if content, err := json.Marshal(out); err == nil {
		s.fresh[key] = content
	}
	return out, nil
}

// Fit is what readings say of constants of the card.
type Fit struct {
	Names       []string
	Constants   []float64 // that fit best, in SI units
	Doubts      []float64 // their standard uncertainties
	Correlation [][]float64
	Far         float64     // sum of the squares of all that is left, in uncertainties: chi-square
	Freedom     int         // about how large Far is when the model and the uncertainties are right
	Left        int         // readings that stand out and were left out
	Alike       [][]string  // names of constants that the readings hardly tell apart
	Next        []string    // what to read next, in words, the most worthwhile first
	Shrinks     [][]float64 // for each of Next and those before it: what the doubts would be
}

// Fit finds the constants, named PART.KEY, that fit the readings best, by weighted
// least squares. What was known of them before, by their uncertainties on the
// card or by where they come from, counts as well; all other constants count as
// exact.
func (l Log) Fit(constants ...string) Fit {
	f, err := kept(l.set.shelf, l.set.key+" | fitted: "+strings.Join(constants, " ")+l.words(), func() (Fit, error) {
		o, err := calibrate.Run(l.set.card, constants, l.list, false)
		if err != nil {
			return Fit{}, err
		}
		f := Fit{Far: o.Fit.Chi2, Freedom: o.Fit.Freedom, Left: len(o.Left)}
		for i, c := range o.Constants {
			f.Names, f.Constants, f.Doubts = append(f.Names, c.Card.Name()), append(f.Constants, c.Value), append(f.Doubts, c.U)
			var row []float64
			for k := range o.Constants {
				row = append(row, o.Fit.Correlation(i, k))
			}
			f.Correlation = append(f.Correlation, row)
		}
		for _, a := range o.Alike {
			f.Alike = append(f.Alike, a.Names)
		}
		for _, a := range o.Next {
			f.Next, f.Shrinks = append(f.Next, a.Reading), append(f.Shrinks, a.U)
		}
		return f, nil
	})
	if err != nil {
		if e, ok := err.(fit.Error); ok {
			err = tell.Misuse{Text: e.Text, Hint: e.Next}
		}
		panic(misuse(err))
	}
	return f
}

// words tell readings from others.
func (l Log) words() string {
	var b strings.Builder
	for _, r := range l.list {
		fmt.Fprintf(&b, "\n%s %s %v %v %s %v %s", r.Date, r.Quantity, r.Value, r.U, r.Instrument, r.Class, r.How.Key())
	}
	return b.String()
}

func (f Fit) at(name string) int {
	i := slices.Index(f.Names, name)
	if i < 0 {
		panic(tell.Misuse{Text: fmt.Sprintf("%q was not fitted", name), Hint: "fitted were: " + strings.Join(f.Names, ", ")})
	}
	return i
}

// Constant gives a constant as the readings have it, in its SI unit.
func (f Fit) Constant(name string) float64 { return f.Constants[f.at(name)] }

// Doubt gives its standard uncertainty.
func (f Fit) Doubt(name string) float64 { return f.Doubts[f.at(name)] }

// Correlated gives how two constants hang together: 1 when the readings only tell
// them together, -1 when they only tell their balance, 0 when each stands alone.
func (f Fit) Correlated(a, b string) float64 { return f.Correlation[f.at(a)][f.at(b)] }

// Drift is how the contact speed of a set's governor went over the days, fitted
// with the resistance of the motor's field and the voltage of the battery, so
// that neither summer nor a full battery shows in it. All lists are as long as
// there are days.
type Drift struct {
	Dates     []string
	Months    []float64 // since the first reading of the set
	Speed     []float64 // Hz, the contact speed that the day's readings say
	Doubt     []float64 // Hz, its standard uncertainty, without the classes of meters
	Field     []float64 // ohm, the resistance of the motor's field
	Average   []float64 // Hz, moving averages of Speed
	Low, High []float64 // Hz, the limits of these
	Centre    float64   // Hz, the mean of the first days
	Reference int       // how many these are

	Spoke    int     // the day from which on all averages are beyond their limits; -1 when the last is not
	Since    int     // the day since which it has wandered, at the earliest; -1 when it has not
	PerMonth float64 // part of the contact speed by which it has wandered in a month since then
}

// Drift charts the governor's contact speed over the days on which a speed and an
// open contact were read. The moving averages give the newest day a weight of
// 0.2, and their limits are three standard deviations of what the readings say
// of how well they repeat (NIST/SEMATECH e-Handbook, 6.3.2.4).
func (l Log) Drift() Drift {
	t, err := l.Trend()
	if err != nil {
		if e, ok := err.(drift.Error); ok {
			err = tell.Misuse{Text: e.Text, Hint: e.Next}
		}
		panic(misuse(err))
	}
	d := Drift{Low: t.Chart.Low, High: t.Chart.High, Average: t.Chart.Points, Centre: t.Chart.Centre, Reference: t.Reference, Spoke: t.Spoke, Since: t.Since, PerMonth: t.Rate}
	for _, day := range t.Days {
		d.Dates, d.Months = append(d.Dates, day.Date), append(d.Months, watch.Months(l.set.Readings().list[0].Date, day.Date))
		d.Speed, d.Doubt, d.Field = append(d.Speed, day.Constant[0]), append(d.Doubt, day.U[0]), append(d.Field, day.Constant[1])
	}
	return d
}

// Trend gives the same for the pages. Errors are those of drift, machine and
// tell.Misuse.
func (l Log) Trend() (watch.Trend, error) {
	names, _ := watch.Constants()
	for _, name := range names {
		if _, ok := l.set.card.Constant(name); !ok {
			return watch.Trend{}, drift.Error{Text: fmt.Sprintf("the card %q has no %s to follow", l.set.card.Name, name), Next: "only sets with a governor, a motor and a battery are followed"}
		}
	}
	used := l.only(watch.Used)
	a := watch.Around{Slopes: make([][]float64, len(used.list))}
	var err error
	if a.At, err = used.predict(); err != nil {
		return watch.Trend{}, err
	}
	for _, name := range names {
		c := l.set.find(name).SI()
		a.Constants = append(a.Constants, c)
		var ends [2][]float64
		for i, by := range []float64{watch.Step, -watch.Step} {
			moved := Log{set: l.set.WithConstant(name, c*math.Exp(by)), list: used.list}
			if ends[i], err = moved.predict(); err != nil {
				return watch.Trend{}, err
			}
		}
		for i := range used.list {
			a.Slopes[i] = append(a.Slopes[i], (ends[0][i]-ends[1][i])/(2*watch.Step))
		}
	}
	days, err := watch.Days(used.list, a)
	if err != nil {
		return watch.Trend{}, err
	}
	return watch.Follow(days)
}
