package cutting_test

import (
	"math"
	"testing"

	"slipring/engine/cutting"
	"slipring/engine/wiring"
)

// A distributor of 300 m with loads of 30, 40, 100 and 50 A at 40, 100, 150 and
// 250 m, of which both conductors together may lose 10 V, takes copper of 116.4
// mm²: B. L. Theraja, A Textbook of Electrical Technology, vol. III, ch. 40, ex.
// 40.3 p. 1577, read in a transcription that prints cm² for mm². The book's
// copper has 1.78e-8 ohm m; ours has 1/58 ohm mm²/m at 20 C, and what a cable
// may have more.
func TestNeeds(t *testing.T) {
	var legs []cutting.Leg
	for _, l := range []cutting.Leg{{40, 220}, {60, 190}, {50, 150}, {100, 50}} {
		legs = append(legs, l, l) // out and back
	}
	got, err := cutting.Needs(legs, 10, 20)
	if err != nil {
		t.Fatal(err)
	}
	if book := got / cutting.Poorest * 0.0178 * 58; math.Abs(book-116.4) > 0.05 {
		t.Errorf("with the book's copper it takes %.2f mm², printed 116.4", book)
	}
}

// What may be poorer than nominal copper is no more than the limits of IEC 60228
// for plain copper of class 2 ask for, and no less than the worst of them (ohm/km
// at 20 C, as package wiring has them from reprints).
func TestPoorest(t *testing.T) {
	worst := 0.0
	for area, limit := range map[float64]float64{0.5: 36.0, 0.75: 24.5, 1: 18.1, 1.5: 12.1, 2.5: 7.41, 4: 4.61, 6: 3.08, 10: 1.83, 16: 1.15, 25: 0.727, 35: 0.524,
		50: 0.387, 70: 0.268, 95: 0.193, 120: 0.153, 150: 0.124, 185: 0.0991, 240: 0.0754, 300: 0.0601} {
		nominal, err := wiring.Resistance(area, 20, wiring.Alpha00393)
		if err != nil {
			t.Fatal(err)
		}
		worst = max(worst, limit/1000/nominal)
	}
	if !(cutting.Poorest >= 1 && worst <= cutting.Poorest && worst > 0.98*cutting.Poorest) {
		t.Errorf("the worst cable has %.4f of nominal copper's resistance, counted are %v", worst, cutting.Poorest)
	}
}

// The gauge beside a cross-section has no less copper, and the next thinner even
// one has less. Cross-sections of gauges as handbooks print them: NFPA 70, table
// 8 of chapter 9 (from memory): 18 AWG .823, 16 1.31, 14 2.08, 12 3.31, 10 5.261,
// 8 8.367, 6 13.30, 4 21.15, 2 33.62, 1/0 53.49, 2/0 67.43 mm².
func TestBeside(t *testing.T) {
	for area, want := range map[float64]string{0.75: "18", 0.8: "18", 0.83: "16", 1: "16", 1.5: "14", 2.5: "12", 3.3: "12", 3.4: "10", 4: "10", 6: "8", 8.3: "8", 10: "6", 13.2: "6", 16: "4", 21.2: "2", 25: "2", 35: "1/0", 50: "1/0", 53.6: "2/0", 120: ""} {
		if got := cutting.Beside(area); got != want {
			t.Errorf("beside %g mm² stands %q, want %q", area, got, want)
		}
	}
}

func TestParseSize(t *testing.T) {
	for text, want := range map[string]float64{"1.5 mm2": 1.5, " 10 mm²": 10, "0.75mm2": 0.75, "AWG 16": 1.31, "No. 12": 3.31} {
		got, _, err := cutting.ParseSize(text)
		if err != nil || math.Abs(got-want) > 0.002*want {
			t.Errorf("%q is %v mm², %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "1.4 mm2", "mm2", "-1 mm2", "1,5 mm2", "AWG 99", "thick", "1.5"} {
		if got, gauge, err := cutting.ParseSize(text); err == nil {
			t.Errorf("%q is read as %v mm², AWG %q", text, got, gauge)
		}
	}
}
