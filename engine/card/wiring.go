package card

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"slipring/engine/circuit"
	"slipring/engine/diag"
	"slipring/engine/machine"
	"slipring/engine/rows"
)

// Wiring is what a wiring's two files say: parts.toml and wires.csv.
//
//	[K1] # a part
//	kind = "relay"
//	contacts = ["13-14"]
//	resistance = { value = 960, unit = "ohm", from = "assumed" }
//
//	from,to,wire,evidence,note
//	TS2.14,K1.A1,W17,found 2026-09-13,
//
// What is written on a part is said in French below [K1.fr], as text = "...".
type Wiring struct {
	circuit.Wiring
	Parts, Wires string // the files

	at map[string]place // of PART, PART.KEY
}

type place struct{ line, column int }

const wireSample = "# Where this comes from.\nfrom,to,wire,evidence,note\nTS1.1,K1.A1,W1,found 2026-09-13,"

// ReadWiring reads a wiring, and checks it as far as circuit.Wiring.Check does.
// It may be used only when none of the messages is an error.
func ReadWiring(partsFile string, parts []byte, wiresFile string, wires []byte) (Wiring, []diag.Message) {
	w, messages, ok := readParts(partsFile, parts)
	if !ok {
		return w, messages
	}
	w.Wires = wiresFile
	messages = append(messages, w.wires(wires)...)
	if !diag.HasError(messages) {
		messages = append(messages, w.flaws(w.Check())...)
	}
	return w, diag.Sort(messages)
}

// ReadParts reads the parts of a wiring alone, whose wires nobody knows yet.
func ReadParts(file string, source []byte) (circuit.Wiring, []diag.Message) {
	w, messages, ok := readParts(file, source)
	if ok && !diag.HasError(messages) {
		messages = append(messages, w.flaws(w.CheckParts())...)
	}
	return w.Wiring, diag.Sort(messages)
}

// readParts reads the parts, unchecked; a false ok means that it is no TOML.
func readParts(file string, source []byte) (w Wiring, messages []diag.Message, ok bool) {
	w = Wiring{Parts: file, at: map[string]place{}}
	f, ok := parse(file, source, format{family: "wiring", nested: true, form: "a part is written [K1] and below it kind = \"relay\""})
	if !ok {
		return w, f.messages, false
	}
	f.bare()
	r := wiringReader{f, &w}
	for _, s := range f.sections[1:] {
		switch label, language, translated := f.divide(s); {
		case !translated:
			r.part(s)
		case language != "":
			r.translated(s, label, language)
		}
	}
	return w, f.messages, true
}

type wiringReader struct {
	*file
	wiring *Wiring
}

// plain are the keys of a part that are no constants.
var plain = [...]string{"kind", "place", "text", "colour", "card", "contacts", "terminals", "stays"}

func (r wiringReader) part(s section) {
	p := circuit.Part{Name: s.name, Values: map[string]circuit.Value{}}
	what := "the part " + s.name
	p.Line, _ = r.place(s.offset)
	if _, had := r.wiring.at[s.name]; had {
		return // has been reported
	}
	r.note(s.name, s.offset)
	rest := s
	rest.fields = nil
	var constants []field
	for _, d := range s.fields {
		r.note(s.name+"."+d.key, d.offset)
		switch {
		case d.key == "stays":
			if r.want(d, truth) {
				p.Stays = d.value.truth
			}
		case slices.Contains(plain[:], d.key):
			rest.fields = append(rest.fields, d)
		default:
			constants = append(constants, d)
		}
	}
	into := map[string]any{"kind": &p.Kind, "place": &p.Place, "text": &p.Text, "colour": &p.Colour, "card": &p.Card, "contacts": &p.Contacts, "terminals": &p.Terminals}
	got := r.fill(rest, what, plain[:], func(key string) any { return into[key] })
	r.lacks(s, what, got, "kind")
	known, _ := circuit.Describe(p.Kind)
	for _, d := range constants {
		i := slices.IndexFunc(known, func(k circuit.Description) bool { return k.Key == d.key })
		if i < 0 {
			if _, ok := circuit.Describe(p.Kind); !ok {
				continue // has been, or will be, reported
			}
			all := slices.Clone(plain[:])
			for _, k := range known {
				all = append(all, k.Key)
			}
			r.add(d.offset, "unknown", fmt.Sprintf("a %s has no %q", p.Kind, d.key), hintNear(d.key, all, "known here are: "+strings.Join(all, ", ")))
			continue
		}
		given, ok := r.given(machine.Description{Key: d.key, SIUnit: known[i].SIUnit, Doc: known[i].Doc}, d)
		if factor, fits := machine.Multiple(known[i].SIUnit, given.Unit); ok && fits {
			p.Values[d.key] = circuit.Value{SI: given.Value * factor, Unit: given.Unit, From: string(given.Origin), Note: given.Note}
		}
	}
	r.wiring.Wiring.Parts = append(r.wiring.Wiring.Parts, p)
}

func (r wiringReader) note(what string, offset int) {
	line, column := r.place(offset)
	r.wiring.at[what] = place{line, column}
}

