// Package logbook reads the logbook of work: what volunteers did at the
// machine, what they found, and what they asked.
//
//	entries, messages := logbook.ReadAll(in, known, house.Languages)
//	messages = append(messages, logbook.Check(entries, around)...)
//
// An entry is a file logbook/YYYY-MM-DD-name.md of the lessons folder, with its
// words in another language in logbook/words/LANGUAGE/ under the same name. It
// is written like a lesson, in blocks of package lesson's EntryPurposes.
//
// A logbook is history, and history does not change when a model does. So a
// number of an entry is bound to what was so on its day:
//
//   - reading.DATE.QUANTITY is what was read;
//   - card.PART.KEY is what the card said at the end of the entry's day, which
//     the history of the cards knows;
//   - was.LABEL.PART.KEY and is.LABEL.PART.KEY are what an entry of the history
//     changed, before and after;
//   - lesson.NAME.VALUE is what the model gives, and the one of these that can
//     move. It may not stand in what was found. Where the model has moved on, the
//     page shows the number as it was written, and what the model gives now
//     beside it.
//
// No number of an entry is ever amended: where it is not that of the day, the
// entry was mistyped, or the history of the card lacks a change, and a person
// decides which.
package logbook

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strings"
	"time"

	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/language"
	"slipring/engine/lesson"
	"slipring/engine/proof"
)

// Rule is the name of all findings of this package that have none of their own,
// and RuleLater that of those that will go away by themselves.
const (
	Rule      = "logbook"
	RuleLater = "logbook-later"
)

const (
	dir      = "logbook"
	wordsDir = dir + "/words"
)

// Entry is one entry of the logbook. Its text and translations stand in
// Checked; it has no cells, so there is no result.
type Entry struct {
	proof.Checked
	Date string // YYYY-MM-DD
	Name string // what the file is called by behind the date

	Pictures []Picture // in the order of the text
}

var fileForm = regexp.MustCompile(`^(\d{4}-\d{2}-\d{2})-([a-z0-9]+(?:-[a-z0-9]+)*)$`)

// ReadAll reads all entries of a lessons folder, the oldest first. Languages are
// those of the house. A house may have no logbook.
func ReadAll(in *folder.Folder, known language.Set, languages []string) ([]Entry, []diag.Message) {
	r := reader{in: in, known: known}
	names, err := in.ReadDir(dir)
	if err != nil {
		if !errors.Is(err, fs.ErrNotExist) {
			r.say(dir, "cannot be read: "+reason(err), folder.Hint(err))
		}
		return nil, r.messages
	}
	for _, e := range names {
		if !e.IsDir() && path.Ext(e.Name()) == ".md" && !folder.EditorsOwn(e.Name()) {
			r.entry(e.Name(), languages)
		}
	}
	r.words(languages)
	for i := range r.entries {
		r.pictures(&r.entries[i])
	}
	return r.entries, diag.Sort(r.messages)
}

type reader struct {
	in       *folder.Folder
	known    language.Set
	entries  []Entry
	messages []diag.Message
}

func (r *reader) say(name, text, hint string) {
	r.messages = append(r.messages, diag.Message{File: r.in.Path(name), Rule: Rule, Text: text, Hint: hint})
}

func (r *reader) entry(file string, languages []string) {
	name := dir + "/" + file
	form := fileForm.FindStringSubmatch(strings.TrimSuffix(file, ".md"))
	if form == nil || len(form[2]) > 60 {
		r.say(name, fmt.Sprintf("%q cannot be the name of an entry", file), "write its day and a short name, such as 2026-11-14-leaf.md, in small letters, digits and dashes")
		return
	}
	if _, err := time.Parse(time.DateOnly, form[1]); err != nil {
		r.say(name, fmt.Sprintf("there is no day %s", form[1]), "name the file after the day of the work: year, month and day, such as 2026-11-14-leaf.md")
		return
	}
	if i := slices.IndexFunc(r.entries, func(had Entry) bool { return had.Name == form[2] }); i >= 0 {
		r.say(name, fmt.Sprintf("the entry of %s has the same name: %q", r.entries[i].Date, form[2]), "give one of the two files another name behind its date")
		return
	}
	source, ok := r.read(name)
	if !ok {
		return
	}
	l, messages := lesson.ParseEntry(r.in.Path(name), source)
	l.Slug = form[2]
	if len(languages) > 0 {
		l.Speak(r.known.Of(languages[0]))
	}
	r.messages = append(r.messages, messages...)
	r.entries = append(r.entries, Entry{Checked: proof.Checked{Lesson: l}, Date: form[1], Name: form[2]})
}

// words reads the translations of entries.
func (r *reader) words(languages []string) {
	tags, err := r.in.ReadDir(wordsDir)
	if err != nil {
		return // there are none
	}
	for _, tag := range tags {
		at := wordsDir + "/" + tag.Name()
		if i := slices.Index(languages, tag.Name()); i < 1 {
			r.say(at, fmt.Sprintf("%q is not one of the house's other languages", tag.Name()), "name the folder after a language of house.toml, or take it away")
			continue
		}
		files, _ := r.in.ReadDir(at)
		for _, f := range files {
			if folder.EditorsOwn(f.Name()) {
				continue
			}
			name := at + "/" + f.Name()
			i := slices.IndexFunc(r.entries, func(e Entry) bool { return e.file() == f.Name() })
			if i < 0 {
				r.say(name, "this translates no entry", "give it the name of its entry, with the date")
				continue
			}
			if source, ok := r.read(name); ok {
				e := &r.entries[i]
				t, messages := lesson.ParseEntryTranslation(r.in.Path(name), tag.Name(), source, e.Lesson)
				t.Speak(r.known.Of(tag.Name()))
				r.messages = append(r.messages, messages...)
				e.Translations = append(e.Translations, proof.Checked{Lesson: t})
			}
		}
	}
}

func (e Entry) file() string { return e.Date + "-" + e.Name + ".md" }

func (r *reader) read(name string) ([]byte, bool) {
	source, err := r.in.ReadFile(name, lesson.Largest)
	if err != nil {
		r.say(name, "cannot be read: "+reason(err), folder.Hint(err))
	}
	return source, err == nil
}

// reason leaves out the path that an error of the file system repeats.
func reason(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	return err.Error()
}

// Later warns of entries that are dated after a day, such as today.
func Later(entries []Entry, day string) (messages []diag.Message) {
	for _, e := range entries {
		if e.Date > day {
			messages = append(messages, diag.Message{File: e.Lesson.File, Level: diag.Warning, Rule: RuleLater,
				Text: fmt.Sprintf("this entry is of %s, a day that has not come", e.Date), Hint: "check the date in the file's name, and that of this computer"})
		}
	}
	return messages
}
