package plot

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"slipring/engine/tell"
	"slipring/engine/waveform"
)

// box of a text, in px
type box struct{ left, right, top, bottom float64 }

func (a box) touches(b box) bool {
	return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom
}

// boxes measures all texts of a class with the Go typeface.
func boxes(t *testing.T, root element, class string) map[string]box {
	t.Helper()
	h, err := newLettering()
	if err != nil {
		t.Fatal(err)
	}
	size := root.number(t, "font-size")
	out := map[string]box{}
	for i, e := range root.with(class) {
		w := h.width(e.Text, size)
		x, y := e.number(t, "x"), e.number(t, "y")
		switch e.attr("text-anchor") {
		case "middle":
			x -= w / 2
		case "end":
			x -= w
		}
		out[fmt.Sprintf("%d %s", i, e.Text)] = box{x, x + w, y - digitHeight*size, y + 0.05*size}
	}
	return out
}

// No two numbers at an axis touch, no two names of lines do, and all text
// stays within the drawing.
func TestTextHasRoom(t *testing.T) {
	for i, f := range figures() {
		for _, s := range []Settings{{}, {Width: 740, Height: 388, Text: 21, Tallest: 388}, {Width: 420, Text: 15}} {
			root := drawn(t, f, s)
			var view [4]float64
			if _, err := fmt.Sscan(root.attr("viewBox"), &view[0], &view[1], &view[2], &view[3]); err != nil {
				t.Fatal(err)
			}
			for _, class := range []string{"label", "name", "quantity"} {
				all := boxes(t, root, class)
				for a, ba := range all {
					for b, bb := range all {
						if a != b && ba.touches(bb) {
							t.Errorf("figure %d (%s), %v: %s %q touches %q", i, f.Name, s, class, a, b)
						}
					}
					if ba.left < -0.5 || ba.right > view[2]+0.5 || ba.top < 0 || ba.bottom > view[3] {
						t.Errorf("figure %d (%s), %v: %s %q at %v leaves the drawing of %v", i, f.Name, s, class, a, ba, view)
					}
				}
			}
		}
	}
}

// The name of an axis is broken where the figure is too narrow for it, and no
// word of it is lost. A word that does not fit is an error.
func TestLongNamesOfAxes(t *testing.T) {
	f := longNamed()
	for _, width := range []float64{360, 500, 740} {
		var read []string
		for _, e := range drawn(t, f, Settings{Width: width, Text: 14}).with("quantity") {
			read = append(read, strings.Fields(e.Text)...)
		}
		want := strings.Fields(quantity(f.Panes[0].Y) + " " + quantity(f.Panes[1].Y) + " " + quantity(f.X))
		if !slices.Equal(read, want) {
			t.Errorf("%g px wide, the axes are called %q", width, read)
		}
	}
	f.X.Label = strings.Repeat("o", 60)
	if _, err := Draw(f, Settings{Width: 360, Text: 14}); err == nil || !strings.Contains(err.Error(), "too narrow for \"oooo") {
		t.Errorf("a word wider than the figure: %v", err)
	}
}

// Labels of one axis have equally many decimals, and as many as they need.
func TestLabels(t *testing.T) {
	for _, c := range []struct {
		xs   []float64
		want []string
	}{
		{[]float64{20.3, 20.35, 20.4}, []string{"20.30", "20.35", "20.40"}},
		{[]float64{-100, 0, 100}, []string{"\u2212100", "0", "100"}},
		{[]float64{0, 0.5, 1}, []string{"0.0", "0.5", "1.0"}},
		{[]float64{math.Copysign(0, -1), 2500, 5000}, []string{"0", "2500", "5000"}},
		{[]float64{0.1 + 0.2, 0.4}, []string{"0.3", "0.4"}},
		{[]float64{-1e-7, 1e-7}, []string{"\u22120.0000001", "0.0000001"}},
		{[]float64{1e9, 2e9}, []string{"1 × 10^9", "2 × 10^9"}},
	} {
		if got := together(c.xs); !slices.Equal(got, c.want) {
			t.Errorf("%v is labelled %q, want %q", c.xs, got, c.want)
		}
	}
}

