package wiring_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"slipring/engine/wiring"
)

func TestParseGauge(t *testing.T) {
	for text, want := range map[string]wiring.Gauge{
		"22": 22, " 22 ": 22, "No. 22": 22, "no.22": 22, "#22": 22, "22 AWG": 22, "AWG 22": 22, "22awg": 22,
		"1": 1, "44": 44, "1/0": 0, "2/0": -1, "4/0": -3, "0": 0, "00": -1, "0000": -3, "4/0 AWG": -3,
	} {
		got, err := wiring.ParseGauge(text)
		if err != nil || got != want {
			t.Errorf("%q: %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "awg", "5/0", "0/0", "00000", "45", "-3", "+5", "22.5", "2 2", "2,5 mm", "1e1", "22 swg", "1/1"} {
		got, err := wiring.ParseGauge(text)
		var flaw *wiring.Flaw
		if !errors.As(err, &flaw) || flaw.Next == "" || !strings.Contains(err.Error(), `"`+text+`"`) {
			t.Errorf("%q: %v, %v; want a flaw that names it", text, got, err)
		}
	}
}

// FuzzParseGauge: whatever is read is a known gauge, and is read again from
// how it is written.
func FuzzParseGauge(f *testing.F) {
	for _, s := range []string{"22", "4/0", "No. 18 AWG", "000", "#1", "45", "-1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		g, err := wiring.ParseGauge(s)
		if err != nil {
			return
		}
		if g < wiring.Thickest || g > wiring.Thinnest {
			t.Fatalf("%q is read as %d", s, int(g))
		}
		again, err := wiring.ParseGauge(g.String())
		if err != nil || again != g {
			t.Fatalf("%q is read as %v, which is read as %v, %v", s, g, again, err)
		}
	})
}

// TestGaugeLaw: 39 gauges from No. 36 to 4/0 make 92 times the diameter (0.46
// in), which is how ASTM B258 defines them; six gauges halve the diameter and
// three halve the section, nearly: rules that linemen know.
func TestGaugeLaw(t *testing.T) {
	if d := wiring.Thickest.Diameter() / 25.4; math.Abs(d-0.46) > 1e-12 {
		t.Errorf("4/0 is %.6f in, defined as 0.46", d)
	}
	if d := wiring.Gauge(36).Diameter(); math.Abs(d-0.127) > 1e-12 {
		t.Errorf("No. 36 is %.6f mm, defined as 0.127", d)
	}
	for g := wiring.Thickest; g <= wiring.Thinnest-6; g++ {
		if r := g.Diameter() / (g + 6).Diameter(); math.Abs(r-2) > 0.006 {
			t.Errorf("%v to %v: diameters %.4f to 1", g, g+6, r)
		}
		if r := g.Area() / (g + 3).Area(); math.Abs(r-2) > 0.006 {
			t.Errorf("%v to %v: sections %.4f to 1", g, g+3, r)
		}
	}
}

// TestSmallestWire: the wire that is found keeps to the drop, and the next
// thinner one does not.
func TestSmallestWire(t *testing.T) {
	found := 0
	for _, length := range []float64{0.5, 3, 12, 40, 250} {
		for _, current := range []float64{0.033, 0.4, 3.2, 25} {
			for _, drop := range []float64{0.05, 0.5, 2.4} {
				l := wiring.Loop{Length: length, Current: current, Temperature: 45, Rule: wiring.Zero235}
				if g, err := l.Gauge(drop); err == nil {
					found++
					if v := must(l.Drop(g.Area())); v > drop*(1+1e-12) {
						t.Errorf("%+v: No. %v loses %g V, allowed %g", l, g, v, drop)
					}
					if g < wiring.Thinnest {
						if v := must(l.Drop((g + 1).Area())); v <= drop {
							t.Errorf("%+v: No. %v would do too: %g V, allowed %g", l, g+1, v, drop)
						}
					}
				} else if v := must(l.Drop(wiring.Thickest.Area())); v <= drop {
					t.Errorf("%+v: %v, but 4/0 loses %g V, allowed %g", l, err, v, drop)
				}
				if a, err := l.Size(drop); err == nil {
					if v := must(l.Drop(a)); v > drop*(1+1e-12) {
						t.Errorf("%+v: %g mm² loses %g V, allowed %g", l, a, v, drop)
					}
					for _, thinner := range wiring.Sizes() {
						if thinner < a && must(l.Drop(thinner)) <= drop {
							t.Errorf("%+v: %g mm² would do too", l, thinner)
						}
					}
				} else if v := must(l.Drop(300)); v <= drop {
					t.Errorf("%+v: %v, but 300 mm² loses %g V, allowed %g", l, err, v, drop)
				}
			}
		}
	}
	if found < 40 {
		t.Errorf("only %d loops had a wire", found)
	}
	// no current loses nothing in the thinnest
	if g := must(wiring.Loop{Length: 10, Temperature: 20}.Gauge(1)); g != wiring.Thinnest {
		t.Errorf("without current: No. %v", g)
	}
}

// TestWindingTemperatureUndoesFactor: a winding warmed from one temperature to
// another by a rule is found at that temperature by the same rule.
func TestWindingTemperatureUndoesFactor(t *testing.T) {
	for _, rule := range []wiring.Rule{wiring.Alpha00393, wiring.Alpha004, wiring.Zero2345, wiring.Zero235} {
		for _, from := range []float64{-20, 15, 20, 31} {
			for _, to := range []float64{-40, 20, 83.6, 155} {
				cold, hot := 55*must(rule.Factor(from)), 55*must(rule.Factor(to))
				if got := must(wiring.WindingTemperature(cold, from, hot, rule)); math.Abs(got-to) > 1e-9 {
					t.Errorf("%v: warmed from %g to %g C, found at %g", rule, from, to, got)
				}
			}
		}
	}
}

func TestFlaws(t *testing.T) {
	ok := wiring.Loop{Length: 10, Current: 3, Temperature: 20}
	with := func(change func(*wiring.Loop)) wiring.Loop {
		l := ok
		change(&l)
		return l
	}
	for _, c := range []struct {
		what string
		err  error
		text string
	}{
		{"no section", second(wiring.Resistance(0, 20, 0)), "a wire of 0 mm²"},
		{"section of no number", second(wiring.Resistance(math.NaN(), 20, 0)), "a wire of NaN mm²"},
		{"kelvin for celsius", second(wiring.Resistance(1, 2930, 0)), "copper at 2930 C"},
		{"no such rule", second(wiring.Rule(9).Factor(20)), "rule 9 is none of the rules for copper"},
		{"no such rule, other way", second(wiring.WindingTemperature(1, 20, 1, -1)), "rule -1 is none of the rules for copper"},
		{"correction far off", second(wiring.Alpha004.Correction(math.Inf(1))), "copper at +Inf C"},
		{"cold reading of nothing", second(wiring.WindingTemperature(0, 20, 1, 0)), "a winding of 0 ohm cold and 1 ohm hot"},
		{"cold reading far off", second(wiring.WindingTemperature(1, 900, 1, 0)), "a cold reading at 900 C"},
		{"readings of two windings", second(wiring.WindingTemperature(1, 20, 63, 0)), "1 ohm at 20 C and 63 ohm now would be 15796 C"},
		{"no length", second(with(func(l *wiring.Loop) { l.Length = 0 }).Drop(1)), "a loop of 0 m one way"},
		{"current backwards", second(with(func(l *wiring.Loop) { l.Current = -1 }).Drop(1)), "a loop that carries -1 A"},
		{"far too hot", second(with(func(l *wiring.Loop) { l.Temperature = 1e4 }).Resistance(1)), "copper at 10000 C"},
		{"no drop", second(ok.Gauge(0)), "a loop that may lose 0 V"},
		{"no drop, metric", second(ok.Size(math.NaN())), "a loop that may lose NaN V"},
		{"more than any gauge", second(ok.Gauge(1e-4)), "even wire of 4/0 loses more than 0.0001 V here: it would take 1.034e+04 mm²"},
		{"more than any size", second(ok.Size(1e-4)), "even wire of 300 mm² loses more than 0.0001 V here: it would take 1.034e+04 mm²"},
	} {
		var flaw *wiring.Flaw
		if !errors.As(c.err, &flaw) || flaw.Next == "" {
			t.Errorf("%s: %v, want a flaw with a next step", c.what, c.err)
			continue
		}
		if c.err.Error() != c.text {
			t.Errorf("%s: %q, want %q", c.what, c.err.Error(), c.text)
		}
	}
}

func second[A any](_ A, err error) error { return err }
