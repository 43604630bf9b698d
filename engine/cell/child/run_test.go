package child

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"slipring/engine/cell/assemble"
	"slipring/engine/diag"
	"slipring/engine/machine"
	"slipring/engine/sweeptest"
	"slipring/engine/tell"
)

// written makes a program of an assembled file written by hand: declarations,
// and the statements of Run. Mark n stands in line n+1 of its lesson, in
// column 3.
func written(imports, declarations, statements string) *assemble.Program {
	var b strings.Builder
	b.WriteString("package cells\n\nimport (\n\t__tell \"slipring/engine/tell\"\n\t__bench \"slipring/engine/bench\"\n")
	for _, i := range strings.Fields(imports) {
		fmt.Fprintf(&b, "\t%q\n", i)
	}
	b.WriteString(")\n\nvar (\n\t__mark func(int)\n\ttell *__tell.Sheet\n\tbench *__bench.Shelf\n)\n\n" + declarations)
	b.WriteString("\n\nfunc Run(__t *__tell.Sheet, __b *__bench.Shelf, __m func(int)) {\n")
	b.WriteString("\ttell, bench, __mark = __t, __b, __m\n" + statements + "\n}\n")
	p := &assemble.Program{File: "lessons/01-test/lesson.md", Source: []byte(b.String())}
	for n := range 20 {
		p.Marks = append(p.Marks, assemble.Mark{Offset: 10*n + 2})
		p.LessonSource = append(p.LessonSource, "123456789\n"...)
	}
	return p
}

// small limits keep the host's memory free. Their time is only ever used up
// by a test that fails.
var small = Limits{Time: 5 * time.Minute, Memory: 96 << 20, Printed: 1000, Output: 100_000}

// runProgram is Run for a caller that keeps nothing.
func runProgram(ctx context.Context, p *assemble.Program, cards []machine.Card, limits Limits) (tell.Result, []diag.Message) {
	result, _, messages := Run(ctx, p, cards, nil, limits)
	return result, messages
}

func run(t *testing.T, p *assemble.Program, l Limits) tell.Result {
	t.Helper()
	r, messages := runProgram(context.Background(), p, nil, l)
	for _, m := range messages {
		t.Error(m)
	}
	return r
}

// fails runs a program that must fail with one message, in the given line of
// its lesson.
func fails(t *testing.T, p *assemble.Program, l Limits, line int, text string) diag.Message {
	t.Helper()
	r, messages := runProgram(context.Background(), p, nil, l)
	if len(messages) != 1 {
		t.Fatalf("%d messages, want 1: %v", len(messages), messages)
	}
	m := messages[0]
	if !reflect.DeepEqual(r, tell.Result{}) {
		t.Error("a result beside a failure")
	}
	if m.File != p.File || m.Line != line || m.Column != 3 || m.Level != diag.Error || m.Rule != "cell-run" {
		t.Errorf("%s:%d:%d %v %q: want line %d", m.File, m.Line, m.Column, m.Level, m.Rule, line)
	}
	if m.Text != text {
		t.Errorf("text %q, want %q", m.Text, text)
	}
	if m.Hint == "" || strings.Contains(m.String(), "goroutine") || strings.Contains(m.String(), "fatal error") {
		t.Errorf("not a message for an author:\n%v", m)
	}
	return m
}

func TestRun(t *testing.T) {
	p := written("fmt math", `type point struct{ x, y float64 }`, `
		__mark(0)
		xs := []float64{0, 1, 2}
		var ys []float64
		for _, x := range xs {
			__mark(1)
			ys = append(ys, point{x, math.Sqrt(x)}.y)
		}
		__mark(2)
		fmt.Println("three", len(ys))
		fmt.Printf("%.1f\n", ys[1])
		tell.Value("root", ys[2], "")
		tell.Value("third", 1.0/3, "m")
		tell.Below("low", ys[2], 1.5, "V")
		tell.Claim("yes", len(ys) == 3)
		tell.Figure(__tell.Figure{Name: "roots", Panes: []__tell.Pane{{Lines: []__tell.Line{{X: xs, Y: ys, Marks: true}}}}})
		tell.Table(__tell.Table{Name: "t", Columns: []__tell.Column{{Head: "a", Decimals: 2}}, Rows: [][]__tell.Entry{{__tell.Number(ys[2])}, {__tell.Text("b")}}})
	`)
	got := run(t, p, Limits{})
	var s tell.Sheet // the same told by compiled code
	xs, ys := []float64{0, 1, 2}, []float64{0, 1, math.Sqrt2}
	s.Value("root", math.Sqrt2, "")
	s.Value("third", 1.0/3, "m")
	s.Below("low", math.Sqrt2, 1.5, "V")
	s.Claim("yes", true)
	s.Figure(tell.Figure{Name: "roots", Panes: []tell.Pane{{Lines: []tell.Line{{X: xs, Y: ys, Marks: true}}}}})
	s.Table(tell.Table{Name: "t", Columns: []tell.Column{{Head: "a", Decimals: 2}}, Rows: [][]tell.Entry{{tell.Number(math.Sqrt2)}, {tell.Text("b")}}})
	want := s.Result()
	want.Printed = "three 3\n1.0\n"
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
}