// translated reads what is written on a part, in another language.
func (r wiringReader) translated(s section, label, language string) {
	all := r.wiring.Wiring.Parts
	i := slices.IndexFunc(all, func(p circuit.Part) bool { return p.Name == label })
	if !r.above(s, "the part", label, i >= 0) {
		return
	}
	words := ""
	r.fill(s, fmt.Sprintf("the part %s in %q", label, language), []string{"text"}, func(string) any { return &words })
	if all[i].Texts == nil {
		all[i].Texts = map[string]string{}
	}
	all[i].Texts[language] = words
}

var wireColumns = [...]string{"from", "to", "wire", "evidence", "note"}

// ReadWires reads a list of wires between such parts, and looks at each wire by
// itself: whether the board would work with them is not asked. It may be used only
// when none of the messages is an error.
func ReadWires(file string, source []byte, parts circuit.Wiring) ([]circuit.Wire, []diag.Message) {
	w := Wiring{Wiring: circuit.Wiring{Parts: parts.Parts}, Wires: file}
	messages := w.wires(source)
	if !diag.HasError(messages) {
		messages = append(messages, w.flaws(w.CheckWires())...)
	}
	return w.Wiring.Wires, diag.Sort(messages)
}

// WriteWires writes a list of wires as source was written, below the same first
// lines; without a source, below those given.
func WriteWires(source []byte, head string, wires []circuit.Wire) []byte {
	if len(source) == 0 {
		source = []byte(head)
	}
	records := [][]string{wireColumns[:]}
	for _, one := range wires {
		records = append(records, []string{one.From, one.To, one.Name, one.Evidence, one.Note})
	}
	return wireForm().Rewrite(source, records)
}

func wireForm() rows.Form {
	return rows.Form{Rule: "wiring-wire", Sample: wireSample, Separators: ",;\t"}
}

// wires reads the list of wires.
func (w *Wiring) wires(source []byte) (messages []diag.Message) {
	add := func(line, column int, text, hint string) {
		messages = append(messages, diag.Message{File: w.Wires, Line: line, Column: column, Rule: "wiring-wire", Text: text, Hint: hint})
	}
	_, records, messages := rows.Read(w.Wires, source, wireForm())
	if len(messages) > 0 {
		return messages
	}
	if len(records) < 2 {
		add(1, 1, "the file lists no wire", "begin it, for example, with:\n"+wireSample)
		return messages
	}
	at := map[string]int{}
	for i, head := range records[0] {
		if !slices.Contains(wireColumns[:], head.Text) {
			add(head.Line, head.Column, fmt.Sprintf("unknown column %q", head.Text), hintNear(head.Text, wireColumns[:], "columns are: "+strings.Join(wireColumns[:], ", ")))
		}
		at[head.Text] = i
	}
	for _, need := range wireColumns[:3] {
		if _, ok := at[need]; !ok {
			add(records[0][0].Line, 1, fmt.Sprintf("there is no column %q", need), "begin the file, for example, with:\n"+wireSample)
		}
	}
	if len(messages) > 0 {
		return messages
	}
	for _, record := range records[1:] {
		get := func(column string) string {
			if i, ok := at[column]; ok && i < len(record) {
				return record[i].Text
			}
			return ""
		}
		one := circuit.Wire{Name: get("wire"), From: get("from"), To: get("to"), Evidence: get("evidence"), Note: get("note"), Line: record[0].Line}
		if len(record) > len(records[0]) {
			add(one.Line, record[len(records[0])].Column, fmt.Sprintf("this line has %d fields under %d columns", len(record), len(records[0])), "put words that hold the separator between quotation marks")
		}
		w.Wiring.Wires = append(w.Wiring.Wires, one)
	}
	return messages
}

// flaws puts what is wrong with the wiring at its places.
func (w *Wiring) flaws(flaws []circuit.Flaw) (messages []diag.Message) {
	for _, flaw := range flaws {
		m := diag.Message{File: w.Parts, Line: 1, Column: 1, Rule: "wiring-value", Text: flaw.Reason, Hint: flaw.Next}
		if flaw.Works {
			m.Level = diag.Warning
		}
		switch {
		case flaw.Row > 0:
			m.File, m.Rule = w.Wires, "wiring-wire"
			m.Line = w.wireLine(flaw.Wire, flaw.Row)
		case len(flaw.Parts) > 0:
			at := cmp.Or(w.at[flaw.Parts[0]+"."+flaw.Key], w.at[flaw.Parts[0]])
			m.Line, m.Column = max(at.line, 1), max(at.column, 1)
		}
		messages = append(messages, m)
		if len(messages) == mostFindings {
			break
		}
	}
	return messages
}

// wireLine is the line of the row-th wire of a name.
func (w *Wiring) wireLine(name string, row int) int {
	for _, one := range w.Wiring.Wires {
		if one.Name == name {
			if row--; row == 0 {
				return one.Line
			}
		}
	}
	return 1
}

// Lacks reports words on parts that other languages of the house have not got.
func (w Wiring) Lacks(languages []string) []diag.Message {
	var messages []diag.Message
	for _, language := range languages {
		for _, p := range w.Wiring.Parts {
			if p.Text != "" && p.Texts[language] == "" {
				messages = append(messages, lacking(w.Parts, p.Line, 1, "wiring", "what is written on "+p.Name, language, fmt.Sprintf("write [%s.%s] and below it text = \"...\"", p.Name, language)))
			}
		}
	}
	return messages
}
