package language

import (
	"errors"
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"slipring/engine/diag"
)

// rule is the name of all findings in the file of a language.
const rule = "language"

// file is a file of a language while it is read.
type file struct {
	name     string
	source   []byte
	offsets  map[string]int // of keys, such as course.minutes.one and language.units.words[3]
	messages []diag.Message
}

// mostFindings is how many findings about one file are told; more say nothing new.
const mostFindings = 100

// add notes a finding at a key, "" for the whole file.
func (f *file) add(key, text, hint string) {
	if len(f.messages) >= mostFindings {
		return
	}
	m := diag.Message{File: f.name, Rule: rule, Text: text, Hint: hint}
	if at, ok := f.offsets[key]; ok {
		m.Line, m.Column = diag.Place(f.source, at)
	}
	f.messages = append(f.messages, m)
}

// parse reads TOML into values, and notes where each key stands.
func (f *file) parse() (values map[string]any, ok bool) {
	fail := func(at int, text, hint string) {
		line, column := diag.Place(f.source, at)
		f.messages = append(f.messages, diag.Message{File: f.name, Line: line, Column: column, Rule: rule, Text: text, Hint: hint})
	}
	if text, hint := diag.NotText(f.source); text != "" {
		f.messages = append(f.messages, diag.Message{File: f.name, Rule: rule, Text: text, Hint: hint})
		return nil, false
	}
	if at, what := diag.Hidden(f.source); at >= 0 {
		fail(at, what, "take it out, or write it as an escape where it belongs, such as \"\\u202f\"")
		return nil, false
	}
	var p unstable.Parser
	p.Reset(f.source)
	f.offsets = map[string]int{}
	table := ""
	for p.NextExpression() {
		e := p.Expression()
		switch e.Kind {
		case unstable.KeyValue:
			f.place(table, e)
		case unstable.Table, unstable.ArrayTable:
			table = keyOf(e, func(key string, at int) { f.offsets[key] = at }) + "."
		}
	}
	err := p.Error()
	if err == nil {
		err = toml.Unmarshal(f.source, &values) // finds what stands twice
	}
	if err == nil {
		return values, true
	}
	at := len(f.source)
	var syntax *unstable.ParserError
	var decode *toml.DecodeError
	switch {
	case errors.As(err, &syntax) && len(syntax.Highlight) > 0:
		at = int(p.Range(syntax.Highlight).Offset)
	case errors.As(err, &decode):
		at = offsetOf(f.source, decode)
	}
	text, hint := diag.TOMLSlip(f.source, at)
	if text == "" {
		text, hint = "this is not TOML: "+strings.TrimPrefix(err.Error(), "toml: "), `a text is written name = "words", below the heading of its section`
	}
	fail(at, text, hint)
	return nil, false
}

func offsetOf(source []byte, err *toml.DecodeError) int {
	row, column := err.Position()
	at := 0
	for range row - 1 {
		at += strings.IndexByte(string(source[at:]), '\n') + 1
	}
	return at + max(column-1, 0)
}

// place notes where a key stands, and those within its value.
func (f *file) place(table string, e *unstable.Node) {
	key := keyOf(e, func(key string, at int) { f.offsets[table+key] = at })
	f.within(table+key, e.Value())
}

func (f *file) within(key string, value *unstable.Node) {
	switch value.Kind {
	case unstable.InlineTable:
		for it := value.Children(); it.Next(); {
			if c := it.Node(); c.Kind == unstable.KeyValue {
				f.place(key+".", c)
			}
		}
	case unstable.Array:
		i := 0
		for it := value.Children(); it.Next(); {
			c := it.Node()
			if c.Kind == unstable.Comment {
				continue
			}
			item := fmt.Sprintf("%s[%d]", key, i)
			f.offsets[item] = f.offsets[key]
			f.within(item, c)
			if c.Kind == unstable.InlineTable {
				for keys := c.Children(); keys.Next(); {
					if k := keys.Node(); k.Kind == unstable.KeyValue {
						keyOf(k, func(_ string, at int) { f.offsets[item] = at })
						break
					}
				}
			} else if c.Raw.Length > 0 {
				f.offsets[item] = int(c.Raw.Offset)
			}
			i++
		}
	}
}

// keyOf gives a key with its dots, and tells where its first part stands.
func keyOf(e *unstable.Node, tell func(key string, at int)) string {
	var parts []string
	at := 0
	for it := e.Key(); it.Next(); {
		if len(parts) == 0 {
			at = int(it.Node().Raw.Offset)
		}
		parts = append(parts, string(it.Node().Data))
	}
	key := strings.Join(parts, ".")
	tell(key, at)
	return key
}
