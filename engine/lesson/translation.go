package lesson

import (
	"slices"

	"slipring/engine/diag"
	"slipring/engine/language"
)

const translationForm = "begin the file with:\n```lesson\ntitle = \"What this lesson is about, in its language\"\n```"

// translationKeys lists what the lesson block of a translation may hold.
var translationKeys = [...]string{"title", "know", "revised"}

// ParseTranslation reads a translation of a lesson into one of the languages of package language.
// It is written like a lesson, but has no cells, and its lesson block holds a
// title, what its readers will know, perhaps the date when the translation was revised, and exceptions for
// its own words. The file name is used in messages only.
//
// What it returns is never nil. It has its own text, title, language and
// offsets, and from base the folder, all other facts, and the cells, each
// placed in the text about where it stands in base.
//
// Package proof finds out whether both say the same.
func ParseTranslation(file, language string, source []byte, base *Lesson) (*Lesson, []diag.Message) {
	r := newReading(file, source)
	r.base = base
	r.all()
	l := r.lesson
	l.Language, l.Base = language, base
	l.Folder, l.Number, l.Slug = base.Folder, base.Number, base.Slug
	l.Facts.Minutes, l.Facts.Stop = base.Facts.Minutes, base.Facts.Stop
	l.Facts.Needs = slices.Clone(base.Facts.Needs)
	l.Facts.Hazards = slices.Clone(base.Facts.Hazards)
	l.Facts.Beside, l.Facts.Safety = base.Facts.Beside, base.Facts.Safety
	l.Facts.Data, l.Data = slices.Clone(base.Facts.Data), base.Data
	l.Facts.Captures, l.Captures = slices.Clone(base.Facts.Captures), base.Captures
	if l.Facts.Revised == "" {
		l.Facts.Revised = base.Facts.Revised
	}
	l.placeCells()
	return l, diag.Sort(r.messages)
}

// Tongue is the language of the prose.
func (l *Lesson) Tongue() *language.Language {
	if l.own != nil {
		return l.own
	}
	return language.Of(l.Language)
}

// Speak says in which language the prose is.
func (l *Lesson) Speak(of *language.Language) { l.Language, l.own = of.Tag, of }

// translates says whether a translation is read, and not a lesson.
func (r *reading) translates() bool { return r.base != nil }

func (r *reading) noun() string {
	if r.entry && !r.translates() {
		return "entry"
	}
	if r.translates() {
		return "translation"
	}
	return "lesson"
}

func (r *reading) form() string {
	if r.entry {
		return entryForm
	}
	if r.translates() {
		return translationForm
	}
	return lessonForm
}

func (r *reading) keys() []string {
	if r.entry && r.translates() {
		return entryTranslationKeys[:]
	}
	if r.entry {
		return entryKeys[:]
	}
	if r.translates() {
		return translationKeys[:]
	}
	return keys[:]
}
