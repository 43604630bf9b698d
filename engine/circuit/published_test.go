package circuit_test

import (
	"math"
	"testing"
)

// An unbalanced bridge: C. R. Robertson, Fundamental Electrical and Electronic
// Principles (2008; title from memory), Ex. 2.11 p. 57, read in a transcription
// (B): 10 V over A and C. The supply current that it gives, 3.529 A, is not the sum of
// its branches, and left out.
func TestBridge(t *testing.T) {
	b := board(t, `
		E battery voltage=10 resistance=0
		AB resistor resistance=6
		BC resistor resistance=4
		AD resistor resistance=3
		DC resistor resistance=1
		BD resistor resistance=5
		E.+ AB.1 AD.1
		AB.2 BC.1 BD.1
		AD.2 DC.1 BD.2
		BC.2 DC.2 E.-`)
	for part, want := range map[string]float64{"AB": 1.074, "BC": 0.890, "AD": 2.454, "DC": 2.638, "BD": 0.184} {
		near(t, part, amps(t, b, part), want, 0.0006)
	}
}

// A bridge with a galvanometer: A. D. Helfrick and W. D. Cooper, Modern Electronic
// Instrumentation and Measurement Techniques, Ex. 5-1 p. 101, read in a
// transcription (B): 33.26 mm at 10 mm for each microampere.
func TestGalvanometer(t *testing.T) {
	b := board(t, `
		E battery voltage=5 resistance=0
		R1 resistor resistance=1000
		R2 resistor resistance=100
		R3 resistor resistance=200
		R4 resistor resistance=2005
		G resistor resistance=100
		E.+ R3.1 R4.1
		R3.2 R2.1 G.1
		R4.2 R1.1 G.2
		R1.2 R2.2 E.-`)
	near(t, "deflection in mm", amps(t, b, "G")*1e6*10, 33.26, 0.006)
}

// Two sources: J. Bird, Electrical Circuit Theory and Technology, ch. 13, Problem
// 20, Fig. 13.72, read in a transcription (B): 12 V behind 3 ohm and 24 V behind 2
// ohm give 6.4 A to 1.8 ohm.
func TestTwoSources(t *testing.T) {
	b := board(t, `
		A battery voltage=12 resistance=3
		B battery voltage=24 resistance=2
		R resistor resistance=1.8
		A.+ B.+ R.1
		A.- B.- R.2`)
	near(t, "load", amps(t, b, "R"), 6.4, 1e-9)
	near(t, "sources", amps(t, b, "A")+amps(t, b, "B"), -6.4, 1e-9)
	v, err := b.Volts("R.1", "R.2")
	must(t, err)
	near(t, "voltage", v, 6.4*1.8, 1e-9)
}

// Ladders of equal resistors, whose input resistances are ratios of Fibonacci
// numbers: A. M. Morgan-Voyce, IRE Trans. Circuit Theory 6 (1959) 321-322 (C,
// reproduces).
func TestLadder(t *testing.T) {
	text := `
		E battery voltage=1 resistance=0
		S1 resistor resistance=1
		P1 resistor resistance=1
		E.+ S1.1
		S1.2 P1.1
		E.- P1.2`
	fibonacci := []float64{1, 1, 2, 3, 5, 8, 13, 21, 34, 55, 89, 144, 233}
	for n := 1; n <= 5; n++ {
		b := board(t, text)
		near(t, "input resistance", -1/amps(t, b, "E"), fibonacci[2*n]/fibonacci[2*n-1], 1e-12)
		r, err := b.Ohms("S1.1", "E.-")
		must(t, err)
		near(t, "power off", r, fibonacci[2*n]/fibonacci[2*n-1], 1e-12)
		k, l := string(rune('0'+n)), string(rune('1'+n))
		text += "\nS" + l + " resistor resistance=1\nP" + l + " resistor resistance=1\nS" + k + ".2 S" + l + ".1\nS" + l + ".2 P" + l + ".1\nP" + k + ".2 P" + l + ".2"
	}
}

// Alternating current: J. Bird, Electrical Circuit Theory and Technology, Problem
// 24.4, read in a transcription (B): 30 - j50 ohm on 240 V, 50 Hz takes 4.12 A;
// and an example of another book's p. 2.88 (B): 100 ohm, 0.2 H and 20 uF in series
// on 240 V, 50 Hz. Its printed results are the transcriber's program's, so these
// are recomputed: |Z| = |100 + j(62.832 - 159.155)| = 138.845 ohm.
func TestAlternating(t *testing.T) {
	one := board(t, `
		E alternator voltage=240 frequency=50 resistance=0
		R resistor resistance=30
		C capacitor capacitance=63.6619772e-6
		E.1 R.1
		R.2 C.1
		C.2 E.2`)
	i, err := one.SwingAmps("R")
	must(t, err)
	near(t, "current", i, 4.12, 0.005)
	near(t, "direct current", amps(t, one, "R"), 0, 0)

	two := board(t, `
		E alternator voltage=240 frequency=50 resistance=0
		R resistor resistance=99
		L coil resistance=1 inductance=0.2
		C capacitor capacitance=20e-6
		E.1 R.1
		R.2 L.1
		L.2 C.1
		C.2 E.2`)
	i, err = two.SwingAmps("R")
	must(t, err)
	z := math.Hypot(100, 100*math.Pi*0.2-1/(100*math.Pi*20e-6))
	near(t, "current", i, 240/z, 1e-12)
	v, err := two.Swing("C.1", "C.2")
	must(t, err)
	near(t, "capacitor", v, 240/z/(100*math.Pi*20e-6), 1e-9)
}

// Sources of direct and alternating current in one network do not disturb each
// other (superposition): a lamp on both sees the root of the sum of squares.
func TestBothCurrents(t *testing.T) {
	b := board(t, `
		E alternator voltage=4 frequency=50 resistance=0
		B battery voltage=3 resistance=0
		L lamp resistance=10 voltage=5
		M voltmeter resistance=10000 full-scale=10 class=0.015
		E.1 B.-
		B.+ L.X1 M.1
		L.X2 M.2 E.2`)
	near(t, "direct", amps(t, b, "L"), 0.3, 1e-12)
	near(t, "meter", b.Seen().Meters[0].Reads, 5, 1e-12)
}
