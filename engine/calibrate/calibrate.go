// Package calibrate holds a machine card against readings of the running
// machine: it finds the constants that fit them best, how surely, which of them
// the readings cannot tell apart, and which reading to take next.
//
// Every prediction is a steady state, computed from a cold start: a set that
// begins near another state settles by the comparison of turns too early, which
// makes slopes wrong by 5 to 10 %.
package calibrate

import (
	"fmt"
	"maps"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"

	"slipring/engine/fit"
	"slipring/engine/machine"
	"slipring/engine/reading"
	"slipring/engine/tell"
)

// Outcome is what the readings say.
type Outcome struct {
	Constants []Constant
	Fit       *fit.Result
	Used      []reading.Reading // those that the constants follow from
	Left      []Left            // those that stand out and were left out, in that order
	Alike     []fit.Alike
	Next      []Advice
	Notes     []string // what is odd about the fit, or about the states that it ends in
	Strained  bool     // more readings stand out than may be left out
	Held      int      // doubtful constants of the card that were not named, and count as exact
	Guessed   []string // constants that readings lean on, which have no uncertainty on the card though nobody measured them, and count as exact; the one that they lean on most first, and only where none were named
}

// Constant is one constant that was fitted, in its SI unit.
type Constant struct {
	Card     machine.Constant // as it stands on the card
	Prior    float64          // its standard uncertainty before the readings
	Value, U float64
	Interval fit.Interval // that holds it in 95 of 100 cases; only when Lopsided
	Lopsided bool         // U alone would mislead
}

// Moved says that the readings know more of the constant than was known before.
func (c Constant) Moved() bool { return c.U > 0 && c.U < 0.9*c.Prior }

// Left is a reading that was left out, by a rule.
type Left struct {
	reading.Reading
	fit.Outlier
}

// What was known of a constant that has no uncertainty on the card: a part of
// its value, by where it comes from (common practice, no source).
func doubtOf(o machine.Origin) float64 {
	switch o {
	case machine.Nameplate, machine.Measured, machine.Drawing:
		return 0.05
	case machine.CommonPractice:
		return 0.3
	}
	return 0.5
}

// prior gives what was known of a constant before the readings. A constant that
// was fitted before comes from some of these very readings, so that its
// uncertainty on the card would count them twice.
func prior(c machine.Constant) float64 {
	if u := c.Doubt(); u > 0 && c.Origin != machine.Fitted {
		return u
	}
	return doubtOf(c.Origin) * math.Abs(c.SI())
}

// Steps are those of the search and of the covariance; see measuring.
var steps = fit.Steps{Search: 1e-3, Final: 1e-4, Forward: true, Longest: 0.1, Settled: 1e-3}

// lopsided is the part of a constant's value from which on its uncertainty is
// given by a profile.
const lopsided = 0.15

// Run fits constants of a card, named PART.KEY, to readings; with none named,
// all that have an uncertainty on the card and that some reading leans on, save
// those of a nameplate. Readings have to be of this card. Advice that is
// dangerous is left out unless it is asked for. Errors are those of engine/fit, or tell.Misuse.
func Run(card machine.Card, constants []string, readings []reading.Reading, dangerous bool) (*Outcome, error) {
	p, err := about(card, constants, readings)
	if err != nil {
		return nil, err
	}
	out := &Outcome{Guessed: p.guessed}
	r, err := p.settle(out)
	if err != nil {
		return nil, err
	}
	out.Fit, out.Used, out.Alike = r, p.readings, r.Alike()
	for i, c := range p.constants {
		one := Constant{Card: c, Prior: prior(c), Value: r.Constants[i].Value, U: r.Constants[i].U}
		if one.Moved() && one.U > lopsided*math.Abs(one.Value) {
			if one.Interval, err = r.Profile(i, 0.95); err != nil {
				out.Notes = append(out.Notes, fmt.Sprintf("%s: no interval was found around it, so that its uncertainty alone may mislead: %v", c.Name(), err))
			}
			one.Lopsided = err == nil
		}
		out.Constants = append(out.Constants, one)
	}
	for _, c := range card.Constants() {
		if len(constants) > 0 && c.Uncertainty > 0 && !slices.ContainsFunc(p.constants, func(f machine.Constant) bool { return f.Name() == c.Name() }) {
			out.Held++
		}
	}
	odd, err := p.odd(r)
	if err != nil {
		return nil, err
	}
	out.Notes = append(out.Notes, odd...)
	out.Next, err = p.next(r, dangerous)
	return out, err
}

