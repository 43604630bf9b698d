package drift_test

import (
	"math"
	"testing"

	"slipring/engine/drift"
)

// The reference is the mean of the first readings; limits grow by what that mean
// leaves open: of eight readings of deviation 1, after many, three times the root
// of 0.2/1.8 + 1/8.
func TestAgainst(t *testing.T) {
	x := []float64{1, -1, 1, -1, 1, -1, 1, -1, 0, 0, 0}
	for i := range 40 {
		x = append(x, 0.5*float64(i))
	}
	c, err := drift.Against(x, 8, 1, 0.2, 3)
	if err != nil {
		t.Fatal(err)
	}
	if c.Centre != 0 || math.Abs(c.High[50]-3*math.Sqrt(0.2/1.8+1.0/8)) > 1e-9 || c.Low[50] != -c.High[50] {
		t.Errorf("%v, %v to %v", c.Centre, c.Low[50], c.High[50])
	}
	first := c.Beyond[0]
	if first < 13 || first > 20 || len(c.Beyond) != len(x)-first {
		t.Errorf("beyond %v", c.Beyond)
	}
	if began := c.Began(first); began < 10 || began > 13 {
		t.Errorf("began with %d", began)
	}
	// A wild reading within the reference is none of the chart's business.
	x[3] = 40
	if c, _ = drift.Against(x, 8, 1, 0.2, 3); len(c.Beyond) == 0 || c.Beyond[0] < 8 {
		t.Errorf("beyond %v", c.Beyond)
	}
	if _, err := drift.Against(x, len(x), 1, 0.2, 3); err == nil {
		t.Error("all readings are the reference, and there is a chart")
	}
	if _, err := drift.Against(x, 2, 1, 0.2, 3); err == nil {
		t.Error("two readings are no reference")
	}
}
