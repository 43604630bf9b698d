package proof

import (
	"fmt"
	"math"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"slipring/engine/lesson"
)

// What pages and the answer key are given: answers at full precision and in
// words, citations in the order of first use, terms, tables and exceptions.
func TestReport(t *testing.T) {
	a := archive{txtar.Parse([]byte(`-- lesson.md --
` + "```lesson\ntitle = \"A\"\ndata = [\"readings.csv\"]\n\n[[except]]\nrule = \"panel-sentence\"\nat = \"This one\"\nbecause = \"of a rhyme\"\n```" + `

First [one][src.two], then [the other][src.one], [one][src.two] again, and a [*word*][term.word].

![At {idle.speed}, {idle.speed 19.950 turns a second}, {drop}, {large}, {whole}, {nothing}, {card.battery.voltage}](table:readings)

` + "```question\n" + `ask = "How fast?"
answer = "idle.speed"
within = "0.3 %"
unit = "r/min"
why = "So."
` + "```\n\n```question\n" + `ask = "How much?"
answer = "drop"
within = "20 mV"
why = "So."
` + "```\n\n```question\n" + `ask = "Which?"
why = "So."
[[option]]
text = "No."
when = "false"
[[option]]
text = "The *one* of {idle.speed 19.95 Hz}."
when = "not false"
` + "```\n\n```question\n" + `ask = "Smallest?"
right = "smallest"
why = "So."
[[option]]
text = "whole"
value = "whole"
[[option]]
text = "small"
value = "small"
` + "```\n\n```question\n" + `ask = "Order?"
by = "falling"
why = "So."
[[item]]
text = "small"
value = "small"
[[item]]
text = "large"
value = "large"
[[item]]
text = "middling"
value = "middling"
` + "```\n\n```visitor\n" + `This one goes on and on and on and on and on and on and on and on and on and on and on and on and on and on and on.
` + "```\n" + `-- readings.csv --
# Invented.
load (A),speed (Hz),who
0.5,19.950,Tuesday
1,-,Friday
-- sources.toml --
[one]
kind = "book"
title = "One"
author = "A"
supports = "one"
[two]
kind = "book"
title = "Two"
author = "B"
supports = "two"
-- glossary.toml --
[word]
word = "word"
meaning = "What stands between spaces."
-- told --
value idle.speed 19.9501 Hz
value drop -0.5 V
value large 123456.7 A
value middling 1e6 mA
value small -3 A
value whole 8 A
value nothing 0
claim false false
card bell 48 V
`)), "report"}
	l, report, messages := proofread(t, a)
	for _, m := range messages {
		if m.Rule != ruleGrade {
			t.Error(m)
		}
	}

	if got := fmt.Sprint(report.Sources[0].Label, report.Sources[1].Label, len(report.Sources)); got != "two one 2" && got != "twoone2" {
		t.Errorf("sources %s", got)
	}
	cited, terms, inserts := "", "", ""
	l.Body.Walk(func(n *lesson.Node) bool {
		if number, ok := report.Cites[n]; ok {
			cited += fmt.Sprint(number, ":", report.Printed[n], " ")
		}
		if term, ok := report.Terms[n]; ok {
			terms += term.Word + ":" + report.Printed[n]
		}
		if n.Kind == lesson.Insert {
			inserts += report.Printed[n] + "|"
		}
		return true
	})
	if cited != "1:one 2:the other 1:one " || terms != "word:word" {
		t.Errorf("cited %q, terms %q", cited, terms)
	}
	if want := "20 Hz|19.950 turns a second|−0.5 V|123457 A|8 A|0|48 V|19.95 Hz|"; inserts != want {
		t.Errorf("braces print %q, want %q", inserts, want)
	}

	var answers []string
	for _, q := range report.Questions {
		answers = append(answers, fmt.Sprintf("%.12g %.6g %s %v %q", q.Number, q.Within, q.Unit, q.Right, q.Words))
	}
	want := []string{
		`1197.006 3.59102 r/min [] "1197 r/min"`,
		`-0.5 0.02 V [] "−0.50 V"`,
		`0 0  [1] "The one of 19.95 Hz."`,
		`0 0  [1] "small"`,
		`0 0  [1 2 0] "large; middling; small"`,
	}
	if fmt.Sprint(answers) != fmt.Sprint(want) {
		t.Errorf("answers\n%q\nwant\n%q", answers, want)
	}
	for _, q := range report.Questions {
		if q.Node == nil || q.Node.Question == nil {
			t.Error("an answer to no question")
		}
	}

	if len(report.Tables) != 1 {
		t.Fatalf("%d tables", len(report.Tables))
	}
	for n, table := range report.Tables {
		if got := fmt.Sprint(n.Name, table.Columns, table.Rows); got != "readings[{load A 1} {speed Hz 3} {who  0}] [[{ 0.5} { 19.95} {Tuesday 0}] [{ 1} {– 0} {Friday 0}]]" {
			t.Errorf("the table is %s", got)
		}
	}
	if len(report.Exceptions) != 1 || report.Exceptions[0].Because != "of a rhyme" || len(report.Exceptions[0].Findings) != 1 {
		t.Errorf("exceptions %+v", report.Exceptions)
	}
}

// {name} prints three significant digits, as rounding to them by hand gives,
// and no zeros at the end.
func TestDecimalsOf(t *testing.T) {
	for x, want := range map[float64]int{
		0: 0, 8: 0, 48: 0, 1234.5: 0, 19.9468: 1, 19.96: 0, 0.77: 2, 0.7749: 3, 0.0012345: 5, 9.995: 2, 99.96: 0, 1.5e-6: 7,
	} {
		if got := decimalsOf(x); got != want {
			t.Errorf("%v has %d decimals, want %d", x, got, want)
		}
		if got := decimalsOf(-x); got != want {
			t.Errorf("%v has %d decimals, want %d", -x, got, want)
		}
	}
	if got := decimalsOf(math.MaxFloat64); got != 0 {
		t.Errorf("the largest number has %d decimals", got)
	}
}
