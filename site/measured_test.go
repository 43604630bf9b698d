package site

import (
	"math"
	"strings"
	"testing"

	"slipring/engine/reading"
	"slipring/engine/watch"
)

// measuredInput has nine days of an invented speed that falls, and a reading of
// the battery that is far off.
func measuredInput(t *testing.T) Input {
	t.Helper()
	in := loggedInput(t)
	source := "# Invented.\ndate,role,quantity,value,unit,uncertainty,instrument,load\n"
	for i := range 9 {
		source += "2026-0" + string(rune('1'+i)) + "-03,the <Tuesday> volunteer,speed,16.6" + string(rune('9'-i)) + ",Hz,0.01,tachometer,idle\n"
	}
	source += "2026-09-03,the <Tuesday> volunteer,battery.resistance,0.075,ohm,0.004,bridge,\n"
	list, messages := reading.Parse("r.csv", []byte(source))
	for _, m := range messages {
		t.Fatal(m)
	}
	expected := make([]float64, len(list))
	m := Measured{Card: in.Cards[0], Followed: true}
	for i, r := range list {
		expected[i] = 16.65
		if r.Quantity != "speed" {
			expected[i] = 0.05
			continue
		}
		m.Trend.Days = append(m.Trend.Days, watch.Day{Date: r.Date, Constant: []float64{r.Value, 62, 48}, U: []float64{0.01, 1, 1}})
		m.Trend.Chart.Points = append(m.Trend.Chart.Points, r.Value)
		m.Trend.Chart.Low, m.Trend.Chart.High = append(m.Trend.Chart.Low, 16.64), append(m.Trend.Chart.High, 16.7)
	}
	m.Trend.Spoke, m.Trend.Since, m.Trend.Rate = 6, 2, -0.0006
	m.Beside = watch.Beside(list, expected)
	in.Measured = []Measured{m}
	return in
}

// The page says in each language what drifts and since when, and marks in words
// what is far off.
func TestMeasured(t *testing.T) {
	tree := treeOf(t, measuredInput(t))
	pages := documents(t, tree)
	for page, want := range map[string][]string{
		"logbook/readings/index.html": {"has been below its limits since 3 July 2026, and began to fall on 3 March 2026 at the earliest: by about 0.06 % a month", "+3.8", "beyond 2", "beyond 3", "+6.2", "the <Tuesday> volunteer", "months since 3 January 2026", "3 September 2026: readings 2, beyond two uncertainties 2"},
		"logbook/readings/fr.html":    {"depuis le 3 juillet 2026", "au plus tôt le 3 mars 2026", "0,06", "+6,2", "au-delà de 3", "16,61", "relevés 2"},
		"logbook/index.html":          {"What was read"},
		"logbook/work/index.html":     {"3 September 2026 Readings of set", "readings 2, beyond two uncertainties 2. Each beside what the model gives"},
	} {
		d := pages[page]
		if d == nil {
			t.Fatalf("there is no %s", page)
		}
		whole := strings.Join(strings.Fields(text(d.root)), " ")
		for _, s := range want {
			if !strings.Contains(whole, s) {
				t.Errorf("%s does not say %q", page, s)
			}
		}
	}
	if csv := string(tree["logbook/readings/set-1-contact-speed.csv"]); !strings.Contains(csv, "16.69") || !strings.Contains(csv, "upper limit") {
		t.Errorf("%q", csv)
	}
	in := measuredInput(t)
	in.Measured[0].Trend.Spoke = -1
	if whole := text(documents(t, treeOf(t, in))["logbook/readings/index.html"].root); !strings.Contains(whole, "No drift") {
		t.Error("nothing says that there is no drift")
	}
	in.Measured[0].Followed = false
	if whole := text(documents(t, treeOf(t, in))["logbook/readings/index.html"].root); !strings.Contains(whole, "on 9 days") || strings.Contains(whole, "upper limit") {
		t.Error("nothing says that there is no chart yet")
	}
	// Without readings there is no page.
	if documents(t, treeOf(t, loggedInput(t)))["logbook/readings/index.html"] != nil {
		t.Error("there is a page of nothing")
	}
	if far := in.Measured[0].Beside[0].Far; math.Abs(far-0.04/math.Hypot(0.01, 0.005/math.Sqrt(3))) > 1e-9 {
		t.Errorf("%v", far)
	}
}
