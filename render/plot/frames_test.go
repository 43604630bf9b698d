package plot

import (
	"bytes"
	"compress/gzip"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/tell"
	"slipring/engine/waveform"
)

// turned is a figure told under a knob of 41 positions, with three traces as a
// machine gives them, marks, and one mark far from the right; all numbers are invented.
func turned(t testing.TB) (tell.Figure, []tell.Knob) {
	t.Helper()
	var s tell.Sheet
	s.Knob("load", tell.Range{From: 0, To: 2, Steps: 41, Start: 0.5, Unit: "N m", Label: "load"}, func(load float64) {
		x, output := series(1201, 0, 0.15, func(at float64) float64 {
			return (118 - 3*load) * (math.Sin(2*math.Pi*at*(20-0.1*load)) + 0.03*math.Sin(2*math.Pi*at*440))
		})
		_, current := series(1201, 0, 0.15, func(at float64) float64 {
			return 1 + load + 0.3*math.Exp(-math.Mod(at, 0.05)*(60+20*load)) + 0.05*math.Sin(2*math.Pi*at*160)
		})
		var cx, cy []float64
		for turn := range 3 {
			on := 0.05*float64(turn) + 0.03
			cx, cy = append(cx, on-0.03, on, on+0.02/(1+load)), append(cy, 0, 1, 0)
		}
		mx, my := series(7, 0, 0.15, func(at float64) float64 { return load * at })
		s.Figure(tell.Figure{Name: "turned", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{
			{Y: tell.Axis{Label: "governor contact"}, Lines: []tell.Line{{Label: "governor contact", Kind: waveform.Contact, X: append(cx, 0.15), Y: append(cy, 0), Stepped: true}}},
			{Y: tell.Axis{Label: "output", Unit: "V"}, Lines: []tell.Line{{Label: "output", X: x, Y: output}}},
			{Y: tell.Axis{Label: "current", Unit: "A"}, Lines: []tell.Line{
				{Label: "armature current", X: x, Y: current}, {Label: "as measured", X: mx, Y: my, Marks: true},
				{Label: "here", X: mx[2:3], Y: my[2:3], Marks: true}}},
		}})
	})
	r := s.Result()
	return r.Figures[0], r.Knobs
}

// Every frame says what the drawing of it alone on the same axes shows. The
// points are read from that drawing by the rules of SVG.
func TestFramesAreDrawings(t *testing.T) {
	f, knobs := turned(t)
	d, err := Draw(f, Settings{Knobs: knobs})
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Frames.Descriptions) != 41 || len(d.Frames.Paths) != 13 {
		t.Fatalf("%d descriptions, %d paths", len(d.Frames.Descriptions), len(d.Frames.Paths))
	}
	still := ""
	for _, k := range []int{0, 1, 17, 40} {
		g := f
		g.Panes = f.Frames[k]
		one, err := Draw(g, Settings{Knobs: knobs})
		if err != nil {
			t.Fatal(err)
		}
		if one.Description != d.Frames.Descriptions[k] {
			t.Errorf("frame %d is described as %q, alone as %q", k, d.Frames.Descriptions[k], one.Description)
		}
		root := parse(t, one.SVG)
		var rest []string
		moved, names := 0, 0
		root.all(func(e element) {
			number := e.attr("data-moves")
			if number == "" {
				if e.XMLName.Local != "desc" {
					rest = append(rest, fmt.Sprint(e.XMLName.Local, e.Attrs, e.Text))
				}
				return
			}
			if number != strconv.Itoa(moved) {
				t.Errorf("path %d is marked %s", moved, number)
			}
			p := d.Frames.Paths[moved]
			moved++
			steps := p.Steps[p.Form[k]]
			if p.Text {
				names++
				if x, y := e.number(t, "x"), e.number(t, "y"); len(steps) != 2 || math.Abs(10*x-float64(steps[0])) > 1e-6 || math.Abs(10*y-float64(steps[1])) > 1e-6 {
					t.Errorf("frame %d: name %q is at %v, %v and not at %v tenths", k, e.Text, x, y, steps)
				}
				return
			}
			px, py := vertices(t, e.attr("d"))
			if p.Shape != "" {
				// of each diamond or square, its first corner
				for i := range len(px) / 4 {
					px[i], py[i] = px[4*i], py[4*i]
				}
				px, py = px[:len(px)/4], py[:len(py)/4]
			}
			x, y := 0, 0
			for i := range px {
				x, y = x+steps[2*i], y+steps[2*i+1]
				if math.Abs(10*px[i]-float64(x)) > 1e-6 || math.Abs(10*py[i]-float64(y)) > 1e-6 {
					t.Fatalf("frame %d, path %d: point %d is %v, %v and not %d, %d tenths", k, moved-1, i, px[i], py[i], x, y)
				}
			}
			if len(steps) != 2*len(px) {
				t.Errorf("frame %d, path %d: %d steps for %d points", k, moved-1, len(steps), len(px))
			}
			if points := len(steps) / 2; points > most {
				t.Errorf("frame %d, path %d has %d points", k, moved-1, points)
			}
		})
		if moved != len(d.Frames.Paths) || names != 3 {
			t.Errorf("frame %d has %d paths and names, %d of them names", k, moved, names)
		}
		// All else stays where it is.
		if all := strings.Join(rest, "\n"); still == "" {
			still = all
		} else if all != still {
			t.Errorf("frame %d differs in more than its paths and its description", k)
		}
	}
}