// Numbers come back as they were, to the last bit.
func TestRunExact(t *testing.T) {
	p := written("math", "", `
		tell.Value("a", math.SmallestNonzeroFloat64, "")
		tell.Value("b", math.MaxFloat64, "")
		tell.Value("c", 0.1, "")
		tell.Value("d", math.Copysign(0, -1), "")
		tell.Value("e", 1e21+1e5, "")
		tell.Value("f", 123456789.12345679, "")`)
	want := []float64{math.SmallestNonzeroFloat64, math.MaxFloat64, 0.1, math.Copysign(0, -1), 1e21 + 1e5, 123456789.12345679}
	r := run(t, p, small)
	if len(r.Values) != len(want) {
		t.Fatalf("%d values", len(r.Values))
	}
	for i, v := range r.Values {
		if math.Float64bits(v.Number) != math.Float64bits(want[i]) {
			t.Errorf("%s is %v, want %v", v.Name, v.Number, want[i])
		}
	}
}

func TestPanics(t *testing.T) {
	for _, c := range []struct {
		name, imports, decl, body, text string
		line                            int
	}{
		{"index", "", "", "xs := []float64{1, 2, 3}\n__mark(4)\nn := 3\ntell.Value(`x`, xs[n], ``)",
			"an index is out of range", 5},
		{"index of array", "", "", "var xs [3]float64\n__mark(4)\nn := 3\nxs[n] = 1",
			"an index is out of range", 5},
		{"index of text", "", "", "s := `abc`\n__mark(4)\nn := 3\n_ = s[n]",
			"an index is out of range", 5},
		{"slice", "", "", "xs := []float64{1, 2, 3}\n__mark(4)\nn := 9\nxs = xs[1:n]",
			"a part is taken that reaches beyond the list or text", 5},
		{"slice of text", "", "", "s := `abc`\n__mark(4)\nn := 9\ns = s[1:n]",
			"a part is taken that reaches beyond the list or text", 5},
		{"division", "", "", "__mark(2)\nn := 0\nm := 7 / n\n_ = m",
			"a whole number is divided by zero", 3},
		{"remainder", "", "", "__mark(2)\nn := 0\nm := 7 % n\n_ = m",
			"a whole number is divided by zero", 3},
		{"nil map", "", "", "var m map[string]float64\n__mark(1)\nm[`a`] = 1",
			"a value is put into a map that was never made", 2},
		{"nil pointer", "", "type p struct{ x float64 }", "var q *p\n__mark(1)\ntell.Value(`x`, q.x, ``)",
			"this uses something that was never made: a nil pointer or a nil function", 2},
		{"nil function", "", "", "var f func() float64\n__mark(1)\ntell.Value(`x`, f(), ``)",
			"this uses something that was never made: a nil pointer or a nil function", 2},
		{"negative make", "", "", "n := -1\n__mark(1)\nxs := make([]float64, n)\n_ = xs",
			"a list of impossible length is asked for", 2},
		{"repeat", "strings", "", "n := -1\n__mark(1)\ns := strings.Repeat(`x`, n)\n_ = s",
			"text is to be repeated less than zero times", 2},
		{"own", "", "", "__mark(3)\npanic(`the contact gap is negative`)",
			`the cell stops here with panic: "the contact gap is negative"`, 4},
		{"own in a function", "", "func f(n int) int {\n__mark(7)\nif n == 0 {\n__mark(8)\npanic(`no`)\n}\nreturn f(n-1)\n}", "__mark(3)\nf(5)",
			`the cell stops here with panic: "no"`, 9},
		{"own with an error", "errors", "", "__mark(3)\npanic(errors.New(`bad\x1b[31m`))",
			`the cell stops here with panic: "bad\x1b[31m"`, 4},
		{"own with a number", "", "", "__mark(3)\npanic(42)",
			`the cell stops here with panic: "42"`, 4},
		{"told twice", "", "", "tell.Value(`a`, 1, ``)\n__mark(3)\ntell.Value(`a`, 2, ``)",
			`"a" was told before, as a value`, 4},
		{"told nothing finite", "math", "", "__mark(3)\ntell.Value(`a`, math.Inf(1), ``)",
			`value "a" is +Inf, which no page can print`, 4},
		{"unknown card", "", "", "__mark(6)\nbench.Open(`none`)",
			`there is no machine card called "none"`, 7},
		{"printing", "fmt strings", "", "__mark(5)\nfor {\nfmt.Println(strings.Repeat(`x`, 100))\n}",
			"the cells print more than 1000 bytes", 6},
		{"in a function that is handed over", "sort", "", "xs := []int{2, 1}\n__mark(1)\nsort.Slice(xs, func(i, j int) bool {\n__mark(2)\nreturn xs[i+5] < xs[j]\n})",
			"an index is out of range", 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			fails(t, written(c.imports, c.decl, c.body), small, c.line, c.text)
		})
	}
}

