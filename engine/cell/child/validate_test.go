package child

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"testing"

	"slipring/engine/machine"
	"slipring/engine/tell"
	"slipring/engine/waveform"
)

// full is a result with something of everything in it.
func full(t *testing.T) tell.Result {
	t.Helper()
	var s tell.Sheet
	s.Value("a.b", 1.5, "V")
	s.Within("w", 20, 19.9, 1, "%")
	s.Figure(tell.Figure{Name: "f", X: tell.Axis{Label: "x"}, Panes: []tell.Pane{{Lines: []tell.Line{{Label: "l", X: []float64{1, 2}, Y: []float64{3, 4}}}}}})
	s.Table(tell.Table{Name: "t", Columns: []tell.Column{{Head: "h"}}, Rows: [][]tell.Entry{{{Number: 2}}, {{Text: "x"}}}})
	s.Motion("tone-wheel", waveform.Set{Signals: []waveform.Signal{{Name: "shaft angle", Unit: "deg", T: []float64{0, 0.1}, Y: []float64{0, 360}}}},
		tell.Size{Name: "teeth", Number: 8})
	s.Schematic("d", tell.Put("lamp", "H1", "line", 1, 0).Put("lamp", "H2", "", 5, 0).Ends("a", "b").Join("H1.2", "H2.a"))
	s.Board("b", []tell.BoardPart{{Name: "H1", Kind: "lamp", Frame: 1, Row: 1}, {Name: "V", Kind: "voltmeter", Frame: 1, Row: 2, Full: 60, Unit: "V"}},
		tell.BoardState{Name: "rest", Says: "At rest.", Seconds: 1, Changes: []tell.BoardChange{{Part: "H1", Is: "lit"}}, Meters: []tell.BoardMeter{{Part: "V", Reads: []float64{48, 48}}}})
	s.Strips("strips", tell.Strips{Sheets: []tell.StripSheet{{Name: "a"}}, Parts: []tell.StripPart{{Name: "K1", Marks: []string{"1", "2"}}},
		Wires: []tell.StripWire{{From: "K1.1", To: "H1.X1", Verdict: "likely", Chance: 0.9, Drawn: []int{0}}}})
	s.Sound("h", 0.5, waveform.Signal{Name: "output", T: []float64{0, 0.01, 0.02}, Y: []float64{0, 1, 0}})
	s.Finder("find", tell.Look{Ask: "lit?", Answers: []tell.Answer{
		{Says: "yes", Then: &tell.Look{Causes: []tell.Cause{{Says: "one", Chance: 0.5}, {Says: "two", Stop: true}}}},
		{Says: "no", Then: &tell.Look{Causes: []tell.Cause{{Says: "three"}}}},
	}})
	s.Knob("k", tell.Range{From: 0, To: 1, Steps: 3, Start: 0.5, Label: "load", Unit: "A"}, func(x float64) {
		s.Knob("j", tell.Range{From: 5, To: 1, Steps: 2, Start: 5, Label: "other"}, func(y float64) {
			s.Value("v", x+y, "A")
			s.Claim("c", y > 0)
		})
		s.Tone("i", 1, waveform.Partial{Frequency: 160 + x, Amplitude: 1})
		s.Figure(tell.Figure{Name: "g", Panes: []tell.Pane{{Lines: []tell.Line{{X: []float64{1}, Y: []float64{x}}}}}})
		s.Table(tell.Table{Name: "u", Columns: []tell.Column{{Head: "h"}}, Rows: [][]tell.Entry{{{Number: x}}}})
	})
	r := s.Result()
	r.Cards = []string{"one"}
	r.Printed = "text\n"
	return r
}

var shelf = []machine.Card{{Name: "one"}, {Name: "two"}}