// A knob of 41 positions on a figure of three traces and marks weighs less
// than 150 KB as a web server sends it.
func TestFramesAreLight(t *testing.T) {
	f, knobs := turned(t)
	d, err := Draw(f, Settings{Knobs: knobs})
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(d.Frames)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	if _, err := w.Write(text); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	t.Logf("%d bytes, %d compressed", len(text), b.Len())
	if b.Len() >= 150_000 {
		t.Errorf("%d bytes compressed", b.Len())
	}
}

// The axes hold every frame: the largest value of all stands inside.
func TestAxesAreShared(t *testing.T) {
	var s tell.Sheet
	s.Knob("k", tell.Range{From: 1, To: 1000, Steps: 2, Start: 1, Label: "size"}, func(x float64) {
		s.Figure(tell.Figure{Name: "f", Panes: []tell.Pane{{Lines: []tell.Line{{X: []float64{0, x}, Y: []float64{0, x}}}}}})
	})
	f := s.Result().Figures[0]
	d, err := Draw(f, Settings{Width: 600})
	if err != nil {
		t.Fatal(err)
	}
	root := parse(t, d.SVG)
	frame := root.with("pane")[0]
	x, y := scales(t, frame, frame)
	p := d.Frames.Paths[0]
	large := p.Steps[p.Form[1]]
	for axis, want := range []float64{x.px(1000), y.px(1000)} {
		if got := float64(large[axis]+large[axis+2]) / 10; math.Abs(got-want) > 0.2 {
			t.Errorf("1000 stands at %v px, not at %v px", got, want)
		}
	}
	if d, err := Draw(f, Settings{Still: true}); err != nil || d.Frames != nil || strings.Contains(d.SVG, "data-moves") {
		t.Errorf("a still drawing has frames (%v)", err)
	}
}

