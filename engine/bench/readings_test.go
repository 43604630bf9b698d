package bench_test

import (
	"math"
	"slices"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/tell"
)

func laid() *bench.Shelf {
	s := bench.New(nil)
	s.Lay(bench.Beside{Readings: []bench.Readings{{Name: "week", Columns: []bench.ReadingsColumn{
		{Head: "load", Unit: "A", Numbers: []float64{0, 1, 2}},
		{Head: "speed", Unit: "Hz", Numbers: []float64{20, 0, 19}, Missing: []bool{false, true, false}},
		{Head: "who", Words: []string{"a", "", "b"}},
	}}}})
	return s
}

func TestReadings(t *testing.T) {
	r := laid().Readings("week")
	speed := r.Column("speed")
	if speed[0] != 20 || !math.IsNaN(speed[1]) || speed[2] != 19 {
		t.Errorf("speed: %v", speed)
	}
	if x, y := r.Pairs("load", "speed"); !slices.Equal(x, []float64{0, 2}) || !slices.Equal(y, []float64{20, 19}) {
		t.Errorf("pairs: %v, %v", x, y)
	}
	if w := r.Words("who"); !slices.Equal(w, []string{"a", "", "b"}) {
		t.Errorf("words: %q", w)
	}
	// What a cell does with its numbers does not change the readings.
	r.Column("load")[0] = 7
	if got := r.Column("load")[0]; got != 0 {
		t.Errorf("the readings were changed to %g", got)
	}
}

func TestReadingsMisuse(t *testing.T) {
	for name, call := range map[string]func(){
		"no such file":     func() { laid().Readings("month") },
		"no file at all":   func() { bench.New(nil).Readings("week") },
		"no such column":   func() { laid().Readings("week").Column("torque") },
		"words as numbers": func() { laid().Readings("week").Column("who") },
		"numbers as words": func() { laid().Readings("week").Words("load") },
		"a pair of words":  func() { laid().Readings("week").Pairs("load", "who") },
	} {
		t.Run(name, func(t *testing.T) {
			defer func() {
				if m, ok := recover().(tell.Misuse); !ok || m.Text == "" || m.Hint == "" {
					t.Errorf("want a Misuse with text and hint, got %+v", m)
				}
			}()
			call()
		})
	}
}