// A fault in the engine is not blamed on the lesson.
func TestPanicInEngine(t *testing.T) {
	p := written("slipring/engine/machine", "", "__mark(3)\nvar c machine.Constant\n_ = c\nvar s *machine.Simulation\n_ = s.Time()")
	_, messages := runProgram(context.Background(), p, nil, small)
	if len(messages) != 1 || !strings.HasSuffix(messages[0].Hint, ourFault) || !strings.HasPrefix(messages[0].Text, "machine.(*Simulation).Time failed: ") || messages[0].Line != 4 {
		t.Errorf("%v", messages)
	}
}

func TestEndlessLoop(t *testing.T) {
	l := small
	l.Time = time.Second
	text := "the cells were still running after 1 s, and were here then"
	for name, c := range map[string]struct {
		imports, body string
		line          int
	}{
		"marked":      {"", "__mark(1)\nx := 0.0\nfor {\n__mark(2)\nx += 1\n}", 3},
		"unmarked":    {"", "__mark(1)\nx := 0\nfor {\nx++\n}", 2},
		"called back": {"sort", "__mark(4)\nsort.Search(1<<62, func(i int) bool { for {\n}\nreturn true })", 5},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			fails(t, written(c.imports, "", c.body), l, c.line, text)
		})
	}
}

func TestEndlessRecursion(t *testing.T) {
	roomy := Limits{}
	if sweeptest.UnderRaceDetector() { // whose shadow of a deep stack is memory as well
		roomy.Memory = 4 * Defaults().Memory
	}
	fails(t, written("", "func down(x float64) float64 {\n__mark(7)\nreturn down(x+1) + 1\n}", "__mark(1)\ntell.Value(`x`, down(0), ``)"), small, 8,
		"functions call each other without end here")
	fails(t, written("", "func a(x int) int {\n__mark(7)\nreturn b(x)\n}\nfunc b(x int) int {\nreturn a(x)\n}", "__mark(1)\na(1)"), roomy, 8,
		"functions call each other without end here")
}

func TestOutOfMemory(t *testing.T) {
	text := "the cells need more than 96 MB of memory here"
	for name, body := range map[string]string{
		"list of lists": "var all [][]float64\nfor {\n__mark(3)\nall = append(all, make([]float64, 1<<16))\n}",
		"small pieces":  "var all []*[20]float64\nfor {\n__mark(3)\nall = append(all, new([20]float64))\n}",
		"one list":      "var all []float64\n__mark(3)\nfor {\nall = append(all, 1, 2, 3, 4)\n}",
		"giant make":    "n := 1 << 40\n__mark(3)\nxs := make([]float64, n)\n_ = xs",
		"large make":    "n := 1 << 28\n__mark(3)\nxs := make([]float64, n)\n_ = xs",
		"made and used": "__mark(3)\nxs := make([]float64, 16<<20)\nfor i := 0; ; i++ {\n__mark(3)\nxs[i%len(xs)] = 1\n}",
		"text":          "s := `x`\n__mark(3)\nfor {\ns += s\n}",
		"map":           "m := map[int][40]float64{}\n__mark(3)\nfor i := 0; ; i++ {\nm[i] = [40]float64{}\n}",
	} {
		t.Run(name, func(t *testing.T) { fails(t, written("", "", body), small, 4, text) })
	}
	fails(t, written("strings", "", "n := 1 << 40\n__mark(3)\ns := strings.Repeat(`x`, n)\n_ = s"), small, 4, text)
}

