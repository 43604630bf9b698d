package language

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/text/feature/plural"
)

// Text is one text of the pages, in one form or in several. The form plural.Other is
// always there.
type Text struct {
	Forms map[plural.Form][]Part
	Count bool // it is asked for with what is counted, also where the language has one form
}

// Kind is what a part of a text is.
type Kind int

const (
	Literal Kind = iota
	Place        // {name}
	Mark         // <name> or </name>
)

// Part is a piece of a text: words, a place to fill or a mark.
type Part struct {
	Kind  Kind
	Name  string // of a place or a mark
	End   bool   // the mark ends
	Words string
}

// Counted says whether the text has a form for each plural category.
func (t Text) Counted() bool { return len(t.Forms) > 1 }

// Names lists the places and marks of all forms, sorted: {name} and <name>.
func (t Text) Names() []string {
	found := map[string]bool{}
	for _, parts := range t.Forms {
		for _, p := range parts {
			if p.Kind != Literal {
				found[p.label()] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(found))
}

// Has says whether any form of the text has a place or mark of a name.
func (t Text) Has(name string) bool {
	names := t.Names()
	return slices.Contains(names, "{"+name+"}") || slices.Contains(names, "<"+name+">")
}

// String gives the form plural.Other as it stands in the file.
func (t Text) String() string {
	var b strings.Builder
	for _, p := range t.Forms[plural.Other] {
		if p.Kind == Mark && p.End {
			b.WriteString("</" + p.Name + ">")
			continue
		}
		b.WriteString(p.label() + p.Words)
	}
	return b.String()
}

// label gives a place as {name}, a mark as <name>, and words as "".
func (p Part) label() string {
	switch p.Kind {
	case Place:
		return "{" + p.Name + "}"
	case Mark:
		return "<" + p.Name + ">"
	}
	return ""
}

var partForm = regexp.MustCompile(`\{([a-z][a-z0-9-]*)\}|<(/?)([a-z][a-z0-9-]*)>`)

// split takes a text apart.
func split(s string) ([]Part, error) {
	var parts []Part
	words := func(s string) error {
		if strings.ContainsAny(s, "{}<>") {
			return fmt.Errorf("%q has a brace or an angle bracket that belongs to no {place} or <mark>", s)
		}
		if s != "" {
			parts = append(parts, Part{Words: s})
		}
		return nil
	}
	done := 0
	open := ""
	for _, m := range partForm.FindAllStringSubmatchIndex(s, -1) {
		if err := words(s[done:m[0]]); err != nil {
			return nil, err
		}
		done = m[1]
		if m[2] >= 0 {
			parts = append(parts, Part{Kind: Place, Name: s[m[2]:m[3]]})
			continue
		}
		p := Part{Kind: Mark, Name: s[m[6]:m[7]], End: m[4] < m[5]}
		switch {
		case !p.End && open == "":
			open = p.Name
		case p.End && open == p.Name:
			open = ""
		default:
			return nil, fmt.Errorf("the marks of %q do not fit each other", s)
		}
		parts = append(parts, p)
	}
	if open != "" {
		return nil, fmt.Errorf("the mark <%s> of %q is never closed", open, s)
	}
	return parts, words(s[done:])
}
