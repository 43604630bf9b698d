package wiring_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/wiring"
)

// Everything in this file is a table from a book or a standard, held against
// what the package works out. To add a row, copy it as printed and say where
// it stands.

// must gives a result that has to succeed.
func must[T any](x T, err error) T {
	if err != nil {
		panic(err)
	}
	return x
}

// off says whether got differs from want by more than a part of want.
func off(got, want, part float64) bool { return !(math.Abs(got-want) <= part*want) }

// Annealed copper at 20 C. Values of NBS Circular 31, Copper Wire Tables, as
// reprinted at cirris.com (wire table). Grade B: the circular itself was not
// seen.
func TestCircular31(t *testing.T) {
	for _, row := range []struct {
		gauge string
		mils  float64 // diameter, thousandths of an inch
		ohms  float64 // per 1000 ft
	}{
		{"10", 101.9, 0.9989},
		{"12", 80.808, 1.588},
		{"14", 64.084, 2.525},
		{"16", 50.820, 4.016},
		{"18", 40.303, 6.385},
		{"20", 31.961, 10.15},
		{"22", 25.347, 16.14},
		{"24", 20.100, 25.67},
		{"26", 15.940, 40.81},
		{"28", 12.641, 64.90},
		{"30", 10.025, 103.2},
		{"36", 5.000, 414.8},
		{"40", 3.145, 1049},
	} {
		g := must(wiring.ParseGauge(row.gauge))
		if off(g.Mils(), row.mils, 2e-4) {
			t.Errorf("No. %s: %.4f mils, the table has %g", row.gauge, g.Mils(), row.mils)
		}
		ohms := wiring.OhmsPerThousandFeet(must(g.Resistance(20, wiring.Alpha00393)))
		if off(ohms, row.ohms, 3e-4) {
			t.Errorf("No. %s: %.4f ohm per 1000 ft, the table has %g", row.gauge, ohms, row.ohms)
		}
	}
}

// The same from 4/0 on, with areas in circular mils (the square of the
// diameter in mils). From T. L. Floyd, Electric Circuit Fundamentals, 2nd ed.,
// as read at hyperphysics.phy-astr.gsu.edu (American wire gauges). Grade A for
// the page, which names the book.
func TestFloydTable(t *testing.T) {
	for _, row := range []struct {
		gauge  string
		mils2  float64 // circular mils
		ohms   string  // per 1000 ft, as printed: figures vary
		inches float64
	}{
		{"4/0", 211600, "0.049", 0.46},
		{"3/0", 167810, "0.0618", 0.40965},
		{"2/0", 133080, "0.078", 0.3648},
		{"1/0", 105530, "0.0983", 0.32485},
		{"1", 83694, "0.124", 0.2893},
		{"2", 66373, "0.1563", 0.25763},
		{"4", 41742, "0.2485", 0.20431},
		{"6", 26250, "0.3951", 0.16202},
		{"8", 16509, "0.6282", 0.12849},
		{"13", 5178.4, "2.003", 0.07196},
		{"15", 3256.7, "3.184", 0.05707},
		{"17", 2048.2, "5.064", 0.04526},
		{"19", 1288.1, "8.051", 0.03589},
		{"21", 810.1, "12.8", 0.02846},
		{"23", 509.45, "20.36", 0.02257},
		{"25", 320.4, "32.37", 0.0179},
		{"32", 63.21, "164.1", 0.00795},
		{"34", 39.75, "260.9", 0.0063},
		{"38", 15.72, "659.6", 0.00396},
	} {
		g := must(wiring.ParseGauge(row.gauge))
		if off(g.Mils()/1000, row.inches, 1.5e-3) {
			t.Errorf("No. %s: %.5f in, the table has %g", row.gauge, g.Mils()/1000, row.inches)
		}
		// 1 circular mil is 506.7075 µm² (pi/4 mil²)
		if off(g.Area()/506.7075e-6, row.mils2, 3e-4) {
			t.Errorf("No. %s: %.1f circular mils, the table has %g", row.gauge, g.Area()/506.7075e-6, row.mils2)
		}
		want, decimals := printed(t, row.ohms)
		ohms := wiring.OhmsPerThousandFeet(must(g.Resistance(20, wiring.Alpha00393)))
		if !(math.Abs(ohms-want) <= 0.5*math.Pow10(-decimals)+1.5e-4*want) {
			t.Errorf("No. %s: %.5f ohm per 1000 ft, the table has %s", row.gauge, ohms, row.ohms)
		}
	}
}

// printed reads a number with the count of its decimals.
func printed(t *testing.T, s string) (value float64, decimals int) {
	t.Helper()
	value, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	if i := strings.IndexByte(s, '.'); i >= 0 {
		decimals = len(s) - i - 1
	}
	return value, decimals
}

