package card

import (
	"bytes"
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/machine"
)

// Fitted is what a fit makes of a constant of a card, in the unit that the card
// gives it in.
type Fitted struct {
	Constant           string // PART.KEY
	Value, Uncertainty float64
}

// Amend gives the file of the card with constants as they were fitted on a day:
// each with its value, its uncertainty, that it is fitted, and the day, and without its
// note, which was about the value that was and belongs into the history with it; how
// their doubts go together, in the place of what the file said of that; and the
// card revised on that day. All else stays as it was, byte for byte. The card
// must have been read without errors, and have these constants.
func (s Sheet) Amend(list []Fitted, together machine.Together, day string) []byte {
	mark := s.source[:len(s.source)-len(bytes.TrimPrefix(s.source, []byte("\ufeff")))]
	f, _ := parse(s.File, s.source, cardFormat())
	e := edits{source: f.source}
	for _, d := range f.sections[0].fields {
		if d.key == "revised" {
			e.replace(d, day)
		}
	}
	for _, fit := range list {
		part, key, _ := strings.Cut(fit.Constant, ".")
		at := slices.IndexFunc(f.sections, func(s section) bool { return s.name == part })
		line := f.sections[at].field(key)
		had := line.value.section()
		value, from := had.field("value"), had.field("from")
		e.replace(value, decimal(fit.Value))
		e.put(had, "uncertainty", decimal(fit.Uncertainty), value)
		e.replace(from, strconv.Quote(string(machine.Fitted)))
		e.put(had, "date", day, from)
		e.drop(had, "note")
		for _, s := range f.sections {
			if of, _, translated := strings.Cut(s.name, "."); translated && of == part {
				e.dropLine(s, key)
			}
		}
	}
	e.fitted(f, together)
	return append(bytes.Clone(mark), e.done()...)
}

// section gives the pairs of a table in braces.
func (v value) section() section { return section{fields: v.fields} }

// field finds a pair by its key; that of no key has no name.
func (s section) field(key string) field {
	i := slices.IndexFunc(s.fields, func(d field) bool { return d.key == key })
	if i < 0 {
		return field{}
	}
	return s.fields[i]
}

// edits are changes of a file, to be made at once.
type edits struct {
	source []byte
	list   []edit
}

type edit struct {
	from, to int
	text     string
}

// replace writes another value into a pair.
func (e *edits) replace(d field, text string) {
	e.list = append(e.list, edit{d.value.offset, d.end, text})
}

// put writes a value into a pair of a table in braces, or the pair behind
// another when there is none.
func (e *edits) put(in section, key, text string, behind field) {
	if d := in.field(key); d.key != "" {
		e.replace(d, text)
		return
	}
	e.list = append(e.list, edit{behind.end, behind.end, ", " + key + " = " + text})
}

// drop takes a pair out of a table in braces, which has others.
func (e *edits) drop(in section, key string) {
	i := slices.IndexFunc(in.fields, func(d field) bool { return d.key == key })
	switch {
	case i < 0:
	case i > 0: // from behind the pair before it, since that may have got a neighbour
		e.list = append(e.list, edit{in.fields[i-1].end, in.fields[i].end, ""})
	default:
		e.list = append(e.list, edit{in.fields[0].offset, in.fields[1].offset, ""})
	}
}

// dropLine takes a pair out that stands in lines of its own, with these.
func (e *edits) dropLine(in section, key string) {
	d := in.field(key)
	if d.key == "" {
		return
	}
	from := bytes.LastIndexByte(e.source[:d.offset], '\n') + 1
	to := len(e.source)
	if i := bytes.IndexByte(e.source[d.end:], '\n'); i >= 0 {
		to = d.end + i + 1
	}
	e.list = append(e.list, edit{from, to, ""})
}

// fitted writes the table of correlations in the place of the one that was
// there, or at the end of the file.
func (e *edits) fitted(f *file, together machine.Together) {
	end := lineEnd(e.source)
	table := ""
	if len(together.Constants) > 0 {
		table = writeFitted(together.Constants, together.Correlation, end)
	}
	for _, s := range f.sections {
		if s.name == fittedHeading && len(s.fields) > 0 {
			from := bytes.LastIndexByte(e.source[:s.offset], '\n') + 1
			e.list = append(e.list, edit{from, s.fields[len(s.fields)-1].end, table})
			return
		}
	}
	if table == "" {
		return
	}
	before := end
	if !bytes.HasSuffix(e.source, []byte("\n")) {
		before += end
	}
	e.list = append(e.list, edit{len(e.source), len(e.source), before + table + end})
}

