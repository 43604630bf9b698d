package card

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"

	"slipring/engine/diag"
)

// file is a TOML file as plain values that know where they stand. Sections
// come in file order; the first, without a name, holds the keys above them.
type file struct {
	format
	name     string
	source   []byte
	sections []section
	messages []diag.Message
	full     bool // that there is too much somewhere is said
}

type section struct {
	name   string
	offset int
	fields []field
}

type field struct {
	key    string
	offset int // of the key
	value  value
	end    int // behind the value
}

type kind int

const (
	text kind = iota
	number
	truth
	date
	table
	list
	other
)

func (k kind) String() string {
	return [...]string{"text in quotes", "a number", "true or false", "a date", "a table in braces", "a list", "a time"}[k]
}

type value struct {
	kind   kind
	offset int
	text   string // of text and dates
	number float64
	truth  bool
	fields []field // of a table
	items  []value // of a list
}

// format says what sort of file is read.
type format struct {
	family string // what the names of its rules begin with
	form   string // a hint for who wrote no TOML
	nested bool   // headings may have one dot, before a language
	topped bool   // a heading may be a language alone
}

// What one file may hold. Each key is compared with those before it, and each
// entry may be looked for by others.
const (
	mostHeadings = 2000
	mostKeys     = 500 // below one heading, or in one pair of braces
	mostItems    = 500 // of one list
	mostFindings = 100 // about one file; more say nothing new
)

// add notes a finding at a byte offset.
func (f *file) add(offset int, rule, text, hint string) {
	if len(f.messages) >= mostFindings {
		return
	}
	line, column := diag.Place(f.source, offset)
	f.messages = append(f.messages, diag.Message{
		File: f.name, Line: line, Column: column, Rule: f.family + "-" + rule, Text: text, Hint: hint})
}

// overfull says, once, that more stands together than is read.
func (f *file) overfull(offset int, what string, most int) {
	if !f.full {
		f.full = true
		f.add(offset, "limit", fmt.Sprintf("more than %d %s stand together here", most, what), "remove those that are not needed")
	}
}

// parse reads TOML. A false ok means that the syntax is wrong, and the one
// message says where.
func parse(name string, source []byte, is format) (f *file, ok bool) {
	source = bytes.TrimPrefix(source, []byte("\ufeff")) // some editors put it there; TOML 1.0 does not have it
	f = &file{format: is, name: name, source: source, sections: []section{{}}}
	if !utf8.Valid(source) {
		bad := 0
		for bad < len(source) {
			r, n := utf8.DecodeRune(source[bad:])
			if r == utf8.RuneError && n == 1 {
				break
			}
			bad += n
		}
		f.add(bad, "syntax", "the file is not UTF-8 text", "save it as UTF-8 in your editor")
		return f, false
	}
	var p unstable.Parser
	p.Reset(source)
	for p.NextExpression() {
		e := p.Expression()
		if e.Kind != unstable.KeyValue && len(f.sections) > mostHeadings {
			_, offset, _ := keyOf(&p, e)
			f.messages = nil // what would follow from the rest
			f.add(offset, "limit", fmt.Sprintf("the file has more than %d headings", mostHeadings), "remove those that no lesson needs")
			return f, false
		}
		switch e.Kind {
		case unstable.KeyValue:
			f.pair(&p, e, &f.sections[len(f.sections)-1].fields)
		case unstable.Table, unstable.ArrayTable:
			f.head(&p, e)
		}
	}
	if err := p.Error(); err != nil {
		offset := len(source)
		var at *unstable.ParserError
		if errors.As(err, &at) && len(at.Highlight) > 0 {
			offset = int(p.Range(at.Highlight).Offset)
		}
		f.messages = nil
		text, hint := diag.TOMLSlip(source, offset)
		if text == "" {
			text, hint = fmt.Sprintf("this is not TOML: %s", err), f.form
		}
		f.add(offset, "syntax", text, hint)
		return f, false
	}
	return f, true
}

func (f *file) head(p *unstable.Parser, e *unstable.Node) {
	name, offset, dots := keyOf(p, e)
	if dots && (!f.nested || strings.Count(name, ".") > 1) || e.Kind == unstable.ArrayTable {
		f.add(offset, "syntax", fmt.Sprintf("the heading %q is not the name of one %s", name, f.part()), f.headHint())
	}
	for _, s := range f.sections[1:] {
		if s.name == name {
			line, _ := diag.Place(f.source, s.offset)
			f.add(offset, "duplicate", fmt.Sprintf("the heading [%s] stands twice, first on line %d", name, line),
				"join the two")
		}
	}
	f.sections = append(f.sections, section{name: name, offset: offset})
}

