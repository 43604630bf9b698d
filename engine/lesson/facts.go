package lesson

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2/unstable"

	"slipring/engine/diag"
)

const lessonForm = "begin the file with:\n```lesson\ntitle = \"What this lesson is about\"\nminutes = 10\n```"

var keys = [...]string{"title", "know", "minutes", "needs", "hazards", "revised", "data", "beside", "safety", "stop"}

// lessonBlock reads the lesson's facts from the TOML in its lesson block.
func (r *reading) lessonBlock(f fenced, c *converter) {
	switch {
	case r.found:
		c.say(f.at, "lesson-block", fmt.Sprintf("this is a second %s block", r.head()), fmt.Sprintf("a %s has one, at its beginning: put both into that", r.head()))
		return
	case !f.first:
		c.say(f.at, "lesson-block", fmt.Sprintf("the %s block does not come first", r.head()), "move it to the beginning of the file")
	}
	r.found = true
	source := c.source[f.start:f.end]
	say := func(offset int, text, hint string) { c.say(f.start+offset, "lesson-block", text, hint) }

	// Decoding finds what is no TOML, and keys that stand twice; the second
	// walk has the positions.
	var values map[string]any
	if problem, at := decode(source, &values); problem != "" {
		text, hint := diag.TOMLSlip(source, at)
		if text == "" {
			text, hint = fmt.Sprintf("the %s block is not TOML: %s", r.head(), problem), "write one fact a line: words in quotation marks, numbers bare, lists in square brackets"
		}
		say(at, text, hint)
		return
	}
	facts := factReader{values: values, facts: &r.lesson.Facts, base: f.start, text: r.text, keys: r.keys(), head: r.head(), say: say}
	var p unstable.Parser
	p.Reset(source)
	for p.NextExpression() {
		facts.expression(p.Expression())
	}
	for _, key := range r.needed() {
		if !facts.seen[key] && !facts.unknown {
			c.say(f.at, "lesson-block", fmt.Sprintf("the %s block has no %s", r.head(), key), "add a line such as: "+strings.ReplaceAll(factForms[key], "%s", r.head()))
		}
	}
	tables, _, _ := readTOML(source)
	for _, t := range tables {
		switch {
		case t.list && t.name == exceptTable:
			facts.exception(t)
		case t.list && t.name == captureTable && !r.translates():
			facts.capture(t)
		case t.list && t.name == captureTable:
			say(t.at, "captures stand in the lesson itself, not in a translation", "leave it out here")
		case t.list && t.name == labelTable && r.translates():
			facts.label(t)
		case t.list && t.name == labelTable:
			say(t.at, "a lesson has no labels of its own", "write the label into the cell; [[label]] is for translations")
		}
	}
	r.lesson.Title = r.lesson.Facts.Title
}

// factReader reads decoded values into facts. Offsets that it is given count
// in the block; those in facts count in the file.
type factReader struct {
	values map[string]any
	facts  *Facts
	base   int
	text   original
	keys   []string
	head   string // what its block is called
	seen   map[string]bool

	table   bool // the block's own keys are over
	unknown bool // there was a key that the block does not have
	say     func(offset int, text, hint string)
}

func (r *factReader) expression(e *unstable.Node) {
	if e.Kind == unstable.Comment || e.Kind == unstable.KeyValue && r.table {
		return
	}
	it := e.Key()
	it.Next()
	first := it.Node()
	key, at := string(first.Data), int(first.Raw.Offset)
	dots := it.Next()
	if e.Kind == unstable.ArrayTable && (key == exceptTable || key == labelTable || key == captureTable) && !dots {
		r.table = true
		return
	}
	if e.Kind != unstable.KeyValue || dots {
		r.table = e.Kind != unstable.KeyValue
		r.unknown = true
		hint := suggest(key, r.keys)
		if near := diag.Nearest(key, []string{exceptTable, captureTable}); near != "" {
			hint = fmt.Sprintf("write [[%s]], in double brackets", near)
		}
		r.say(at, fmt.Sprintf("the %s block has no table %q", r.head, key), hint)
		return
	}
	if !slices.Contains(r.keys, key) {
		r.unknown = true
		if slices.Contains(keys[:], key) && r.head == lessonHead {
			r.say(at, fmt.Sprintf("%q stands in the lesson itself, not in a translation", key), "leave it out here")
			return
		}
		r.say(at, fmt.Sprintf("the %s block has no key %q", r.head, key), suggest(key, r.keys))
		return
	}
	if r.seen == nil {
		r.seen = map[string]bool{}
	}
	r.seen[key] = true
	value := e.Value()
	if value.Raw.Length > 0 {
		at = int(value.Raw.Offset)
	}
	r.value(key, at, value)
}

