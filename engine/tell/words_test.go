package tell

import (
	"reflect"
	"strings"
	"testing"

	"slipring/engine/waveform"
)

// places tells words in each place for words that a sheet has.
func places() map[string]func(s *Sheet, words string) {
	pane := func(y Axis, label string) []Pane {
		return []Pane{{Y: y, Lines: []Line{{Label: label, X: []float64{0, 1}, Y: []float64{0, 1}}}}}
	}
	table := func(c Column, words string) Table {
		return Table{Name: "t", Columns: []Column{c}, Rows: [][]Entry{{Text(words)}}}
	}
	signal := func(name, unit string) waveform.Signal {
		return waveform.Signal{Name: name, Unit: unit, T: []float64{0, 0.1, 0.2}, Y: []float64{0, 1, 0}}
	}
	finder := func(change func(l *Look, words string)) func(s *Sheet, words string) {
		return func(s *Sheet, words string) {
			root := board()
			change(&root, words)
			s.Finder("f", root)
		}
	}
	return map[string]func(s *Sheet, words string){
		"the question of its first look of finder":          finder(func(l *Look, w string) { l.Ask = w }),
		"how to look at its first look of finder":           finder(func(l *Look, w string) { l.How = w }),
		"an answer of its first look of finder":             finder(func(l *Look, w string) { l.Answers[1].Says = w }),
		"the question of the look behind \"yes\" of finder": finder(func(l *Look, w string) { l.Answers[0].Then.Ask = w }),
		"how to look at the look behind \"no\" of finder":   finder(func(l *Look, w string) { l.Answers[1].Then.How = w }),
		"an answer of the look behind \"yes\" of finder":    finder(func(l *Look, w string) { l.Answers[0].Then.Answers[2].Says = w }),
		"a cause of the look behind \"no\" of finder":       finder(func(l *Look, w string) { l.Answers[1].Then.Causes[1].Says = w }),
		"the unit of value":                                 func(s *Sheet, w string) { s.Value("v", 1, w) },
		"the unit of claim":                                 func(s *Sheet, w string) { s.Below("c", 1, 2, w) },
		"the unit of claim ":                                func(s *Sheet, w string) { s.Within("c", 1, 2, 3, w) },
		"the unit of claim  ":                               func(s *Sheet, w string) { s.Above("c", 2, 1, w) },
		"the label of an axis of figure":                    func(s *Sheet, w string) { s.Figure(Figure{Name: "f", X: Axis{w, "s"}, Panes: pane(Axis{}, "l")}) },
		"the unit of an axis of figure":                     func(s *Sheet, w string) { s.Figure(Figure{Name: "f", X: Axis{"t", w}, Panes: pane(Axis{}, "l")}) },
		"the label of an axis of figure ":                   func(s *Sheet, w string) { s.Figure(Figure{Name: "f", Panes: pane(Axis{w, "s"}, "l")}) },
		"the unit of an axis of figure ":                    func(s *Sheet, w string) { s.Figure(Figure{Name: "f", Panes: pane(Axis{"y", w}, "l")}) },
		"the label of a line of figure":                     func(s *Sheet, w string) { s.Figure(Figure{Name: "f", Panes: pane(Axis{}, w)}) },
		"the label of an axis of figure  ":                  func(s *Sheet, w string) { s.Chart("f", waveform.Set{Signals: []waveform.Signal{signal(w, "V")}}) },
		"the unit of an axis of figure  ":                   func(s *Sheet, w string) { s.Chart("f", waveform.Set{Signals: []waveform.Signal{signal("a", w)}}) },
		"the head of a column of table":                     func(s *Sheet, w string) { s.Table(table(Column{Head: w}, "a")) },
		"the unit of a column of table":                     func(s *Sheet, w string) { s.Table(table(Column{Head: "a", Unit: w}, "a")) },
		"an entry of table":                                 func(s *Sheet, w string) { s.Table(table(Column{Head: "a"}, w)) },
		"the name of the signal of sound":                   func(s *Sheet, w string) { s.Sound("h", 1, signal(w, "V")) },
		"the unit of the signal of sound":                   func(s *Sheet, w string) { s.Sound("h", 1, signal("a", w)) },
		"the label of knob":                                 func(s *Sheet, w string) { s.Knob("k", Range{To: 1, Steps: 2, Label: w}, func(float64) {}) },
		"the unit of knob":                                  func(s *Sheet, w string) { s.Knob("k", Range{To: 1, Steps: 2, Label: "k", Unit: w}, func(float64) {}) },
		"the label of a line of figure ":                    knobbed(func(s *Sheet, w string) { s.Figure(Figure{Name: "f", Panes: pane(Axis{}, w)}) }),
		"an entry of table ":                                knobbed(func(s *Sheet, w string) { s.Table(table(Column{Head: "a"}, w)) }),
		"the words of a part of schematic":                  func(s *Sheet, w string) { s.Schematic("d", Put("lamp", "L", w, 1, 1)) },
		"the name of a part of board":                       onBoard(func(f []BoardPart, s []BoardState, w string) { f[0].Name, s[1].Changes[2].Part = w, w }),
		"the name of a part of board ":                      onBoard(func(f []BoardPart, s []BoardState, w string) { f[1].Name, s[0].Meters[0].Part = w, w }),
		"the text on a part of strips":                      onStrips(func(d *Strips, w string) { d.Parts[0].Text = w }),
		"the text on a part of strips ":                     onStrips(func(d *Strips, w string) { d.Parts[0].Texts["fr"] = w }),
		"the text on a part of strips  ":                    onStrips(func(d *Strips, w string) { d.Parts[0].Texts = map[string]string{w: "a"} }),
		"the name of a drawing of strips":                   onStrips(func(d *Strips, w string) { d.Sheets[0].Name = w }),
		"the number of a wire of strips":                    onStrips(func(d *Strips, w string) { d.Wires[0].Wire = w }),
		"what was held of strips":                           onStrips(func(d *Strips, w string) { d.Wires[0].Why.With = w }),
		"the number of another wire of strips":              onStrips(func(d *Strips, w string) { d.Wires[1].Why.Wire = w }),
		"the kind of a part of board":                       onBoard(func(f []BoardPart, s []BoardState, w string) { f[0].Kind = w }),
		"the text on a part of board":                       onBoard(func(f []BoardPart, s []BoardState, w string) { f[0].Text = w }),
		"the text on a part of board ":                      onBoard(func(f []BoardPart, s []BoardState, w string) { f[0].Texts["fr"] = w }),
		"the text on a part of board  ":                     onBoard(func(f []BoardPart, s []BoardState, w string) { f[0].Texts = map[string]string{w: "a"} }),
		"the colour of a part of board":                     onBoard(func(f []BoardPart, s []BoardState, w string) { f[0].Colour = w }),
		"the unit of a part of board":                       onBoard(func(f []BoardPart, s []BoardState, w string) { f[1].Unit = w }),
		"an act of board":                                   onBoard(func(f []BoardPart, s []BoardState, w string) { s[1].Act = w }),
		"an act of board ":                                  onBoard(func(f []BoardPart, s []BoardState, w string) { s[1].Undo = w }),
		"a sentence of board":                               onBoard(func(f []BoardPart, s []BoardState, w string) { s[1].Says = w }),
	}
}

