package drift_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"slipring/engine/drift"
)

func text(decimals int, list ...float64) string {
	var out []string
	for _, x := range list {
		out = append(out, fmt.Sprintf("%.*f", decimals, math.Abs(x))) // no "-0.0"
	}
	return strings.Join(out, " ")
}

func same(t *testing.T, what, got, want string) {
	t.Helper()
	if got != want {
		t.Errorf("%s:\n%s, printed is\n%s", what, got, want)
	}
}

// process is the concentration of Montgomery and Runger, Applied Statistics and
// Probability for Engineers, 3rd edition, table 16-3.
var process = []float64{102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1, 101.3, 98.7, 101.1, 98.4, 97.0, 96.7, 100.3, 101.4, 97.2, 101.0}

// Montgomery and Runger, example 16-6, p. 636, table 16-8, read as printed: the
// sums with a target of 99, K 1, H 10. The counters of row 20 are misprinted
// there and not used.
func TestSums(t *testing.T) {
	s, err := drift.CUSUM(process, 99, 1, 10)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "upper sums", text(1, s.High...), "2.0 0.0 0.0 0.0 2.0 0.5 0.0 0.0 0.0 0.0 1.3 0.0 1.1 0.0 0.0 0.0 0.3 1.7 0.0 1.0")
	same(t, "lower sums", text(1, s.Low...), "0.0 3.2 2.9 2.5 0.0 0.0 0.0 0.3 0.0 0.0 0.0 0.0 0.0 0.0 1.0 2.3 0.0 0.0 0.8 0.0")
	if len(s.Beyond) != 0 {
		t.Errorf("signals at %v, the book has none", s.Beyond)
	}
	if s, _ = drift.CUSUM(process, 99, 1, 3); fmt.Sprint(s.Beyond) != "[1]" {
		t.Errorf("with H 3, signals at %v", s.Beyond)
	}
}

// The same process, example 16-2, p. 616: a mean of 99.1, a mean moving range of
// 2.59, limits 105.99 and 92.21, and 8.46 for the ranges. The book works on with
// rounded means, so that its 105.99 is 105.98 here. The constants d2 and D4 were
// read as printed; the results are from memory.
func TestIndividuals(t *testing.T) {
	values, ranges, err := drift.Individuals(process)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "means", text(1, values.Centre)+" "+text(2, ranges.Centre), "99.1 2.59")
	same(t, "limits", text(2, values.High[0], values.Low[19], ranges.High[0]), "105.98 92.21 8.46")
	if len(values.Beyond)+len(ranges.Beyond) != 0 {
		t.Errorf("%v, %v", values.Beyond, ranges.Beyond)
	}
}

// NIST/SEMATECH e-Handbook, 6.3.2.2 (from memory; it reproduces): mean moving
// range 1.8778, centre 50.81, limits 55.8041 and 45.8159.
func TestIndividualsOfTheHandbook(t *testing.T) {
	values, ranges, err := drift.Individuals([]float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1})
	if err != nil {
		t.Fatal(err)
	}
	same(t, "the chart", text(4, ranges.Centre, values.High[3])+" "+text(2, values.Centre)+" "+text(4, values.Low[0]), "1.8778 55.8041 50.81 45.8159")
}

// NIST/SEMATECH e-Handbook, 6.3.2.4: EWMA0 50, weight 0.3, s 2.0539, limits
// 52.5884 and 47.4115 (the handbook cuts 47.41157), all points inside. The
// setting was read; data and points are from memory, and reproduce.
func TestMovingAverages(t *testing.T) {
	x := []float64{52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}
	c, err := drift.EWMA(x, 50, 2.0539, 0.3, 3)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "points", text(2, c.Points...), "50.60 49.52 50.56 50.18 50.16 49.21 49.75 49.85 50.26 50.33 50.11 49.36 49.52 50.05 49.38 49.92 50.73 51.23 51.94 51.99")
	// The handbook's limits are those after many points; the twentieth is there to
	// six digits.
	same(t, "limits", text(3, c.High[19], c.Low[19]), "52.588 47.412")
	if len(c.Beyond) != 0 {
		t.Errorf("%v", c.Beyond)
	}
	// The first limits are those of one reading's share.
	if got, want := c.High[0]-50, 3*2.0539*0.3; math.Abs(got-want) > 1e-12 {
		t.Errorf("first limit %v, want %v", got, want)
	}
	// With a weight of 1 it is the chart of the readings themselves.
	if c, _ = drift.EWMA([]float64{50, 57, 43, 51}, 50, 2, 1, 3); fmt.Sprint(c.Beyond) != "[1 2]" || c.High[3] != 56 {
		t.Errorf("%+v", c)
	}
}

func TestRefuses(t *testing.T) {
	nan := math.NaN()
	for want, wrong := range map[string]func() error{
		"4 readings make no limits":     func() error { _, _, err := drift.Individuals(process[:4]); return err },
		"reading 5 is no number":        func() error { _, _, err := drift.Individuals([]float64{1, 2, 3, 4, nan}); return err },
		"reading 2 is no number":        func() error { _, err := drift.CUSUM([]float64{1, nan}, 1, 1, 1); return err },
		"the target of a chart is no":   func() error { _, err := drift.EWMA(process, nan, 1, 0.2, 3); return err },
		"the limits of a chart are not": func() error { _, err := drift.EWMA(process, 99, 0, 0.2, 3); return err },
		"weigh its newest reading with": func() error { _, err := drift.EWMA(process, 99, 1, 1.5, 3); return err },
	} {
		err := wrong()
		e, ok := err.(drift.Error)
		if !ok || !strings.Contains(e.Text, want) || e.Next == "" {
			t.Errorf("%s: %v", want, err)
		}
	}
}
