package proof

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// What pages and the answer key are given, as text.
func TestReport(t *testing.T) {
	a, err := readFile(filepath.Join("testdata", "report.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	l, report, messages := proofread(t, a)
	var b strings.Builder
	for _, m := range messages {
		fmt.Fprintln(&b, m)
	}
	for i, s := range report.Sources {
		fmt.Fprintf(&b, "source %d is %s\n", i+1, s.Label)
	}
	l.Body.Walk(func(n *lesson.Node) bool {
		if number, ok := report.Cites[n]; ok {
			fmt.Fprintf(&b, "%q cites %d\n", report.Printed[n], number)
		}
		if term, ok := report.Terms[n]; ok {
			fmt.Fprintf(&b, "%q is the term %s\n", report.Printed[n], term.Word)
		}
		if n.Kind == lesson.Insert {
			fmt.Fprintf(&b, "%s in braces prints %q\n", n.Name, report.Printed[n])
		}
		one, _ := Placed(n, ShownBy(l, tell.Result{}))
		if d, ok := one.What.(lesson.Data); ok {
			table := Table(d, strings.ToUpper)
			fmt.Fprintf(&b, "table %s has columns %v and rows %v\n", n.Name, table.Columns, table.Rows)
		}
		return true
	})
	for i, q := range report.Questions {
		fmt.Fprintf(&b, "question %d, of line %d: %.12g %s within %.6g, options %v, in words %q\n", i+1, line(l, q.Node), q.Number, q.Unit, q.Within, q.Right, q.Words)
	}
	for _, x := range report.Exceptions {
		fmt.Fprintf(&b, "excused because %s: %v\n", x.Because, x.Findings)
	}
	a.golden(t, b.String())
}

func line(l *lesson.Lesson, n *lesson.Node) int {
	line, _ := l.At(n.Offset)
	return line
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
