package lesson

import (
	"errors"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"slipring/engine/diag"
)

// tomlTable is one table of a block's TOML: the keys above the first heading,
// with an empty name, or those below a heading. Offsets count in the block.
type tomlTable struct {
	name string
	at   int
	list bool // [[name]] and not [name]
	keys []tomlKey
}

// tomlKey is one key with its value.
type tomlKey struct {
	name string
	at   int // of the key
	text string
	word bool // the value is text; text then holds it, with its escapes resolved

	// The value is a list, of these entries.
	isList bool
	list   []tomlKey

	// Where the value stands. start and end are those of what stands between
	// the quotation marks; escaped says that text differs from these bytes.
	valueAt    int
	start, end int
	escaped    bool
}

// hiddenIn says what nobody could see of a text that TOML resolved, "" for
// nothing. The file itself holds no such character, but an escape can make one.
func hiddenIn(text string) string {
	if at, what := diag.Hidden([]byte(text)); at >= 0 {
		return strings.TrimSuffix(what, standsHere) + ", is written here as an escape"
	}
	return ""
}

// standsHere ends the words of diag.Hidden.
const standsHere = ", stands here"

const hiddenHint = "take the escape out, and write what the page is to show"

// readTOML reads the tables of a block in the order of the file. When it is no
// TOML, problem says why, and where.
func readTOML(source []byte) (tables []tomlTable, problem string, at int) {
	var values map[string]any
	if problem, at = decode(source, &values); problem != "" {
		return nil, problem, at
	}
	tables = []tomlTable{{}}
	var p unstable.Parser
	p.Reset(source)
	for p.NextExpression() {
		e := p.Expression()
		switch e.Kind {
		case unstable.KeyValue:
			last := &tables[len(tables)-1]
			last.keys = append(last.keys, readKey(source, e))
		case unstable.Table, unstable.ArrayTable:
			name, at := dotted(e)
			tables = append(tables, tomlTable{name: name, at: at, list: e.Kind == unstable.ArrayTable})
		}
	}
	return tables, "", 0
}

// decode finds what is no TOML, and keys that stand twice.
func decode(source []byte, values *map[string]any) (problem string, offset int) {
	err := toml.Unmarshal(source, values)
	if err == nil {
		return "", 0
	}
	var at *toml.DecodeError
	if errors.As(err, &at) {
		row, column := at.Position()
		for i, start := range lineStarts(source) {
			if i == row-1 {
				offset = start + max(column-1, 0)
			}
		}
	}
	return strings.TrimPrefix(err.Error(), "toml: "), offset
}

func dotted(e *unstable.Node) (name string, at int) {
	var parts []string
	for it := e.Key(); it.Next(); {
		if len(parts) == 0 {
			at = int(it.Node().Raw.Offset)
		}
		parts = append(parts, string(it.Node().Data))
	}
	return strings.Join(parts, "."), at
}

func readKey(source []byte, e *unstable.Node) tomlKey {
	var k tomlKey
	k.name, k.at = dotted(e)
	value := e.Value()
	k.valueAt = k.at
	if value.Kind == unstable.Array {
		k.isList = true
		for children := value.Children(); children.Next(); {
			if entry := children.Node(); entry.Kind == unstable.String {
				k.list = append(k.list, tomlKey{name: k.name, at: k.at, text: string(entry.Data), word: true, valueAt: int(entry.Raw.Offset)})
			} else if entry.Kind != unstable.Comment {
				k.list = append(k.list, tomlKey{name: k.name, at: k.at, valueAt: k.at})
			}
		}
		return k
	}
	if value.Raw.Length == 0 {
		return k
	}
	k.valueAt = int(value.Raw.Offset)
	if value.Kind != unstable.String {
		return k
	}
	k.word, k.text = true, string(value.Data)
	raw := string(source[k.valueAt : k.valueAt+int(value.Raw.Length)])
	k.start, k.end = k.valueAt+1, k.valueAt+len(raw)-1
	if strings.HasPrefix(raw, `"""`) || strings.HasPrefix(raw, `'''`) {
		k.start, k.end = k.start+2, k.end-2
		if source[k.start] == '\n' {
			k.start++ // which TOML leaves out
		}
	}
	k.escaped = k.text != string(source[k.start:k.end])
	return k
}
