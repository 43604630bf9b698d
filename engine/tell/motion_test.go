package tell

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"slipring/engine/waveform"
)

// governorSet is a turn as a run of the machine gives it, but with invented
// numbers.
func governorSet() waveform.Set {
	return waveform.Set{
		Starts: []float64{0, 0.05},
		Signals: []waveform.Signal{
			{Name: "output", Unit: "V", T: []float64{0, 0.05}, Y: []float64{0, 0}},
			{Name: "governor contact", Stepped: true, T: []float64{0, 0.01, 0.04, 0.05}, Y: []float64{1, 0, 1, 1}},
			{Name: "weight travel", Unit: "mm", T: []float64{0, 0.025, 0.05}, Y: []float64{0.02, -0.1, 0.02}},
			{Name: "shaft angle", Unit: "deg", T: []float64{0, 0.05}, Y: []float64{0, 360}},
		},
	}
}

func TestMotionKeepsWhatItNeeds(t *testing.T) {
	var s Sheet
	s.Motion("governor.idle", governorSet(), Size{"contact radius", 13, "mm"})
	m := s.Result().Motions[0]
	if m.Name != "governor.idle" || m.Mechanism != Governor {
		t.Errorf("told as %q, %q", m.Name, m.Mechanism)
	}
	var names []string
	for _, g := range m.Signals.Signals {
		names = append(names, g.Name)
	}
	if want := []string{"shaft angle", "weight travel", "governor contact"}; !reflect.DeepEqual(names, want) {
		t.Errorf("signals %q, want %q", names, want)
	}
	if len(m.Sizes) != 1 || m.Sizes[0].Number != 13 {
		t.Errorf("sizes %v", m.Sizes)
	}
	text, err := json.Marshal(s.Result())
	if err != nil {
		t.Fatal(err)
	}
	var back Result
	if err := json.Unmarshal(text, &back); err != nil || !reflect.DeepEqual(back, s.Result()) {
		t.Errorf("stored and read back, the result is another: %v", err)
	}
}

func TestMotionRefuses(t *testing.T) {
	edit := func(name string, f func(*waveform.Signal)) waveform.Set {
		set := governorSet()
		for i := range set.Signals {
			if set.Signals[i].Name == name {
				f(&set.Signals[i])
			}
		}
		return set
	}
	without := func(names ...string) waveform.Set {
		var out waveform.Set
		for _, g := range governorSet().Signals {
			if !strings.Contains(strings.Join(names, "/"), g.Name) {
				out.Signals = append(out.Signals, g)
			}
		}
		return out
	}
	teeth := func(n float64) []Size { return []Size{{Name: "teeth", Number: n}} }
	for _, c := range []struct {
		name  string
		set   waveform.Set
		sizes []Size
		want  string // of the text
	}{
		{"lever", governorSet(), nil, `motion "lever" names no mechanism`},
		{"governor", without("weight travel"), nil, `motion "governor" lacks the signal "weight travel"`},
		{"governor", without("weight travel", "governor contact"), nil, `lacks the signal "weight travel" and "governor contact"`},
		{"regulator", governorSet(), nil, `"plunger travel" and "regulator coil current" and "regulator contact"`},
		{"generator", edit("output", func(g *waveform.Signal) { g.Name = "other" }), nil, `lacks the signal "output"`},
		{"bell", governorSet(), nil, `lacks the signal "bell current"`},
		{"fuse", governorSet(), nil, `lacks the signal "armature current" and "fuse heat"`},
		{"balance", governorSet(), nil, `lacks the signal "pull"`},
		{"governor", governorSet(), []Size{{Name: "bells", Number: 2.5}}, `2.5 bells cannot be drawn`},
		{"governor", governorSet(), []Size{{Name: "all bells", Number: 61}}, `61 bells cannot be drawn`},
		{"governor", governorSet(), []Size{{"slowest", 17, "Hz"}, {"fastest", 16, "Hz"}}, `would go from 17 to 16 Hz`},
		{"governor", edit("weight travel", func(g *waveform.Signal) { g.Unit = "m" }), nil, `is in "m"; it has to be in "mm"`},
		{"governor", edit("governor contact", func(g *waveform.Signal) { g.Y[1] = 0.5 }), nil, `is 0.5 somewhere`},
		{"governor", edit("governor contact", func(g *waveform.Signal) { g.Stepped = false }), nil, `has to be stepped`},
		{"governor", edit("shaft angle", func(g *waveform.Signal) { g.Y[1] = math.NaN() }), nil, `which no page can print`},
		{"governor", edit("shaft angle", func(g *waveform.Signal) { g.T[1] = math.Inf(1) }), nil, `which no page can print`},
		{"governor", edit("shaft angle", func(g *waveform.Signal) { g.T[1] = 0.04 }), nil, `do not cover the same time`},
		{"governor", edit("weight travel", func(g *waveform.Signal) { g.T[1] = 0.06 }), nil, `do not rise`},
		{"governor", edit("weight travel", func(g *waveform.Signal) { g.T, g.Y = g.T[:1], g.Y[:1] }), nil, `has 1 instants`},
		{"governor", edit("shaft angle", func(g *waveform.Signal) { g.Y[1] = 3600 }), nil, `would show 10.0 turns`},
		{"governor", governorSet(), teeth(8), `has no size "teeth"`},
		{"governor", governorSet(), []Size{{"contact radius", 13, "m"}}, `is in "m"; it has to be in "mm"`},
		{"governor", governorSet(), []Size{{"contact radius", 13, "mm"}, {"contact radius", 13, "mm"}}, `twice`},
		{"tone-wheel", governorSet(), nil, `lacks the size "teeth"`},
		{"tone-wheel", governorSet(), teeth(8.5), `8.5 teeth cannot be drawn`},
		{"tone-wheel", governorSet(), teeth(1000), `1000 teeth cannot be drawn`},
		{"tone-wheel", governorSet(), teeth(-8), `is -8`},
		{"governor idle", governorSet(), nil, `cannot be the name of a motion`},
	} {
		func() {
			defer func() {
				m, ok := recover().(Misuse)
				if !ok || !strings.Contains(m.Text, c.want) || m.Hint == "" {
					t.Errorf("%s: got %q (hint %q), want %q", c.name, m.Text, m.Hint, c.want)
				}
			}()
			var s Sheet
			s.Motion(c.name, c.set, c.sizes...)
		}()
	}
}

