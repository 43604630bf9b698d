// Package proof holds a lesson's words against what its cells computed.
//
//	report, messages := proof.Check(l, result, cards, lessons)
//
// A text in brackets with a label, [19.95 Hz][idle.speed], is bound to a told
// value (a quote), to a told yes or no (a claim), to a constant of a machine
// card (card.PART.KEY) or to another lesson (lesson.NAME). Check finds for
// each of them what a page has to print, and reports whatever does not hold;
// Rules lists what is looked for. Amend rewrites quotes that have drifted from
// the model.
//
// The package runs no cell and reads no file. It does not judge whether the
// model is right.
package proof

import (
	"slices"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/tell"
)

// Report is what Check found, apart from messages.
type Report struct {
	Quotes int // bound numbers that were compared with a value
	Claims int // bound sentences that were compared with a yes or no

	// Printed holds, for every bound text that has a meaning, what a page
	// prints in its place: for a quote the computed number in the form that
	// the author wrote, for all others the words as written.
	Printed map[*lesson.Node]string

	// Forms holds, for every quote, the form in which it prints a number.
	Forms map[*lesson.Node]Form

	// Links holds the lesson that a bound text leads to.
	Links map[*lesson.Node]*lesson.Lesson

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

// Check proofs one lesson against the result of its cells. The cards are those
// of the lessons folder, of which the result says which were opened; all are
// the lessons that a label may lead to.
//
// A translation is checked in the same way, against the result of the lesson
// that it translates, and for saying the same as that. All positions are then
// those in the translation's own file.
//
// The lesson must have been read without errors.
func Check(l *lesson.Lesson, r tell.Result, cards []machine.Card, all []*lesson.Lesson) (Report, []diag.Message) {
	c := newChecker(l, r, cards, all)
	c.names()
	c.labels()
	c.embeds()
	if l.Base == nil {
		c.silentClaims()
		c.cautions()
	} else {
		c.same()
	}
	c.prose()
	c.panels()
	return c.report, diag.Sort(c.messages)
}

// checker is the state of one Check.
type checker struct {
	lesson   *lesson.Lesson
	language *language
	base     *uses                     // of the lesson that a translation translates, nil for a lesson
	lessons  map[string]*lesson.Lesson // by slug
	values   map[string]tell.Value
	claims   map[string]tell.Claim
	figures  map[string]bool
	tables   map[string]bool
	cards    map[string][]entry // by label
	known    []string           // all that a label may be, in a fixed order
	opened   bool               // the cells opened a card

	report   Report
	messages []diag.Message
}

// entry is a constant of one opened card.
type entry struct {
	card string
	machine.Constant
}

func newChecker(l *lesson.Lesson, r tell.Result, cards []machine.Card, all []*lesson.Lesson) *checker {
	c := &checker{
		lesson:   l,
		language: languageOf(l.Language),
		lessons:  map[string]*lesson.Lesson{},
		values:   map[string]tell.Value{},
		claims:   map[string]tell.Claim{},
		figures:  map[string]bool{},
		tables:   map[string]bool{},
		cards:    map[string][]entry{},
	}
	c.report.Printed = map[*lesson.Node]string{}
	c.report.Forms = map[*lesson.Node]Form{}
	c.report.Links = map[*lesson.Node]*lesson.Lesson{}
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
	for _, f := range r.Figures {
		c.figures[f.Name] = true
	}
	for _, t := range r.Tables {
		c.tables[t.Name] = true
	}
	for _, card := range cards {
		if !slices.Contains(r.Cards, card.Name) {
			continue
		}
		c.opened = true
		for _, e := range card.Entries() {
			label := "card." + e.Part + "." + e.Key
			if len(c.cards[label]) == 0 {
				c.known = append(c.known, label)
			}
			c.cards[label] = append(c.cards[label], entry{card.Name, e.Constant})
		}
	}
	for _, other := range all {
		c.lessons[other.Slug] = other
		c.known = append(c.known, "lesson."+other.Slug)
	}
	return c
}

// say reports a finding at a byte offset of the lesson, under a rule's name
// and with its level.
func (c *checker) say(offset int, rule, text, hint string) {
	c.messages = append(c.messages, c.lesson.Message(offset, level(rule), rule, text, hint))
}