// Solid uncoated copper at 75 C: NFPA 70, National Electrical Code, chapter 9,
// table 8, as reprinted at sfasoft.com (wire conductor properties). Grade A for
// the page. Its own areas are rounded, No. 16 by 0.12 %.
func TestCodeTableAt75C(t *testing.T) {
	for _, row := range []struct {
		gauge string
		ohms  float64 // per 1000 ft
		half  float64 // half of the last printed figure
	}{
		{"18", 7.77, 0.005},
		{"16", 4.89, 0.005},
		{"14", 3.07, 0.005},
		{"12", 1.93, 0.005},
		{"10", 1.21, 0.005},
		{"8", 0.764, 0.0005},
	} {
		g := must(wiring.ParseGauge(row.gauge))
		for _, rule := range []wiring.Rule{wiring.Alpha00393, wiring.Zero2345} {
			ohms := wiring.OhmsPerThousandFeet(must(g.Resistance(75, rule)))
			if !(math.Abs(ohms-row.ohms) <= row.half+0.0012*row.ohms) {
				t.Errorf("No. %s by %v: %.4f ohm per 1000 ft at 75 C, the table has %g", row.gauge, rule, ohms, row.ohms)
			}
		}
	}
}

// The international standard: 0.15328 ohm g/m² and 8.89 g/cm³ make 0.017241
// ohm mm²/m (IEC 60028; NBS Circular 31. Grade B).
func TestResistivity(t *testing.T) {
	if off(wiring.Resistivity, 0.15328/8.89, 3e-5) || off(must(wiring.Resistance(1, 20, 0)), 0.017241, 3e-5) {
		t.Errorf("%.7f ohm mm²/m", wiring.Resistivity)
	}
}

// correctionTable is the table of factors that bring a measured resistance to
// 20 C, IEC 60228 as reprinted at uecables.com (conductors according to IEC
// 60228). Grade A for the page.
var correctionTable = []struct{ celsius, factor float64 }{
	{5, 1.064}, {10, 1.042}, {15, 1.020}, {20, 1.000}, {25, 0.980}, {30, 0.962}, {35, 0.943},
	{40, 0.926}, {45, 0.909}, {50, 0.893}, {55, 0.877}, {60, 0.862}, {65, 0.847}, {70, 0.833},
	{75, 0.820}, {80, 0.806}, {85, 0.794}, {90, 0.781}, {95, 0.769}, {100, 0.758},
}

// The printed table was made with 0.004 a degree, although the formula beside
// it is 254.5/(234.5 + t). Each rule that the table was NOT made with must
// miss it, or the choice of a rule would mean nothing.
func TestCorrectionTableOfIEC60228(t *testing.T) {
	worst := map[wiring.Rule]float64{}
	for _, rule := range []wiring.Rule{wiring.Alpha00393, wiring.Alpha004, wiring.Zero2345, wiring.Zero235} {
		for _, row := range correctionTable {
			d := math.Abs(must(rule.Correction(row.celsius)) - row.factor)
			worst[rule] = max(worst[rule], d)
		}
	}
	if worst[wiring.Alpha004] > 0.0005 {
		t.Errorf("0.004 a degree misses the table by %.4f", worst[wiring.Alpha004])
	}
	for _, rule := range []wiring.Rule{wiring.Alpha00393, wiring.Zero2345, wiring.Zero235} {
		if worst[rule] < 0.002 || worst[rule] > 0.0045 {
			t.Errorf("%v misses the table by %.4f; it should by more than rounding, and by less than half a per cent", rule, worst[rule])
		}
	}
}

// Two ways to write the same line: 254.5/(234.5 + t) and
// 1/(1 + 0.00393 (t - 20)), IEC 60228:2004, annex (as GOST 22483-2021, annex V,
// ajdocs.ru. Grade A). And 234.5 is 1/0.00393 - 20, rounded: IS 2705-1:1992,
// annex D (grade A).
func TestTwoWaysToWriteTheRule(t *testing.T) {
	for c := 5.0; c <= 100; c++ {
		a, b := must(wiring.Alpha00393.Correction(c)), must(wiring.Zero2345.Correction(c))
		if math.Abs(a-b) > 5e-5 {
			t.Errorf("at %g C the two forms give %.6f and %.6f", c, a, b)
		}
	}
	// the temperature at which nothing is left, seen from the slope of the line
	at := func(rule wiring.Rule) float64 {
		f0, f100 := must(rule.Factor(0)), must(rule.Factor(100))
		return 100 * f0 / (f100 - f0)
	}
	if z := at(wiring.Alpha00393); math.Abs(z-234.5) > 0.06 {
		t.Errorf("0.00393 a degree comes to nothing at -%.2f C, printed 234.5", z)
	}
	if z := at(wiring.Zero2345); math.Abs(z-234.5) > 1e-9 {
		t.Errorf("the 234.5 line comes to nothing at -%.2f C", z)
	}
	// IEC 60034-1 is said to use 235, IEEE 112 234.5 (from memory)
	if z := at(wiring.Zero235); math.Abs(z-235) > 1e-9 {
		t.Errorf("the 235 line comes to nothing at -%.2f C", z)
	}
}