// about finds the constants that are to be fitted.
func about(card machine.Card, constants []string, readings []reading.Reading) (*problem, error) {
	p := &problem{card: card, readings: slices.Clone(readings)}
	for _, c := range card.Constants() {
		if slices.Contains(constants, c.Name()) {
			p.constants = append(p.constants, c)
		}
	}
	if len(constants) == 0 {
		if err := p.choose(); err != nil {
			return nil, err
		}
	}
	for _, name := range constants {
		i := slices.IndexFunc(p.constants, func(c machine.Constant) bool { return c.Name() == name })
		if i < 0 {
			return nil, tell.Misuse{Text: fmt.Sprintf("the card %q has no constant %q", card.Name, name), Hint: `constants are named PART.KEY as on the card, such as "governor.contact-speed"`}
		}
		switch c := p.constants[i]; {
		case c.Bounds == machine.WholeNumber || c.Columns != nil:
			return nil, tell.Misuse{Text: fmt.Sprintf("%s is counted, or a table, and cannot be fitted", name), Hint: "count it, or measure the table"}
		case c.SI() == 0:
			return nil, tell.Misuse{Text: fmt.Sprintf("%s is 0 on the card, where a fit has nowhere to begin", name), Hint: "write a first guess into the card"}
		}
	}
	if len(p.constants) == 0 {
		return nil, tell.Misuse{Text: fmt.Sprintf("the card %q has no constant with an uncertainty", card.Name), Hint: "name the constants to fit: -constants governor.contact-speed,governor.radius"}
	}
	return p, nil
}

type problem struct {
	card      machine.Card
	constants []machine.Constant
	start     []float64
	readings  []reading.Reading
	guessed   []string // see Outcome
}

func (p *problem) statement() fit.Problem {
	out := fit.Problem{Steps: steps}
	for i, c := range p.constants {
		one := fit.Constant{Name: c.Name(), Start: p.start[i], Positive: c.SI() > 0, Prior: c.SI(), Doubt: prior(c)}
		if c.Bounds == machine.AtLeastOne {
			one.Low, one.High = 1, math.Inf(1)
		}
		out.Constants = append(out.Constants, one)
	}
	for _, r := range p.readings {
		out.Readings = append(out.Readings, asked(r))
	}
	used := p.readings
	out.Predict = func(x []float64) ([]float64, error) {
		predicted, err := p.predict(x, used)
		if err != nil {
			return nil, err
		}
		if far := unlike(used, predicted); len(far) > 0 {
			return nil, fmt.Errorf("the governor contact would be always open or always closed (%s, where %.0f %% open was read)", place(used[far[0]]), 100*used[far[0]].Value)
		}
		return predicted, nil
	}
	return out
}

// unlike gives the readings of a contact that works, where the model has one
// that does not: no slope leads back from there, so that a search keeps away.
func unlike(readings []reading.Reading, predicted []float64) (out []int) {
	for i, r := range readings {
		stuck := predicted[i] <= 0 || predicted[i] >= 1
		if r.Quantity == "contact open" && stuck && r.Value > 0.02 && r.Value < 0.98 {
			out = append(out, i)
		}
	}
	return out
}

// place says in words in which situation a reading was taken.
func place(r reading.Reading) string {
	if where := strings.TrimSpace(r.Load + " " + r.Setting); where != "" {
		return where
	}
	return "idle"
}

// NameOf gives what a fit, and its errors, call a reading.
func NameOf(r reading.Reading) string { return fmt.Sprintf("%s of %s", r.Quantity, r.Date) }

// asked gives a reading as a fit takes it.
func asked(r reading.Reading) fit.Reading {
	out := fit.Reading{Name: NameOf(r), Value: r.Value, U: r.U}
	if r.Class > 0 {
		out.Shared = map[string]float64{r.Instrument + " on " + r.SIUnit: r.Class}
	}
	return out
}

// at gives the card with the constants at x.
func (p *problem) at(x []float64) (machine.Card, error) {
	card := p.card
	for i, c := range p.constants {
		var err error
		if card, err = card.With(c.Name(), x[i]); err != nil {
			return card, err
		}
	}
	return card, nil
}

// predict gives what readings would show with the constants at x. Each situation
// is computed once, several side by side.
func (p *problem) predict(x []float64, readings []reading.Reading) ([]float64, error) {
	card, err := p.at(x)
	if err != nil {
		return nil, err
	}
	runs, err := states(card, readings)
	if err != nil {
		return nil, err
	}
	quantities := reading.Quantities()
	out := make([]float64, len(readings))
	for i, r := range readings {
		q := slices.IndexFunc(quantities, func(q reading.Quantity) bool { return q.Name == r.Quantity })
		if q >= 0 {
			out[i] = quantities[q].Of(runs[r.How.Key()])
			continue
		}
		c, ok := card.Constant(r.Quantity)
		if !ok {
			return nil, fmt.Errorf("the card %q has no constant %q", card.Name, r.Quantity)
		}
		out[i] = c.SI()
	}
	return out, nil
}