func TestFramesThatCannotShareAxes(t *testing.T) {
	for want, spoil := range map[string]func(*tell.Figure){
		`line "output" of figure "turned" has 0 x values and 0 y values, with load at 0.1 N m`: func(f *tell.Figure) {
			f.Frames[2][1].Lines[0].X, f.Frames[2][1].Lines[0].Y = nil, nil
		},
		`line "output" of figure "turned" has a point at NaN`: func(f *tell.Figure) { f.Frames[2][1].Lines[0].X[3] = math.NaN() },
		`"output" spans more than can be drawn`: func(f *tell.Figure) {
			f.Frames[2][1].Lines[0].Y[3], f.Frames[4][1].Lines[0].Y[3] = 1e308, -1e308
		},
		`figure "turned" has 2 panes and not 3, with load at 0.1 N m`: func(f *tell.Figure) { f.Frames[2] = f.Frames[2][:2] },
		`pane 3 of figure "turned" has 1 lines and not 3, with load`:  func(f *tell.Figure) { f.Frames[2][2].Lines = f.Frames[2][2].Lines[:1] },
		`line "output" of figure "turned" is drawn in another way`:    func(f *tell.Figure) { f.Frames[2][1].Lines[0].Stepped = true },
	} {
		f, knobs := turned(t)
		spoil(&f)
		if _, err := Draw(f, Settings{Knobs: knobs}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

// A CSV file reads back to the numbers of each frame.
func TestCSVOfFrames(t *testing.T) {
	var s tell.Sheet
	s.Knob("a", tell.Range{From: 0, To: 0.1, Steps: 2, Label: "first", Unit: "A"}, func(a float64) {
		s.Knob("b", tell.Range{From: 1, To: 3, Steps: 3, Start: 2, Label: "second"}, func(b float64) {
			s.Figure(tell.Figure{Name: "same", X: tell.Axis{Label: "x"}, Panes: []tell.Pane{{Lines: []tell.Line{
				{Label: "one", X: []float64{1, 2}, Y: []float64{a / 3, b / 3}}, {Label: "two", X: []float64{1, 2}, Y: []float64{a, b}}}}}})
			s.Figure(tell.Figure{Name: "other", X: tell.Axis{Label: "x"}, Panes: []tell.Pane{{Lines: []tell.Line{
				{Label: "one", X: []float64{1, 2}, Y: []float64{a, b}}, {Label: "two", X: []float64{b}, Y: []float64{a}}}}}})
			s.Table(tell.Table{Name: "t", Columns: []tell.Column{{Head: "who"}, {Head: "y", Unit: "V"}}, Rows: [][]tell.Entry{{tell.Text("w"), tell.Number(a + b/3)}}})
		})
	})
	r := s.Result()
	rows := func(text []byte) [][]string {
		rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		return rows
	}
	third := strconv.FormatFloat(1.0/3, 'g', -1, 64)
	for _, c := range []struct {
		got        [][]string
		rows       int
		head, last []string
		second     []string
	}{
		{rows(CSV(r.Figures[0], r.Knobs...)), 13, []string{"first (A)", "second", "x", "one", "two"}, []string{"0.1", "3", "2", "1", "3"}, []string{"0", "1", "2", third, "1"}},
		{rows(CSV(r.Figures[1], r.Knobs...)), 13, []string{"first (A)", "second", "x of one", "one", "x of two", "two"}, []string{"0.1", "3", "2", "3", "", ""}, []string{"0", "1", "2", "1", "", ""}},
		{rows(TableCSV(r.Tables[0], r.Knobs...)), 7, []string{"first (A)", "second", "who", "y (V)"}, []string{"0.1", "3", "w", "1.1"}, []string{"0", "2", "w", strconv.FormatFloat(2.0/3, 'g', -1, 64)}},
	} {
		if len(c.got) != c.rows || !slices.Equal(c.got[0], c.head) || !slices.Equal(c.got[2], c.second) || !slices.Equal(c.got[len(c.got)-1], c.last) {
			t.Errorf("%q, %d rows", c.got, len(c.got))
		}
	}
}

func BenchmarkFrames(b *testing.B) {
	f, knobs := turned(b)
	for b.Loop() {
		d, err := Draw(f, Settings{Knobs: knobs})
		if err != nil {
			b.Fatal(err)
		}
		text, err := json.Marshal(d.Frames)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(text)), "B/figure")
	}
}
