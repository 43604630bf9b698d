package ode

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// The common limit, at relative tolerance 1e-12, of three independent solvers
// at t = 20 s: this method written in Go, DOP853, and CVODE of SUNDIALS with
// its own root finding.
const (
	limitSpeed  = 20.3076445324 // turns a second
	limitAngle  = 2552.07099804 // rad
	limitField  = 0.5956598866  // A
	limitEvents = 817
)

func run(t *testing.T, s Settings) (*governor, *Solver) {
	t.Helper()
	g := &governor{}
	v := solver(t, g.problem(), s)
	g.start(v)
	advance(t, v, 20, nil)
	return g, v
}

func relative(got, want float64) float64 { return math.Abs(got-want) / math.Abs(want) }

func TestGovernorLimit(t *testing.T) {
	for _, c := range []struct {
		method Method
		tol    float64
		within float64 // relative
	}{
		{DormandPrince54, 1e-6, 1e-7},
		{DormandPrince54, 1e-8, 1e-9},
		{DormandPrince54, 1e-10, 1e-10},
		{DormandPrince8, 1e-6, 1e-7},
		{DormandPrince8, 1e-8, 1e-9},
		{DormandPrince8, 1e-10, 1e-10},
	} {
		g, s := run(t, Settings{Method: c.method, RelTol: c.tol})
		y := s.State()
		for _, v := range []struct {
			name      string
			got, want float64
		}{
			{"speed", y[gSpeed] / (2 * math.Pi), limitSpeed},
			{"angle", y[gAngle], limitAngle},
			{"field current", y[gField], limitField},
		} {
			if d := relative(v.got, v.want); !(d <= c.within) {
				t.Errorf("%v at %g: %s %.12g, limit %.12g, off by %.2g", c.method, c.tol, v.name, v.got, v.want, d)
			}
		}
		if g.events != limitEvents || s.Stats().Crossings != limitEvents {
			t.Errorf("%v at %g: %d events, counted as %d, limit %d", c.method, c.tol, g.events, s.Stats().Crossings, limitEvents)
		}
	}
}

// testdata/governor.csv is scipy's solution, written from the equations by
// testdata/governor.py: every coordinate and the count of events, each second.
func TestGovernorAgainstScipy(t *testing.T) {
	rows := table(t)
	for _, m := range methods {
		g := &governor{}
		s := solver(t, g.problem(), Settings{Method: m.method, RelTol: 1e-10})
		g.start(s)
		for _, row := range rows {
			advance(t, s, row[0], nil)
			if s.Time() != row[0] {
				t.Fatalf("landed on %v, not %v", s.Time(), row[0])
			}
			for i, want := range row[1:7] {
				// The travel and its rate come near zero: 1e-7 of their range.
				size := math.Abs(want) + []float64{0, 0, 0, 0, 1e-3, 1e-2}[i]
				if d := math.Abs(s.State()[i]-want) / size; !(d < 1e-7) {
					t.Errorf("%v, t = %g, coordinate %d: %.12g, scipy %.12g", m.method, row[0], i, s.State()[i], want)
				}
			}
			if g.events != int(row[7]) {
				t.Errorf("%v, t = %g: %d events, scipy %g", m.method, row[0], g.events, row[7])
			}
		}
	}
}

func table(t *testing.T) [][]float64 {
	t.Helper()
	file, err := os.Open("testdata/governor.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	r.FieldsPerRecord = 8
	records, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(records) != 21 {
		t.Fatalf("the table has %d rows", len(records))
	}
	var rows [][]float64
	for _, record := range records[1:] {
		row := make([]float64, len(record))
		for i, field := range record {
			if row[i], err = strconv.ParseFloat(field, 64); err != nil {
				t.Fatal(err)
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// With events in the way the answer still converges at the order of the method:
// a crossing placed at the end of a step, or at the wrong end of a bracket,
// would bring that down to 1 while counting the right number of events.
// Measured against the limit above, with steps of a given length.
func TestGovernorConvergence(t *testing.T) {
	for _, c := range []struct {
		method      Method
		perSecond   []float64
		least, most float64
	}{
		{DormandPrince54, []float64{500, 700, 1000, 1400, 2000, 2800}, 4.5, 5.5},
		// The long steps that still show an error are only just short enough, so
		// the fall is steeper than 8.
		{DormandPrince8, []float64{150, 200, 250, 300, 350}, 7.5, math.Inf(1)},
	} {
		var x, y []float64
		for _, n := range c.perSecond {
			g := &governor{}
			s := fixed(t, c.method, 1/n, g.problem())
			g.start(s)
			advance(t, s, 20, nil)
			if g.events != limitEvents {
				t.Errorf("%v, %g steps a second: %d events", c.method, n, g.events)
			}
			x = append(x, math.Log(1/n))
			y = append(y, math.Log(math.Abs(s.State()[gAngle]-limitAngle)))
		}
		if rate := slope(x, y); !(rate > c.least && rate < c.most) {
			t.Errorf("%v: log errors %.3g fall at order %.2f", c.method, y, rate)
		}
	}
}

// slope is that of the least-squares line.
func slope(x, y []float64) float64 {
	var mx, my, top, bottom float64
	for i := range x {
		mx += x[i] / float64(len(x))
		my += y[i] / float64(len(x))
	}
	for i := range x {
		top += (x[i] - mx) * (y[i] - my)
		bottom += (x[i] - mx) * (x[i] - mx)
	}
	return top / bottom
}