// states computes the situations of the readings, by their keys.
func states(card machine.Card, readings []reading.Reading) (map[string]machine.Summary, error) {
	var keys []string
	var list []reading.Situation
	for _, r := range readings {
		if key := r.How.Key(); !strings.Contains(r.Quantity, ".") && !slices.Contains(keys, key) {
			keys, list = append(keys, key), append(list, r.How)
		}
	}
	runs, errs := make([]machine.Summary, len(list)), make([]error, len(list))
	next := make(chan int)
	var wait sync.WaitGroup
	for range min(runtime.NumCPU(), len(list)) {
		wait.Go(func() {
			for i := range next {
				runs[i], errs[i] = State(card, list[i])
			}
		})
	}
	for i := range list {
		next <- i
	}
	close(next)
	wait.Wait()
	out := map[string]machine.Summary{}
	for i, key := range keys {
		if errs[i] != nil {
			return nil, errs[i]
		}
		out[key] = runs[i]
	}
	return out, nil
}

// tolerance is that of the integration. It leaves the figures of a steady state
// sure to a part in 1e8, which is enough for steps of 1e-4, in a third of the
// time of what pages show.
const tolerance = 1e-6

// fewTurns is over how many turns a set is summed up that repeats itself within
// them.
const fewTurns = 6

// State computes how a set runs in one situation, as surely as a fit needs it:
// figures of a steady state to a part in 1e8. Errors are those of package
// machine, or tell.Misuse.
func State(card machine.Card, how reading.Situation) (machine.Summary, error) {
	var err error
	for _, name := range slices.Sorted(maps.Keys(how.Changed)) {
		if card, err = card.With(name, how.Changed[name]); err != nil {
			return machine.Summary{}, err
		}
	}
	load := how.Load
	if how.FullLoad {
		var full machine.FullLoad
		if !card.Read("full-load", &full) {
			return machine.Summary{}, tell.Misuse{Text: fmt.Sprintf("the card %q does not say what full load is", card.Name), Hint: "add the part [full-load], or write the load of each reading in bells and ohm"}
		}
		load = machine.Load(full)
	}
	sim, err := machine.New(card, machine.Setup{RelTol: tolerance, HeldSpeed: how.Held, CoilOnBrushes: how.Brushes}, load)
	if err != nil {
		return machine.Summary{}, err
	}
	if err := sim.Settle(); err != nil {
		return machine.Summary{}, err
	}
	s, err := sim.MeasureTurns(fewTurns)
	if err == nil && (s.Period == 0 || fewTurns%s.Period != 0) {
		s, err = sim.Measure()
	}
	if err == nil && s.Stopped != "" {
		err = tell.Misuse{Text: s.Stopped, Hint: "check the readings of that situation"}
	}
	return s, err
}

// odd says which of the situations the fit ends in states whose figures jump,
// so that slopes and uncertainties say little there.
func (p *problem) odd(r *fit.Result) (notes []string, err error) {
	x := make([]float64, len(r.Constants))
	for i, c := range r.Constants {
		x[i] = c.Value
	}
	card, err := p.at(x)
	if err != nil {
		return nil, err
	}
	runs, err := states(card, p.readings)
	if err != nil {
		return nil, err
	}
	seen := map[string]bool{}
	for _, one := range p.readings {
		run, ran := runs[one.How.Key()]
		if !ran || seen[one.How.Key()] {
			continue
		}
		seen[one.How.Key()] = true
		where := place(one)
		switch {
		case run.OpenFraction == 0:
			notes = append(notes, where+": the governor contact never opens, so that the speed there says nothing about the governor")
		case run.OpenFraction == 1:
			notes = append(notes, where+": the governor contact never closes, so that the speed there says nothing about the governor")
		case run.OpenFraction >= 1-saturated:
			notes = append(notes, where+": the governor contact hardly closes, and skips turns")
		case run.Period == 0:
			notes = append(notes, fmt.Sprintf("%s: the set does not repeat itself from turn to turn, and its means are less sure", where))
		case run.Period > 1:
			notes = append(notes, fmt.Sprintf("%s: the set repeats itself only after %d turns, and its means jump where that number changes, so that its uncertainties say little", where, run.Period))
		}
		if run.Beyond != "" {
			notes = append(notes, fmt.Sprintf("%s: %s", where, run.Beyond))
		}
	}
	return notes, nil
}

// saturated is the part of a turn for which a contact that is nearly always
// open closes when it skips turns.
const saturated = 0.01
