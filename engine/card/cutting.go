package card

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/cutting"
	"slipring/engine/diag"
	"slipring/engine/machine"
	"slipring/engine/rows"
)

// Cutting is what a house says of the wire that it hangs: cutting.toml, and in
// places.csv where each part stands.
//
//	slack = { value = 150, unit = "mm", from = "assumed" }
//	stock = [{ size = "1.5 mm2", carries = { value = 9, unit = "A", from = "assumed" } }]
//	runs = [{ between = ["frame 1", "frame 2"], length = { value = 0.6, unit = "m", from = "measured" } }]
//
//	[ends] # of wires, by terminal, part or kind of part
//	relay = "solder"
//
//	[motor] # a group of wires
//	wires = ["W4-W12", "W15"]
//
//	[runs-full] # a state in which currents are taken from the circuit model
//	press = ["start"]
type Cutting struct {
	cutting.Plan
	File, Places string
}

const placeSample = "# Who measured it, and when; mm from the left edge and from the foot of the frame.\npart,frame,across,up\nF1,frame 1,450,1500\n,frame 1,800,2000"

// ReadCutting reads both files, and checks them against the wiring as far as
// cutting.Check does. It may be used only when none of the messages is an error.
func ReadCutting(file string, source []byte, placesFile string, places []byte, w Wiring) (Cutting, []diag.Message) {
	c := Cutting{Plan: cutting.Plan{Ends: map[string]cutting.End{}}, File: file, Places: placesFile}
	f, ok := parse(file, source, format{family: "cutting", nested: true, form: `a group of wires is written [LABEL] and below it wires = ["W1-W12"]`})
	if !ok {
		return c, f.messages
	}
	r := cuttingReader{f, &c}
	r.top()
	for _, s := range f.sections[1:] {
		switch label, language, translated := f.divide(s); {
		case translated && language != "":
			r.translated(s, label, language)
		case translated: // has been reported
		case s.name == "ends":
			r.ends(s)
		case has(s, "wires"):
			r.group(s)
		default:
			r.state(s)
		}
	}
	messages := append(f.messages, c.readPlaces(places)...)
	if !diag.HasError(messages) {
		messages = append(messages, c.Flaws(w, cutting.Check(w.Wiring, c.Plan))...)
	}
	return c, diag.Sort(messages)
}

type cuttingReader struct {
	*file
	to *Cutting
}

func has(s section, key string) bool {
	return slices.ContainsFunc(s.fields, func(d field) bool { return d.key == key })
}

// amount reads a value with unit and origin, in the SI unit.
func (r cuttingReader) amount(d field, si, doc string) (x float64, from string) {
	given, ok := r.given(machine.Description{Key: d.key, SIUnit: si, Doc: doc}, d)
	if factor, fits := machine.Multiple(si, given.Unit); ok && fits {
		return given.Value * factor, string(given.Origin)
	}
	return 0, ""
}

// cuttingAmounts are the keys above the first heading that are amounts.
var cuttingAmounts = [...]struct{ key, unit, doc string }{
	{"slack", "m", "wire left over at each end"},
	{"step", "m", "lengths are rounded up to it"},
	{"waste", "1", "what is ordered besides"},
	{"order-step", "m", "orders are rounded up to it"},
	{"temperature", "C", "copper at work"},
	{"smallest", "mm2", "nothing thinner is hung"},
}

func (r cuttingReader) top() {
	p := &r.to.Plan
	places := map[string]*float64{"slack": &p.Slack, "step": &p.Step, "waste": &p.Waste, "order-step": &p.Lot, "temperature": &p.Temperature, "smallest": &p.Least}
	units := map[string][2]string{}
	known := []string{"stock", "runs"}
	for _, a := range cuttingAmounts {
		known, units[a.key] = append(known, a.key), [2]string{a.unit, a.doc}
	}
	top := r.sections[0]
	for _, d := range top.fields {
		switch {
		case places[d.key] != nil:
			*places[d.key], _ = r.amount(d, units[d.key][0], units[d.key][1])
		case d.key == "stock":
			r.tables(d, r.stock)
		case d.key == "runs":
			r.tables(d, r.run)
		default:
			r.add(d.offset, "unknown", fmt.Sprintf("the plan has no key %q", d.key), hintNear(d.key, known, "known here are: "+strings.Join(known, ", ")))
		}
	}
	for _, a := range cuttingAmounts {
		if !has(top, a.key) {
			r.add(0, "missing", fmt.Sprintf("the plan has no %s: %s", a.key, a.doc), fmt.Sprintf(`write above the first heading: %s = { value = ..., unit = %q, from = "assumed" }`, a.key, a.unit))
		}
	}
}

