package tell

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// The ends stand two uncertainties off (JCGM 100:2008, 6.3.3), rounded outward
// to the first digit of u, so that the stretch is never too narrow.
func TestDoubtful(t *testing.T) {
	for _, c := range []struct{ number, u, least, most float64 }{
		{19.9, 2.83, 14, 26},
		{19.9, 3.1, 13, 27},
		{0.36, 0.0962, 0.1, 0.6},
		{0.36, 0.07, 0.22, 0.5},
		{800, 137, 500, 1100},
		{1.4, 0.0001, 1.3998, 1.4002},
		{-5, 1, -7, -3},
		{80.9, 3.04, 74, 87},
		{7, 0, 7, 7},
		{0.3, 0.1, 0.1, 0.5},
	} {
		var s Sheet
		s.Doubtful("x", c.number, c.u, "s")
		v := s.Result().Values
		if len(v) != 3 || v[0].Number != c.number || v[0].Uncertainty != c.u || v[1].Name != "x.least" || v[2].Name != "x.most" || v[1].Uncertainty != 0 {
			t.Fatalf("%+v", v)
		}
		if math.Abs(v[1].Number-c.least) > 1e-9 || math.Abs(v[2].Number-c.most) > 1e-9 {
			t.Errorf("%v give or take %v: from %v to %v, want %v to %v", c.number, c.u, v[1].Number, v[2].Number, c.least, c.most)
		}
		if v[1].Number > c.number-2*c.u+1e-9 || v[2].Number < c.number+2*c.u-1e-9 {
			t.Errorf("%v give or take %v: from %v to %v is too narrow", c.number, c.u, v[1].Number, v[2].Number)
		}
	}
}

func TestDoubtfulUnderKnobs(t *testing.T) {
	two := func(inner bool) Result {
		var s Sheet
		s.Knob("a", Turn("a", 0, 1, "").In(2), func(a float64) {
			s.Doubtful("x", a, a/10, "V")
			s.Value("exact", a, "V")
			if inner {
				s.Knob("b", Turn("b", 0, 2, "").In(3), func(b float64) { s.Doubtful("y", b, a+b, "") })
			}
		})
		return s.Result()
	}
	for _, inner := range []bool{false, true} {
		for _, v := range two(inner).Values {
			switch v.Name {
			case "x":
				if v.Uncertainty != 0 || !slices.Equal(v.Uncertainties, []float64{0, 0.1}) {
					t.Errorf("%+v", v)
				}
			case "y":
				if !slices.Equal(v.Uncertainties, []float64{0, 1, 2, 1, 2, 3}) {
					t.Errorf("%+v", v)
				}
			default:
				if v.Uncertainties != nil {
					t.Errorf("%+v", v)
				}
			}
		}
	}
}

// A straight ramp of which nobody knows when it comes is as wide along x as it
// is unsure, and no higher than it goes.
func TestBandOfWhen(t *testing.T) {
	for _, c := range []struct {
		what      string
		y, levels []float64
		us        []float64
		low, high []float64
	}{
		{"rising", []float64{0, 1, 2, 3, 4, 4, 4}, []float64{0, 4}, []float64{0.5, 0.5},
			[]float64{0, 0, 1, 2, 3, 4, 4}, []float64{1, 2, 3, 4, 4, 4, 4}},
		{"falling", []float64{4, 3, 2, 1, 0, 0, 0}, []float64{4, 0}, []float64{0.5, 0.5},
			[]float64{3, 2, 1, 0, 0, 0, 0}, []float64{4, 4, 3, 2, 1, 0, 0}},
		{"sure", []float64{0, 1, 2, 3, 4, 4, 4}, []float64{0, 4}, []float64{0, 0},
			[]float64{0, 1, 2, 3, 4, 4, 4}, []float64{0, 1, 2, 3, 4, 4, 4}},
		// 0.25 at level 1, 0.5 at level 2: reached half a second, then one, later
		{"less and less sure", []float64{0, 1, 2, 3, 4, 4, 4}, []float64{0, 2, 4}, []float64{0, 0.5, 0.5},
			[]float64{0, 2. / 3, 4. / 3, 2, 3, 4, 4}, []float64{0, 2, 3, 4, 4, 4, 4}},
	} {
		l := Curve("ramp", []float64{0, 1, 2, 3, 4, 5, 6}, c.y).When(c.levels, c.us)
		for i := range c.y {
			if math.Abs(l.Low[i]-c.low[i]) > 1e-12 || math.Abs(l.High[i]-c.high[i]) > 1e-12 {
				t.Errorf("%s: from %v to %v, want %v to %v", c.what, l.Low, l.High, c.low, c.high)
				break
			}
		}
	}
	if m := refusal(func() { Curve("ramp", []float64{0, 1}, []float64{0, 1}).When([]float64{1}, []float64{1}) }); !strings.Contains(m.Text, "2 points, 1 levels and 1 doubts") {
		t.Errorf("%+v", m)
	}
}

func TestBand(t *testing.T) {
	l := Curve("speed", []float64{0, 1}, []float64{5, 3}).Doubt([]float64{0, 0.5})
	if !slices.Equal(l.Low, []float64{5, 2}) || !slices.Equal(l.High, []float64{5, 4}) {
		t.Errorf("from %v to %v", l.Low, l.High)
	}
	x, y := []float64{0, 1}, []float64{5, 3}
	for want, wrong := range map[string]func(s *Sheet){
		"has 2 points and a band of 1 and 1": func(s *Sheet) { s.Draw("f", Over("t", "s").Show("v", "", Curve("v", x, y).Doubt([]float64{1}))) },
		"is no line from point":              func(s *Sheet) { s.Draw("f", Over("t", "s").Show("v", "", Points("v", x, y).Doubt([]float64{1, 1}))) },
		"leaves its band":                    func(s *Sheet) { s.Draw("f", Over("t", "s").Show("v", "", Curve("v", x, y).Between(y, x))) },
		"which no page can print": func(s *Sheet) {
			s.Draw("f", Over("t", "s").Show("v", "", Curve("v", x, y).Doubt([]float64{1, math.Inf(1)})))
		},
		"has the uncertainty -1":  func(s *Sheet) { s.Doubtful("x", 1, -1, "") },
		"has the uncertainty NaN": func(s *Sheet) { s.Doubtful("x", 1, math.NaN(), "") },
		"other axes, lines or knobs": func(s *Sheet) {
			s.Knob("k", Turn("k", 0, 1, "").In(2), func(k float64) {
				l := Curve("v", x, y)
				if k > 0 {
					l = l.Doubt([]float64{1, 1})
				}
				s.Draw("f", Over("t", "s").Show("v", "", l))
			})
		},
	} {
		var s Sheet
		if m := refusal(func() { wrong(&s) }); !strings.Contains(m.Text, want) || m.Hint == "" {
			t.Errorf("got %+v, want %q", m, want)
		}
	}
}
