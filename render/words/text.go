package words

import (
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"golang.org/x/text/feature/plural"

	"slipring/engine/language"
)

// part is a piece of a text with what fills it.
type part struct {
	language.Part
	value string // words, or what fills a place or a mark
	safe  bool   // value is HTML
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
	t, in, ok := w.language.Text(key)
	if !ok {
		panic(fmt.Sprintf("words: there is no text %q in %q", key, w.Language()))
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
		if n, ok := fill[i+1].(int); ok && name == "n" {
			form = in.FormOf(n)
		}
	}
	source, ok := t.Forms[form]
	if !ok {
		source = t.Forms[plural.Other]
	}
	used := map[string]bool{}
	out := make([]part, 0, len(source))
	for _, of := range source {
		p := part{Part: of, value: of.Words}
		if p.Kind != language.Literal {
			value, given := values[p.Name]
			if !given && p.Kind == language.Place {
				panic(fmt.Sprintf("words: nothing fills {%s} in %q", p.Name, key))
			}
			used[p.Name] = true
			p = p.filled(key, value)
		}
		out = append(out, p)
	}
	for name := range values {
		if !used[name] && !t.Has(name) && !(name == "n" && t.Count) {
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
		if p.End {
			p.value = string(v.Close)
		}
	default:
		panic(fmt.Sprintf("words: a %T cannot fill {%s} in %q", value, p.Name, key))
	}
	if _, marks := value.(Mark); value != nil && marks != (p.Kind == language.Mark) {
		panic(fmt.Sprintf("words: a %T cannot fill %q in %q", value, p.Name, key))
	}
	return p
}