// tables reads a list of tables in braces.
func (r cuttingReader) tables(d field, read func(v value)) {
	if !r.want(d, list) {
		return
	}
	for _, item := range d.value.items {
		if item.kind != table {
			r.add(item.offset, "value", fmt.Sprintf("an item of %s is %v", d.key, item.kind), "write each in braces, as the sample in the author's guide does")
			continue
		}
		read(item)
	}
}

func (r cuttingReader) stock(v value) {
	var s cutting.Stock
	s.Line, _ = r.place(v.offset)
	for _, k := range v.fields {
		switch k.key {
		case "size":
			if !r.want(k, text) {
				continue
			}
			var err error
			if s.Area, s.Gauge, err = cutting.ParseSize(k.value.text); err != nil {
				r.add(k.value.offset, "value", err.Error(), cutting.SizeHint())
			}
		case "carries":
			s.Carries, s.From = r.amount(k, "A", "what it may carry for good")
		default:
			r.add(k.offset, "unknown", fmt.Sprintf("wire in stock has no key %q", k.key), "known here are: size, carries")
		}
	}
	for _, key := range []string{"size", "carries"} {
		if !has(v.section(), key) {
			r.add(v.offset, "missing", "wire in stock has no "+key, `write it as { size = "1.5 mm2", carries = { value = 9, unit = "A", from = "assumed" } }`)
		}
	}
	r.to.Stock = append(r.to.Stock, s)
}

func (r cuttingReader) run(v value) {
	var one cutting.Run
	one.Line, _ = r.place(v.offset)
	const line = `write it as { between = ["frame 1", "frame 2"], length = { value = 0.6, unit = "m", from = "measured" } }`
	for _, k := range v.fields {
		switch k.key {
		case "between":
			if frames := r.list(k); len(frames) == 2 {
				one.Between = [2]string(frames)
			} else {
				r.add(k.value.offset, "value", "a run leads between two frames", line)
			}
		case "length":
			one.Length, _ = r.amount(k, "m", "of the way")
		default:
			r.add(k.offset, "unknown", fmt.Sprintf("a run has no key %q", k.key), line)
		}
	}
	for _, key := range []string{"between", "length"} {
		if !has(v.section(), key) {
			r.add(v.offset, "missing", "a run has no "+key, line)
		}
	}
	r.to.Runs = append(r.to.Runs, one)
}

func (r cuttingReader) ends(s section) {
	for _, d := range s.fields {
		if r.want(d, text) {
			r.to.Ends[d.key] = cutting.End(d.value.text)
		}
	}
}

func (r cuttingReader) group(s section) {
	g := cutting.Group{Name: s.name}
	g.Line, _ = r.place(s.offset)
	what := "the group " + s.name
	r.label(s, s.name)
	rest := s
	rest.fields = nil
	for _, d := range s.fields {
		switch d.key {
		case "current":
			g.Current, g.From = r.amount(d, "A", "what the circuit model does not have")
		case "voltage":
			g.Voltage, _ = r.amount(d, "V", "of which a share may be lost")
		case "drop":
			g.Drop, _ = r.amount(d, "1", "the share that may be lost")
		case "unguarded":
			g.Before = r.want(d, truth) && d.value.truth
		default:
			rest.fields = append(rest.fields, d)
		}
	}
	into := map[string]any{"text": &g.Text, "wires": &g.Wires, "colour": &g.Colour, "fuses": &g.Fuses}
	known := []string{"text", "wires", "colour", "fuses", "current", "voltage", "drop", "unguarded"}
	got := r.fill(rest, what, known, func(key string) any { return into[key] })
	r.lacks(s, what, got, "text", "colour")
	for _, key := range []string{"voltage", "drop"} {
		if !has(s, key) {
			unit := map[string]string{"voltage": "V", "drop": "%"}[key]
			r.add(s.offset, "missing", fmt.Sprintf("%s has no %s", what, key), fmt.Sprintf(`write it as %s = { value = ..., unit = %q, from = "assumed" }`, key, unit))
		}
	}
	r.to.Groups = append(r.to.Groups, g)
}

func (r cuttingReader) state(s section) {
	one := cutting.State{Name: s.name}
	one.Line, _ = r.place(s.offset)
	if !has(s, "press") && !has(s, "fail") {
		r.add(s.offset, "unknown", fmt.Sprintf("[%s] is neither a group nor a state", s.name), `a group has wires = ["W1-W12"], a state press = ["start"] or fail = ["F12 blown"]`)
		return
	}
	r.label(s, s.name)
	rest := s
	rest.fields = nil
	for _, d := range s.fields {
		if d.key == "full-load" {
			one.Full = r.want(d, truth) && d.value.truth
			continue
		}
		rest.fields = append(rest.fields, d)
	}
	into := map[string]any{"text": &one.Text, "press": &one.Press, "fail": &one.Fail}
	got := r.fill(rest, "the state "+s.name, []string{"text", "press", "fail", "full-load"}, func(key string) any { return into[key] })
	r.lacks(s, "the state "+s.name, got, "text")
	r.to.States = append(r.to.States, one)
}

