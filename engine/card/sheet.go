package card

import (
	"fmt"
	"slices"

	"slipring/engine/diag"
	"slipring/engine/machine"
)

// Sheet is the file of a machine card: the card, its words in other
// languages, and where its constants stand.
//
// What its title is in French stands below [fr], as title = "...". The notes
// of the constants of a part stand below [PART.fr], as KEY = "...".
type Sheet struct {
	machine.Card
	File string

	titles map[string]string            // by language
	notes  map[string]map[string]string // by language, of PART.KEY
	at     map[string]int               // of PART.KEY
	source []byte
}

// TitleIn gives the card's title in a language; false where it is in that of
// the file, for want of words.
func (s Sheet) TitleIn(language string) (title string, translated bool) {
	if words, ok := s.titles[language]; ok {
		return words, true
	}
	return s.Title, false
}

// NoteIn gives the note of a constant in a language; false where it is in that
// of the file, for want of words.
func (s Sheet) NoteIn(language string, c machine.Constant) (note string, translated bool) {
	if words, ok := s.notes[language][c.Name()]; ok {
		return words, true
	}
	return c.Note, false
}

// Place says where the constant called PART.KEY stands in the file, or its
// part, or the first line.
func (s Sheet) Place(part, key string) (line, column int) {
	offset, ok := s.at[part+"."+key]
	if !ok {
		offset = s.at[part]
	}
	return diag.Place(s.source, offset)
}

// top says where a key above all headings stands.
func (s Sheet) top(key string) (line, column int) { return diag.Place(s.source, s.at["."+key]) }

// translation reads the words of the card, or of one part, in a language.
func (r *reader) translation(s section, sheet *Sheet) {
	part, language, _ := r.divide(s)
	var keys, noted []string
	what := fmt.Sprintf("the card in %q", language)
	if part == "" {
		keys = []string{"title"}
	} else {
		what = fmt.Sprintf("the %s in %q", part, language)
		if i := slices.IndexFunc(r.card.Parts, func(p machine.Part) bool { return p.Name == part }); i >= 0 {
			list, _ := machine.Describe(r.card.Kind(part))
			for _, d := range list {
				keys = append(keys, d.Key)
				if r.card.Parts[i].Given[d.Key].Note != "" {
					noted = append(noted, d.Key)
				}
			}
		}
		if !r.above(s, "the part", part, len(keys) > 0) {
			return
		}
	}
	words := map[string]*string{}
	for _, k := range keys {
		words[k] = new(string)
	}
	got := r.fill(s, what, keys, func(key string) any { return words[key] })
	for _, k := range keys {
		d, ok := got[k]
		switch {
		case !ok:
		case part == "":
			if sheet.titles == nil {
				sheet.titles = map[string]string{}
			}
			sheet.titles[language] = *words[k]
		case !slices.Contains(noted, k):
			r.add(d.offset, "label", fmt.Sprintf("%s of the %s has no note above this translation of one", k, part), `write note = "..." there, or leave this out`)
		default:
			if sheet.notes == nil {
				sheet.notes = map[string]map[string]string{}
			}
			if sheet.notes[language] == nil {
				sheet.notes[language] = map[string]string{}
			}
			sheet.notes[language][part+"."+k] = *words[k]
		}
	}
}

// NotesIn gives the note of a constant in each other language that has it.
func (s Sheet) NotesIn(c machine.Constant) map[string]string {
	all := map[string]string{}
	for language, notes := range s.notes {
		if note, ok := notes[c.Name()]; ok {
			all[language] = note
		}
	}
	return all
}

// Lacks reports words of the card that other languages of the house have not
// got.
func (s Sheet) Lacks(languages []string) []diag.Message {
	var messages []diag.Message
	for _, language := range languages {
		if _, ok := s.TitleIn(language); !ok {
			messages = append(messages, lacking(s.File, 1, 1, "card", "the card's title", language,
				fmt.Sprintf("write [%s] and below it title = \"...\"", language)))
		}
		for _, c := range s.Constants() {
			if _, ok := s.NoteIn(language, c); !ok && c.Note != "" {
				line, column := s.Place(c.Part, c.Key)
				messages = append(messages, lacking(s.File, line, column, "card", fmt.Sprintf("the note on %s of the %s", c.Key, c.Part), language,
					fmt.Sprintf("write [%s.%s] and below it %s = \"...\"", c.Part, language, c.Key)))
			}
		}
	}
	return messages
}