// What a mechanism can do without is kept where it is told, and what goes one
// way may take longer than what turns.
func TestMotionOptionalAndLong(t *testing.T) {
	flat := func(name, unit string, span float64) waveform.Signal {
		return waveform.Signal{Name: name, Unit: unit, T: []float64{0, span}, Y: []float64{1, 2}}
	}
	with := governorSet()
	with.Signals = append(with.Signals, flat("speed", "Hz", 0.05))
	var s Sheet
	s.Motion("governor", with, Size{"slowest", 1, "Hz"}, Size{"fastest", 3, "Hz"}, Size{"bells", 0, ""}, Size{"all bells", 50, ""})
	s.Motion("fuse", waveform.Set{Signals: []waveform.Signal{flat("armature current", "A", 2), flat("fuse heat", "A2", 2)}}, Size{"melting current", 24, "A"})
	s.Motion("balance", waveform.Set{Signals: []waveform.Signal{flat("pull", "g", 3)}}, Size{"weight", 9, "g"})
	all := s.Result().Motions
	if n := len(all[0].Signals.Signals); n != 4 || len(all[0].Sizes) != 4 {
		t.Errorf("a governor with %d signals and the sizes %v", n, all[0].Sizes)
	}
	if n := len(all[2].Signals.Signals); n != 1 {
		t.Errorf("a balance with %d signals", n)
	}
	defer func() {
		if m, ok := recover().(Misuse); !ok || !strings.Contains(m.Text, "would show 2 s") {
			t.Errorf("got %q", m.Text)
		}
	}()
	s.Motion("bell", waveform.Set{Signals: []waveform.Signal{flat("bell current", "A", 2)}})
}

func TestMotionUnderKnob(t *testing.T) {
	defer func() {
		if m, ok := recover().(Misuse); !ok || !strings.Contains(m.Text, "told under a knob") {
			t.Errorf("got %q", m.Text)
		}
	}()
	var s Sheet
	s.Knob("load", Range{From: 0, To: 1, Steps: 2, Label: "load"}, func(float64) { s.Motion("governor", governorSet()) })
}

// An angle that starts anew at each turn counts as one that goes on.
func TestMotionOfAnglesThatWrap(t *testing.T) {
	set := governorSet()
	angle := &set.Signals[3]
	angle.T, angle.Y = nil, nil
	for i := range 601 { // 6 turns
		angle.T = append(angle.T, 0.05*float64(i)/600)
		angle.Y = append(angle.Y, math.Mod(3.6*float64(i), 360))
	}
	angle.Y[600] = 178 // as a window gives it that ends between 356 and 0
	var s Sheet
	s.Motion("governor", set)
	if n := turned(s.Result().Motions[0].Signals.Signals[0]); math.Abs(n-6) > 0.03 {
		t.Errorf("%v turns, want 6", n)
	}
}