// Greatest resistances of plain copper, class 2, ohm/km at 20 C: IEC 60228, as
// reprinted at uecables.com and kabelmetal-indonesia.com (grade A for the
// pages). They are limits that a cable may not pass, not values that it has:
// copper of the nominal section lies below each, by up to an eighth.
func TestLimitsOfIEC60228(t *testing.T) {
	limits := map[float64]float64{
		0.5: 36.0, 0.75: 24.5, 1: 18.1, 1.5: 12.1, 2.5: 7.41, 4: 4.61, 6: 3.08, 10: 1.83, 16: 1.15,
		25: 0.727, 35: 0.524, 50: 0.387, 70: 0.268, 95: 0.193, 120: 0.153, 150: 0.124,
		185: 0.0991, 240: 0.0754, 300: 0.0601,
	}
	sizes := wiring.Sizes()
	if len(sizes) != len(limits) {
		t.Errorf("%d sizes, the standard's list to 300 mm² has %d", len(sizes), len(limits))
	}
	for _, area := range sizes {
		nominal := 1000 * must(wiring.Resistance(area, 20, wiring.Alpha00393))
		limit, known := limits[area]
		if !known {
			t.Errorf("%g mm² is no size of the standard", area)
		}
		if !(nominal < limit && limit < 1.13*nominal) {
			t.Errorf("%g mm²: nominal copper has %.4f ohm/km, the limit is %g", area, nominal, limit)
		}
	}
}

// Windings that were measured cold and warm.
func TestWindingTemperature(t *testing.T) {
	for _, row := range []struct {
		source        string
		cold, at, hot float64 // ohm, C, ohm
		rule          wiring.Rule
		want, within  float64 // C
	}{
		// a motor winding of 80 ohm at 20 C that has 100 ohm after four hours
		{"worked answer, physicsforums.com thread 381286 (grade B)", 80, 20, 100, wiring.Zero2345, 83.63, 0.006},
		// a rise of 1 degree from 20 C is 1/254.5 of the resistance
		{"electrical-engineering-portal.com, temperature rise (grade A)", 1, 20, 1.00393, wiring.Zero2345, 21, 0.001},
	} {
		got := must(wiring.WindingTemperature(row.cold, row.at, row.hot, row.rule))
		if !(math.Abs(got-row.want) <= row.within) {
			t.Errorf("%s: %.4f C, want %g", row.source, got, row.want)
		}
	}
	// the other rule moves it by a sixth of a degree, so the rule has to be said
	a := must(wiring.WindingTemperature(80, 20, 100, wiring.Zero2345))
	b := must(wiring.WindingTemperature(80, 20, 100, wiring.Zero235))
	if math.Abs(b-a-0.125) > 1e-9 {
		t.Errorf("234.5 gives %.3f C and 235 gives %.3f C", a, b)
	}
}

// No. 22 copper at 25 C has 16.46 ohm per 1000 ft: J. Macassey, Ham Radio,
// September 1985 (n6are.com. Grade A).
func TestNumber22At25C(t *testing.T) {
	ohms := wiring.OhmsPerThousandFeet(must(wiring.Gauge(22).Resistance(25, wiring.Alpha00393)))
	if math.Abs(ohms-16.46) > 0.005 {
		t.Errorf("%.4f ohm per 1000 ft, printed 16.46", ohms)
	}
}

// A two-wire circuit of 100 ft in No. 16 that carries 4 A loses 4.0 V at 75 C:
// electrician2.com, lesson on class 2 circuits (grade A), reckoned with
// stranded wire, of which the code's table 8 has 4.99 ohm per 1000 ft where
// solid wire has 4.89. Copper without strands therefore loses 2 % less.
func TestVoltageDrop(t *testing.T) {
	l := wiring.Loop{Length: 100 * 0.3048, Current: 4, Temperature: 75}
	volts := must(l.Drop(wiring.Gauge(16).Area()))
	if math.Abs(volts*4.99/4.89-4.0) > 0.05 {
		t.Errorf("%.3f V in solid wire, %.3f V in stranded; printed 4.0", volts, volts*4.99/4.89)
	}
	// the lesson finds 16.7 % of 24 V too much; for a tenth it takes three
	// gauges more, since three gauges double the section
	if g := must(l.Gauge(2.4)); g != 13 {
		t.Errorf("for 2.4 V: No. %v, want 13", g)
	}
}
