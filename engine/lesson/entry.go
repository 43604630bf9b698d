package lesson

import (
	"fmt"
	"regexp"
	"strings"

	"slipring/engine/diag"
)

// The blocks that say what a lesson, or an entry of the logbook, is about.
const (
	lessonHead = "lesson"
	entryHead  = "entry"
)

const entryForm = "begin the file with:\n```entry\ntitle = \"What was done\"\nby = \"the Tuesday volunteer\"\ncard = \"bell-current-set\"\nparts = [\"governor\"]\n```"

// What the block of an entry may hold, and that of its translation.
var (
	entryKeys            = [...]string{"title", "by", "card", "parts"}
	entryTranslationKeys = [...]string{"title", "by"}
)

// factForms says how a fact is written that may not be missing.
var factForms = map[string]string{
	"title": `title = "What this %s is about"`,
	"by":    `by = "the Tuesday volunteer", a role and never a person's name`,
	"card":  `card = "bell-current-set", the machine card of the set that it is about`,
	"parts": `parts = ["governor"], or parts = [] for the whole set`,
}

// entryPurposes lists what an entry is made of: what was done and found, what
// is open, and what answers a question of an entry before it.
var entryPurposes = [...]string{"done", "found", "open", "answer"}

// EntryPurposes lists the blocks that an entry is made of.
func EntryPurposes() []string { return entryPurposes[:] }

var openForm = regexp.MustCompile(`^[a-z][a-z0-9]*(?:-[a-z0-9]+)*$`)

// ParseEntry reads one entry of the logbook. It is written like a lesson, but
// has no cells: after its entry block it holds blocks of EntryPurposes and
// nothing else. The file name is used in messages only.
//
// What it returns is never nil. Package logbook finds out what an entry names.
func ParseEntry(file string, source []byte) (*Lesson, []diag.Message) {
	r := newReading(file, source)
	r.entry = true
	r.all()
	r.onlyBlocks()
	return r.lesson, diag.Sort(r.messages)
}

// ParseEntryTranslation reads a translation of an entry, which has its parts
// from base.
func ParseEntryTranslation(file, language string, source []byte, base *Lesson) (*Lesson, []diag.Message) {
	r := newReading(file, source)
	r.entry, r.base = true, base
	r.all()
	r.onlyBlocks()
	l := r.lesson
	l.Language, l.Base, l.Slug = language, base, base.Slug
	l.Facts.Card, l.Facts.Parts = base.Facts.Card, base.Facts.Parts
	return l, diag.Sort(r.messages)
}

// onlyBlocks reports what stands outside of an entry's blocks.
func (r *reading) onlyBlocks() {
	if !r.found {
		return // the fence of its first block may be what is wrong
	}
	for _, n := range r.lesson.Body.Children {
		if n.Kind != EntryBlock && n.Kind != CodeBlock { // a block without a role was warned of
			r.messages = append(r.messages, r.lesson.Message(n.Offset, diag.Error, "block", "this stands in no block of the entry",
				"put it into a block that begins with ```"+strings.Join(entryPurposes[:], ", ```")))
			return
		}
		n.Walk(func(n *Node) bool {
			if n.Kind == Heading {
				r.messages = append(r.messages, r.lesson.Message(n.Offset, diag.Error, "block", "a heading stands in a block of the entry", "make it a sentence; the block has a heading of its own"))
			}
			return true
		})
	}
}

// head is the info word of the block that the text begins with.
func (r *reading) head() string {
	if r.entry {
		return entryHead
	}
	return lessonHead
}

// needed lists the facts that may not be missing.
func (r *reading) needed() []string {
	switch {
	case r.entry && r.translates():
		return entryTranslationKeys[:]
	case r.entry:
		return entryKeys[:]
	}
	return []string{"title"}
}

// roles lists the info words that give a block a role.
func (r *reading) roles() []string {
	if r.entry {
		return append([]string{entryHead, "formula"}, entryPurposes[:]...)
	}
	return roles[:]
}

// questionBehind reads the name of what is asked or answered.
func questionBehind(word string, rest []string, say func(text, hint string)) string {
	switch {
	case word != "open" && word != "answer":
		return ""
	case len(rest) != 1:
		say(fmt.Sprintf("the %q block does not name its question in one word", word), fmt.Sprintf("write, for example: %s why-it-is-slower", word))
		return ""
	case !openForm.MatchString(rest[0]):
		say(fmt.Sprintf("%q cannot be the name of a question", rest[0]), "use small letters, digits and dashes, such as why-it-is-slower")
		return ""
	}
	return rest[0]
}
