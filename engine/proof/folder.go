package proof

import (
	"fmt"
	"strings"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/language"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/tell"
)

// Folder is what a lessons folder holds beside the lesson that is proofed.
type Folder struct {
	House     card.House // which describes hazards
	Languages language.Set
	Cards     []machine.Card
	Lessons   []*lesson.Lesson // that labels may lead to
	Sources   card.Sources
	Glossary  card.Glossary
}

// Check proofs one lesson against the result of its cells, which says which of
// the folder's cards were opened.
//
// A translation is checked in the same way, against the result of the lesson
// that it translates, and for saying the same as that. All positions are then
// those in the translation's own file.
//
// The lesson must have been read without errors.
func (f Folder) Check(l *lesson.Lesson, r tell.Result) (Report, []diag.Message) {
	c := newChecker(l, r, f)
	c.names()
	c.labels()
	c.digits()
	c.questions()
	c.embeds()
	c.data()
	if l.Base == nil {
		c.silentClaims()
		c.cautions()
		c.declarations(r)
	} else {
		c.same()
		c.toldLabels(r)
	}
	c.prose()
	c.provedDead()
	c.day()
	c.steps()
	c.finders()
	c.know()
	c.panels()
	c.stop()
	c.talks()
	c.formulas()
	c.comparisons()
	c.exceptions()
	return c.report, diag.Sort(c.messages)
}

// Check proofs one lesson as Folder.Check does, in a folder without house,
// sources and glossary.
func Check(l *lesson.Lesson, r tell.Result, cards []machine.Card, all []*lesson.Lesson) (Report, []diag.Message) {
	return Folder{Cards: cards, Lessons: all}.Check(l, r)
}

// CheckAll looks at what only all lessons together show: sources and terms
// that none of them uses, what the meanings of terms and the house's words about
// hazards say, and lessons that nobody gets to. It needs no results.
func (f Folder) CheckAll() []diag.Message {
	var messages []diag.Message
	say := func(file string, line, column int, rule, text, hint string) {
		messages = append(messages, diag.Message{File: file, Line: line, Column: column, Level: level(rule), Rule: rule, Text: text, Hint: hint})
	}
	used := map[string]bool{}
	for _, l := range f.Lessons {
		if l.Body == nil {
			continue
		}
		l.Body.Walk(func(n *lesson.Node) bool {
			used[n.Name] = used[n.Name] || n.Kind == lesson.Bound
			return true
		})
	}
	for _, s := range f.Sources.List {
		if !used[sourcePrefix+s.Label] {
			say(f.Sources.File, s.Line, s.Column, ruleSourceUnused, fmt.Sprintf("no lesson cites the source %q", s.Label),
				fmt.Sprintf("cite it with [words][%s%s], or take it out", sourcePrefix, s.Label))
		}
	}
	for changed := true; changed; {
		changed = false
		for _, t := range f.Glossary.List {
			for _, see := range t.See {
				if used[termPrefix+t.Label] && !used[termPrefix+see] {
					used[termPrefix+see], changed = true, true
				}
			}
		}
	}
	for _, t := range f.Glossary.List {
		if !used[termPrefix+t.Label] {
			say(f.Glossary.File, t.Line, t.Column, ruleTermUnused, fmt.Sprintf("no lesson uses the term %q", t.Label),
				fmt.Sprintf("use it with [words][%s%s], point to it from a term that is used, or take it out", termPrefix, t.Label))
		}
		f.meaning(f.first(), t.Wording, say)
		for tag, w := range t.In {
			f.meaning(tag, w, say)
		}
	}
	f.hazards(say)
	f.unreached(say)
	f.silent(say)
	return diag.Sort(messages)
}

// first is the house's first language, "" for one that does not say.
func (f Folder) first() string {
	if len(f.House.Languages) == 0 {
		return ""
	}
	return f.House.Languages[0]
}

// meaning looks for numbers with a unit in the meaning of a term.
func (f Folder) meaning(tag string, w card.Wording, say func(file string, line, column int, rule, text, hint string)) {
	for _, found := range loose(f.Languages.Of(tag), w.Meaning) {
		say(f.Glossary.File, w.Line, w.Column, ruleUnbound, fmt.Sprintf("%q is bound to no value", oneLine(w.Meaning[found[0]:found[1]])),
			"say it without the number: nothing in the glossary can be bound")
	}
}

// unreached reports lessons that nobody gets to who takes them in order: a lesson
// that they need is not there, or they need each other in a circle.
func (f Folder) unreached(say func(file string, line, column int, rule, text, hint string)) {
	reached := map[string]bool{}
	waits := func(l *lesson.Lesson) int {
		for i, need := range l.Facts.Needs {
			if !reached[need] {
				return i
			}
		}
		return -1
	}
	for changed := true; changed; {
		changed = false
		for _, l := range f.Lessons {
			if !reached[l.Slug] && waits(l) < 0 {
				reached[l.Slug], changed = true, true
			}
		}
	}
	for _, l := range f.Lessons {
		if i := waits(l); i >= 0 && l.Base == nil {
			line, column := l.At(l.Facts.NeedsAt[i])
			say(l.File, line, column, ruleUnreached, fmt.Sprintf("no order of the lessons reaches this one, since it needs %q", l.Facts.Needs[i]),
				"let needs name lessons that are there, and no two of them each other")
		}
	}
}

const (
	sourcePrefix = "src."
	termPrefix   = "term."
)

// cite gives a label that begins with src. or term. its meaning, and says
// whether it has one.
func (c *checker) cite(n *lesson.Node) bool {
	if label, ok := strings.CutPrefix(n.Name, sourcePrefix); ok {
		s, ok := c.folder.Sources.Find(label)
		if !ok {
			return false
		}
		number := 0
		for i, had := range c.report.Sources {
			if had.Label == label {
				number = i + 1
			}
		}
		if number == 0 {
			c.report.Sources = append(c.report.Sources, s)
			number = len(c.report.Sources)
		}
		c.report.Cites[n] = number
		c.report.Printed[n] = words(n)
		return true
	}
	label, ok := strings.CutPrefix(n.Name, termPrefix)
	if !ok {
		return false
	}
	t, ok := c.folder.Glossary.Find(label)
	if !ok {
		return false
	}
	c.report.Terms[n] = t
	c.report.Printed[n] = words(n)
	if _, has := t.In[c.lesson.Language]; c.lesson.Base != nil && !has {
		c.say(n.Offset, ruleTermLanguage, fmt.Sprintf("the term %q has no words in %q", label, c.lesson.Language),
			fmt.Sprintf("write [%s.%s] into the glossary", label, c.lesson.Language))
	}
	return true
}

// citeHint helps who cites a source or term that is not there.
func (c *checker) citeHint(name string) string {
	list, file, what := c.folder.Sources.File, "sources.toml", "source"
	label, _ := strings.CutPrefix(name, sourcePrefix)
	if strings.HasPrefix(name, termPrefix) {
		list, file, what = c.folder.Glossary.File, "glossary.toml", "term"
		label, _ = strings.CutPrefix(name, termPrefix)
	}
	if list != "" {
		file = list
	}
	return fmt.Sprintf("write the %s into %s, under the heading [%s]", what, file, label)
}
