package tell

import (
	"slices"
	"testing"
)

// A claim carries the numbers that its words may hold, each with its unit. The
// target of a tolerance in per cent has that of the number, which the claim
// carries too.
func TestLimits(t *testing.T) {
	var s Sheet
	s.Within("near", 19.85, 20, 1.5, "%")
	s.Within("close", 19.85, 20, 0.3, "Hz")
	s.Below("low", 0.35, 0.4, "A")
	s.Above("high", 85, 84, "V")
	s.Claim("true", true)
	s.Knob("load", Range{From: 0, To: 1, Steps: 2, Start: 1, Label: "load"}, func(x float64) { s.Below("turned", x, 2, "A") })
	want := []Claim{
		{Name: "near", Number: 19.85, Limits: []Limit{{1.5, "%"}, {20, ""}}},
		{Name: "close", Number: 19.85, Limits: []Limit{{0.3, "Hz"}, {20, "Hz"}}},
		{Name: "low", Number: 0.35, Limits: []Limit{{0.4, "A"}}},
		{Name: "high", Number: 85, Limits: []Limit{{84, "V"}}},
		{Name: "true"},
		{Name: "turned", Number: 1, Limits: []Limit{{2, "A"}}},
	}
	got := s.Result().Claims
	if len(got) != len(want) {
		t.Fatalf("%d claims", len(got))
	}
	for i, c := range got {
		if !c.Holds || c.Name != want[i].Name || c.Number != want[i].Number || !slices.Equal(c.Limits, want[i].Limits) {
			t.Errorf("got %+v, want %+v", c, want[i])
		}
	}
}

// What a claim found is written without a blank where a unit would stand.
func TestFoundWithoutUnit(t *testing.T) {
	var s Sheet
	s.Below("few", 4, 3, "")
	s.Within("near", 4, 3, 0.5, "")
	s.Knob("bells", Range{From: 0, To: 2, Steps: 3, Start: 0, Label: "bells that ring"}, func(x float64) { s.Within("turned", 80+x, 80, 1, "") })
	s.Knob("turn", Range{From: 1, To: 3, Steps: 3, Start: 1, Unit: "Hz", Label: "speed"}, func(x float64) { s.Above("fast", x, 1.5, "Hz") })
	want := map[string]string{
		"few":    "the model gives 4",
		"near":   "4 is off 3 by 1",
		"turned": "with bells that ring at 2: 82 is off 80 by 2",
		"fast":   "with speed at 1 Hz: the model gives 1 Hz",
	}
	for _, c := range s.Result().Claims {
		if c.Found != want[c.Name] {
			t.Errorf("%s: %q, want %q", c.Name, c.Found, want[c.Name])
		}
		delete(want, c.Name)
	}
	if len(want) > 0 {
		t.Errorf("not told: %v", want)
	}
}
