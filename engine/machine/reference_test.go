package machine_test

import (
	"bytes"
	"encoding/csv"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"slipring/engine/machine"
	"slipring/engine/ode"
	"slipring/engine/sweeptest"
)

// reference reads a table that testdata/reference.py made: times, and states.
func reference(t testing.TB, name string) (times []float64, states [][]float64) {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name+".csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, x := range table(t, f) {
		times = append(times, x[0])
		states = append(states, x[1:])
	}
	return times, states
}

func table(t testing.TB, r io.Reader) (rows [][]float64) {
	t.Helper()
	lines, err := csv.NewReader(r).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range lines[1:] {
		var x []float64
		for _, word := range line {
			v, err := strconv.ParseFloat(word, 64)
			if err != nil {
				t.Fatal(err)
			}
			x = append(x, v)
		}
		rows = append(rows, x)
	}
	return rows
}

// against holds the model, changed at the given lines of the table, against a
// table of the reference, and gives the worst difference.
func against(t *testing.T, name string, method ode.Method, first machine.Load, changes map[int]machine.Load) float64 {
	t.Helper()
	times, states := reference(t, name)
	sim, err := machine.NewAt(readCard(t, name), machine.Setup{RelTol: 1e-11, Method: method}, first, states[0])
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	for k := 1; k < len(times); k++ {
		if load, ok := changes[k]; ok {
			if err := sim.Change(load); err != nil {
				t.Fatal(err)
			}
		}
		if err := sim.Advance(times[k] - sim.Time()); err != nil {
			t.Fatal(err)
		}
		worst = max(worst, farthest(sim, states[k]))
	}
	return worst
}

// The model against an independent program (scipy 1.10.1, DOP853, testdata/
// reference.py) that was written from the equations: the governed motor from
// a slow start, idle, then loaded at 2.5 s.
func TestGovernedMotorAgainstScipy(t *testing.T) {
	for _, method := range []ode.Method{ode.DormandPrince54, ode.DormandPrince8} {
		worst := against(t, "governed-motor", method, machine.Load{Torque: 0.3}, map[int]machine.Load{11: {Torque: 1.3}})
		t.Logf("method %v: worst difference %.2g", method, worst)
		if worst > 1e-8 {
			t.Errorf("method %v: differs by %.2g; want 1e-8", method, worst)
		}
	}
}

// The whole set: idle, half load from 1 s, full load and ten bells from 2 s,
// idle again from 4 s.
func TestWholeSetAgainstScipy(t *testing.T) {
	for _, method := range []ode.Method{ode.DormandPrince54, ode.DormandPrince8} {
		worst := against(t, "whole-set", method, machine.Load{}, map[int]machine.Load{
			5: {Resistance: 94}, 9: {Resistance: 47, Bells: 10}, 17: {}})
		t.Logf("method %v: worst difference %.2g", method, worst)
		if worst > 1e-8 {
			t.Errorf("method %v: differs by %.2g; want 1e-8", method, worst)
		}
	}
}

// The committed tables are what the script makes. It needs python3 with scipy.
func TestReferenceIsWhatTheScriptMakes(t *testing.T) {
	python := ""
	for _, p := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(p, "-c", "import scipy, tomllib").Run() == nil {
			python = p
			break
		}
	}
	if python == "" {
		sweeptest.Missing(t, "reference", "python3 with scipy is missing (package python3-scipy)")
	}
	if testing.Short() {
		t.Skip("takes seconds")
	}
	for _, name := range sweeptest.Sample(t, []string{"governed-motor", "whole-set"}, 1) {
		out, err := exec.Command(python, filepath.Join("testdata", "reference.py"), name).Output()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		fresh := table(t, bytes.NewReader(out))
		_, want := reference(t, name)
		if len(fresh) != len(want) {
			t.Fatalf("%s: %d lines, committed %d", name, len(fresh), len(want))
		}
		for k, row := range fresh {
			for i, v := range row[1:] {
				if math.Abs(v-want[k][i]) > 1e-8*(1e-3+math.Abs(want[k][i])) {
					t.Errorf("%s: line %d, column %d: %g, committed %g", name, k+2, i+2, v, want[k][i])
				}
			}
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
