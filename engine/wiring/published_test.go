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

// published is one printed number. A row counts only when it fails a result that
// is wrong by a thousandth; coarse says why one cannot.
type published struct {
	what              string
	got, want, within float64
	coarse            string
}

func hold(t *testing.T, rows []published) {
	t.Helper()
	for _, p := range rows {
		t.Run(p.what, func(t *testing.T) {
			passes := func(got float64) bool { return math.Abs(got-p.want) <= p.within }
			if !passes(p.got) {
				t.Errorf("got %.6g, the table has %g within %.2g", p.got, p.want, p.within)
			}
			blunt := passes(1.001*p.got) || passes(0.999*p.got)
			if blunt != (p.coarse != "") {
				t.Errorf("passes with an error of a thousandth: %v; the reason for it: %q", blunt, p.coarse)
			}
		})
	}
}

// asPrinted is a row for a number as it stands in a table, which may be off by
// half a unit of its last figure and by a part of itself besides.
func asPrinted(t *testing.T, what string, got float64, text string, part float64) published {
	t.Helper()
	want, decimals := printed(t, text)
	p := published{what, got, want, 0.5*math.Pow10(-decimals) + part*want, ""}
	// half a unit of less than four figures may hide a thousandth
	if p.within > 0.00084*want {
		p.coarse = "printed as " + text
	}
	return p
}

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
	for _, row := range circular31 {
		g := must(wiring.ParseGauge(row.gauge))
		ohms := wiring.OhmsPerThousandFeet(must(g.Resistance(20, wiring.Alpha00393)))
		hold(t, []published{
			{"mils of No. " + row.gauge, g.Mils(), row.mils, 2e-4 * row.mils, ""},
			{"ohm per 1000 ft of No. " + row.gauge, ohms, row.ohms, 3e-4 * row.ohms, ""},
		})
	}
}

var circular31 = []struct {
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
		inches string
	}{
		{"4/0", 211600, "0.049", "0.46"},
		{"3/0", 167810, "0.0618", "0.40965"},
		{"2/0", 133080, "0.078", "0.3648"},
		{"1/0", 105530, "0.0983", "0.32485"},
		{"1", 83694, "0.124", "0.2893"},
		{"2", 66373, "0.1563", "0.25763"},
		{"4", 41742, "0.2485", "0.20431"},
		{"6", 26250, "0.3951", "0.16202"},
		{"8", 16509, "0.6282", "0.12849"},
		{"13", 5178.4, "2.003", "0.07196"},
		{"15", 3256.7, "3.184", "0.05707"},
		{"17", 2048.2, "5.064", "0.04526"},
		{"19", 1288.1, "8.051", "0.03589"},
		{"21", 810.1, "12.8", "0.02846"},
		{"23", 509.45, "20.36", "0.02257"},
		{"25", 320.4, "32.37", "0.0179"},
		{"32", 63.21, "164.1", "0.00795"},
		{"34", 39.75, "260.9", "0.0063"},
		{"38", 15.72, "659.6", "0.00396"},
	} {
		g := must(wiring.ParseGauge(row.gauge))
		ohms := wiring.OhmsPerThousandFeet(must(g.Resistance(20, wiring.Alpha00393)))
		hold(t, []published{
			asPrinted(t, "inches of No. "+row.gauge, g.Mils()/1000, row.inches, 2e-4),
			// 1 circular mil is 506.7075 µm² (pi/4 mil²)
			{"circular mils of No. " + row.gauge, g.Area() / 506.7075e-6, row.mils2, 3e-4 * row.mils2, ""},
			asPrinted(t, "ohm per 1000 ft of No. "+row.gauge, ohms, row.ohms, 1.5e-4),
		})
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
	for _, row := range []struct{ gauge, ohms string }{
		{"18", "7.77"}, {"16", "4.89"}, {"14", "3.07"}, {"12", "1.93"}, {"10", "1.21"}, {"8", "0.764"},
	} {
		g := must(wiring.ParseGauge(row.gauge))
		for _, rule := range []wiring.Rule{wiring.Alpha00393, wiring.Zero2345} {
			ohms := wiring.OhmsPerThousandFeet(must(g.Resistance(75, rule)))
			hold(t, []published{asPrinted(t, "ohm per 1000 ft of No. "+row.gauge+", "+rule.String(), ohms, row.ohms, 1.2e-3)})
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
		if off(a, 1/(1+0.00393*(c-20)), 1e-5) || off(b, 254.5/(234.5+c), 1e-12) {
			t.Errorf("at %g C the forms give %.9f and %.9f, not what their lines do", c, a, b)
		}
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
		hold(t, []published{{row.source, got, row.want, row.within, ""}})
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
	hold(t, []published{{"ohm per 1000 ft", ohms, 16.46, 0.005, ""}})
}

// A pair of wires is twice one of the table. Its voltage drop is that times the
// current, and the thinnest wire for a drop changes where the table says.
func TestLoopOfTheTable(t *testing.T) {
	for _, row := range circular31 {
		g := must(wiring.ParseGauge(row.gauge))
		l := wiring.Loop{Length: 304.8, Current: 0.25, Temperature: 20}
		volts := 2 * row.ohms * l.Current
		hold(t, []published{
			{"ohm of a pair, No. " + row.gauge, must(l.Resistance(g.Area())), 2 * row.ohms, 3e-4 * 2 * row.ohms, ""},
			{"V of a pair, No. " + row.gauge, must(l.Drop(g.Area())), volts, 3e-4 * volts, ""},
		})
		for part, want := range map[float64]wiring.Gauge{1.0005: g, 0.9995: g - 1} {
			if got := must(l.Gauge(part * volts)); got != want {
				t.Errorf("for %g of the drop of No. %v: No. %v, want %v", part, g, got, want)
			}
		}
	}
	// copper of 0.017241 ohm mm²/m (IEC 60028) in sizes of IEC 60228: 10 A over 100 m
	l := wiring.Loop{Length: 100, Current: 10, Temperature: 20}
	volts := 2 * 100 * 0.017241 / 2.5 * 10
	for part, want := range map[float64]float64{1.0005: 2.5, 0.9995: 4} {
		if got := must(l.Size(part * volts)); got != want {
			t.Errorf("for %g of the drop of 2.5 mm²: %g mm², want %g", part, got, want)
		}
	}
}

// A two-wire circuit of 100 ft in No. 16 that carries 4 A loses 4.0 V at 75 C:
// electrician2.com, lesson on class 2 circuits (grade A), reckoned with
// stranded wire, of which the code's table 8 has 4.99 ohm per 1000 ft where
// solid wire has 4.89. Copper without strands therefore loses 2 % less.
func TestVoltageDrop(t *testing.T) {
	l := wiring.Loop{Length: 100 * 0.3048, Current: 4, Temperature: 75}
	volts := must(l.Drop(wiring.Gauge(16).Area()))
	hold(t, []published{{"V in stranded wire", volts * 4.99 / 4.89, 4.0, 0.05, "printed to two figures"}})
	// the lesson finds 16.7 % of 24 V too much; for a tenth it takes three
	// gauges more, since three gauges double the section
	if g := must(l.Gauge(2.4)); g != 13 {
		t.Errorf("for 2.4 V: No. %v, want 13", g)
	}
}
