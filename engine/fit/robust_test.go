package fit_test

import (
	"math"
	"slices"
	"testing"

	"slipring/engine/fit"
)

// Brownlee's stack loss (Statistical Theory and Methodology, 1965, 13.12), the
// customary example for robust fits, of which 4 of 21 readings do not belong to
// the rest. By least squares it gives -39.920, 0.7156, 1.2953, -0.1521. By
// Huber's fit, with 1.345 and a scale of 2.441, -41.0265, 0.8294, 0.9261,
// -0.1278, as two public statistics libraries print it for their own examples
// (results from memory).
func TestStackLoss(t *testing.T) {
	air := []float64{80, 80, 75, 62, 62, 62, 62, 62, 58, 58, 58, 58, 58, 58, 50, 50, 50, 50, 50, 56, 70}
	water := []float64{27, 27, 25, 24, 22, 23, 24, 24, 23, 18, 18, 17, 18, 19, 18, 18, 19, 19, 20, 20, 20}
	acid := []float64{89, 88, 90, 87, 87, 87, 93, 93, 87, 80, 89, 88, 82, 93, 89, 86, 72, 79, 80, 82, 91}
	loss := []float64{42, 37, 37, 28, 18, 18, 19, 20, 15, 14, 14, 13, 11, 12, 8, 7, 8, 8, 9, 15, 15}
	p := fit.Problem{}
	for _, name := range []string{"none", "air", "water", "acid"} {
		p.Constants = append(p.Constants, fit.Constant{Name: name, Start: 1})
	}
	for _, y := range loss {
		p.Readings = append(p.Readings, fit.Reading{Name: "loss", Value: y, U: 2.4407714551548})
	}
	p.Predict = func(c []float64) (out []float64, err error) {
		for i := range loss {
			out = append(out, c[0]+c[1]*air[i]+c[2]*water[i]+c[3]*acid[i])
		}
		return out, nil
	}
	least := solve(t, p)
	robust, _, err := p.Robust()
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []struct{ least, robust, by float64 }{{-39.920, -41.0265, 2e-3}, {0.7156, 0.8294, 1e-4}, {1.2953, 0.9261, 1e-4}, {-0.1521, -0.1278, 1e-4}} {
		if got := least.Constants[i].Value; math.Abs(got-want.least) > max(want.by/2, 6e-5) {
			t.Errorf("by least squares %d is %.5f, want %v", i, got, want.least)
		}
		if math.Abs(robust[i]-want.robust) > want.by {
			t.Errorf("by Huber's fit %d is %.5f, want %v", i, robust[i], want.robust)
		}
	}
}

// Huber's fit of one number, with whatever share of the readings is off by
// whatever much, is where the pulls are in balance: each good reading pulls by
// its residual, each gross one by the bend.
func TestRobustMean(t *testing.T) {
	p := mean([]float64{10, 10, 10, 10, 1e6}, 1)
	got, far, err := p.Robust()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "the middle", got[0], 10+1.345/4) // 4 x = 1.345
	if math.Abs(far[0]-1.345/4) > 1e-6 {
		t.Errorf("a good one is %v off", far[0])
	}
	near(t, "of the gross one", far[4], 10+1.345/4-1e6)

	// A meter's class is one error, and no reason to take its readings for gross.
	p = mean([]float64{10.5, 10.5, 10.5, 10}, 0.01)
	for i := range 3 {
		p.Readings[i].Shared = map[string]float64{"meter": 1}
	}
	if _, far, err = p.Robust(); err != nil || slices.MaxFunc(far, func(a, b float64) int { return int(1e6 * (math.Abs(a) - math.Abs(b))) }) > 0.1 {
		t.Errorf("%v, %v", far, err)
	}
}
