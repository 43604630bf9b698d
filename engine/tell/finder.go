package tell

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Finder leads from what is seen, heard and measured to what is wrong: it asks
// one thing after the other, until causes are named: few, or those that no further
// look would part.
type Finder struct {
	Name string
	Root Look
}

// Look is one step of a finder. It either asks, and has Answers, or names, and
// has Causes.
type Look struct {
	// Ask is the question, as in "Is the red lamp lit?"; where causes are named,
	// it may be empty, or head them.
	Ask string

	// How says how to look or to measure, or what to do about the causes.
	How string

	// Hazard names what can hurt there, as lessons declare it ("voltage"), or is
	// "". Pages put its sign and the house's words for it before all else.
	Hazard string

	// Chance is how likely one comes here from the start, from 0 to 1; 0 says
	// nothing of it.
	Chance float64

	Answers []Answer
	Causes  []Cause
}

// Answer is one of what a look may show, and where that leads.
type Answer struct {
	Says string
	Then *Look
}

// Cause is what may be wrong.
type Cause struct {
	Says string

	// Chance is how likely it is among the causes of its look, from 0 to 1; 0
	// says nothing of it.
	Chance float64

	// Stop says that whoever finds it stops, and isolates the set.
	Stop bool
}

// Bounds of finders. Nobody goes through more, and a chart for the wall has to
// hold the words.
const (
	mostLooks   = 400 // of a finder, those that name causes among them
	mostAsked   = 24  // one after the other
	mostAnswers = 10  // of a look
	mostCauses  = 40  // of a look

	longestAsk    = 160 // letters
	longestHow    = 400
	longestAnswer = 80
	longestCause  = 200
)

// Finder tells what to look at one thing after the other, beginning with root.
// Each look has two answers or more that lead on, or else causes, with which
// the finder ends.
//
//	tell.Finder("board", tell.Look{Ask: "Is the lamp lit?", Answers: []tell.Answer{
//		{Says: "yes", Then: &tell.Look{Causes: []tell.Cause{{Says: "the bell line is broken"}}}},
//		{Says: "no", Then: &tell.Look{Causes: []tell.Cause{{Says: "the fuse has blown", Stop: true}}}},
//	}})
func (s *Sheet) Finder(name string, root Look) {
	s.name("finder", name)
	f := finding{sheet: s, name: name}
	if s.depth > 0 {
		f.bad("is told under a knob", "tell it outside the knob; what it asks is the same wherever the knob stands")
	}
	if len(root.Answers) == 0 {
		f.bad("asks nothing", `give its first look answers, such as {Says: "yes", Then: &tell.Look{...}}`)
	}
	root = f.look(root, "its first look", 1)
	s.count("finder", name, f.looks)
	s.result.Finders = append(s.result.Finders, Finder{Name: name, Root: root})
}

// finding goes through the looks of a finder.
type finding struct {
	sheet *Sheet
	name  string
	looks int
}

func (f *finding) bad(what, hint string) {
	panic(Misuse{fmt.Sprintf("finder %q %s", f.name, what), hint})
}

