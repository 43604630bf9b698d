package tell

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func TestKnobGivesAFrameForEachPosition(t *testing.T) {
	var s Sheet
	s.Value("before", 7, "")
	s.Knob("load", Range{From: 0, To: 1, Steps: 3, Start: 0.5, Unit: "N m", Label: "load"}, func(x float64) {
		s.Value("twice", 2*x, "N m")
		s.Below("small", x, 2, "N m")
		s.Figure(Figure{Name: "line", X: Axis{"x", ""}, Panes: []Pane{{Y: Axis{"y", ""}, Lines: []Line{{Label: "l", X: []float64{0, 1}, Y: []float64{0, x}}}}}})
		s.Table(Table{Name: "table", Columns: []Column{{Head: "x"}}, Rows: [][]Entry{{Number(x)}}})
	})
	r := s.Result()
	if len(r.Knobs) != 1 || !slices.Equal(r.Knobs[0].Positions, []float64{0, 0.5, 1}) || r.Knobs[0].Start != 1 {
		t.Fatalf("knobs: %+v", r.Knobs)
	}
	if v := r.Values[1]; v.Number != 1 || !slices.Equal(v.Frames, []float64{0, 1, 2}) || !slices.Equal(v.Knobs, []string{"load"}) {
		t.Errorf("value: %+v", v)
	}
	if c := r.Claims[0]; !c.Holds || !slices.Equal(c.Frames, []bool{true, true, true}) {
		t.Errorf("claim: %+v", c)
	}
	if f := r.Figures[0]; len(f.Frames) != 3 || f.Panes[0].Lines[0].Y[1] != 0.5 || f.Frames[2][0].Lines[0].Y[1] != 1 {
		t.Errorf("figure: %+v", f)
	}
	if b := r.Tables[0]; len(b.Frames) != 3 || b.Rows[0][0].Number != 0.5 || b.Frames[2][0][0].Number != 1 {
		t.Errorf("table: %+v", b)
	}
}

// The second knob's positions run fastest.
func TestTwoKnobs(t *testing.T) {
	var s Sheet
	s.Knob("a", Range{From: 0, To: 100, Steps: 2, Start: 100, Label: "a"}, func(a float64) {
		s.Knob("b", Range{From: 1, To: 3, Steps: 3, Start: 2, Label: "b"}, func(b float64) {
			s.Value("sum", a+b, "")
			s.Claim("low", a+b < 103)
		})
		s.Value("outer", a, "")
	})
	r := s.Result()
	for _, v := range r.Values {
		switch v.Name {
		case "sum":
			if v.Number != 102 || !slices.Equal(v.Frames, []float64{1, 2, 3, 101, 102, 103}) || !slices.Equal(v.Knobs, []string{"a", "b"}) {
				t.Errorf("sum: %+v", v)
			}
		case "outer":
			if !slices.Equal(v.Frames, []float64{0, 100}) || !slices.Equal(v.Knobs, []string{"a"}) {
				t.Errorf("outer: %+v", v)
			}
		}
	}
	if c := r.Claims[0]; c.Holds || !slices.Equal(c.Frames, []bool{true, true, true, true, true, false}) {
		t.Errorf("a claim that fails at one position: %+v", c)
	}
	var at [][]float64
	sum := r.Values[slices.IndexFunc(r.Values, func(v Value) bool { return v.Name == "sum" })]
	for i := range sum.Frames {
		at = append(at, sum.At(r.Knobs, i))
	}
	if !slices.EqualFunc(at, [][]float64{{0, 1}, {0, 2}, {0, 3}, {100, 1}, {100, 2}, {100, 3}}, slices.Equal) {
		t.Errorf("frames stand at %v", at)
	}
	if len(r.Knobs) != 2 || r.Knobs[0].Name != "a" || r.Knobs[1].Name != "b" {
		t.Errorf("knobs: %+v", r.Knobs)
	}
}

