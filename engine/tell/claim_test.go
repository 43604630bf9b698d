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