// look gives a copy of a look, once it has been looked at with all below it.
// Path is how to come there, for messages.
func (f *finding) look(l Look, path string, deep int) Look {
	if f.looks++; f.looks > mostLooks {
		f.bad(fmt.Sprintf("has more than %d looks", mostLooks), "make one finder for each part of the board, or stop where the causes are few")
	}
	if deep > mostAsked {
		f.bad(fmt.Sprintf("asks more than %d things one after the other", mostAsked), "ask first what parts the causes in halves; a look must not lead back to itself")
	}
	asks := len(l.Answers) > 0
	f.words("the question of "+path, l.Ask, longestAsk, asks)
	f.words("how to look at "+path, l.How, longestHow, false)
	f.hazard(l.Hazard, path)
	f.chance(path, l.Chance)
	switch {
	case asks && len(l.Causes) > 0:
		f.bad(fmt.Sprintf("has both answers and causes at %s", path), "let it name the causes behind an answer")
	case len(l.Answers) == 1:
		f.bad(fmt.Sprintf("has one answer at %s", path), "a question has two answers or more; or name the causes there")
	case !asks && len(l.Causes) == 0:
		f.bad(fmt.Sprintf("ends at %s, and names no cause", path), `give it answers that lead on, or causes: []tell.Cause{{Says: "..."}}`)
	case len(l.Answers) > mostAnswers:
		f.bad(fmt.Sprintf("has %d answers at %s, more than %d", len(l.Answers), path, mostAnswers), "ask in two steps")
	case len(l.Causes) > mostCauses:
		f.bad(fmt.Sprintf("names %d causes at %s, more than %d", len(l.Causes), path, mostCauses), "ask more, or name them together")
	}
	answers, causes := make([]Answer, len(l.Answers)), make([]Cause, len(l.Causes))
	said := map[string]bool{}
	for i, a := range l.Answers {
		f.words("an answer of "+path, a.Says, longestAnswer, true)
		if said[a.Says] {
			f.bad(fmt.Sprintf("has the answer %s twice at %s", quoted(a.Says), path), "let each answer say something else")
		}
		said[a.Says] = true
		below := fmt.Sprintf("the look behind %s", quoted(a.Says))
		if a.Then == nil {
			f.bad(fmt.Sprintf("has nothing behind the answer %s of %s", quoted(a.Says), path), "say what to look at then, or which causes are left: Then: &tell.Look{...}")
		}
		then := f.look(*a.Then, below, deep+1)
		answers[i] = Answer{a.Says, &then}
	}
	sum := 0.0
	for i, c := range l.Causes {
		f.words("a cause of "+path, c.Says, longestCause, true)
		f.chance(path, c.Chance)
		sum += c.Chance
		causes[i] = c
	}
	if sum > 1+1e-9 {
		f.bad(fmt.Sprintf("has causes at %s whose chances make %s together", path, short(sum)), "of the causes of a look one is true: divide each by their sum")
	}
	l.Answers, l.Causes = nil, nil
	if asks {
		l.Answers = answers
	} else {
		l.Causes = causes
	}
	return l
}

// words refuses words that are missing, too long, or hold what nobody sees.
func (f *finding) words(part, words string, most int, needed bool) {
	visible(part, "finder", f.name, words)
	if n := utf8.RuneCountInString(words); n > most {
		f.bad(fmt.Sprintf("has %d letters in %s, %s; the most are %d", n, part, quoted(words), most), "shorten it; it has to fit a chart for the wall")
	}
	if needed && strings.TrimSpace(words) == "" {
		f.bad(fmt.Sprintf("has no words for %s", part), "say it in a few words")
	}
}

// hazard refuses what cannot be the name of a hazard. Which there are, package
// proof knows.
func (f *finding) hazard(hazard, path string) {
	if strings.Trim(hazard, "abcdefghijklmnopqrstuvwxyz") != "" {
		f.bad(fmt.Sprintf("has the hazard %s at %s, which no lesson can declare", quoted(hazard), path), `name it as the lesson's hazards do, such as "voltage"`)
	}
}

// chance refuses what is no chance.
func (f *finding) chance(path string, chance float64) {
	finite("finder", f.name, chance)
	if chance < 0 || chance > 1 {
		f.bad(fmt.Sprintf("has the chance %s at %s", short(chance), path), "a chance lies between 0 and 1")
	}
}

// Walk calls visit for a look and all below it, in the order in which a reader
// would go through them, with how many questions come before each.
func (l *Look) Walk(visit func(l *Look, asked int)) { l.walk(visit, 0) }

func (l *Look) walk(visit func(l *Look, asked int), asked int) {
	visit(l, asked)
	for _, a := range l.Answers {
		a.Then.walk(visit, asked+1)
	}
}

// Numbers gives each question below a look, and its own, its number: 1 for the
// first in the order of Walk. All that shows a finder on paper names questions
// by these.
func (l *Look) Numbers() map[*Look]int {
	numbers := map[*Look]int{}
	l.Walk(func(l *Look, _ int) {
		if len(l.Answers) > 0 {
			numbers[l] = len(numbers) + 1
		}
	})
	return numbers
}

// Stops says whether a look names a cause for which everybody stops.
func (l *Look) Stops() bool {
	return slices.ContainsFunc(l.Causes, func(c Cause) bool { return c.Stop })
}