// translated reads what a group or a state is called in another language.
func (r cuttingReader) translated(s section, label, language string) {
	var texts *map[string]string
	for i := range r.to.Groups {
		if r.to.Groups[i].Name == label {
			texts = &r.to.Groups[i].Texts
		}
	}
	for i := range r.to.States {
		if r.to.States[i].Name == label {
			texts = &r.to.States[i].Texts
		}
	}
	if !r.above(s, "the group or state", label, texts != nil) {
		return
	}
	words := ""
	r.fill(s, fmt.Sprintf("%s in %q", label, language), []string{"text"}, func(string) any { return &words })
	if *texts == nil {
		*texts = map[string]string{}
	}
	(*texts)[language] = words
}

var placeColumns = [...]string{"part", "frame", "across", "up"}

// readPlaces reads where the parts stand.
func (c *Cutting) readPlaces(source []byte) (messages []diag.Message) {
	add := func(line, column int, text, hint string) {
		messages = append(messages, diag.Message{File: c.Places, Line: line, Column: column, Rule: "cutting-place", Text: text, Hint: hint})
	}
	_, records, messages := rows.Read(c.Places, source, rows.Form{Rule: "cutting-place", Sample: placeSample, Separators: ",;\t"})
	if len(messages) > 0 {
		return messages
	}
	at := map[string]int{}
	if len(records) > 0 {
		for i, head := range records[0] {
			if !slices.Contains(placeColumns[:], head.Text) {
				add(head.Line, head.Column, fmt.Sprintf("unknown column %q", head.Text), hintNear(head.Text, placeColumns[:], "columns are: "+strings.Join(placeColumns[:], ", ")))
			}
			at[head.Text] = i
		}
	}
	for _, need := range placeColumns {
		if _, ok := at[need]; !ok {
			add(1, 1, fmt.Sprintf("there is no column %q", need), "begin the file, for example, with:\n"+placeSample)
		}
	}
	if len(messages) > 0 {
		return messages
	}
	for _, record := range records[1:] {
		get := func(column string) rows.Field {
			if i := at[column]; i < len(record) {
				return record[i]
			}
			return rows.Field{Line: record[0].Line, Column: 1}
		}
		metres := func(column string) float64 {
			d := get(column)
			if d.Text == "" && get("frame").Text == cutting.Outside {
				return 0
			}
			x, err := strconv.ParseFloat(strings.Replace(d.Text, ",", ".", 1), 64)
			if err != nil || !(math.Abs(x) <= 1e6) {
				add(d.Line, d.Column, fmt.Sprintf("%s is %q, and no number of mm", column, d.Text), "measure it in mm from the frame's left edge, or up from its foot")
			} else if x < 0 {
				add(d.Line, d.Column, fmt.Sprintf("%s is %g mm, less than 0", column, x), "measure from the left edge and from the foot of the frame")
			}
			return x / 1000
		}
		c.Plan.Places = append(c.Plan.Places, cutting.Place{Part: get("part").Text, Frame: get("frame").Text, Across: metres("across"), Up: metres("up"), Line: record[0].Line})
	}
	return messages
}

// Flaws puts what is wrong with a plan at its places.
func (c Cutting) Flaws(w Wiring, flaws []cutting.Flaw) (messages []diag.Message) {
	files := map[cutting.In]string{cutting.InPlan: c.File, cutting.InPlaces: c.Places, cutting.InWires: w.Wires, cutting.InParts: w.Parts}
	for i, flaw := range flaws {
		if i == mostFindings {
			break
		}
		m := diag.Message{File: files[flaw.In], Line: max(flaw.Line, 1), Column: 1, Rule: "cutting", Text: flaw.Reason, Hint: flaw.Next}
		if flaw.Works {
			m.Level = diag.Warning
		}
		messages = append(messages, m)
	}
	return messages
}

// Lacks reports groups and states that other languages of the house have no
// words for.
func (c Cutting) Lacks(languages []string) (messages []diag.Message) {
	for _, language := range languages {
		lacks := func(name, words string, texts map[string]string, line int) {
			if words != "" && texts[language] == "" {
				messages = append(messages, lacking(c.File, line, 1, "cutting", "what "+name+" is", language, fmt.Sprintf("write [%s.%s] and below it text = \"...\"", name, language)))
			}
		}
		for _, g := range c.Groups {
			lacks(g.Name, g.Text, g.Texts, g.Line)
		}
		for _, s := range c.States {
			lacks(s.Name, s.Text, s.Texts, s.Line)
		}
	}
	return messages
}
