// Package proof holds a lesson's words against what its cells computed.
//
//	folder := proof.Folder{House: house, Cards: cards, Lessons: lessons, Sources: sources, Glossary: glossary}
//	report, messages := folder.Check(l, result)
//
// A text in brackets with a label, [16.64 Hz][idle.speed], is bound to a told
// value (a quote), to a told yes or no (a claim), to a constant of a machine
// card (card.PART.KEY), to another lesson (lesson.NAME), to a source
// (src.LABEL) or to a term of the glossary (term.LABEL). Check finds for each
// of them what a page has to print, finds the answers of questions, and
// reports whatever does not hold; Rules lists what is looked for. CheckAll
// and CheckAnswers look at what only all lessons together show. Amend rewrites
// quotes that have drifted from the model.
//
// The package runs no cell and reads no file. It does not judge whether the
// model is right.
package proof

import (
	"slices"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/language"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/tell"
)

// Checked is a lesson or a translation with what its cells told and what its
// proof found. It goes as it is from the run to the pages.
type Checked struct {
	Lesson *lesson.Lesson
	Result tell.Result
	Report Report
	Calls  []lesson.Call // what its cells name of the engine, in their order
	Told   []lesson.Told // what the numbers are made of that its cells tell

	// Translations are of the same result; each has a language of its own.
	Translations []Checked
}

// Report is what Check found, apart from messages.
type Report struct {
	Quotes int // bound numbers that were compared with a value
	Claims int // bound sentences that were compared with a yes or no

	// Printed holds, for every bound text and every number in braces that has a
	// meaning, what a page prints in its place: for a number the computed one in
	// the form that the author wrote, for all others the words as written.
	Printed map[*lesson.Node]string

	// Forms holds, for every quote and every number in braces, the form in which
	// it prints a number.
	Forms map[*lesson.Node]Form

	// Links holds the lesson that a bound text leads to.
	Links map[*lesson.Node]*lesson.Lesson

	// Sources lists what the lesson cites, in the order in which it first does.
	// Cites holds for every citation the number of its source there, from 1.
	Sources []card.Source
	Cites   map[*lesson.Node]int

	// Terms holds the glossary's term that a bound text leads to.
	Terms map[*lesson.Node]card.Term

	// Questions holds the answers, in the order of the lesson.
	Questions []Answer

	// Guesses holds those of the guesses in visitor panels.
	Guesses []Answer

	// Steps holds what the steps of commissioning expect, in the order of the
	// lesson.
	Steps []Expected

	// Exceptions lists the findings that the lesson excuses, with its reasons.
	Exceptions []Excused

	// Facts holds, for every number of an entry of the logbook, what it is bound
	// to.
	Facts map[*lesson.Node]Fact

	// Now holds, for a number of an entry that the model gave on its day, what
	// the model gives now, where that differs.
	Now map[*lesson.Node]string

	// Drifts lists the quotes whose number is no longer what the model gives,
	// in the order of the lesson. Nothing else may be amended.
	Drifts []Drift
}

// Drift is a quote whose written number differs from the computed one.
type Drift struct {
	Node     *lesson.Node
	Written  string // number and unit, as written
	Computed string // the same with the computed number

	// Offset and End are the byte offsets in the lesson of the number with its
	// sign; Number is what belongs there.
	Offset, End int
	Number      string
}

// checker is the state of one Check.
type checker struct {
	folder   Folder
	lesson   *lesson.Lesson
	language *language.Language
	base     *uses                     // of the lesson that a translation translates, nil for a lesson
	lessons  map[string]*lesson.Lesson // by slug
	values   map[string]tell.Value
	claims   map[string]tell.Claim
	shown    []Shown
	cards    map[string][]cardConstant // by label
	known    []string                  // all that a label may be, in a fixed order
	opened   bool                      // the cells opened a card
	facts    map[string]Fact           // that an entry of the logbook may name; nil for a lesson

	excepted []exception
	report   Report
	messages []diag.Message
}

// cardConstant is a constant of one opened card.
type cardConstant struct {
	card string
	machine.Constant
}

func newChecker(l *lesson.Lesson, r tell.Result, folder Folder) *checker {
	c := &checker{
		folder:   folder,
		lesson:   l,
		language: l.Tongue(),
		lessons:  map[string]*lesson.Lesson{},
		values:   map[string]tell.Value{},
		claims:   map[string]tell.Claim{},
		shown:    ShownBy(l, r),
		cards:    map[string][]cardConstant{},
	}
	c.report.Printed = map[*lesson.Node]string{}
	c.report.Forms = map[*lesson.Node]Form{}
	c.report.Links = map[*lesson.Node]*lesson.Lesson{}
	c.report.Cites = map[*lesson.Node]int{}
	c.report.Terms = map[*lesson.Node]card.Term{}
	if l.Base != nil {
		base := usesIn(l.Base.Body)
		c.base = &base
	}
	for _, v := range r.Values {
		c.values[v.Name] = v
		c.known = append(c.known, v.Name)
	}
	for _, v := range r.Claims {
		c.claims[v.Name] = v
		c.known = append(c.known, v.Name)
	}
	for _, on := range folder.Cards {
		if !slices.Contains(r.Cards, on.Name) {
			continue
		}
		c.opened = true
		for _, one := range on.Constants() {
			label := "card." + one.Name()
			if len(c.cards[label]) == 0 {
				c.known = append(c.known, label)
			}
			if one.Unit == "1" {
				one.Unit = "" // a pure number, as cells tell it
			}
			c.cards[label] = append(c.cards[label], cardConstant{on.Name, one})
		}
	}
	for _, other := range folder.Lessons {
		c.lessons[other.Slug] = other
		c.known = append(c.known, "lesson."+other.Slug)
	}
	for _, s := range folder.Sources.List {
		c.known = append(c.known, sourcePrefix+s.Label)
	}
	for _, t := range folder.Glossary.List {
		c.known = append(c.known, termPrefix+t.Label)
	}
	c.findExceptions()
	return c
}

// say reports a finding at a byte offset of the lesson, under a rule's name
// and with its level, unless the lesson excuses it.
func (c *checker) say(offset int, rule, text, hint string) {
	m := c.lesson.Message(offset, level(rule), rule, text, hint)
	if !c.excuse(offset, m) {
		c.messages = append(c.messages, m)
	}
}