func encode(t *testing.T, r tell.Result) []byte {
	t.Helper()
	b, err := json.Marshal(answer{Result: &r})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestReadAnswer(t *testing.T) {
	r := full(t)
	// A part that is not in here is not validated either.
	for i := range reflect.TypeFor[tell.Result]().NumField() {
		if reflect.ValueOf(r).Field(i).IsZero() {
			t.Errorf("the result of this test has no %s", reflect.TypeFor[tell.Result]().Field(i).Name)
		}
	}
	a, err := readAnswer(encode(t, r), shelf, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(*a.Result, r) {
		t.Errorf("got %+v, want %+v", *a.Result, r)
	}
}

func TestReadAnswerRefusesResults(t *testing.T) {
	for name, spoil := range map[string]func(*tell.Result){
		"name":               func(r *tell.Result) { r.Values[0].Name = "A b" },
		"name told twice":    func(r *tell.Result) { r.Claims[0].Name = r.Values[0].Name },
		"name of a knob":     func(r *tell.Result) { r.Figures[0].Name = "k" },
		"figure with y less": func(r *tell.Result) { r.Figures[0].Panes[0].Lines[0].Y = []float64{1} },
		"board part":         func(r *tell.Result) { r.Boards[0].Parts[0].Row = 0 },
		"board change":       func(r *tell.Result) { r.Boards[0].States[0].Changes[0].Is = "blue" },
		"board meter":        func(r *tell.Result) { r.Boards[0].States[0].Meters[0].Reads = nil },
		"figure empty":       func(r *tell.Result) { r.Figures[0].Panes = nil },
		"table row":          func(r *tell.Result) { r.Tables[0].Rows[0] = nil },
		"frames left out":    func(r *tell.Result) { r.Values[1].Frames = r.Values[1].Frames[1:] },
		"frames without":     func(r *tell.Result) { r.Values[0].Frames = []float64{1} },
		"knob unknown":       func(r *tell.Result) { r.Values[1].Knobs = []string{"k", "x"} },
		"knob twice":         func(r *tell.Result) { r.Figures[1].Knobs = []string{"k", "k"} },
		"knob start":         func(r *tell.Result) { r.Knobs[0].Start = 3 },
		"knob uneven":        func(r *tell.Result) { r.Knobs[0].Positions[1] = 0.4 },
		"knob of one":        func(r *tell.Result) { r.Knobs[0].Positions = r.Knobs[0].Positions[:1]; r.Knobs[0].Start = 0 },
		"value at start":     func(r *tell.Result) { r.Values[1].Number++ },
		"claim at start":     func(r *tell.Result) { r.Claims[1].Holds = false },
		"figure at start":    func(r *tell.Result) { r.Figures[1].Panes = r.Figures[1].Frames[0] },
		"table at start":     func(r *tell.Result) { r.Tables[1].Rows = r.Tables[1].Frames[0] },
		"claim frames":       func(r *tell.Result) { r.Claims[1].Frames = nil },
		"figure frame":       func(r *tell.Result) { r.Figures[1].Frames[1][0].Lines[0].X = nil },
		"figure frame other": func(r *tell.Result) { r.Figures[1].Frames[1][0].Lines[0].Label = "other" },
		"table frame":        func(r *tell.Result) { r.Tables[1].Frames[2] = nil },
		"table frame longer": func(r *tell.Result) {
			r.Tables[1].Frames[2] = append(r.Tables[1].Frames[2], r.Tables[1].Frames[2][0])
		},
		"mechanism":        func(r *tell.Result) { r.Motions[0].Mechanism = "governor" },
		"motion signal":    func(r *tell.Result) { r.Motions[0].Signals.Signals[0].T = nil },
		"motion size":      func(r *tell.Result) { r.Motions[0].Sizes = nil },
		"finder name":      func(r *tell.Result) { r.Finders[0].Name = "k" },
		"finder of none":   func(r *tell.Result) { r.Finders[0].Root = tell.Look{} },
		"finder ends":      func(r *tell.Result) { r.Finders[0].Root.Answers[1].Then = nil },
		"finder answer":    func(r *tell.Result) { r.Finders[0].Root.Answers[1].Says = "no\u202e" },
		"finder hazard":    func(r *tell.Result) { r.Finders[0].Root.Answers[0].Then.Hazard = "</svg>" },
		"finder both":      func(r *tell.Result) { r.Finders[0].Root.Causes = []tell.Cause{{Says: "four"}} },
		"schematic kind":   func(r *tell.Result) { r.Schematics[0].Parts[0].Kind = "flux" },
		"schematic join":   func(r *tell.Result) { r.Schematics[0].Joins[0].Through[0] = "9,9" },
		"schematic words":  func(r *tell.Result) { r.Schematics[0].Parts[0].Words = "x\u202e" },
		"strips terminal":  func(r *tell.Result) { r.Strips[0].Wires[0].From = "K1.3" },
		"strips verdict":   func(r *tell.Result) { r.Strips[0].Wires[0].Verdict = "</svg>" },
		"strips drawing":   func(r *tell.Result) { r.Strips[0].Wires[0].Drawn = []int{-1} },
		"strips name":      func(r *tell.Result) { r.Strips[0].Sheets[0].Name = "a\u202e" },
		"sound of nothing": func(r *tell.Result) { r.Sounds[0].Signal.T = nil },
		"sound too long":   func(r *tell.Result) { r.Sounds[0].Seconds = 1e9 },
		"sound of both":    func(r *tell.Result) { r.Sounds[1].Signal = r.Sounds[0].Signal },
		"sound frame":      func(r *tell.Result) { r.Sounds[1].Frames[2].Partials[0].Frequency = 1e5 },
		"sound frames":     func(r *tell.Result) { r.Sounds[1].Frames = r.Sounds[1].Frames[1:] },
		"sound at start":   func(r *tell.Result) { r.Sounds[1].Heard = r.Sounds[1].Frames[0] },
		"sound name":       func(r *tell.Result) { r.Sounds[0].Name = r.Figures[0].Name },
		"sounds too long": func(r *tell.Result) {
			for i := range 50 {
				more := r.Sounds[0]
				more.Name, more.Seconds = fmt.Sprintf("more%d", i), 2
				r.Sounds = append(r.Sounds, more)
			}
		},
		// Words that no page could show as they are.
		"value unit":        func(r *tell.Result) { r.Values[0].Unit = "V\u202e" },
		"claim unit":        func(r *tell.Result) { r.Claims[0].Limits[0].Unit = "\u200f%" },
		"claim found":       func(r *tell.Result) { r.Claims[0].Found = "\x1b[2J" },
		"axis label":        func(r *tell.Result) { r.Figures[0].X.Label = "\u2067x" },
		"line label":        func(r *tell.Result) { r.Figures[0].Panes[0].Lines[0].Label = "l\x00" },
		"column head":       func(r *tell.Result) { r.Tables[0].Columns[0].Head = "h\u200b" },
		"table entry":       func(r *tell.Result) { r.Tables[0].Rows[1][0].Text = "x\U000e0041" },
		"table frame entry": func(r *tell.Result) { r.Tables[1].Frames[2][0][0] = tell.Entry{Text: "x\u202e"} },
		"knob label":        func(r *tell.Result) { r.Knobs[0].Label = "load\u202e" },
		"sound signal":      func(r *tell.Result) { r.Sounds[0].Signal.Unit = "\ufeffV" },
		"card unknown":      func(r *tell.Result) { r.Cards = []string{"three"} },
		"card twice":        func(r *tell.Result) { r.Cards = []string{"two", "two"} },
	} {
		r := full(t)
		spoil(&r)
		if _, err := readAnswer(encode(t, r), shelf, Limits{}); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func TestReadAnswerRefusesBytes(t *testing.T) {
	good := string(encode(t, full(t)))
	for name, text := range map[string]string{
		"empty":         "",
		"neither":       "{}",
		"both":          `{"Failure":{"Text":"x"},` + good[1:],
		"cut":           good[:len(good)/2],
		"more":          good + "{}",
		"unknown field": strings.Replace(good, `{"Result":{`, `{"Result":{"Extra":1,`, 1),
		"too large":     strings.Replace(good, "1.5", "1e999", 1),
		"not a number":  strings.Replace(good, "1.5", "NaN", 1),
		"other type":    strings.Replace(good, "1.5", `"1.5"`, 1),
		"many parts":    `{"Result":{"Values":[` + strings.Repeat("{},", 1<<20) + "{}]}}",
		"deep":          strings.Repeat("[", 1<<19),
	} {
		if name != "empty" && text == good {
			t.Fatalf("%s: nothing was changed", name)
		}
		if _, err := readAnswer([]byte(text), shelf, Limits{}); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

// Whatever bytes come, reading them ends in an answer or an error.
func FuzzReadAnswer(f *testing.F) {
	f.Add([]byte(`{"Result":{"Values":[{"Name":"a","Number":1,"Unit":"V"}],"Knobs":[{"Name":"k","Label":"l","Positions":[0,1]}]}}`))
	f.Add([]byte(`{"Failure":{"Text":"x","Hint":"y","Mark":3}}`))
	f.Fuzz(func(t *testing.T, content []byte) {
		a, err := readAnswer(content, shelf, Limits{})
		if err == nil && (a.Result == nil) == (a.Failure == nil) {
			t.Error("neither an answer nor an error")
		}
	})
}

func TestFrames(t *testing.T) {
	var b bytes.Buffer
	for _, s := range []string{"", "one", strings.Repeat("x", 1000)} {
		if err := writeFrame(&b, 'x', []byte(s)); err != nil {
			t.Fatal(err)
		}
	}
	whole := slices.Clone(b.Bytes())
	for _, s := range []string{"", "one", strings.Repeat("x", 1000)} {
		kind, got, err := readFrame(&b, 1000)
		if err != nil || kind != 'x' || string(got) != s {
			t.Errorf("%c %q %v, want %q", kind, got, err, s)
		}
	}
	if _, _, err := readFrame(&b, 1000); err != io.EOF {
		t.Errorf("at the end: %v", err)
	}
	if _, _, err := readFrame(bytes.NewReader(whole[5+5+3:]), 999); err == nil || err == io.EOF {
		t.Errorf("a frame over the limit: %v", err)
	}
	if _, _, err := readFrame(bytes.NewReader([]byte("a\xff\xff\xff\xffshort")), 1<<32-1); err != io.ErrUnexpectedEOF {
		t.Errorf("a frame cut short: %v", err)
	}
}

// What a child says other than one whole answer becomes a message.
func TestReadFrames(t *testing.T) {
	frame := func(kind byte, content string) string {
		var b bytes.Buffer
		if err := writeFrame(&b, kind, []byte(content)); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	mark := frame(frameMark, "\x00\x00\x00\x00\x00\x00\x00\x07")
	for _, c := range []struct {
		name, sent, answer string
		mark               int
		broken             bool
	}{
		{"nothing", "", "", -1, false},
		{"marks and an answer", mark + frame(frameAnswer, "{}"), "{}", 7, false},
		{"marks alone", mark + mark, "", 7, false},
		{"two answers", frame(frameAnswer, "{}") + frame(frameAnswer, "{}"), "", -1, true},
		{"a mark after the answer", frame(frameAnswer, "{}") + mark, "", -1, true},
		{"a short mark", frame(frameMark, "\x00"), "", -1, true},
		{"another kind", frame('z', "{}"), "", -1, true},
		{"text", "fatal error: something\n", "", -1, true},
		{"an answer too long", frame(frameAnswer, strings.Repeat(" ", 1<<16+1)), "", -1, true},
		{"an answer cut short", frame(frameAnswer, "{\"Result\":{}}")[:10], "", -1, true},
	} {
		r := report{mark: -1}
		r.read(strings.NewReader(c.sent), Limits{Output: 100})
		if string(r.answer) != c.answer || r.mark != c.mark || (r.broken != nil) != c.broken {
			t.Errorf("%s: answer %q, mark %d, broken %v", c.name, r.answer, r.mark, r.broken)
		}
	}
}

// Last words of the Go runtime, in the form in which version 1.26 writes them.
func TestDeath(t *testing.T) {
	limits := Limits{}.filled()
	for _, c := range []struct{ stderr, want string }{
		{"runtime: goroutine stack exceeds 67108864-byte limit\nruntime: sp=0xc02 stack=[0xc0, 0xc1]\nfatal error: stack overflow\n", tooDeep(4).Text},
		{"fatal error: runtime: out of memory\n", outOfMemory(limits, 4).Text},
		{"runtime: out of memory: cannot allocate 8796093022208-byte block (3932160 in use)\nfatal error: out of memory\n", outOfMemory(limits, 4).Text},
		{"runtime/cgo: pthread_create failed: Resource temporarily unavailable\nSIGABRT: abort\n", outOfMemory(limits, 4).Text},
		{"fatal error: concurrent map writes\n", "running this brought the interpreter down: concurrent map writes"},
		{"", "the process that runs cells ended before its time (exit status 9)"},
	} {
		r := report{mark: 4, stderr: c.stderr, err: fmt.Errorf("exit status 9")}
		f := r.death(limits)
		if f.Text != c.want || f.Hint == "" || f.Mark != 4 {
			t.Errorf("%q: %+v", c.stderr, f)
		}
	}
}

// What a child says is fit to print, and lies within the lesson.
func TestMessageIsClean(t *testing.T) {
	p := written("", "", "")
	m := messageOf(p, &failure{Text: "a\x1b[31m\x00b\u202e" + strings.Repeat("x", 5000), Hint: "next", Mark: 1 << 40})
	if strings.ContainsAny(m.Text, "\x1b\x00\u202e") || len(m.Text) > 1100 || m.Line != 1 || m.Column != 3 {
		t.Errorf("%d:%d %.40q", m.Line, m.Column, m.Text)
	}
}
