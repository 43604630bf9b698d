package proof

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/language"
	"slipring/engine/lesson"
	"slipring/engine/reading"
)

// Expected is what a step of commissioning expects at one place.
type Expected struct {
	Node *lesson.Node // the StepBlock

	// The value and the limits as a page prints them, "" where there is none: a
	// step at which nothing is read has neither, and a limit that is the value
	// itself is left out. Bounds are at full precision.
	Words, Low, High string
	Least, Most      float64

	Readings []StepReading // in the order of the file
}

// StepReading is what was read at a step.
type StepReading struct {
	reading.Reading
	Words string // number and unit, as a page prints them
	So    bool   // as expected

	// Far is its distance from what was expected, in units of its standard
	// uncertainty, the class of its meter included; NaN where it has none, or where
	// what is expected is a limit.
	Far float64
}

// steps finds what each step expects, and holds readings against it.
func (c *checker) steps() {
	last, named := -1, map[string]bool{}
	translates := c.lesson.Base != nil // and is held against the lesson
	for _, n := range blocksOf(c.lesson, lesson.StepBlock) {
		s := n.Step
		if at := slices.Index(lesson.Stages(), s.Stage); at < last && !translates {
			c.say(n.Offset, ruleStepOrder, fmt.Sprintf("a step of the part %q stands behind one of the part %q, which comes later", s.Stage, lesson.Stages()[last]),
				"move it up; the order is "+strings.Join(lesson.Stages(), ", "))
		} else {
			last = at
		}
		for _, h := range s.Hazards {
			if !translates && !slices.Contains(c.lesson.Facts.Hazards, h.Name) {
				c.say(h.At, ruleStepHazard, fmt.Sprintf("the step has the hazard %q, which the lesson does not declare", h.Name),
					fmt.Sprintf("add it to hazards in the lesson block, and a caution about it: ```caution %s", h.Name))
			}
		}
		e := Expected{Node: n}
		if name := s.Expect; name.Name != "" {
			if named[name.Name] {
				c.say(name.At, ruleStep, fmt.Sprintf("two steps expect %q, so a reading could belong to either", name.Name), "tell a value for each")
				continue
			}
			named[name.Name] = true
			if !c.expect(s, &e) {
				continue
			}
		}
		c.report.Steps = append(c.report.Steps, e)
	}
	if !translates {
		c.strayReadings(named)
	}
}

// expect fills what a step expects where something is read.
func (c *checker) expect(s *lesson.Step, e *Expected) bool {
	x, ok := c.expected(expectation{s.Expect, s.Unit, s.Within, "expect", "a reading", ruleStep})
	if !ok {
		return false
	}
	if s.Side != lesson.Around && x.number == 0 {
		c.say(s.Within.At, ruleStep, "zero is no limit that a reading could show", "name another value, or say how far off the reading may be")
		return false
	}
	e.Least, e.Most = x.number-x.within, x.number+x.within
	x.form.number.Decimals = min(x.form.number.Decimals+1, 12) // limits have a digit more than their distance
	if s.Side != lesson.Around {
		x.form.number.Decimals = needed(x.number, x.form.number.Decimals)
	}
	e.Words = x.form.Print(x.number)
	switch s.Side {
	case lesson.Least:
		e.Least, e.Most, e.Words, e.Low = x.number, math.Inf(1), "", e.Words
	case lesson.Most:
		e.Least, e.Most, e.Words, e.High = math.Inf(-1), x.number, "", e.Words
	default:
		e.Low, e.High = x.form.Print(e.Least), x.form.Print(e.Most)
	}
	for _, r := range c.atSteps() {
		if r.Expect != s.Expect.Name {
			continue
		}
		y, u, form, ok := c.read(r, x)
		if !ok {
			continue
		}
		// A reading of the printed limit itself is within it.
		room := 1e-9 * (math.Abs(e.Least) + math.Abs(e.Most))
		if math.IsInf(room, 0) {
			room = 1e-9 * math.Abs(x.number)
		}
		one := StepReading{Reading: r, Words: form.Print(y), So: y >= e.Least-room && y <= e.Most+room, Far: math.NaN()}
		if s.Side == lesson.Around && u > 0 {
			one.Far = (y - x.number) / u
		}
		e.Readings = append(e.Readings, one)
	}
	return true
}

