package machine_test

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/machine"
)

var update = flag.Bool("update", false, "write the golden table of faults anew")

const faultFile = "testdata/faults.golden"

// faulty runs the whole set at half load with five bells, lets a fault happen
// after a second, and sums up what it comes to after twenty.
func faulty(t *testing.T, f machine.Fault) machine.Summary {
	t.Helper()
	sim := settled(t, readCard(t, "whole-set"), machine.Setup{}, machine.Load{Resistance: 94, Bells: 5})
	change := machine.Change{At: 1, What: f.Action}
	if f.Action == machine.ChangeLeaf {
		change.Amount = -0.05
	}
	if err := sim.Plan(change); err != nil {
		t.Fatal(err)
	}
	sum, err := sim.MeasureFor(20)
	if err != nil {
		t.Fatalf("%s: %v", f.Name, err)
	}
	return sum
}

// Every fault runs to its end, and what it comes to is in the golden table:
// speed, its extremes, open fraction, output, armature current in the mean and
// at most, hunting, and whether the figures are extrapolations. A change of these
// numbers must be meant; go test -run Golden -update writes them anew.
func TestFaultsGolden(t *testing.T) {
	head := []string{"fault", "speed Hz", "lowest Hz", "highest Hz", "open", "output V", "armature A", "most A", "hunts Hz", "beyond"}
	table := [][]string{head}
	for _, f := range machine.Faults() {
		s := faulty(t, f)
		row := []string{f.Name}
		for _, v := range []float64{s.Frequency, s.LowSpeed, s.HighSpeed, s.OpenFraction, s.Output, s.ArmatureCurrent, s.MostArmature, s.HuntFrequency} {
			if math.Abs(v) < 5e-4 {
				v = 0 // rather than a minus before zeros
			}
			row = append(row, strconv.FormatFloat(v, 'f', 3, 64))
		}
		beyond := "no"
		if s.Beyond != "" {
			beyond = "yes"
		}
		table = append(table, append(row, beyond))
	}
	if *update {
		var b strings.Builder
		for _, row := range table {
			fmt.Fprintln(&b, strings.Join(row, "; "))
		}
		if err := os.WriteFile(faultFile, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	golden, err := os.ReadFile(faultFile)
	if err != nil {
		t.Fatalf("%v; write it with go test -run Golden -update", err)
	}
	lines := strings.Split(strings.TrimSpace(string(golden)), "\n")
	if len(lines) != len(table) {
		t.Fatalf("the golden table has %d lines, there are %d faults and a head", len(lines), len(table)-1)
	}
	for i, line := range lines {
		want := strings.Split(line, "; ")
		for j, word := range table[i] {
			if j >= len(want) || !alike(word, want[j]) {
				t.Errorf("%s, %s: %s, golden %s", table[i][0], head[j], word, want[min(j, len(want)-1)])
			}
		}
	}
}

// alike compares words, and numbers within what platforms may differ by in a
// run of some hundred turns.
func alike(a, b string) bool {
	x, errX := strconv.ParseFloat(a, 64)
	y, errY := strconv.ParseFloat(b, 64)
	if errX != nil || errY != nil {
		return a == b
	}
	return math.Abs(x-y) <= 0.002+0.002*math.Abs(y)
}

// What a keeper of such a set expects of its faults (common practice, no
// source, save where one is named).
func TestFaultsMakeSense(t *testing.T) {
	by := map[machine.Action]machine.Summary{}
	for _, f := range machine.Faults() {
		if f.Name == "" || !strings.HasSuffix(f.Sentence, ".") {
			t.Errorf("fault %q has no name or no sentence", f.Action)
		}
		by[f.Action] = faulty(t, f)
	}
	well := measured(t, readCard(t, "whole-set"), machine.Setup{}, machine.Load{Resistance: 94, Bells: 5})
	for _, c := range []struct {
		what  string
		holds bool
	}{
		{"governor stuck open: a few per cent fast", by[machine.GovernorStuckOpen].Frequency > 1.005*well.Frequency && by[machine.GovernorStuckOpen].Frequency < 1.15*well.Frequency},
		{"governor stuck closed: far slow", by[machine.GovernorStuckClosed].Frequency < 0.9*well.Frequency},
		{"leaf broken: far slow", by[machine.LeafBroken].Frequency < 0.9*well.Frequency && by[machine.LeafBroken].OpenFraction == 0},
		{"slack leaf: slow", by[machine.ChangeLeaf].Frequency < 0.99*well.Frequency},
		// Hughes, Electric Motors and Drives: opening the field circuit is
		// dangerous; 34 Pa. Code 39.251 asks for means against it
		{"field open: tens of amperes at once", by[machine.MotorFieldOpen].MostArmature > 30},
		{"regulator welded: a fifth or more high", by[machine.RegulatorWelded].Output > 1.15*well.Output},
		{"regulator stuck open: about three quarters", by[machine.RegulatorStuckOpen].Output > 0.6*well.Output && by[machine.RegulatorStuckOpen].Output < 0.85*well.Output},
		{"coil open is like a weld", math.Abs(by[machine.CoilOpen].Output/by[machine.RegulatorWelded].Output-1) < 0.01},
		{"residual lost: no voltage", by[machine.ResidualLost].Output < 1e-6},
		{"residual reversed: the same output, the other polarity", math.Abs(by[machine.ResidualReversed].Output/well.Output-1) < 1e-3 && by[machine.ResidualReversed].Direct < -0.9*well.Direct},
		{"field leads reversed: does not build up", by[machine.FieldLeadsReversed].Output < 0.05*well.Output},
		{"generator brush lifted: residual voltage alone", by[machine.GeneratorBrushLifted].Output < 0.05*well.Output && by[machine.GeneratorBrushLifted].Output > 0},
		{"ring brush lifted: nothing on the bus", by[machine.RingBrushLifted].Output == 0},
		{"motor brush lifted: stands still", math.Abs(by[machine.MotorBrushLifted].Frequency) < 0.01},
		{"bell fuse blown: faster", by[machine.BellFuseBlown].Frequency > well.Frequency},
		{"dry bearing: slower, open longer", by[machine.DryBearing].Frequency < well.Frequency && by[machine.DryBearing].OpenFraction > well.OpenFraction},
		{"bad cell: open longer", by[machine.BadCell].OpenFraction > well.OpenFraction},
		{"hot field: closed longer", by[machine.MotorFieldHot].OpenFraction < well.OpenFraction},
		{"on end: hunts", by[machine.OnEnd].Hunts},
	} {
		if !c.holds {
			t.Errorf("not so: %s", c.what)
		}
	}
}

// One cell of so many that is dead takes its share of the voltage.
func TestBadCell(t *testing.T) {
	for cells, share := range map[float64]float64{24: 23.0 / 24, 12: 11.0 / 12} {
		c := changed(t, readCard(t, "governed-motor"), map[string]float64{"battery.cells": cells, "battery.resistance": 1e-9})
		sim := settled(t, c, machine.Setup{}, idle)
		if err := sim.Plan(machine.Change{At: 0.5, What: machine.BadCell}); err != nil {
			t.Fatal(err)
		}
		set := record(t, sim, 2, "bus voltage", "armature current", "field current")
		end := last(set.Signals[0]) + 0.2*(last(set.Signals[1])+last(set.Signals[2])) // the joint's loss
		if math.Abs(end-48*share) > 1e-6 {
			t.Errorf("%g cells: %.6f V are left of 48, want %.6f", cells, end, 48*share)
		}
	}
}

// With its field open an unloaded motor without a fuse runs away (34 Pa. Code
// 39.251 asks for means against it); with one, the fuse goes first.
func TestFieldOpen(t *testing.T) {
	open := machine.Change{At: 1, What: machine.MotorFieldOpen}
	alone := settled(t, readCard(t, "governed-motor"), machine.Setup{}, quiet)
	if err := alone.Plan(open); err != nil {
		t.Fatal(err)
	}
	sum, err := alone.MeasureFor(8)
	if err != nil {
		t.Fatal(err)
	}
	if sum.HighSpeed < 1.5*20 || sum.MostArmature < 30 {
		t.Errorf("reaches %.1f turns a second and %.0f A", sum.HighSpeed, sum.MostArmature)
	}
	if sum.Beyond == "" {
		t.Error("an overspeed is not called an extrapolation")
	}
	whole := settled(t, readCard(t, "whole-set"), machine.Setup{}, quiet)
	if err := whole.Plan(open); err != nil {
		t.Fatal(err)
	}
	current := record(t, whole, 8, "armature current").Signals[0]
	fuse := model[machine.Fuse](readCard(t, "whole-set"), "fuse")
	melts := 1 + fuse.MeltingTime(88) // the current lies between 85 and 91 A
	if current.At(melts-0.1) < 70 || current.At(melts+0.1) != 0 {
		t.Errorf("%.1f A before %.2f s, %.1f A after", current.At(melts-0.1), melts, current.At(melts+0.1))
	}
}