func TestKnobMisuse(t *testing.T) {
	good := Range{From: 0, To: 1, Steps: 11, Start: 0.3, Label: "load"}
	with := func(change func(*Range)) Range { r := good; change(&r); return r }
	nothing := func(float64) {}
	for want, wrong := range map[string]func(s *Sheet){
		"no label":  func(s *Sheet) { s.Knob("k", with(func(r *Range) { r.Label = "" }), nothing) },
		"1 steps":   func(s *Sheet) { s.Knob("k", with(func(r *Range) { r.Steps = 1 }), nothing) },
		"121 steps": func(s *Sheet) { s.Knob("k", with(func(r *Range) { r.Steps = 121 }), nothing) },
		"to itself": func(s *Sheet) { s.Knob("k", with(func(r *Range) { r.To = 0 }), nothing) },
		"lie too close together": func(s *Sheet) {
			s.Knob("k", Range{From: 1, To: math.Nextafter(1, 2), Steps: 11, Start: 1, Label: "load"}, nothing)
		},
		"too close together to": func(s *Sheet) {
			s.Knob("k", Range{To: math.SmallestNonzeroFloat64, Steps: 11, Label: "load"}, nothing)
		},
		"starts at 0.25":                 func(s *Sheet) { s.Knob("k", with(func(r *Range) { r.Start = 0.25 }), nothing) },
		"told before":                    func(s *Sheet) { s.Claim("k", true); s.Knob("k", good, nothing) },
		"\"a\" was told before, as a va": func(s *Sheet) { s.Value("a", 1, ""); s.Knob("k", good, func(float64) { s.Value("a", 1, "") }) },
		"there are 121 frames": func(s *Sheet) {
			s.Knob("k", good, func(float64) { s.Knob("l", good, nothing) })
		},
		"would be the third": func(s *Sheet) {
			two := Range{To: 1, Steps: 2, Label: "x"}
			s.Knob("k", two, func(float64) { s.Knob("l", two, func(float64) { s.Knob("m", two, nothing) }) })
		},
		`value "a" is not told where knob "k" stands at 1`: func(s *Sheet) {
			s.Knob("k", good, func(x float64) {
				if x < 1 {
					s.Value("a", x, "")
				}
			})
		},
		`value "a" is not told where knob "k" stands at 0.3`: func(s *Sheet) {
			s.Knob("k", good, func(x float64) {
				if x == 1 {
					s.Value("a", x, "")
				}
			})
		},
		"other units": func(s *Sheet) {
			s.Knob("k", good, func(x float64) {
				if x == 1 {
					s.Value("a", x, "Hz")
				} else {
					s.Value("a", x, "V")
				}
			})
		},
		"other limits": func(s *Sheet) { s.Knob("k", good, func(x float64) { s.Below("a", 0, x+1, "") }) },
		"other axes": func(s *Sheet) {
			s.Knob("k", good, func(x float64) {
				label := "y"
				if x == 1 {
					label = "z"
				}
				s.Figure(Figure{Name: "f", Panes: []Pane{{Y: Axis{label, ""}, Lines: []Line{{X: []float64{0}, Y: []float64{x}}}}}})
			})
		},
	} {
		t.Run(want, func(t *testing.T) {
			defer func() {
				m, ok := recover().(Misuse)
				if !ok || !strings.Contains(m.Text, want) || m.Hint == "" {
					t.Errorf("got %+v, want a misuse that says %q and what to do", m, want)
				}
			}()
			wrong(&Sheet{})
		})
	}
}

// Steps of a tenth are the tenths that an author writes.
func TestPositionsAreRound(t *testing.T) {
	k := Range{From: 0, To: 1, Steps: 11, Start: 0.7, Label: "x"}.knob("k", MostFrames)
	if !slices.Equal(k.Positions, []float64{0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1}) || k.Start != 7 {
		t.Errorf("%v from %v", k.Positions, k.Start)
	}
	down := Range{From: 9.81, To: 0, Steps: 4, Start: 9.81, Label: "x"}.knob("k", MostFrames)
	if !slices.Equal(down.Positions, []float64{9.81, 6.54, 3.27, 0}) || down.Start != 0 {
		t.Errorf("%v from %v", down.Positions, down.Start)
	}
}
