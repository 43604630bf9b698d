package machine_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"slipring/engine/machine"
	"slipring/engine/ode"
)

// reference reads a table that testdata/reference.py made: times, and states.
func reference(t testing.TB, name string) (times []float64, states [][]float64) {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name+".csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		var x []float64
		for _, word := range row {
			v, err := strconv.ParseFloat(word, 64)
			if err != nil {
				t.Fatal(err)
			}
			x = append(x, v)
		}
		times = append(times, x[0])
		states = append(states, x[1:])
	}
	return times, states
}

// The model against an independent program (scipy 1.10.1, DOP853, testdata/
// reference.py) that was written from the equations: the governed motor from
// a slow start, idle, then loaded at 2.5 s.
func TestGovernedMotorAgainstScipy(t *testing.T) {
	times, states := reference(t, "governed-motor")
	for _, method := range []ode.Method{ode.DormandPrince54, ode.DormandPrince8} {
		sim, err := machine.NewAt(readCard(t, "governed-motor"), machine.Setup{RelTol: 1e-11, Method: method},
			machine.Load{Torque: 0.3}, states[0])
		if err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for k := 1; k < len(times); k++ {
			if k == 11 {
				if err := sim.Change(machine.Load{Torque: 1.3}); err != nil {
					t.Fatal(err)
				}
			}
			if err := sim.Advance(times[k] - sim.Time()); err != nil {
				t.Fatal(err)
			}
			worst = max(worst, farthest(sim, states[k]))
		}
		t.Logf("method %v: worst difference %.2g", method, worst)
		if worst > 1e-8 {
			t.Errorf("method %v: differs by %.2g; want 1e-8", method, worst)
		}
	}
}

// farthest gives the largest difference of a coordinate, each relative to its
// size or to the size at which it counts as small.
func farthest(sim *machine.Simulation, want []float64) float64 {
	y, scale := sim.Coordinates()
	worst := 0.0
	for i := range want {
		worst = max(worst, math.Abs(y[i]-want[i])/(math.Abs(want[i])+scale[i]))
	}
	return worst
}