// What the style sheet and the security policy count on: no style attribute,
// no colour but the current one, unique identifiers, a name and a description.
func TestForm(t *testing.T) {
	whole := regexp.MustCompile(`^-?[0-9]+(\.[0-9])?$`)
	for i, f := range figures() {
		d, err := Draw(f, Settings{ID: "figure.a<b", Title: `a "title" & more`})
		if err != nil {
			t.Fatal(err)
		}
		root := parse(t, d.SVG)
		if root.XMLName.Local != "svg" || root.attr("role") != "img" || !root.is("plot") {
			t.Errorf("figure %d begins as %v", i, root.Attrs)
		}
		ids := map[string]string{}
		root.all(func(e element) {
			if id := e.attr("id"); id != "" {
				if _, had := ids[id]; had {
					t.Errorf("figure %d: id %q stands twice", i, id)
				}
				ids[id] = e.Text
			}
			for _, a := range e.Attrs {
				switch a.Name.Local {
				case "style":
					t.Errorf("figure %d: %s has a style attribute", i, e.XMLName.Local)
				case "fill", "stroke":
					if a.Value != "none" && a.Value != "currentColor" {
						t.Errorf("figure %d: %s has the colour %q", i, e.XMLName.Local, a.Value)
					}
				case "x", "y":
					if !whole.MatchString(a.Value) {
						t.Errorf("figure %d: %q is not in tenths of a px", i, a.Value)
					}
				case "d":
					if regexp.MustCompile(`\.[0-9]{2}|e|NaN|Inf`).MatchString(a.Value) {
						t.Errorf("figure %d: path data %q are not in tenths of a px", i, a.Value)
					}
				}
			}
		})
		label := strings.Fields(root.attr("aria-labelledby"))
		if len(label) != 2 || ids[label[0]] != `a "title" & more` || ids[label[1]] != d.Description || d.Description == "" {
			t.Errorf("figure %d is labelled by %q, of %v", i, label, ids)
		}
		again, err := Draw(f, Settings{ID: "figure.a<b", Title: `a "title" & more`})
		if err != nil || again != d {
			t.Errorf("figure %d is drawn differently the second time", i)
		}
	}
}

func TestThin(t *testing.T) {
	for i, f := range figures() {
		root := drawn(t, f, Settings{})
		for _, path := range root.with("line") {
			if x, _ := vertices(t, path.attr("d")); len(x) > most {
				t.Errorf("figure %d: a trace has %d points", i, len(x))
			}
		}
	}
	jump := points{x: []float64{0, 1, 2, 2, 3, 4}, y: []float64{0, 0, 0, 50, 50, 50}}
	if got := jump.at(jump.thinned(most)); !slices.Equal(got.x, []float64{0, 2, 2, 4}) || !slices.Equal(got.y, []float64{0, 0, 50, 50}) {
		t.Errorf("a jump is thinned to %v", got)
	}
	var dense, smooth points
	for k := range 20001 {
		at := float64(k) / 20000
		dense.add(600*at, 80*math.Sin(2*math.Pi*400*at)+5*at)
		smooth.add(600*at, 80*math.Sin(2*math.Pi*3*at))
	}
	got := dense.at(dense.thinned(most))
	if len(got.x) > most {
		t.Errorf("a dense trace keeps %d points", len(got.x))
	}
	if slices.Min(got.y) != slices.Min(dense.y) || slices.Max(got.y) != slices.Max(dense.y) {
		t.Error("thinning loses the extremes of a dense trace")
	}
	if got.x[0] != 0 || got.x[len(got.x)-1] != 600 {
		t.Error("thinning loses the ends of a dense trace")
	}
	got = smooth.at(smooth.thinned(most))
	if len(got.x) > most || slices.Max(got.y) != slices.Max(smooth.y) {
		t.Errorf("a smooth trace keeps %d points", len(got.x))
	}
	for k := range smooth.x {
		i, _ := slices.BinarySearch(got.x, smooth.x[k])
		if i == 0 {
			continue
		}
		f := (smooth.x[k] - got.x[i-1]) / (got.x[i] - got.x[i-1])
		if off := math.Abs(got.y[i-1] + f*(got.y[i]-got.y[i-1]) - smooth.y[k]); off > 4*visible {
			t.Fatalf("at %.1f px the thinned trace is off by %.3f px", smooth.x[k], off)
		}
	}
	steps := points{x: []float64{0, 1, 2, 3, 4}, y: []float64{1, 1, 0, 0, 0}}
	if got := steps.at(steps.stepped(most)); !slices.Equal(got.x, []float64{0, 2, 4}) {
		t.Errorf("steps are thinned to %v", got)
	}
}

