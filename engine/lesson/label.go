package lesson

import (
	"fmt"
	"regexp"
	"strings"
)

// labelTable heads a label in a translation.
const labelTable = "label"

const labelForm = `for example:
[[label]]
told = "speed"
reads = "vitesse"`

// label reads one [[label]].
func (r *factReader) label(t tomlTable) {
	l := Label{Offset: r.text.at(r.base + t.at)}
	for _, k := range t.keys {
		switch {
		case k.name != "told" && k.name != "reads":
			r.say(k.at, fmt.Sprintf("a label has no key %q", k.name), suggest(k.name, []string{"told", "reads"}))
			return
		case !k.word || strings.TrimSpace(k.text) == "":
			r.say(k.valueAt, k.name+" is text in quotation marks, and not empty", fmt.Sprintf("for example: %s = \"...\"", k.name))
			return
		case hiddenIn(k.text) != "":
			r.say(k.valueAt, hiddenIn(k.text), hiddenHint)
			return
		case k.name == "told":
			l.Told = strings.TrimSpace(k.text)
		default:
			l.Reads = strings.TrimSpace(k.text)
		}
	}
	if l.Told == "" || l.Reads == "" {
		r.say(t.at, "a label says how it was told and what it reads", labelForm)
		return
	}
	if a, b := strings.Count(l.Told, anyWords), strings.Count(l.Reads, anyWords); a != b {
		r.say(t.at, fmt.Sprintf("the label %q has {} %d times, and what it reads %d times", l.Told, a, b), "{} stands for words that differ from label to label; write each into both, in one order")
		return
	}
	if strings.TrimSpace(strings.ReplaceAll(l.Told, anyWords, "")) == "" {
		r.say(t.at, fmt.Sprintf("the label %q would stand for every other", l.Told), "write what such labels have in common around {}")
		return
	}
	for _, had := range r.facts.Labels {
		if had.Told == l.Told {
			r.say(t.at, fmt.Sprintf("the label %q stands here twice", l.Told), "leave one out")
			return
		}
	}
	r.facts.Labels = append(r.facts.Labels, l)
}

// anyWords stands in a label for words that differ from one label to the next.
const anyWords = "{}"

var plainNumber = regexp.MustCompile(`^\d+\.\d+$`)

// Told gives a label that a cell told as the lesson's pages print it.
func (l *Lesson) Told(label string) string {
	reads, _ := l.read(label, func(Label) {})
	return reads
}

// Lacks gives what a translation has no words for in a label: the label itself, or
// parts of it for which {} stands.
func (l *Lesson) Lacks(label string) []string {
	_, lacks := l.read(label, func(Label) {})
	return lacks
}

// Reading calls by for each label of a translation by which a label, or a part of
// it, is read.
func (l *Lesson) Reading(label string, by func(Label)) { l.read(label, by) }

// read looks for the label itself, and then for the first that has {} where it has
// other words; these are read in the same way.
func (l *Lesson) read(label string, by func(Label)) (reads string, lacks []string) {
	for _, known := range l.Facts.Labels {
		if known.Told == label {
			by(known)
			return known.Reads, nil
		}
	}
	for _, known := range l.Facts.Labels {
		parts, ok := known.parts(label)
		if !ok {
			continue
		}
		by(known)
		reads = known.Reads
		for i, part := range parts {
			said, more := l.read(part, by)
			lacks = append(lacks, more...)
			parts[i] = said
		}
		pieces := strings.Split(reads, anyWords)
		reads = pieces[0]
		for i, piece := range pieces[1:] {
			reads += parts[i] + piece
		}
		return reads, lacks
	}
	if plainNumber.MatchString(label) {
		return strings.Replace(label, ".", l.Tongue().Decimal, 1), nil
	}
	return label, []string{label}
}

// parts gives the words of a label for which {} stands, each as short as can be.
func (l Label) parts(label string) (parts []string, ok bool) {
	pieces := strings.Split(l.Told, anyWords)
	last := len(pieces) - 1
	rest, ok := strings.CutPrefix(label, pieces[0])
	if !ok || last == 0 {
		return nil, false
	}
	for i, piece := range pieces[1:] {
		at := len(rest) - len(piece)
		if i+1 < last && rest != "" {
			at = 1 + strings.Index(rest[1:], piece)
		}
		if at < 1 || !strings.HasPrefix(rest[at:], piece) {
			return nil, false
		}
		parts, rest = append(parts, rest[:at]), rest[at+len(piece):]
	}
	return parts, true
}