func (e *edits) done() []byte {
	slices.SortStableFunc(e.list, func(a, b edit) int { return cmp.Compare(a.from, b.from) })
	var out []byte
	at := 0
	for _, one := range e.list {
		out = append(append(out, e.source[at:one.from]...), one.text...)
		at = one.to
	}
	return append(out, e.source[at:]...)
}

// lineEnd gives how lines end in a file.
func lineEnd(source []byte) string {
	if bytes.Contains(source, []byte("\r\n")) {
		return "\r\n"
	}
	return "\n"
}

// decimal writes a number so that it reads back as it is, without an exponent.
func decimal(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// quoted writes a text as a file has it.
func quoted(text string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\r", `\r`, "\t", `\t`).Replace(text) + `"`
}

// Add gives the file of the history with one more revision as its newest. Its
// label has to be new, and its texts in one line. A file that there is not yet
// begins with it.
func Add(history []byte, x Revision) []byte {
	end := lineEnd(history)
	var b strings.Builder
	line := func(form string, fill ...any) { b.WriteString(fmt.Sprintf(form, fill...) + end) }
	line("[%s]", x.Label)
	line("date = %s", x.Date)
	line("card = %s", quoted(x.Card))
	line("by = %s", quoted(x.By))
	line("why = %s", quoted(x.Why))
	line("changed = [")
	for _, c := range x.Changed {
		one := fmt.Sprintf("constant = %s, was = %s, is = %s, unit = %s", quoted(c.Constant), decimal(c.Was), decimal(c.Is), quoted(c.Unit))
		for _, more := range []struct {
			key string
			u   float64
		}{{"was-uncertainty", c.WasUncertainty}, {"is-uncertainty", c.IsUncertainty}} {
			if more.u > 0 {
				one += fmt.Sprintf(", %s = %s", more.key, decimal(more.u))
			}
		}
		for _, more := range []struct {
			key string
			o   machine.Origin
		}{{"was-from", c.WasFrom}, {"is-from", c.IsFrom}} {
			if more.o != "" {
				one += fmt.Sprintf(", %s = %s", more.key, quoted(string(more.o)))
			}
		}
		if c.WasNote != "" {
			one += ", was-note = " + quoted(c.WasNote)
		}
		if len(c.WasNoteIn) > 0 {
			var said []string
			for _, language := range slices.Sorted(maps.Keys(c.WasNoteIn)) {
				said = append(said, language+" = "+quoted(c.WasNoteIn[language]))
			}
			one += ", was-note-in = { " + strings.Join(said, ", ") + " }"
		}
		line("  { %s },", one)
	}
	line("]")
	if len(bytes.TrimSpace(history)) == 0 {
		return append(bytes.Clone(history), b.String()...)
	}
	at := firstEntry(history)
	text := b.String() + end
	if at == len(history) {
		text = end + b.String()
		if !bytes.HasSuffix(history, []byte("\n")) {
			text = end + text
		}
	}
	return slices.Concat(history[:at], []byte(text), history[at:])
}

// firstEntry finds where the newest entry begins: at its heading, or at the
// comment that stands right above it. Comments of the whole file have an empty
// line below them.
func firstEntry(history []byte) int {
	f, _ := parse("", history, format{family: "history", nested: true})
	if len(f.sections) < 2 {
		return len(history)
	}
	trimmed := len(history) - len(f.source)
	at := trimmed + bytes.LastIndexByte(f.source[:f.sections[1].offset], '\n') + 1
	for from := at; from > 0; {
		before := bytes.LastIndexByte(history[:from-1], '\n') + 1
		line := bytes.TrimSpace(history[before:from])
		if !bytes.HasPrefix(line, []byte("#")) {
			if len(line) == 0 {
				return from
			}
			break
		}
		from = before
	}
	return at
}