// onBoard tells a board with words somewhere in it.
func onBoard(put func(front []BoardPart, states []BoardState, words string)) func(*Sheet, string) {
	return func(s *Sheet, w string) {
		front, states := smallBoard()
		put(front, states, w)
		s.Board("b", front, states...)
	}
}

// knobbed tells something under a knob.
func knobbed(told func(*Sheet, string)) func(*Sheet, string) {
	return func(s *Sheet, w string) {
		s.Knob("k", Range{To: 1, Steps: 2, Label: "k"}, func(float64) { told(s, w) })
	}
}

// What nobody sees is refused wherever words are told. The characters are those
// of the Unicode Standard 15.0, section 23.2 (layout controls), table 23-3 (the
// bidirectional ones) and section 23.9 (tags), and the controls of ISO/IEC 6429.
func TestUnseenWords(t *testing.T) {
	for words, hint := range map[string]string{
		"a\u202eb": "U+202E", "a\u202ab": "U+202A", "a\u2066b\u2069": "U+2066", "\u200fa": "U+200F", "a\u061c": "U+061C",
		"a\u200bb": "U+200B", "a\ufeffb": "U+FEFF", "a\U000e0041": "U+E0041", "a\u2062b": "U+2062", "a\ufff9b": "U+FFF9",
		"a\x00b": "U+0000", "a\x1b[2J": "U+001B", "a\x7f": "U+007F", "a\u0085b": "U+0085", "a\u009bb": "U+009B",
		"a\nb": "U+000A", "a\tb": "U+0009", "a\u2028b": "U+2028", "caf\xe9": "0xe9", "\xef": "0xef",
	} {
		for place, tell := range places() {
			var s Sheet
			m := refusal(func() { tell(&s, words) })
			if !strings.HasPrefix(m.Text, strings.TrimSpace(place)+" \"") || !strings.Contains(m.Text, hint) || m.Hint == "" {
				t.Errorf("%s is told %q: %+v", place, words, m)
			}
			if strings.Contains(m.Text, words) {
				t.Errorf("%s: the message holds %q as it stands", place, words)
			}
		}
	}
}

