package plot

import (
	"bytes"
	"encoding/csv"
	"fmt"
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
	reader := csv.NewReader(bytes.NewReader(content))
	reader.Comment = '#'
	r, err := reader.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Every number of every figure reads back to the same float64.
// What is thinned has some of its points, each to the same float64, and among
// them the ends and extremes.
func TestCSVIsExact(t *testing.T) {
	count := 0
	defer func() {
		if count < 3 {
			t.Errorf("%d figures were thinned", count)
		}
	}()
	for i, f := range figures() {
		content := CSV(f)
		thinned := content[0] == '#'
		large := len(figureCSV(f, nil, "")) > MostCSV
		if thinned && !large || len(content) > MostCSV {
			t.Errorf("figure %d has a CSV of %d bytes, thinned: %v", i, len(content), thinned)
		}
		if thinned {
			count++
		}
		rows := records(t, content)
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
		edges := 0
		for _, l := range lines {
			if l.Low != nil {
				edges += 2
			}
		}
		shared := len(rows[0]) == len(lines)+edges+1
		var x []float64
		for k, l := range lines {
			if k == 0 || !shared {
				x = next()
			}
			y := next()
			if l.Low != nil {
				if low, high := next(), next(); !thinned && (!slices.Equal(low, l.Low) || !slices.Equal(high, l.High)) {
					t.Errorf("figure %d, line %d: the band does not read back from its CSV", i, k)
				}
			}
			if thinned {
				checkThinned(t, fmt.Sprintf("figure %d, line %d", i, k), l, x, y)
				continue
			}
			if !slices.Equal(x, l.X) || !slices.Equal(y, l.Y) {
				t.Errorf("figure %d, line %d does not read back from its CSV", i, k)
			}
		}
		if column != len(rows[0]) {
			t.Errorf("figure %d has %d columns, of which %d were read", i, len(rows[0]), column)
		}
	}
}

func checkThinned(t *testing.T, which string, l tell.Line, x, y []float64) {
	t.Helper()
	if len(x) == 0 || len(x) != len(y) {
		t.Errorf("%s keeps %d x and %d y values", which, len(x), len(y))
		return
	}
	from := 0
	for k := range x {
		for from < len(l.X) && (l.X[from] != x[k] || l.Y[from] != y[k]) {
			from++
		}
		from++
	}
	if from > len(l.X) {
		t.Errorf("%s: the CSV has points that the line has not, or in another order", which)
	}
	if last := len(l.X) - 1; x[0] != l.X[0] || y[0] != l.Y[0] || x[len(x)-1] != l.X[last] || y[len(y)-1] != l.Y[last] {
		t.Errorf("%s has lost an end", which)
	}
	if slices.Min(y) != slices.Min(l.Y) || slices.Max(y) != slices.Max(l.Y) {
		t.Errorf("%s has lost an extreme", which)
	}
}

// swinging is a speed that swings more or less in each of eleven frames, at
// many more points than a drawing of it needs.
func swinging() (tell.Figure, tell.Knob) {
	knob := tell.Knob{Name: "pull", Label: "pull", Unit: "%"}
	f := tell.Figure{Name: "swing", X: tell.Axis{Label: "time", Unit: "s"}, Framed: tell.Framed{Knobs: []string{"pull"}}}
	for k := range 11 {
		knob.Positions = append(knob.Positions, 10*float64(k))
		x, y := series(2000, 0, 1, func(t float64) float64 {
			return 20 + 0.1*math.Exp(-float64(k)*t)*math.Sin(2*math.Pi*4.8*t)
		})
		f.Frames = append(f.Frames, []tell.Pane{{Y: tell.Axis{Label: "speed", Unit: "Hz"}, Lines: []tell.Line{{X: x, Y: y}}}})
	}
	f.Panes = f.Frames[0]
	return f, knob
}

// A thinned CSV shows what the figure does: between its points, straight lines
// pass every other point as closely as its first line says.
func TestThinnedCSVShowsTheSame(t *testing.T) {
	f, knob := swinging()
	content := CSV(f, knob)
	first, _, _ := strings.Cut(string(content), "\r\n")
	var kept, of int
	if _, err := fmt.Sscanf(first, "# %d of %d points are kept:", &kept, &of); err != nil || of != 22000 || kept > of/8 {
		t.Fatalf("the first line says %q (%v)", first, err)
	}
	if len(content) > MostCSV {
		t.Errorf("%d bytes", len(content))
	}
	rows := records(t, content)
	if !slices.Equal(rows[0], []string{"pull (%)", "time (s)", "speed (Hz)"}) || len(rows)-1 != kept {
		t.Fatalf("%d rows below %q", len(rows)-1, rows[0])
	}
	number := func(s string) float64 {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	d, err := Draw(f, Settings{})
	if err != nil {
		t.Fatal(err)
	}
	x, y := scales(t, parse(t, d.SVG).with("pane")[0], parse(t, d.SVG).with("pane")[0])
	for k, panes := range f.Frames {
		var at points
		for _, r := range rows[1:] {
			if number(r[0]) == knob.Positions[k] {
				at.add(number(r[1]), number(r[2]))
			}
		}
		l := panes[0].Lines[0]
		from := 0
		for i := range l.X {
			for from+2 < len(at.x) && at.x[from+1] <= l.X[i] {
				from++
			}
			part := (l.X[i] - at.x[from]) / (at.x[from+1] - at.x[from])
			off := math.Abs(at.y[from] + part*(at.y[from+1]-at.y[from]) - l.Y[i])
			slope := math.Abs((y.px(at.y[from+1]) - y.px(at.y[from])) / (x.px(at.x[from+1]) - x.px(at.x[from])))
			// off is measured straight up, the promise across the line
			if px := math.Abs(y.px(l.Y[i]+off)-y.px(l.Y[i])) / math.Hypot(1, slope); px > visible*1.01 {
				t.Fatalf("frame %d: at %g s the line passes %g px away", k, l.X[i], px)
			}
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
			{tell.Text("a;=1+1"), tell.Number(-1), tell.Text("a\";  @b;-c")},
			{tell.Text("\t=1"), tell.Number(0), tell.Text("a - b; c = d, =e")},
			{tell.Text(" =1+1"), tell.Number(2), tell.Text("a|=1| \u3000-x|b")},
		},
	}
	got := records(t, TableCSV(table))
	want := [][]string{
		{"'=HYPERLINK(\"x\")", "speed (Hz)", "'@note"},
		{"first, \"of two\"", "3.141592653589793", "'+1"},
		{"'-x", "-3.141592653589793", "a\nb"},
		{"'＝1", "1e-300", "20 Hz"},
		{"a;'=1+1", "-1", "a\";  '@b;'-c"},
		{"\t'=1", "0", "a - b; c = d, =e"},
		{" '=1+1", "2", "a|'=1| \u3000'-x|b"},
	}
	if !slices.EqualFunc(got, want, slices.Equal) {
		t.Errorf("got %q, want %q", got, want)
	}
	if !strings.Contains(string(TableCSV(table)), `"first, ""of two"""`) {
		t.Error("quotation marks are not doubled (RFC 4180, section 2, rule 7)")
	}
}
