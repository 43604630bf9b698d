package words

import (
	"fmt"
	"html/template"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/feature/plural"
)

// text is one text, in one form or in several.
type text struct {
	forms map[plural.Form][]part // plural.Other is always there
}

// kinds of part
type kind int

const (
	literal kind = iota
	place        // {name}
	mark         // <name> or </name>
)

// part is a piece of a text: words, a place to fill or a mark.
type part struct {
	kind  kind
	name  string // of a place or a mark
	end   bool   // the mark ends
	value string // words, or what fills a place or a mark
	safe  bool   // value is HTML
}

var partForm = regexp.MustCompile(`\{([a-z][a-z0-9-]*)\}|<(/?)([a-z][a-z0-9-]*)>`)

// split takes a text apart.
func split(s string) ([]part, error) {
	var parts []part
	words := func(s string) error {
		if strings.ContainsAny(s, "{}<>") {
			return fmt.Errorf("%q has a brace or an angle bracket that belongs to no {place} or <mark>", s)
		}
		if s != "" {
			parts = append(parts, part{value: s})
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
			parts = append(parts, part{kind: place, name: s[m[2]:m[3]]})
			continue
		}
		p := part{kind: mark, name: s[m[6]:m[7]], end: m[4] < m[5]}
		switch {
		case !p.end && open == "":
			open = p.name
		case p.end && open == p.name:
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

// Mark is what stands around the words that a text marks.
type Mark struct{ Open, Close template.HTML }

// Tag makes a Mark of an element, with pairs of attribute and value.
func Tag(element string, attributes ...string) Mark {
	var b strings.Builder
	b.WriteString("<" + element)
	for i := 0; i+1 < len(attributes); i += 2 {
		b.WriteString(" " + attributes[i])
		if attributes[i+1] != "" {
			b.WriteString(`="` + template.HTMLEscapeString(attributes[i+1]) + `"`)
		}
	}
	b.WriteByte('>')
	return Mark{template.HTML(b.String()), template.HTML("</" + element + ">")}
}

// parts gives the parts of a text with their places filled.
func (w *Words) parts(key string, fill []any) []part {
	t, ok := w.texts[key]
	if !ok {
		panic(fmt.Sprintf("words: there is no text %q in %q", key, w.tag))
	}
	if len(fill)%2 != 0 {
		panic(fmt.Sprintf("words: what fills %q does not come in pairs", key))
	}
	form := plural.Other
	values := map[string]any{}
	for i := 0; i < len(fill); i += 2 {
		name, ok := fill[i].(string)
		if !ok {
			panic(fmt.Sprintf("words: %v is no name of a place in %q", fill[i], key))
		}
		values[name] = fill[i+1]
		if n, ok := fill[i+1].(int); ok && name == "n" && len(t.forms) > 1 {
			form = w.form(n)
		}
	}
	source, ok := t.forms[form]
	if !ok {
		source = t.forms[plural.Other]
	}
	used := map[string]bool{}
	out := make([]part, 0, len(source))
	for _, p := range source {
		if p.kind != literal {
			value, given := values[p.name]
			if !given && p.kind == place {
				panic(fmt.Sprintf("words: nothing fills {%s} in %q", p.name, key))
			}
			used[p.name] = true
			p = p.filled(key, value)
		}
		out = append(out, p)
	}
	for name := range values {
		if !used[name] && !t.has(name) && (name != "n" || len(t.forms) == 1) {
			panic(fmt.Sprintf("words: the text %q has no place or mark %q", key, name))
		}
	}
	return out
}

func (p part) filled(key string, value any) part {
	switch v := value.(type) {
	case nil:
	case string:
		p.value = v
	case int:
		p.value = strconv.Itoa(v)
	case template.HTML:
		p.value, p.safe = string(v), true
	case Mark:
		p.value, p.safe = string(v.Open), true
		if p.end {
			p.value = string(v.Close)
		}
	default:
		panic(fmt.Sprintf("words: a %T cannot fill {%s} in %q", value, p.name, key))
	}
	if _, marks := value.(Mark); value != nil && marks != (p.kind == mark) {
		panic(fmt.Sprintf("words: a %T cannot fill %q in %q", value, p.name, key))
	}
	return p
}

// has says whether any form of the text has a place or mark.
func (t text) has(name string) bool {
	names := t.names()
	return slices.Contains(names, "{"+name+"}") || slices.Contains(names, "<"+name+">")
}

// label gives a place as {name}, a mark as <name>, and words as "".
func (p part) label() string {
	switch p.kind {
	case place:
		return "{" + p.name + "}"
	case mark:
		return "<" + p.name + ">"
	}
	return ""
}

// names lists the places and marks of all forms, sorted.
func (t text) names() []string {
	found := map[string]bool{}
	for _, parts := range t.forms {
		for _, p := range parts {
			if p.kind != literal {
				found[p.label()] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(found))
}