// A child that has answered ends in order, whatever its answer. Under the race
// detector it would not if its parts got in each other's way.
func TestChildEndsInOrder(t *testing.T) {
	for name, c := range map[string]struct {
		body  string
		limit time.Duration
	}{
		"result":  {"for i := 0; i < 100; i++ {\n__mark(1)\ntell.Value(string(rune('a'+i%26))+string(rune('a'+i/26)), 1, ``)\n}", small.Time},
		"failure": {"__mark(2)\npanic(`no`)", small.Time},
		"time":    {"for {\n__mark(1)\n__mark(2)\n}", time.Second},
	} {
		for _, plain := range []bool{false, true} {
			l := small
			l.Time = c.limit
			p := written("", "", c.body)
			r, err := startChild(context.Background(), request{Source: p.Source, Limits: l.filled(), Plain: plain})
			if name == "time" && r.expired {
				r.err = nil // the parent was quicker, on a computer with much to do
			}
			if err != nil || r.err != nil || r.stderr != "" || r.answer == nil || r.broken != nil {
				t.Errorf("%s, plain %v: %v, %v, %v, answer %q, said %q", name, plain, err, r.err, r.broken, r.answer, r.stderr)
			}
		}
	}
}

// Lessons run side by side.
func TestSideBySide(t *testing.T) {
	var wait sync.WaitGroup
	for i := range 6 {
		wait.Go(func() {
			p := written("", "", fmt.Sprintf("x := 0.0\nfor i := 0; i < 1000; i++ {\n__mark(%d)\nx += %d\n}\ntell.Value(`x`, x, ``)", i, i))
			r, messages := runProgram(context.Background(), p, nil, small)
			if len(messages) > 0 || len(r.Values) != 1 || r.Values[0].Number != 1000*float64(i) {
				t.Errorf("%v %+v", messages, r)
			}
		})
	}
	wait.Wait()
}

// What the interpreter does not take is a fault of ours, at the statement.
func TestNotInterpreted(t *testing.T) {
	p := written("", "", "__mark(0)\n__mark(1)\nx := 1\n__mark(2)\ny := x + unknown\n_ = y")
	m := fails(t, p, small, 3, "the interpreter cannot run this: undefined: unknown")
	if m.Hint != ourFault {
		t.Error(m.Hint)
	}
}

func TestResultTooLarge(t *testing.T) {
	body := `
		var x []float64
		for i := 0; i < 20000; i++ {
			x = append(x, float64(i))
		}
		__mark(2)
		tell.Figure(__tell.Figure{Name: "f", Panes: []__tell.Pane{{Lines: []__tell.Line{{X: x, Y: x}}}}})`
	_, messages := runProgram(context.Background(), written("", "", body), nil, small)
	if len(messages) != 1 || !strings.Contains(messages[0].Text, "more than 97 KB") {
		t.Errorf("%v", messages)
	}
	run(t, written("", "", body), Limits{})
}

// Cards reach the child whole, and those that were opened come back.
func TestCards(t *testing.T) {
	c := machine.Card{Name: "full", Title: "a card", Invented: true, Revised: "2026-01-02"}
	next := 0.0
	for _, part := range machine.PartNames() {
		c.Fit(part)
		list, _ := machine.Describe(part)
		for _, d := range list {
			next += 1.0 / 3
			word := fmt.Sprint("s", next)
			c.Put(part, d.Key, machine.Given{Value: next, Unit: word + "u", Origin: machine.Origin(word + "o"), Note: word + "n", Date: word + "d"})
		}
	}
	var names, want []string
	for _, e := range c.Constants() {
		names = append(names, e.Name())
	}
	if len(names) < 30 {
		t.Fatalf("only %d constants", len(names))
	}
	body := "c := bench.Open(`full`).Card()\nfor _, e := range c.Constants() {\nfmt.Println(e.Part, e.Key, e.Given, e.Unit)\n}\nbench.Open(`full`)\nfmt.Println(c.Name, c.Title, c.Invented, c.Revised)"
	for _, e := range c.Constants() {
		want = append(want, fmt.Sprintln(e.Part, e.Key, e.Given, e.Unit))
	}
	want = append(want, fmt.Sprintln(c.Name, c.Title, c.Invented, c.Revised))
	r, messages := runProgram(context.Background(), written("fmt", "", body), []machine.Card{{Name: "other"}, c}, Limits{})
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	if got := strings.Join(want, ""); r.Printed != got {
		t.Errorf("got\n%s\nwant\n%s", r.Printed, got)
	}
	if !reflect.DeepEqual(r.Cards, []string{"full"}) {
		t.Errorf("cards %q", r.Cards)
	}
}
