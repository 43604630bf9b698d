package plot

import (
	"bytes"
	"reflect"
	"strings"
	"sync"
	"testing"

	"slipring/engine/store"
	"slipring/engine/tell"
	"slipring/render/words"
)

func keptFigure() tell.Figure {
	line := func(at float64) []tell.Line {
		return []tell.Line{{Label: "speed", X: []float64{0, 1, 2}, Y: []float64{19, 20 + at, 19.5}}}
	}
	pane := func(at float64) []tell.Pane {
		return []tell.Pane{{Y: tell.Axis{Label: "shaft speed", Unit: "Hz"}, Lines: line(at)}}
	}
	return tell.Figure{Name: "run", X: tell.Axis{Label: "time", Unit: "s"}, Panes: pane(0),
		Framed: tell.Framed{Knobs: []string{"load"}}, Frames: [][]tell.Pane{pane(0), pane(1)}}
}

func keptSettings() Settings {
	return Settings{ID: "run", Title: "The shaft speeds up", Width: 600, Height: 300, Text: 14,
		Knobs: []tell.Knob{{Name: "load", Label: "load", Positions: []float64{0, 1}}}}
}

// A kept drawing is the one that would be drawn. Whatever changes in a figure
// or in its settings, another is drawn.
func TestDrawings(t *testing.T) {
	french, err := words.In("fr")
	if err != nil {
		t.Fatal(err)
	}
	type change func(*tell.Figure, *Settings)
	changes := map[string]change{
		"nothing": func(*tell.Figure, *Settings) {},
		"a point": func(f *tell.Figure, s *Settings) {
			f.Panes[0].Lines[0].Y[2] = 19.6
			f.Frames[0][0].Lines[0].Y[2] = 19.6
		},
		"a frame":     func(f *tell.Figure, s *Settings) { f.Frames[1][0].Lines[0].Y[2] = 21 },
		"a label":     func(f *tell.Figure, s *Settings) { f.X.Label = "time since the start" },
		"a unit":      func(f *tell.Figure, s *Settings) { f.X.Unit = "min" },
		"no frames":   func(f *tell.Figure, s *Settings) { s.Still = true },
		"a title":     func(f *tell.Figure, s *Settings) { s.Title = "It slows down" },
		"an id":       func(f *tell.Figure, s *Settings) { s.ID = "other" },
		"a width":     func(f *tell.Figure, s *Settings) { s.Width = 500 },
		"a height":    func(f *tell.Figure, s *Settings) { s.Height = 400 },
		"a text size": func(f *tell.Figure, s *Settings) { s.Text = 21 },
		"a language":  func(f *tell.Figure, s *Settings) { s.Words = french },
		"a word of it": func(f *tell.Figure, s *Settings) {
			s.Told = func(l string) string { return strings.ReplaceAll(l, "time", "temps") }
		},
	}
	var d Drawings
	draw := func(c change) (tell.Figure, Settings, Drawing) {
		t.Helper()
		f, s := keptFigure(), keptSettings()
		c(&f, &s)
		drawing, err := d.Draw(f, s)
		if err != nil {
			t.Fatal(err)
		}
		return f, s, drawing
	}
	for range 2 {
		for what, c := range changes {
			f, s, got := draw(c)
			want, err := Draw(f, s)
			if err != nil || !reflect.DeepEqual(got, want) {
				t.Errorf("with %s changed, the kept drawing is another (%v)", what, err)
			}
			if !bytes.Equal(d.CSV(f, s.Knobs...), CSV(f, s.Knobs...)) {
				t.Errorf("with %s changed, the kept numbers are others", what)
			}
		}
	}
	keys := map[drawingKey]string{}
	for what, c := range changes {
		f, s := keptFigure(), keptSettings()
		c(&f, &s)
		key := new(Drawings).keyOf("drawing", f, s)
		if other, had := keys[key]; had {
			t.Errorf("with %s changed the drawing is taken for that with %s changed", what, other)
		}
		keys[key] = what
	}
	if _, err := d.Draw(tell.Figure{}, Settings{}); err == nil {
		t.Error("a figure without lines is drawn")
	}

	// What is not asked for between two turns is gone.
	for turn, want := range []int{len(changes), 1, 1, 0} {
		if turn < 3 {
			draw(changes["a point"])
		}
		d.Turn()
		drawings := 0
		for _, k := range d.before {
			if k.Drawing.SVG != "" {
				drawings++
			}
		}
		if drawings != want {
			t.Errorf("after turn %d, %d drawings are kept, want %d", turn, drawings, want)
		}
	}
	var none *Drawings
	if got, err := none.Draw(keptFigure(), keptSettings()); err != nil || got.SVG == "" || len(none.CSV(keptFigure(), keptSettings().Knobs...)) == 0 {
		t.Error("the nil Drawings draws nothing:", err)
	}
}

func TestDrawingsSideBySide(t *testing.T) {
	var d Drawings
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			if _, err := d.Draw(keptFigure(), keptSettings()); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
	if len(d.now) != 1 {
		t.Errorf("%d drawings of one figure are kept", len(d.now))
	}
}

// What is kept between runs is what would be drawn, for the same program.
func TestDrawingsKept(t *testing.T) {
	kept := store.Open(t.TempDir())
	key := new(Drawings).keyOf("drawing", keptFigure(), keptSettings())
	want, err := Draw(keptFigure(), keptSettings())
	if err != nil {
		t.Fatal(err)
	}
	first := Drawings{Kept: kept, Program: []byte("one")}
	if _, ok := first.get(key); ok {
		t.Error("an empty store has a drawing")
	}
	if _, err := first.Draw(keptFigure(), keptSettings()); err != nil {
		t.Fatal(err)
	}
	first.CSV(keptFigure(), keptSettings().Knobs...)
	again, other := Drawings{Kept: kept, Program: []byte("one")}, Drawings{Kept: kept, Program: []byte("two")}
	if got, ok := again.get(key); !ok || !reflect.DeepEqual(got.Drawing, want) {
		t.Errorf("recalled %v, %+v", ok, got)
	}
	numbers := new(Drawings).keyOf("numbers", keptFigure(), Settings{Knobs: keptSettings().Knobs})
	if got, ok := again.get(numbers); !ok || !bytes.Equal(got.Numbers, CSV(keptFigure(), keptSettings().Knobs...)) {
		t.Errorf("recalled %v, %q", ok, got.Numbers)
	}
	if _, ok := other.get(key); ok {
		t.Error("another program's drawing is recalled")
	}
}