// needed gives the decimals of a number that is shown with so many, less the
// zeros that it would end in.
func needed(x float64, decimals int) int {
	for decimals > 0 {
		shorter := x * math.Pow(10, float64(decimals-1))
		if math.Abs(shorter-math.Round(shorter)) > 1e-9*math.Abs(shorter) {
			break
		}
		decimals--
	}
	return decimals
}

// atSteps gives what was read at the lesson's steps, in the order of its files.
func (c *checker) atSteps() (all []reading.Reading) {
	for _, d := range c.lesson.Data {
		for _, r := range d.Readings {
			if r.Expect != "" {
				all = append(all, r)
			}
		}
	}
	return all
}

// read gives a reading and its standard uncertainty in the unit in which its
// step compares, and the form in which pages print it: with no more digits than
// it has, where that is in the same unit.
func (c *checker) read(r reading.Reading, x expected) (y, u float64, form Form, ok bool) {
	unit := r.Unit
	if unit == "1" {
		unit = "" // a pure number, as cells tell it
	}
	told, ok := language.Of("en").Factor(unit, x.told)
	if times, fits := reading.Factor(x.told, unit); !ok && fits { // as meters show it, such as turns a minute
		told, ok = new(big.Rat).SetFloat64(times), true
	}
	if !ok {
		if c.lesson.Base == nil {
			c.messages = append(c.messages, diag.Message{File: r.File, Line: r.Line, Column: r.Column, Rule: ruleStepReading,
				Text: fmt.Sprintf("the unit is %q, but %s %s", r.Unit, r.Expect, inUnit(x.told)), Hint: unitHint(language.Of("en"), x.told)})
		}
		return 0, 0, form, false
	}
	own, _ := c.language.Factor(x.told, x.form.unit)
	form = x.form
	if new(big.Rat).Mul(told, own).Cmp(big.NewRat(1, 1)) == 0 { // it was read in that unit
		form.number.Decimals = r.Decimals()
	}
	in := func(x float64) float64 { return scaled(scaled(x, told), own) }
	return in(r.Shown()), in(r.InUnit(math.Hypot(r.U, r.Class))), form, true
}

// strayReadings reports readings of what no step expects.
func (c *checker) strayReadings(named map[string]bool) {
	var names []string
	for name := range named {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, r := range c.atSteps() {
		if named[r.Expect] {
			continue
		}
		hint := "name the value of a step, as behind its expect"
		if near := diag.Nearest(r.Expect, names); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		c.messages = append(c.messages, diag.Message{File: r.File, Line: r.Line, Column: r.Column, Rule: ruleStepReading,
			Text: fmt.Sprintf("no step of the lesson expects %q", r.Expect), Hint: hint})
	}
}

// sameStep checks that a step of a translation expects what the lesson's does.
func (c *checker) sameStep(what string, ours, theirs *lesson.Node) {
	a, b := c.partsOf(ours.Step, c.language), c.partsOf(theirs.Step, c.lesson.Base.Tongue())
	for i := range a {
		if a[i].what != b[i].what {
			c.say(max(a[i].at, ours.Offset), ruleSameBlocks, fmt.Sprintf("%s has %s, that of the lesson (%s) %s", what, a[i].what, c.line(theirs), b[i].what),
				"let both expect the same")
			return
		}
	}
}

func (c *checker) partsOf(s *lesson.Step, g *language.Language) []answer {
	var hazards []string
	for _, h := range s.Hazards {
		hazards = append(hazards, h.Name)
	}
	slices.Sort(hazards)
	has := func(what string, n *lesson.Node) answer {
		if n == nil {
			return answer{"no " + what, 0}
		}
		return answer{"a text of " + what, n.Offset}
	}
	tolerance := map[lesson.Side]string{lesson.Least: "or more", lesson.Most: "or less", lesson.Around: strings.TrimSpace(fmt.Sprint(s.Within.Number, " ", s.Within.Unit))}[s.Side]
	return []answer{
		{fmt.Sprintf("the part %q", s.Stage), 0},
		part("value", s.Expect),
		{c.unitOf(s.Expect, s.Unit, g), s.Unit.At},
		{fmt.Sprintf("the tolerance %q", tolerance), s.Within.At},
		has("with", s.With), has("see", s.See),
		{fmt.Sprintf("the hazards %q", hazards), 0},
	}
}
