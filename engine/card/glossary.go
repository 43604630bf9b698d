package card

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"slipring/engine/diag"
)

// Glossary is the file of the words that lessons explain.
type Glossary struct {
	File string
	List []Term // in the order of the file
}

// Term is one word of the trade. Lessons point to it as [words][term.LABEL].
type Term struct {
	Label string
	Wording
	See []string           // labels of other terms
	In  map[string]Wording // by language, such as "fr"

	Line, Column int // of its label in the file
}

// Wording is a term in one language. Meaning is Markdown of one paragraph.
type Wording struct {
	Word    string
	Meaning string

	Line, Column int // of the meaning in the file
}

// Find gives the term of a label.
func (g Glossary) Find(label string) (Term, bool) {
	i := slices.IndexFunc(g.List, func(x Term) bool { return x.Label == label })
	if i < 0 {
		return Term{}, false
	}
	return g.List[i], true
}

// Say gives a term in a language, or in that of the file when it has none in
// that one.
func (t Term) Say(language string) Wording {
	if w, ok := t.In[language]; ok {
		return w
	}
	return t.Wording
}

var (
	termKeys    = [...]string{"word", "meaning", "see"}
	wordingKeys = [...]string{"word", "meaning"}

	languageForm = regexp.MustCompile(`^[a-z]{2,3}$`)
)

// ReadGlossary reads the glossary, usually glossary.toml. It may be used only
// when none of the messages is an error.
func ReadGlossary(name string, source []byte) (Glossary, []diag.Message) {
	all := Glossary{File: name}
	f, ok := parse(name, source, format{family: "glossary", nested: true, form: `a term is written [LABEL] and below it word = "..." and meaning = "..."`})
	if !ok {
		return all, f.messages
	}
	f.labelled("the term", func(s section) { all.List = append(all.List, f.term(s)) }, func(label string) int {
		return slices.IndexFunc(all.List, func(t Term) bool { return t.Label == label })
	}, func(s section, i int, what, language string) {
		if all.List[i].In == nil {
			all.List[i].In = map[string]Wording{}
		}
		all.List[i].In[language] = f.wording(s, what, wordingKeys[:], nil)
	})
	f.see(all)
	return all, diag.Sort(f.messages)
}

func (f *file) term(s section) Term {
	t := Term{Label: s.name}
	t.Line, t.Column = f.place(s.offset)
	f.label(s, s.name)
	t.Wording = f.wording(s, fmt.Sprintf("the term %q", s.name), termKeys[:], &t.See)
	return t
}

func (f *file) wording(s section, what string, keys []string, see *[]string) Wording {
	var w Wording
	places := map[string]any{"word": &w.Word, "meaning": &w.Meaning, "see": see}
	got := f.fill(s, what, keys, func(key string) any { return places[key] })
	f.lacks(s, what, got, "word", "meaning")
	w.Line, w.Column = f.place(s.offset)
	if d, ok := got["meaning"]; ok {
		w.Line, w.Column = f.place(d.value.offset)
		if strings.Contains(w.Meaning, "\n\n") {
			f.add(d.value.offset, "value", fmt.Sprintf("the meaning of %q has more than one paragraph", s.name), "say it in one; the lesson has room for the rest")
		}
	}
	return w
}

// see checks that terms point to each other.
func (f *file) see(all Glossary) {
	var known []string
	for _, t := range all.List {
		known = append(known, t.Label)
	}
	for _, s := range f.sections[1:] {
		for _, d := range s.fields {
			if d.key != "see" || d.value.kind != list {
				continue
			}
			seen := map[string]bool{}
			for _, item := range d.value.items {
				switch {
				case item.kind != text:
				case item.text == s.name:
					f.add(item.offset, "value", fmt.Sprintf("the term %q points to itself", s.name), "leave it out")
				case seen[item.text]:
					f.add(item.offset, "value", fmt.Sprintf("%q stands twice in see", item.text), "leave one out")
				case !slices.Contains(known, item.text):
					f.add(item.offset, "value", fmt.Sprintf("there is no term %q to see", item.text), hintNear(item.text, known, "write it first, or leave it out"))
				}
				seen[item.text] = true
			}
		}
	}
}