// part is what stands under a heading.
func (f *file) part() string {
	if f.family == "card" {
		return "part"
	}
	return "entry"
}

func (f *file) headHint() string {
	switch {
	case f.family == "card":
		return "write it as [PART] or, for its notes in another language, [PART.fr], with single brackets"
	case f.family == "house":
		return "write it as a language, such as [fr], or as a hazard, such as [rotating] or [rotating.fr], with single brackets"
	case f.nested:
		return "write it as [LABEL] or, for another language, [LABEL.fr], with single brackets"
	}
	return "write it as [LABEL], with single brackets and no dots"
}

func (f *file) pair(p *unstable.Parser, e *unstable.Node, into *[]field) {
	key, offset, dots := keyOf(p, e)
	if dots {
		f.add(offset, "syntax", fmt.Sprintf("the key %q has a dot in it", key),
			fmt.Sprintf("write the %s as a heading in brackets, and the key below it", f.part()))
		return
	}
	for _, had := range *into {
		if had.key == key {
			line, _ := diag.Place(f.source, had.offset)
			f.add(offset, "duplicate", fmt.Sprintf("the key %q stands twice, first on line %d", key, line),
				"remove one of the two")
			return
		}
	}
	if len(*into) == mostKeys {
		f.overfull(offset, "keys", mostKeys)
		return
	}
	*into = append(*into, field{key, offset, f.value(p, e.Value(), offset), int(e.Raw.Offset + e.Raw.Length)})
}

func keyOf(p *unstable.Parser, e *unstable.Node) (name string, offset int, dots bool) {
	var names []string
	it := e.Key()
	for it.Next() {
		n := it.Node()
		if len(names) == 0 {
			offset = int(n.Raw.Offset)
		}
		names = append(names, string(n.Data))
	}
	return strings.Join(names, "."), offset, len(names) > 1
}

func (f *file) value(p *unstable.Parser, n *unstable.Node, key int) value {
	v := value{offset: key, kind: other}
	if n.Raw.Length > 0 {
		v.offset = int(n.Raw.Offset)
	}
	word := strings.ReplaceAll(string(n.Data), "_", "")
	switch n.Kind {
	case unstable.String:
		v.kind, v.text = text, string(n.Data)
		// The file holds no such character, but an escape can make one.
		if at, what := diag.Hidden(n.Data); at >= 0 {
			f.add(v.offset, "syntax", strings.TrimSuffix(what, ", stands here")+", is written here as an escape", "take the escape out, and write what the page is to show")
		}
	case unstable.Bool:
		v.kind, v.truth = truth, word == "true"
	case unstable.Integer:
		v.kind = number
		i, err := strconv.ParseInt(word, 0, 64)
		if err != nil {
			f.add(v.offset, "syntax", fmt.Sprintf("the number %s is too large", n.Data), "write it with a decimal point")
		}
		v.number = float64(i)
	case unstable.Float:
		v.kind = number
		x, err := strconv.ParseFloat(word, 64)
		if err != nil && !math.IsInf(x, 0) {
			f.add(v.offset, "syntax", fmt.Sprintf("%q is not a number", n.Data), "write it with a decimal point")
		}
		v.number = x
	case unstable.LocalDate:
		v.kind, v.text = date, string(n.Data)
		if _, err := time.Parse(time.DateOnly, v.text); err != nil {
			f.add(v.offset, "syntax", fmt.Sprintf("there is no date %s", v.text), "write it as year-month-day, such as 2026-05-12")
		}
	case unstable.InlineTable:
		v.kind = table
		it := n.Children()
		for it.Next() {
			if c := it.Node(); c.Kind == unstable.KeyValue {
				f.pair(p, c, &v.fields)
			}
		}
	case unstable.Array:
		v.kind = list
		it := n.Children()
		for it.Next() {
			if c := it.Node(); c.Kind != unstable.Comment {
				if len(v.items) == mostItems {
					f.overfull(v.offset, "items", mostItems)
					break
				}
				v.items = append(v.items, f.value(p, c, v.offset))
			}
		}
	}
	return v
}