// Letters of all scripts are words, with the spaces and joiners that they need.
func TestSeenWords(t *testing.T) {
	for _, words := range []string{
		"سرعة العمود", "מהירות הציר", "می\u200cرود", "vitesse de l’arbre\u00a0: 5\u202f%", "軸の速度", "क्\u200dष", "co\u00adil",
		"Ωm²", "a\ufffdb", "τ ≈ 3", "⚠\ufe0f", "<b>&amp;</b>",
	} {
		for place, tell := range places() {
			var s Sheet
			if m := refusal(func() { tell(&s, words) }); m.Text != "" {
				t.Errorf("%s is told %q: %+v", place, words, m)
			}
		}
	}
}

// Every string of a result is either looked at, as the places above show, or
// can hold no words. Whoever adds a field has to decide for it.
func TestEveryWordIsLookedAt(t *testing.T) {
	want := map[string]bool{ // true: may not hold words
		"Values.Name": true, "Values.Unit": false, "Values.Framed.Knobs": true,
		"Claims.Name": true, "Claims.Limits.Unit": false, "Claims.Found": false, "Claims.Framed.Knobs": true,
		"Figures.Name": true, "Figures.X.Label": false, "Figures.X.Unit": false, "Figures.Framed.Knobs": true,
		"Figures.Panes.Y.Label": false, "Figures.Panes.Y.Unit": false, "Figures.Panes.Lines.Label": false,
		"Figures.Frames.Y.Label": false, "Figures.Frames.Y.Unit": false, "Figures.Frames.Lines.Label": false,
		"Tables.Name": true, "Tables.Columns.Head": false, "Tables.Columns.Unit": false, "Tables.Rows.Text": false,
		"Tables.Framed.Knobs": true, "Tables.Frames.Text": false,
		// A motion takes only the signals and sizes that its mechanism names.
		"Motions.Name": true, "Motions.Mechanism": true, "Motions.Signals.Signals.Name": true, "Motions.Signals.Signals.Unit": true,
		"Motions.Sizes.Name": true, "Motions.Sizes.Unit": true,
		"Boards.Name": true, "Boards.Parts.Name": false, "Boards.Parts.Kind": false, "Boards.Parts.Text": false, "Boards.Parts.Texts": false,
		"Boards.Parts.Colour": false, "Boards.Parts.Unit": false, "Boards.States.Name": true, "Boards.States.Act": false, "Boards.States.Says": false,
		"Boards.States.From": true, "Boards.States.Undo": false, "Boards.States.Leads": true, "Boards.States.Changes.Part": false,
		"Boards.States.Changes.Is": true, "Boards.States.Meters.Part": false,
		"Sounds.Name": true, "Sounds.Heard.Signal.Name": false, "Sounds.Heard.Signal.Unit": false, "Sounds.Framed.Knobs": true,
		"Sounds.Frames.Signal.Name": false, "Sounds.Frames.Signal.Unit": false,
		// Below an answer stands a look as the first is.
		"Finders.Name": true, "Finders.Root.Ask": false, "Finders.Root.How": false, "Finders.Root.Hazard": true,
		"Finders.Root.Answers.Says": false, "Finders.Root.Causes.Says": false,
		"Schematics.Name": true, "Schematics.Parts.Kind": true, "Schematics.Parts.Name": true, "Schematics.Parts.Ends": true, "Schematics.Joins.Through": true,
		"Schematics.Parts.Words": false,
		"Strips.Name":            true, "Strips.Sheets.Name": false, "Strips.Sheets.Date": true,
		"Strips.Parts.Name": true, "Strips.Parts.Text": false, "Strips.Parts.Texts": false, "Strips.Parts.Marks": true,
		"Strips.Wires.From": true, "Strips.Wires.To": true, "Strips.Wires.Wire": false, "Strips.Wires.Verdict": true,
		"Strips.Wires.Why.Kind": true, "Strips.Wires.Why.From": true, "Strips.Wires.Why.To": true, "Strips.Wires.Why.Wire": false,
		"Strips.Wires.Why.With": false, "Strips.Wires.Why.When": true,
		"Knobs.Name": true, "Knobs.Label": false, "Knobs.Unit": false,
		"Cards": true, "Printed": true,
	}
	const mark = "Ω"
	told := map[string]bool{}
	for _, tell := range places() {
		for _, tell := range []func(*Sheet, string){tell, knobbed(tell)} {
			var s Sheet
			refusal(func() { tell(&s, mark) }) // a third knob, or one of the same name
			words(reflect.ValueOf(s.Result()), "", func(path, word string) { told[path] = told[path] || strings.Contains(word, mark) })
		}
	}
	all := map[string]bool{}
	fields(reflect.TypeFor[Result](), "", func(path string) { all[path] = true })
	for path := range all {
		bare, known := want[path]
		switch {
		case !known:
			t.Errorf("%s is new: refuse in it what nobody sees, and add a place for it", path)
		case !bare && !told[path]:
			t.Errorf("no place tells %s", path)
		case bare && told[path]:
			t.Errorf("%s can hold words", path)
		}
	}
	for path := range want {
		if !all[path] {
			t.Errorf("there is no %s", path)
		}
	}
}

// fields gives the paths of all strings below a type, words those of a value
// with what they hold. A pointer leads back to a look of a finder.
func fields(t reflect.Type, path string, each func(path string)) {
	switch t.Kind() {
	case reflect.String:
		each(path)
	case reflect.Slice, reflect.Map:
		fields(t.Elem(), path, each)
	case reflect.Struct:
		for i := range t.NumField() {
			fields(t.Field(i).Type, strings.TrimPrefix(path+"."+t.Field(i).Name, "."), each)
		}
	}
}

func words(v reflect.Value, path string, each func(path, word string)) {
	switch v.Kind() {
	case reflect.String:
		each(path, v.String())
	case reflect.Slice:
		for i := range v.Len() {
			words(v.Index(i), path, each)
		}
	case reflect.Pointer:
		words(v.Elem(), strings.TrimSuffix(path, ".Answers.Then"), each)
	case reflect.Map:
		for _, key := range v.MapKeys() {
			words(key, path, each)
			words(v.MapIndex(key), path, each)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			words(v.Field(i), strings.TrimPrefix(path+"."+v.Type().Field(i).Name, "."), each)
		}
	}
}
