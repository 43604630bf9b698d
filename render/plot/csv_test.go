package plot

import (
	"bytes"
	"encoding/csv"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/tell"
)

// records reads comma-separated values and checks the line ends that RFC 4180
// asks for (section 2, rule 1).
func records(t *testing.T, content []byte) [][]string {
	t.Helper()
	if n := bytes.Count(content, []byte("\n")); n == 0 || n != bytes.Count(content, []byte("\r\n")) {
		t.Errorf("not every line ends in CRLF: %.80q", content)
	}
	r, err := csv.NewReader(bytes.NewReader(content)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Every number of every figure reads back to the same float64.
func TestCSVIsExact(t *testing.T) {
	for i, f := range figures() {
		rows := records(t, CSV(f))
		column := 0
		next := func() []float64 {
			var out []float64
			for _, row := range rows[1:] {
				if row[column] == "" {
					break
				}
				x, err := strconv.ParseFloat(row[column], 64)
				if err != nil {
					t.Fatal(err)
				}
				out = append(out, x)
			}
			column++
			return out
		}
		var lines []tell.Line
		for _, p := range f.Panes {
			lines = append(lines, p.Lines...)
		}
		shared := len(rows[0]) == len(lines)+1
		var x []float64
		for k, l := range lines {
			if k == 0 || !shared {
				x = next()
			}
			if !slices.Equal(x, l.X) || !slices.Equal(next(), l.Y) {
				t.Errorf("figure %d, line %d does not read back from its CSV", i, k)
			}
		}
		if column != len(rows[0]) {
			t.Errorf("figure %d has %d columns, of which %d were read", i, len(rows[0]), column)
		}
	}
}

func TestCSVHeads(t *testing.T) {
	for _, c := range []struct {
		figure tell.Figure
		want   []string
	}{
		{oneTurn(), []string{"time of governor contact (s)", "governor contact", "time of output (s)", "output (V)"}},
		{lineAndMarks(), []string{"shaft speed of rule (Hz)", "contact open rule (%)", "shaft speed of computed step by step (Hz)", "contact open computed step by step (%)"}},
		{single(), []string{"(V)", "current"}},
	} {
		if got := records(t, CSV(c.figure))[0]; !slices.Equal(got, c.want) {
			t.Errorf("%s has the heads %q, want %q", c.figure.Name, got, c.want)
		}
	}
}

func TestTableCSV(t *testing.T) {
	table := tell.Table{
		Name:    "readings",
		Columns: []tell.Column{{Head: "=HYPERLINK(\"x\")"}, {Head: "speed", Unit: "Hz", Decimals: 1}, {Head: "@note"}},
		Rows: [][]tell.Entry{
			{tell.Text("first, \"of two\""), tell.Number(math.Pi), tell.Text("+1")},
			{tell.Text("-x"), tell.Number(-math.Pi), tell.Text("a\nb")},
			{tell.Text("＝1"), tell.Number(1e-300), tell.Text("20 Hz")},
		},
	}
	got := records(t, TableCSV(table))
	want := [][]string{
		{"'=HYPERLINK(\"x\")", "speed (Hz)", "'@note"},
		{"first, \"of two\"", "3.141592653589793", "'+1"},
		{"'-x", "-3.141592653589793", "a\nb"},
		{"'＝1", "1e-300", "20 Hz"},
	}
	if !slices.EqualFunc(got, want, slices.Equal) {
		t.Errorf("got %q, want %q", got, want)
	}
	if !strings.Contains(string(TableCSV(table)), `"first, ""of two"""`) {
		t.Error("quotation marks are not doubled (RFC 4180, section 2, rule 7)")
	}
}
