package language

import (
	"math"
	"math/big"
	"strconv"
	"strings"
	"testing"
)

// inForm must round as strconv does, which rounds the exact binary value
// correctly (half to even, IEEE 754-2019, section 4.3.1).
func FuzzRounding(f *testing.F) {
	for _, x := range []float64{0, 0.5, 1.5, 2.5, 0.125, 0.375, 19.95, 2.675, 1e15, 1e-9, 0.05, -0.04, -2.5, math.MaxFloat64, math.SmallestNonzeroFloat64} {
		for _, d := range []uint8{0, 1, 2, 3, 9} {
			f.Add(x, d)
		}
	}
	one := big.NewRat(1, 1)
	f.Fuzz(func(t *testing.T, x float64, decimals uint8) {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return
		}
		d := int(decimals % 40)
		got := Number{Decimals: d}.InForm(x, one)
		want := strconv.FormatFloat(x, 'f', d, 64)
		if strings.Trim(want, "-0.") == "" {
			want = strings.TrimPrefix(want, "-") // negative zero prints as 0
		}
		if got.String() != want {
			t.Errorf("%g with %d decimals is %q, strconv gives %q", x, d, got, want)
		}
		if typed := (Number{Decimals: d, Sign: Minus}).InForm(x, one); strings.Replace(typed.String(), Minus, "-", 1) != want {
			t.Errorf("%g with %d decimals and a typographic minus is %q, want %q", x, d, typed, want)
		}
	})
}

// Scaling is exact: the decimal digits of the binary value move, and only then
// is rounded. Multiplying first would round twice.
func TestScaling(t *testing.T) {
	for _, c := range []struct {
		x             float64
		told, written string
		decimals      int
		want          string
	}{
		{0.0015, "A", "mA", 1, "1.5"},
		{350, "mA", "A", 1, "0.4"}, // 0.35 exactly: a tie, to the even digit
		{250, "mA", "A", 1, "0.2"},
		{0.77, "", "%", 0, "77"},
		{77, "%", "", 2, "0.77"},
		{0.285, "", "%", 0, "28"}, // 0.285 is stored as 0.28499999999999998
		{20, "Hz", "r/min", 0, "1200"},
		{1190, "r/min", "turns a second", 2, "19.83"},
		{0.0123, "m", "mm", 1, "12.3"},
	} {
		f, ok := Of("en").Factor(c.told, c.written)
		if !ok {
			t.Errorf("%s cannot be written in %s", c.told, c.written)
			continue
		}
		if got := (Number{Decimals: c.decimals}).InForm(c.x, f).String(); got != c.want {
			t.Errorf("%v %s in %s with %d decimals is %s, want %s", c.x, c.told, c.written, c.decimals, got, c.want)
		}
	}
}

func TestUnits(t *testing.T) {
	seen := map[string]bool{}
	for _, u := range Of("en").units {
		if seen[u.written] {
			t.Errorf("%q stands twice in the table", u.written)
		}
		seen[u.written] = true
		if u.num < 1 || u.den < 1 {
			t.Errorf("%q has no factor", u.written)
		}
		if _, base := findUnit(Of("en").units, u.quantity); !base && u.quantity != "1" {
			t.Errorf("%q belongs to %q, which is no unit of the table", u.written, u.quantity)
		}
	}
	for _, c := range []struct{ told, written string }{
		{"A", "V"}, {"Hz", "s"}, {"", "A"}, {"turns", "Hz"}, {"N m", "N"}, {"furlong", "m"},
	} {
		if _, ok := Of("en").Factor(c.told, c.written); ok {
			t.Errorf("%q may be written for %q", c.written, c.told)
		}
	}
}

func TestUnitAfter(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{" Hz", "Hz"}, {"Hz.", "Hz"}, {"\u00a0Hz,", "Hz"}, {" turns a second", "turns a second"},
		{" turns", "turns"}, {" turns a day", "turns"}, {" N  m", "N m"}, {" Nm", ""}, {"%", "%"}, {"-volt", "volt"},
		{"s", ""}, {" s", "s"}, {"-A", ""}, {"-mm", "mm"}, {" Avenue", ""}, {" A2", ""}, {"", ""}, {" ", ""}, {" mAh", ""},
	} {
		if got, _, _ := Of("en").UnitAfter(c.text); got != c.want {
			t.Errorf("unitAfter(%q) = %q, want %q", c.text, got, c.want)
		}
	}
}
