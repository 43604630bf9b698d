package lesson

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/diag"
)

// Question is a check of understanding. It names what its answer follows from,
// and holds no answer itself.
type Question struct {
	Kind QuestionKind
	Ask  *Node // a QuestionText
	Why  *Node // a QuestionNote, nil when there is none

	// Of a Number question: the told value that is asked for, the unit in which
	// the reader answers ("" for that in which it was told), and how far off an
	// answer may be.
	Answer Reference
	Unit   Reference
	Within Tolerance

	// Of a Choice and an Order: what can be chosen, or put into order, as
	// written. Rule is "" where options hold claims, "largest" or "smallest"
	// where they hold values; "rising" or "falling" for an Order.
	Options []Option
	Rule    Reference
}

// QuestionKind says how a question is answered.
type QuestionKind int

const (
	Number QuestionKind = iota // by a number
	Choice                     // by one of several options
	Order                      // by putting items into order
)

// Option is one option of a choice, or one item of an order.
type Option struct {
	Text *Node     // a QuestionText
	But  *Node     // a QuestionNote for who chose it wrongly, nil when there is none
	Name Reference // of a told claim or value
	Not  bool      // the option is right when the claim does not hold
	At   int       // byte offset of its heading

	claim bool // Name is that of a claim
}

// Reference is a word of a question's TOML, and its byte offset in the file.
type Reference struct {
	Name string
	At   int
}

// Tolerance is how far an answer may be off: by per cent of the right one when
// Unit is "%", and otherwise by a number in Unit.
type Tolerance struct {
	Number float64
	Unit   string
	At     int // byte offset in the file
}

func (q *Question) relocate(o original) {
	for _, at := range []*int{&q.Answer.At, &q.Unit.At, &q.Within.At, &q.Rule.At} {
		*at = o.at(*at)
	}
	for i := range q.Options {
		q.Options[i].Name.At, q.Options[i].At = o.at(q.Options[i].Name.At), o.at(q.Options[i].At)
	}
}

// What a choice or an order may have, and a guess. With more, an answer is a
// matter of patience.
const (
	mostOptions = 8
	mostGuesses = 3
)

const questionForm = `ask for a number with answer = "NAME" and within = "5 %", for a choice with [[option]], for an order with [[item]]`

// keys that a question may have, by kind; the tables of options follow
var (
	numberKeys  = [...]string{"ask", "answer", "within", "unit", "why"}
	choiceKeys  = [...]string{"ask", "right", "why"}
	orderKeys   = [...]string{"ask", "by", "why"}
	optionKeys  = [...]string{"text", "when", "value", "but"}
	itemKeys    = [...]string{"text", "value"}
	guessKeys   = [...]string{"ask"}
	guessedKeys = [...]string{"text", "when", "but"}
)

// question reads the block of a question or a guess. What a question is about
// (a number, a choice, an order) shows in its keys. A guess is a choice between
// claims, and what stands below it is its reasoning.
func (r *reading) question(n *Node, f fenced, c *converter, kind Kind) {
	q := &Question{}
	n.Kind, n.Question = kind, q
	if kind == GuessBlock {
		q.Kind = Choice
	}
	reader := questionReader{textReader: newTextReader(r, n, f, c, "question"), question: q}
	source := c.source[f.start:f.end]
	tables, problem, at := readTOML(source)
	if problem != "" {
		text, hint := diag.TOMLSlip(source, at)
		if text == "" {
			text, hint = "the "+reader.called()+" is not TOML: "+problem, "write one fact a line, texts in quotation marks, such as ask = \"How fast?\""
		}
		reader.fail(at, text, hint)
		return
	}
	reader.read(tables)
	slices.SortFunc(n.Children, func(a, b *Node) int { return a.Offset - b.Offset })
}

// questionReader fills one question. Offsets of keys count in the block.
type questionReader struct {
	textReader
	question *Question
}

func (r *questionReader) guess() bool { return r.node.Kind == GuessBlock }

func (r *questionReader) called() string {
	if r.guess() {
		return "guess"
	}
	return "question"
}

