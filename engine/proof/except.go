package proof

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/lesson"
)

// excusable lists the rules that a lesson may break on purpose. Whatever makes
// a page untrue, unsafe or unreadable for some is not among them.
var excusable = [...]string{ruleRotating, ruleVolts, ruleUnbound, ruleWords, ruleSentence, ruleGrade, ruleGuess, ruleCompared, ruleReasoning, ruleRows}

// Excusable says whether a lesson may break the rule on purpose, with
// [[except]] in its lesson block.
func (r Rule) Excusable() bool { return slices.Contains(excusable[:], r.Name) }

// Excused is an exception of the lesson with what it excuses.
type Excused struct {
	lesson.Exception
	Findings []diag.Message // never empty
}

// exception is an Exception with the stretches of the lesson that it is about.
type exception struct {
	lesson.Exception
	words    [2]int // where its words stand
	from, to int    // the innermost block that holds them
	starts   []int  // offsets of the blocks around that
	findings []diag.Message
}

// findExceptions gives each exception its place.
func (c *checker) findExceptions() {
	for _, e := range c.lesson.Facts.Exceptions {
		var names []string
		known := false
		for _, r := range Rules() {
			known = known || r.Name == e.Rule
			if r.Excusable() {
				names = append(names, r.Name)
			}
		}
		if !slices.Contains(names, e.Rule) {
			text := fmt.Sprintf("there is no rule %q", e.Rule)
			hint := "rules that may be broken on purpose: " + strings.Join(names, ", ")
			if known {
				text = fmt.Sprintf("the rule %q allows no exception", e.Rule)
			} else if near := diag.Nearest(e.Rule, names); near != "" {
				hint = fmt.Sprintf("did you mean %q?", near)
			}
			c.say(e.Offset, ruleExcept, text, hint)
			continue
		}
		// What a lesson has to declare follows from its cells.
		places := c.placesOf(e.At, e.Rule == ruleRotating || e.Rule == ruleVolts)
		if len(places) != 1 {
			text := fmt.Sprintf("the words %q stand nowhere in the lesson's text", e.At)
			if len(places) > 1 {
				text = fmt.Sprintf("the words %q stand %d times in the lesson's text", e.At, len(places))
			}
			c.say(e.Offset, ruleExcept, text, "quote a few words of the place as they stand in the file, so many that they stand there once")
			continue
		}
		place := places[0]
		x := exception{Exception: e, words: place, from: place[0], to: place[1]}
		c.lesson.Body.Walk(func(n *lesson.Node) bool {
			inside := n.Kind == lesson.Document || n.Offset <= place[0] && place[0] < n.End
			switch n.Kind {
			case lesson.Document:
			case lesson.Heading, lesson.Paragraph, lesson.Embed, lesson.QuestionText, lesson.HTMLBlock:
				if inside {
					x.from, x.to = n.Offset, n.End
				}
			default:
				if inside {
					x.starts = append(x.starts, n.Offset)
				}
			}
			return inside
		})
		c.excepted = append(c.excepted, x)
	}
}

// placesOf finds words in the lesson's text, the lesson block left out, with
// any blanks between them, in its cells or not.
func (c *checker) placesOf(at string, cells bool) [][2]int {
	fields := strings.Fields(at)
	for i := range fields {
		fields[i] = regexp.QuoteMeta(fields[i])
	}
	form := regexp.MustCompile(strings.Join(fields, `\s+`))
	var places [][2]int
	for _, m := range form.FindAllIndex(c.lesson.Source, -1) {
		if slices.ContainsFunc(c.lesson.Body.Children, func(n *lesson.Node) bool {
			return (cells || n.Kind != lesson.CellBlock) && n.Offset <= m[0] && m[0] < n.End
		}) {
			places = append(places, [2]int{m[0], m[1]})
		}
	}
	return places
}

// excuse says whether an exception is about a finding, and keeps it there. A
// number, and the first word that compares, has to stand among the exception's
// words; whatever else is found is about a whole sentence, paragraph or block.
func (c *checker) excuse(offset int, m diag.Message) bool {
	for i := range c.excepted {
		x := &c.excepted[i]
		about := x.from <= offset && offset < x.to || slices.Contains(x.starts, offset)
		if m.Rule == ruleUnbound || m.Rule == ruleCompared {
			about = x.words[0] <= offset && offset < x.words[1]
		}
		if x.Rule == m.Rule && about {
			x.findings = append(x.findings, m)
			return true
		}
	}
	return false
}

// exceptions reports those that excuse nothing, and hands on the others.
func (c *checker) exceptions() {
	for _, x := range c.excepted {
		if len(x.findings) == 0 {
			c.say(x.Offset, ruleExceptUnused, fmt.Sprintf("this exception to %q excuses nothing", x.Rule), "take it out")
			continue
		}
		c.report.Exceptions = append(c.report.Exceptions, Excused{x.Exception, diag.Sort(x.findings)})
	}
}
