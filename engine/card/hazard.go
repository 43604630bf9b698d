package card

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/diag"
)

// Hazard is what the house says of a hazard, once for all lessons that declare
// it: [rotating], and below it word, hazard, harm, avoid and accident. What a
// caution adds in a lesson stands there.
//
// A safety message names the hazard, the harm that follows and how to avoid it
// (ANSI Z535.6, second hand). That is for who works at the machine. Visitors
// only look on; what they must do may stand in a key visitors, in a line.
type Hazard struct {
	Name   string // by which lessons declare it, such as "rotating"
	Signal string // one of Signals
	HazardWords
	In map[string]HazardWords // these in other languages
}

// HazardWords is what is said of a hazard in one language, as plain text.
type HazardWords struct {
	Hazard   string // what it is, in a few words
	Harm     string // what it does to a person
	Avoid    string // what to do, and not to do, wherever it is met
	Accident string // what to do first once it has hurt somebody
	Visitors string // one line for who only looks on; "" when the file has none
	Language string // such as "fr"

	Line, Column int // of its heading in the file
}

// Text gives all the words, one after the other.
func (w HazardWords) Text() string {
	return strings.TrimSuffix(strings.Join([]string{w.Hazard, w.Harm, w.Avoid, w.Accident, w.Visitors}, "\n"), "\n")
}

// mostVisitorWords is how long a line for visitors may be: it is read at a
// glance, by somebody who came for something else.
const mostVisitorWords = 10

// Glance is what visitors read of the hazard beside its sign: the house's line
// for them or, where it has none, the first sentence of how to avoid it.
func (w HazardWords) Glance() string {
	if w.Visitors != "" {
		return w.Visitors
	}
	for i, r := range w.Avoid {
		if end := i + 1; strings.ContainsRune(".!?", r) && (end == len(w.Avoid) || w.Avoid[end] == ' ') {
			return w.Avoid[:end]
		}
	}
	return w.Avoid
}

// Hazards are those of a house, in the order of its file.
type Hazards []Hazard

// Find gives the hazard of a name.
func (all Hazards) Find(name string) (Hazard, bool) {
	i := slices.IndexFunc(all, func(h Hazard) bool { return h.Name == name })
	if i < 0 {
		return Hazard{}, false
	}
	return all[i], true
}

// Say gives the words about a hazard in a language, or those in the house's
// first language for want of others.
func (h Hazard) Say(language string) HazardWords {
	if words, ok := h.In[language]; ok {
		return words
	}
	return h.HazardWords
}

// signals are the signal words of ANSI Z535.6 for what injures: danger, if it
// is not avoided, will kill or injure badly; warning could; caution could
// injure slightly.
var signals = [...]string{"danger", "warning", "caution"}

// Signals lists the signal words that a hazard may have, gravest first.
func Signals() []string { return signals[:] }

// hazard reads what the house says of one hazard.
func (f *file) hazard(s section, language string) Hazard {
	h := Hazard{Name: s.name, HazardWords: HazardWords{Language: language}}
	h.Line, h.Column = f.place(s.offset)
	places := h.places()
	places["word"] = &h.Signal
	f.words(f.visitors(s, &h.HazardWords), places, nil, nil)
	if i := slices.IndexFunc(s.fields, func(d field) bool { return d.key == "word" }); i >= 0 && strings.TrimSpace(h.Signal) != "" && !slices.Contains(signals[:], h.Signal) {
		f.add(s.fields[i].value.offset, "value", fmt.Sprintf("there is no signal word %q", h.Signal),
			hintNear(h.Signal, signals[:], "it is one of: "+strings.Join(signals[:], ", ")))
	}
	return h
}

// visitors reads the line for visitors, which a hazard may do without, and
// gives the section with the other keys.
func (f *file) visitors(s section, w *HazardWords) section {
	i := slices.IndexFunc(s.fields, func(d field) bool { return d.key == "visitors" })
	if i < 0 {
		return s
	}
	d := s.fields[i]
	if f.want(d, text) {
		w.Visitors = strings.TrimSpace(d.value.text)
		switch n := len(strings.Fields(w.Visitors)); {
		case n == 0:
			f.add(d.offset, "value", "visitors is empty", "write it between the quotes, or leave the key out: then visitors read the first sentence of avoid")
		case n > mostVisitorWords:
			f.add(d.value.offset, "value", fmt.Sprintf("the line for visitors has %d words, more than %d", n, mostVisitorWords),
				"say only what somebody who looks on must do; the rest stands in avoid")
		}
	}
	s.fields = slices.Delete(slices.Clone(s.fields), i, i+1)
	return s
}

func (w *HazardWords) places() map[string]*string {
	return map[string]*string{"hazard": &w.Hazard, "harm": &w.Harm, "avoid": &w.Avoid, "accident": &w.Accident}
}

// hazardIn reads what the house says of a hazard in another language.
func (f *file) hazardIn(h *House, s section, name, language string) {
	i := slices.IndexFunc(h.Hazards, func(had Hazard) bool { return had.Name == name })
	if !f.above(s, "the hazard", name, i >= 0) || !f.listed(h, s, language) {
		return
	}
	words := HazardWords{Language: language}
	words.Line, words.Column = f.place(s.offset)
	f.words(f.visitors(s, &words), words.places(), nil, nil)
	if h.Hazards[i].In == nil {
		h.Hazards[i].In = map[string]HazardWords{}
	}
	h.Hazards[i].In[language] = words
}

// lackingHazards warns of hazards that a language has no words for.
func (f *file) lackingHazards(h *House, language string) {
	for _, one := range h.Hazards {
		if words, ok := one.In[language]; ok && one.Visitors != "" && words.Visitors == "" {
			f.messages = append(f.messages, diag.Message{File: f.name, Line: words.Line, Column: words.Column, Level: diag.Warning, Rule: f.family + "-language",
				Text: fmt.Sprintf("the hazard %q has no line for visitors in %q, who read the first sentence of avoid", one.Name, language),
				Hint: fmt.Sprintf("below [%s.%s], write visitors = \"...\"", one.Name, language)})
		} else if !ok {
			f.messages = append(f.messages, lacking(f.name, one.Line, one.Column, f.family, fmt.Sprintf("the hazard %q", one.Name), language,
				fmt.Sprintf("below it, write [%s.%s] with hazard, harm, avoid and accident", one.Name, language)))
		}
	}
}