func (r *questionReader) read(tables []tomlTable) {
	top, rest := tables[0], tables[1:]
	q := r.question
	what, keys := "a question for a number", numberKeys[:]
	if r.guess() {
		what, keys = "a guess", guessKeys[:]
	}
	for _, t := range rest {
		switch {
		case r.guess() && t.list && t.name == "option":
			q.Options = append(q.Options, r.option(t, "an option", guessedKeys[:]))
		case r.guess() && t.name != "option":
			r.fail(t.at, fmt.Sprintf("a guess has no table %q", t.name), "it has two or three answers to choose from: write [[option]] above each")
		case t.list && t.name == "option" && q.Kind != Order:
			q.Kind, what, keys = Choice, "a choice", choiceKeys[:]
			q.Options = append(q.Options, r.option(t, "an option", optionKeys[:]))
		case t.list && t.name == "item" && q.Kind != Choice:
			q.Kind, what, keys = Order, "an order", orderKeys[:]
			q.Options = append(q.Options, r.option(t, "an item", itemKeys[:]))
		case t.list && (t.name == "option" || t.name == "item"):
			r.fail(t.at, "a question has either options or items", "make two questions of it")
		case t.name == "option" || t.name == "item":
			r.fail(t.at, fmt.Sprintf("[%s] stands in single brackets", t.name), fmt.Sprintf("write [[%s]], once for each", t.name))
		default:
			r.fail(t.at, fmt.Sprintf("a question has no table %q", t.name), suggest(t.name, []string{"option", "item"}))
		}
	}
	seen := map[string]bool{}
	for _, k := range top.keys {
		seen[k.name] = true
		if !slices.Contains(keys, k.name) {
			hint := suggest(k.name, keys)
			if r.guess() && k.name == "why" {
				hint = "say it below the guess, where everybody reads it"
			}
			r.fail(k.at, fmt.Sprintf("%s has no key %q", what, k.name), hint)
			continue
		}
		if !r.word(k) {
			continue
		}
		at := r.reference(k)
		switch k.name {
		case "ask":
			q.Ask = r.line(k)
		case "why":
			q.Why = r.note(k)
		case "answer":
			q.Answer = at
		case "unit":
			q.Unit = at
		case "within":
			q.Within = r.within(k, `say how far off an answer may be, such as within = "5 %" or within = "0.1 Hz"`)
		case "right", "by":
			known := map[string][]string{"right": {"largest", "smallest"}, "by": {"rising", "falling"}}[k.name]
			if q.Rule = at; !slices.Contains(known, at.Name) {
				r.fail(k.valueAt, fmt.Sprintf("%s is %q", k.name, at.Name), suggest(at.Name, known))
			}
		}
	}
	need := map[QuestionKind][]string{Number: {"ask", "answer", "within"}, Choice: {"ask"}, Order: {"ask", "by"}}[q.Kind]
	form := map[string]string{
		"ask": `ask = "How fast does the shaft turn?"`, "answer": `answer = "idle.speed"`, "within": `within = "5 %"`, "by": `by = "rising"`}
	for _, key := range need {
		switch {
		case r.failed || seen[key]: // one finding at a time
		case key == "answer":
			r.fail(r.fence-r.start, "the question says nothing about its answer", questionForm)
		default:
			r.fail(r.fence-r.start, fmt.Sprintf("%s needs the key %q", what, key), "for example: "+form[key])
		}
	}
	if !r.failed && q.Kind != Number {
		r.options(what)
	}
}

// options checks what has to fit together in a choice or an order.
func (r *questionReader) options(what string) {
	q := r.question
	most, hint := mostOptions, fmt.Sprintf("give it from 2 to %d", mostOptions)
	if r.guess() {
		most, hint = mostGuesses, fmt.Sprintf("give it 2 or %d, each below its own [[option]]: who stands before a screen reads no more", mostGuesses)
	}
	if n := len(q.Options); n < 2 || n > most {
		r.fail(r.fence-r.start, fmt.Sprintf("%s has %d to choose from", what, n), hint)
		return
	}
	texts := map[string]bool{}
	for _, o := range q.Options {
		at := o.At - r.converter.base - r.start
		switch {
		case q.Kind == Choice && q.Rule.Name == "" && !o.claim:
			r.fail(at, "this option has a value, but the question does not say which value is right",
				`write right = "largest" or right = "smallest" above the first [[option]]`)
		case q.Kind == Choice && q.Rule.Name != "" && o.claim:
			r.fail(at, fmt.Sprintf("this option has a claim, but the %s value is right", q.Rule.Name), `give each option value = "NAME"`)
		}
		if key := strings.Join(strings.Fields(string(r.converter.source[o.Text.Offset-r.converter.base:o.Text.End-r.converter.base])), " "); texts[key] {
			r.fail(at, fmt.Sprintf("two options read %q", key), "word one of them differently")
		} else {
			texts[key] = true
		}
	}
}

// option reads one option or item.
func (r *questionReader) option(t tomlTable, what string, keys []string) Option {
	o := Option{At: r.converter.base + r.start + t.at}
	seen := map[string]bool{}
	before := r.failed
	r.failed = false
	defer func() { r.failed = r.failed || before }()
	for _, k := range t.keys {
		seen[k.name] = true
		if !slices.Contains(keys, k.name) {
			hint := suggest(k.name, keys)
			if r.guess() && k.name == "value" {
				hint = `tell a claim that says whether the option is right, and write when = "NAME" or when = "not NAME"`
			} else if slices.Contains([]string{"ask", "why", "right", "by"}, k.name) {
				hint = fmt.Sprintf("%s is about the whole question: write it above the first [[%s]]", k.name, t.name)
			}
			r.fail(k.at, fmt.Sprintf("%s has no key %q", what, k.name), hint)
			continue
		}
		if !r.word(k) {
			continue
		}
		switch k.name {
		case "text":
			o.Text = r.line(k)
		case "but":
			if o.But = r.note(k); o.But != nil && r.guess() && slices.ContainsFunc(o.But.Children, func(n *Node) bool { return n.Kind != Paragraph }) {
				r.fail(k.valueAt, k.name+" is text, without lists, headings or pictures", "put the rest below the guess")
			}
		case "when", "value":
			name, not := strings.CutPrefix(strings.TrimSpace(k.text), "not ")
			o.claim = k.name == "when"
			o.Not = not && o.claim
			if not && k.name == "value" {
				name = k.text
			}
			o.Name = Reference{strings.TrimSpace(name), r.converter.base + r.start + k.valueAt}
		}
	}
	switch {
	case r.failed: // one finding at a time
	case !seen["text"]:
		r.fail(t.at, what+" has no text", `for example: text = "The shaft slows down."`)
	case seen["when"] && seen["value"]:
		r.fail(t.at, what+" has both a claim and a value", "leave when or value out")
	case !seen["when"] && r.guess():
		r.fail(t.at, what+" does not say when it is right", `write when = "NAME" or when = "not NAME" with a told claim`)
	case !seen["when"] && !seen["value"] && t.name == "option":
		r.fail(t.at, what+" does not say when it is right",
			`write when = "NAME" or when = "not NAME" with a told claim, or give the question right = "largest" and each option value = "NAME"`)
	case !seen["value"] && t.name == "item":
		r.fail(t.at, what+" has no value to be put into order by", `for example: value = "idle.speed"`)
	}
	return o
}