func TestDescription(t *testing.T) {
	for _, c := range []struct {
		figure tell.Figure
		want   string
	}{
		// 3 of 12 ms closed: a quarter of the time
		{oneTurn(), "Time: between 0 and 0.012 s. Governor contact: open for 75 % of the time, closed for 25 %, with 2 changes. Output: between \u2212119 and 119 V."},
		{flat(), "Horizontal axis: between 1 and 2. Vertical axis: \u22127.5 throughout."},
		{single(), "Horizontal axis: between 3 and 3 V. Current: 0 throughout."},
		{tell.Figure{Name: "w", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{{Y: tell.Axis{Label: "lamp"}, Lines: []tell.Line{
			{Label: "lamp", X: []float64{0, 1, 4}, Y: []float64{1, 0, 0}, Stepped: true}}}}},
			"Time: between 0 and 4 s. Lamp: at 0 for 75 % of the time, at 1 for 25 %, with 1 change."},
		// a name makes no contact, and a contact may have any name
		{tell.Figure{Name: "named", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{{Y: tell.Axis{Label: "contact"}, Lines: []tell.Line{
			{Label: "contact", X: []float64{0, 1, 4}, Y: []float64{1, 0, 0}, Stepped: true}}}}},
			"Time: between 0 and 4 s. Contact: at 0 for 75 % of the time, at 1 for 25 %, with 1 change."},
		{tell.Figure{Name: "relay", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{{Y: tell.Axis{Label: "relay"}, Lines: []tell.Line{
			{Label: "relay", Kind: waveform.Contact, X: []float64{0, 1, 4}, Y: []float64{1, 0, 0}, Stepped: true}}}}},
			"Time: between 0 and 4 s. Relay: open for 75 % of the time, closed for 25 %, with 1 change."},
		{tell.Figure{Name: "up", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{{Y: tell.Axis{Label: "K1"}, Lines: []tell.Line{
			{Label: "K1", Kind: waveform.Working, X: []float64{0, 1, 4}, Y: []float64{1, 0, 0}, Stepped: true}}}}},
			"Time: between 0 and 4 s. K1: off for 75 % of the time, on for 25 %, with 1 change."},
		{tell.Figure{Name: "steady", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{{Y: tell.Axis{Label: "speed", Unit: "Hz"}, Lines: []tell.Line{
			{Label: "speed", X: []float64{0, 1}, Y: []float64{20.138, 20.142}}}}}},
			"Time: between 0 and 1 s. Speed: about 20.14 Hz throughout."},
		{lineAndMarks(), "Shaft speed: between 16.4 and 17.2 Hz. Contact open, rule: between 4.1 and 100 %. Contact open, computed step by step: between 7 and 83.9 % at 7 points."},
	} {
		d, err := Draw(c.figure, Settings{})
		if err != nil {
			t.Fatal(err)
		}
		if d.Description != c.want {
			t.Errorf("%s is described as\n%s\nwant\n%s", c.figure.Name, d.Description, c.want)
		}
	}
}

func TestDrawRefuses(t *testing.T) {
	line := func(x, y []float64) tell.Figure {
		return tell.Figure{Name: "f", Panes: []tell.Pane{{Lines: []tell.Line{{Label: "l", X: x, Y: y}}}}}
	}
	for _, c := range []struct {
		figure   tell.Figure
		settings Settings
		want     string
	}{
		{tell.Figure{Name: "f"}, Settings{}, `figure "f" has no pane`},
		{tell.Figure{Name: "f", Panes: []tell.Pane{{}}}, Settings{}, `figure "f" has a pane without a line`},
		{line(nil, nil), Settings{}, `line "l" of figure "f" has 0 x values and 0 y values`},
		{line([]float64{1}, []float64{1, 2}), Settings{}, `line "l" of figure "f" has 1 x values and 2 y values`},
		{line([]float64{1}, []float64{math.NaN()}), Settings{}, `line "l" of figure "f" has a point at 1, NaN`},
		{line([]float64{-1e308, 1e308}, []float64{0, 1}), Settings{}, `figure "f": "" spans more than can be drawn`},
		{line([]float64{0, 1}, []float64{0, 1}), Settings{Width: 50}, `figure "f": 50 px are too narrow for it`},
	} {
		if _, err := Draw(c.figure, c.settings); err == nil || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
}

// Whatever finite numbers a figure holds, Draw ends and gives XML.
func FuzzDraw(f *testing.F) {
	f.Add(0.0, 1.0, -1.0, 2.5, true, false)
	f.Add(1e300, -1e300, 1e-300, 0.0, false, true)
	f.Add(5e-324, 0.0, 5e-324, 5e-324, false, false)
	f.Add(1e15, 1e15+2, 1.0, 1.0+1e-15, false, false)
	f.Fuzz(func(t *testing.T, a, b, c, d float64, stepped, marks bool) {
		fig := tell.Figure{Name: "f", Panes: []tell.Pane{{Lines: []tell.Line{
			{Label: "one", X: []float64{a, b, c}, Y: []float64{c, d, a}, Stepped: stepped, Marks: marks},
			{Label: "two", X: []float64{b, a}, Y: []float64{d, d}},
		}}}}
		drawing, err := Draw(fig, Settings{})
		if err == nil {
			parse(t, drawing.SVG)
		}
	})
}

// With a limit a drawing is no taller than that, unless its names or its panes
// at their lowest need more; without, it stays as it is.
func TestTallest(t *testing.T) {
	many := oneTurn()
	for range 2 {
		many.Panes = append(many.Panes, many.Panes[1])
	}
	height := func(s Settings) float64 {
		var view [4]float64
		if _, err := fmt.Sscan(drawn(t, many, s).attr("viewBox"), &view[0], &view[1], &view[2], &view[3]); err != nil {
			t.Fatal(err)
		}
		return view[3]
	}
	free := height(Settings{Text: 21})
	if free < 700 {
		t.Fatalf("the figure is only %g px tall", free)
	}
	if got := height(Settings{Text: 21, Tallest: free}); got != free {
		t.Errorf("a limit that is kept anyway makes %g of %g px", got, free)
	}
	if got := height(Settings{Text: 21, Tallest: 600}); got > 600 || got < 590 {
		t.Errorf("with a limit of 600 px it is %g px tall", got)
	}
	if got := height(Settings{Text: 21, Tallest: 200}); got < 300 || got > 600 {
		t.Errorf("with a limit of 200 px, which nothing could hold, it is %g px tall", got)
	}
}
