package circuit_test

import (
	"math"
	"testing"

	"slipring/engine/circuit"
)

// Currents in wires: each carries what lies behind it (Kirchhoff's first law, for
// currents that are known from Ohm's), and where two ways of as many wires stand
// side by side, each has half.
func TestWireAmps(t *testing.T) {
	const source = "B battery voltage=12 resistance=1\n" +
		"R1 resistor resistance=5\nR2 resistor resistance=5\nR3 resistor resistance=5\n"
	for name, c := range map[string]struct {
		wiring string
		want   []float64
	}{
		// 12 V over 1 ohm and three times 5 ohm side by side: 4.5 A, 1.5 A in each
		"a chain": {source + "B.+ R1.1 R2.1 R3.1\nB.- R3.2 R2.2 R1.2", []float64{4.5, 3, 1.5, 4.5, 3, 1.5}},
		"a star":  {source + "B.+ R1.1\nB.+ R2.1\nB.+ R3.1\nB.- R1.2\nB.- R2.2\nB.- R3.2", []float64{1.5, 1.5, 1.5, 1.5, 1.5, 1.5}},
		"a ring": {"B battery voltage=12 resistance=1\nR1 resistor resistance=5\nT strip terminals=2\n" +
			"B.+ T.1 R1.1\nB.+ T.2 R1.1\nB.- R1.2", []float64{1, 1, 1, 1, 2}},
		"a closed contact": {"B battery voltage=12 resistance=1\nR1 resistor resistance=5\nK key contacts=11-12\n" +
			"B.+ K.11\nK.12 R1.1\nB.- R1.2", []float64{2, 2, 2}},
		"an open one": {"B battery voltage=12 resistance=1\nR1 resistor resistance=5\nK key contacts=13-14\n" +
			"B.+ K.13\nK.14 R1.1\nB.- R1.2", []float64{0, 0, 0}},
		// 12 V direct and 8 V r.m.s. alternating in a row, over 4 ohm: 3 A and 2 A
		"both currents": {"B battery voltage=12 resistance=1\nA alternator voltage=8 frequency=50 resistance=1\nR1 resistor resistance=2\n" +
			"B.+ A.1\nA.2 R1.1\nB.- R1.2", []float64{math.Sqrt(13), math.Sqrt(13), math.Sqrt(13)}},
	} {
		w := lay(c.wiring)
		b, err := circuit.New(w)
		must(t, err)
		for i, got := range b.WireAmps() {
			if math.Abs(got-c.want[i]) > 1e-9 {
				t.Errorf("%s: %s from %s to %s carries %v A, want %v", name, w.Wires[i].Name, w.Wires[i].From, w.Wires[i].To, got, c.want[i])
			}
		}
	}
}