func (r *factReader) value(key string, at int, node *unstable.Node) {
	switch key {
	case "title":
		if title, ok := r.line(key, at, `for example: title = "What this lesson is about"`); ok {
			r.facts.Title, r.facts.TitleAt = title, r.text.at(r.base+at)
		}
	case "by":
		if by, ok := r.line(key, at, "for example: "+factForms[key]); ok {
			r.facts.By = by
		}
	case "card":
		if card, ok := r.line(key, at, "for example: "+factForms[key]); ok {
			r.facts.Card, r.facts.CardAt = card, r.text.at(r.base+at)
		}
	case "parts":
		r.facts.Parts, r.facts.PartsAt = r.list(key, at, node, func(int, string) bool { return true })
	case "know":
		if know, ok := r.line(key, at, `for example: know = "Why the voltage comes later than the speed."`); ok {
			r.facts.Know, r.facts.KnowAt = know, r.text.at(r.base+at)
		}
	case "minutes":
		minutes, ok := r.values[key].(int64)
		if !ok || minutes < 1 || minutes > 600 {
			r.say(at, "minutes is a whole number from 1 to 600", "for example: minutes = 15")
			return
		}
		r.facts.Minutes = int(minutes)
	case "stop":
		stop, ok := r.values[key].(int64)
		if !ok || stop < 1 || stop > 60 {
			r.say(at, "stop is a whole number from 1 to 60", "for example: stop = 5, the minutes that a tour stays there")
			return
		}
		r.facts.Stop, r.facts.StopAt = int(stop), r.text.at(r.base+at)
	case "needs":
		r.facts.Needs, r.facts.NeedsAt = r.list(key, at, node, func(at int, need string) bool {
			if !slugForm.MatchString(need) {
				r.say(at, fmt.Sprintf("%q cannot be the name of a lesson", need),
					"write the folder's name without its number: small letters, digits and dashes")
				return false
			}
			return true
		})
	case "hazards":
		r.facts.Hazards, r.facts.HazardsAt = r.list(key, at, node, func(at int, hazard string) bool {
			if !slices.Contains(hazards[:], hazard) {
				r.say(at, fmt.Sprintf("there is no hazard %q", hazard), suggest(hazard, hazards[:]))
				return false
			}
			return true
		})
	case "data":
		r.facts.Data, r.facts.DataAt = r.list(key, at, node, func(at int, file string) bool {
			if !dataForm.MatchString(file) {
				r.say(at, fmt.Sprintf("%q cannot be the name of a data file", file),
					"put a CSV file into the lesson's folder and name it with small letters, digits and dashes, such as readings.csv")
				return false
			}
			return true
		})
	case "beside":
		beside, ok := r.values[key].(bool)
		if !ok {
			r.say(at, "beside is true or false", "write beside = true for a lesson that is not part of the course")
			return
		}
		r.facts.Beside = beside
	case "safety":
		safety, ok := r.values[key].(bool)
		if !ok {
			r.say(at, "safety is true or false", "write safety = true for a lesson that volunteers sign for again when it changes")
			return
		}
		r.facts.Safety = safety
	case "revised":
		written := fmt.Sprint(r.values[key]) // a TOML date prints as it is written
		if _, err := time.Parse(time.DateOnly, written); err != nil {
			r.say(at, "revised is a date", "for example: revised = 2026-11-25")
			return
		}
		r.facts.Revised = written
	}
}

// line reads one line of text.
func (r *factReader) line(key string, at int, example string) (text string, ok bool) {
	text, ok = r.values[key].(string)
	if !ok || strings.TrimSpace(text) == "" || strings.ContainsAny(text, "\r\n") {
		r.say(at, key+" is one line of text in quotation marks, and not empty", example)
		return "", false
	}
	if what := hiddenIn(text); what != "" {
		r.say(at, what, hiddenHint)
		return "", false
	}
	return strings.TrimSpace(text), true
}

// list reads a list of different words, of which accept takes some.
func (r *factReader) list(key string, at int, node *unstable.Node, accept func(at int, word string) bool) (words []string, places []int) {
	form := fmt.Sprintf("for example: %s = [%q]", key, map[string]string{"needs": "field-weakening", "hazards": "rotating", "data": "readings.csv", "parts": "governor"}[key])
	values, ok := r.values[key].([]any)
	if !ok {
		r.say(at, key+" is a list of words in quotation marks", form)
		return nil, nil
	}
	children := node.Children()
	for i := 0; i < len(values) && children.Next(); {
		child := children.Node()
		if child.Kind == unstable.Comment {
			continue
		}
		value := values[i]
		i++
		if child.Raw.Length > 0 {
			at = int(child.Raw.Offset)
		}
		word, ok := value.(string)
		switch {
		case !ok:
			r.say(at, key+" is a list of words in quotation marks", form)
		case slices.Contains(words, word):
			r.say(at, fmt.Sprintf("%q stands twice in %s", word, key), "leave one out")
		case accept(at, word):
			words = append(words, word)
			places = append(places, r.text.at(r.base+at))
		}
	}
	return words, places
}

// exceptTable heads an exception to a rule.
const exceptTable = "except"

var exceptionKeys = [...]string{"rule", "at", "because"}

// exception reads one [[except]].
func (r *factReader) exception(t tomlTable) {
	e := Exception{Offset: r.text.at(r.base + t.at)}
	into := map[string]*string{"rule": &e.Rule, "at": &e.At, "because": &e.Because}
	for _, k := range t.keys {
		to, known := into[k.name]
		switch {
		case !known:
			r.say(k.at, fmt.Sprintf("an exception has no key %q", k.name), suggest(k.name, exceptionKeys[:]))
			return
		case !k.word || strings.TrimSpace(k.text) == "":
			r.say(k.valueAt, k.name+" is text in quotation marks, and not empty", fmt.Sprintf("for example: %s = \"...\"", k.name))
			return
		case hiddenIn(k.text) != "":
			r.say(k.valueAt, hiddenIn(k.text), hiddenHint)
			return
		}
		*to = strings.TrimSpace(k.text)
	}
	for _, k := range exceptionKeys {
		if *into[k] == "" {
			r.say(t.at, fmt.Sprintf("the exception has no %q", k), "it names its rule, quotes words of the place (at), and says why (because)")
			return
		}
	}
	r.facts.Exceptions = append(r.facts.Exceptions, e)
}
