package circuit_test

import (
	"math"
	"slices"
	"testing"

	"slipring/engine/circuit"
)

// With all power off: a bridge of five resistors, what a wire joins, and what
// nothing joins; asked together as one by one.
func TestOhmsOf(t *testing.T) {
	b := board(t, `
		BAT battery voltage=10 resistance=1
		A resistor resistance=1
		B resistor resistance=2
		C resistor resistance=3
		D resistor resistance=4
		E resistor resistance=5
		F resistor resistance=6
		G resistor resistance=3
		C2 battery voltage=2 resistance=0.1
		BAT.+ A.1 B.1
		A.2 C.1 E.1
		B.2 D.1 E.2
		C.2 D.2 BAT.-
		F.1 G.1 C2.+
		F.2 G.2 C2.-
	`)
	pairs := [][2]string{{"A.1", "C.2"}, {"BAT.+", "B.1"}, {"A.1", "F.1"}, {"F.1", "F.2"}, {"A.2", "B.2"}}
	all, err := b.OhmsOf(pairs...)
	must(t, err)
	near(t, "the bridge", all[0], bridge(1, 2, 3, 4, 5), 1e-9)
	if all[1] != 0 || !math.IsInf(all[2], 1) {
		t.Errorf("a wire has %v ohm, and no way %v", all[1], all[2])
	}
	near(t, "two by themselves", all[3], 2, 1e-9)
	for i, p := range pairs {
		alone, err := b.Ohms(p[0], p[1])
		must(t, err)
		if alone != all[i] {
			t.Errorf("%v: %v alone, %v beside others", p, alone, all[i])
		}
	}
	slices.Reverse(pairs)
	back, err := b.OhmsOf(pairs...)
	must(t, err)
	slices.Reverse(back)
	if !slices.Equal(back, all) {
		t.Errorf("the other way round: %v and %v", all, back)
	}
	if _, err := b.OhmsOf([2]string{"A.1", "A.2"}, [2]string{"A.1", "H.1"}); err == nil {
		t.Error("a terminal that is not there has a resistance")
	}
	if v, err := b.Volts("BAT.+", "BAT.-"); err != nil || v == 0 {
		t.Errorf("after measuring, the battery has %v V, %v", v, err)
	}
}

// bridge gives the resistance of a bridge: a and b from one side, c and d to the
// other, e across; the triangle a, b, e turned into a star (Kennelly 1899).
func bridge(a, b, c, d, e float64) float64 {
	sum := a + b + e
	top, left, right := a*b/sum, a*e/sum, b*e/sum
	return top + 1/(1/(left+c)+1/(right+d))
}

func TestFree(t *testing.T) {
	w := lay(`
		BAT battery voltage=48 resistance=1
		K relay contacts=13-14` + quick + `
		BAT.+ K.A1
		BAT.- K.A2
	`)
	for what, free := range map[circuit.FaultKind]bool{"": true, circuit.StuckUp: false, circuit.StuckReleased: false, circuit.WireOpen: true} {
		b, err := circuit.New(w)
		must(t, err)
		of := "K"
		if what == circuit.WireOpen {
			of = "W1"
		}
		if what != "" {
			must(t, b.Fail(circuit.Fault{What: what, Of: of}))
		}
		if b.Free("K") != free {
			t.Errorf("%q: free is %v", what, !free)
		}
	}
}
