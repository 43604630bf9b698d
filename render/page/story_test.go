package page

import (
	"strings"
	"testing"

	"golang.org/x/net/html"

	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/story"
	"slipring/render/math"
	ui "slipring/render/words"
)

// Every formula and every symbol of the engine's equations can be set, and a
// symbol that no card gives still says what it is.
func TestEquations(t *testing.T) {
	words, err := ui.In("en")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, p := range story.Parts() {
		for _, e := range p.Equations {
			n++
			if _, err := math.Render(e.TeX, true); err != nil {
				t.Errorf("%s: %v", e.Key, err)
			}
			for _, s := range e.Symbols {
				if _, err := math.Render(s.TeX, false); err != nil {
					t.Errorf("%s: %s: %v", e.Key, s.TeX, err)
				}
			}
			printed, err := html.Parse(strings.NewReader(string(Explainer{Words: words}.Equation(e))))
			if err != nil {
				t.Fatal(err)
			}
			if rows := find(printed, "tr", ""); len(rows) != len(e.Symbols) {
				t.Errorf("%s has %d symbols, and %d are shown", e.Key, len(e.Symbols), len(rows))
			}
			if !strings.Contains(text(printed), "Source: "+e.Source) {
				t.Errorf("%s does not show its source", e.Key)
			}
		}
	}
	if n < 40 {
		t.Errorf("only %d equations were looked at", n)
	}
}

// A story holds the number in full, the line that told it, the constants that it
// is made of, and what other number stands in it, which has a story too.
func TestStories(t *testing.T) {
	in := source(t)
	const cell = "inside := set.Constant(\"battery.voltage\")\ntell.Value(\"idle.speed\", inside*2, \"Hz\")\n"
	in.Lesson.Cells = append(in.Lesson.Cells, lesson.Cell{Source: cell})
	here := len(in.Lesson.Cells) - 1
	from := strings.Index(cell, "tell")
	in.Told = []lesson.Told{{
		Name: "idle.speed", Place: lesson.Place{Cell: here, From: from, To: len(cell) - 1}, Via: []lesson.Place{{Cell: here, From: 0, To: from - 1}},
		Constants: []string{"battery.voltage"}, Leans: []string{"machine.Battery.Terminal"},
	}}
	c, messages := NewCourse(in, links())
	for _, m := range messages {
		t.Fatal(m)
	}
	told := parsed(t, string(c.Told))
	var one *html.Node
	for _, s := range find(told, "div", "story") {
		if attr(s, "id") == "story.idle.speed" {
			one = s
		}
	}
	if one == nil {
		t.Fatalf("there is no story: %s", c.Told)
	}
	if number := find(one, "data", "")[0]; attr(number, "value") != "19.950000000000003" || text(number) != "19.950000000000003" {
		t.Errorf("its number is %q", text(number))
	}
	for _, want := range []string{"voltage of the battery with no current drawn 48", "Computed by a formula: voltage that is left at the motor", "inside := set.Constant(\"battery.voltage\") tell.Value("} {
		if !strings.Contains(text(one), want) {
			t.Errorf("the story %q lacks %q", text(one), want)
		}
	}
	if equations := find(told, "div", "equation"); len(equations) != 1 || attr(equations[0], "id") != "equation.battery.terminal" {
		t.Errorf("%d equations are shown", len(equations))
	}
	if len(c.Stories) == 0 || c.Stories[0].Label != "idle.speed" || c.Stories[0].Equations[0] != "battery.terminal" {
		t.Errorf("the stories are %+v", c.Stories)
	}
}

// A fitted constant is written to two digits of its uncertainty, what people wrote as
// they wrote it. The example of JCGM 100:2008, 7.2.6: 10.057 62 ohm with 27 mohm is
// 10.058 ohm.
func TestDigits(t *testing.T) {
	for _, c := range []struct {
		value, u      float64
		from          machine.Origin
		number, doubt string
	}{
		{10.05762, 0.027, machine.Fitted, "10.058", "0.027"},
		{10.05762, 0.0271, machine.Measured, "10.05762", "0.0271"},
		{24.6, 0.12, machine.Fitted, "24.60", "0.12"},
		{24.6, 0.0996, machine.Fitted, "24.60", "0.10"},
		{1234.56, 138.6, machine.Fitted, "1230", "140"},
		{-1234.56, 12, machine.Fitted, "-1235", "12"},
		{0.9945213, 0, machine.Fitted, "0.9945213", ""},
		{0.00012347, 0.0000031, machine.Fitted, "0.0001235", "0.0000031"},
	} {
		if number, doubt := Digits(c.value, c.u, c.from); number != c.number || doubt != c.doubt {
			t.Errorf("%v ± %v, %s, is written %s ± %s; want %s ± %s", c.value, c.u, c.from, number, doubt, c.number, c.doubt)
		}
	}
}

// A doubt has two digits (the example of JCGM 100:2008, 7.2.6, has 27 mohm).
func TestTwoDigits(t *testing.T) {
	for u, want := range map[float64]string{0.0268: "0.027", 138.6: "140", 3.14: "3.1", 0.0962: "0.096", 12: "12"} {
		words, _ := ui.In("en")
		if got := words.Number(twoDigits(u)); got != want {
			t.Errorf("%v is written %s, want %s", u, got, want)
		}
	}
}
