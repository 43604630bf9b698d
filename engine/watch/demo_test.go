package watch_test

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"slipring/engine/machine"
	"slipring/engine/reading"
	"slipring/engine/watch"
)

var update = flag.Bool("update", false, "write the demonstration's readings anew")

const shippedReadings = "../../lessons/readings/"

// The demonstration's readings: two years, on the first Tuesday of each month.
const (
	visits  = 24
	tiresAt = 11     // the visit after which the leaf begins to tire
	perVist = 0.0005 // by which part its contact speed then falls from visit to visit
)

func tuesday(visit int) string {
	d := time.Date(2024, time.Month(12+visit), 1, 0, 0, 0, 0, time.UTC)
	return d.AddDate(0, 0, (int(time.Tuesday)-int(d.Weekday())+7)%7).Format(time.DateOnly)
}

// asItWas gives the card as the set was on a visit: the card is right about the
// leaf at the end, and about the windings in the middle between summer and
// winter.
func asItWas(t testing.TB, c machine.Card, visit int, charge float64) machine.Card {
	t.Helper()
	month := float64(visit - 1) // January 2025 is visit 1
	warm := 1 + season(month)
	for name, times := range map[string]float64{
		watch.ContactSpeed:              1 + perVist*float64(visits-1-max(visit, tiresAt)),
		watch.FieldResistance:           warm,
		"motor.armature-resistance":     warm,
		"generator.field-resistance":    warm,
		"generator.armature-resistance": warm,
		"regulator.coil-resistance":     warm,
		"battery.voltage":               1 + charge,
	} {
		c = changed(t, c, name, times)
	}
	return c
}

// sheet is one file as somebody types it.
type sheet struct {
	name, note, role, separator string
	comma                       bool // decimal commas
	rows                        []column
}

// column is one thing that is read on each visit, in both loads or standing
// still, with the unit, the decimals and what it is worth as they are typed.
type column struct {
	quantity, where, unit string
	times                 float64 // of the unit in the SI unit
	decimals              int
	uncertainty           string
	own, ownPart          float64 // the same, in the unit, and as a part of the value
	instrument, class     string
	limit, limitPart      float64 // of the class, in the unit, or as a part of the value
	still                 bool
}

var sheets = []sheet{
	{name: "governor.csv", role: "the Tuesday volunteer", separator: ",",
		note: "Readings of the governor; invented for the demonstration: made from the machine card, with noise of the uncertainties below and a leaf that slowly tires.",
		rows: []column{
			{quantity: "speed", where: "coupling", unit: "Hz", times: 1, decimals: 2, uncertainty: "0.1 %", ownPart: 0.001, instrument: "tachometer"},
			{quantity: "contact open", where: "governor contact", unit: "%", times: 100, decimals: 1, uncertainty: "1", own: 1, instrument: "oscilloscope"},
		}},
	{name: "tensions.csv", role: "la bénévole du mardi", separator: ";", comma: true,
		note: "Relevés de tensions et de courants ; inventés pour la démonstration : calculés d’après la fiche de la machine, avec un bruit égal aux incertitudes ci-dessous.",
		rows: []column{
			{quantity: "bus voltage", where: "tableau", unit: "V", times: 1, decimals: 2, uncertainty: "0.2 %", ownPart: 0.002, instrument: "voltmètre de table", class: "0.5 % of 60 V", limit: 0.3},
			{quantity: "field current", where: "excitation du moteur", unit: "A", times: 1, decimals: 4, uncertainty: "0.3 %", ownPart: 0.003, instrument: "ampèremètre de table", class: "1 % of 1 A", limit: 0.01},
			{quantity: "output voltage", where: "bagues", unit: "V", times: 1, decimals: 1, uncertainty: "0.2 %", ownPart: 0.002, instrument: "voltmètre du tableau BV", class: "1.5 % of 100 V", limit: 1.5},
			{quantity: "generator field current", where: "excitation de la génératrice", unit: "mA", times: 1000, decimals: 1, uncertainty: "0.3 %", ownPart: 0.003, instrument: "milliampèremètre", class: "1 % of 250 mA", limit: 2.5},
		}},
	{name: "windings.csv", role: "the Tuesday volunteer", separator: ",",
		note: "Resistance of windings after an hour of running, isolated and proved dead; invented for the demonstration: made from the machine card, 10 K warmer in summer than in winter.",
		rows: []column{
			{quantity: watch.FieldResistance, where: "motor field", unit: "ohm", times: 1, decimals: 2, uncertainty: "0.2 %", ownPart: 0.002, instrument: "ohmmeter", class: "0.5 %", limitPart: 0.005, still: true},
			{quantity: "generator.field-resistance", where: "generator field", unit: "ohm", times: 1, decimals: 1, uncertainty: "0.2 %", ownPart: 0.002, instrument: "ohmmeter", class: "0.5 %", limitPart: 0.005, still: true},
		}},
}

// made types the demonstration's files.
func made(t testing.TB) map[string]string {
	t.Helper()
	c := shipped(t)
	noise := rand.New(rand.NewPCG(1911, 4))
	quantities := reading.Quantities()
	off := map[string]float64{} // how far each meter is off, in its class: the same on each visit
	out := map[string]string{}
	for _, s := range sheets {
		heads := []string{"date", "role", "set", "quantity", "where", "value", "unit", "uncertainty", "instrument", "class", "load", "note"}
		out[s.name] = "# " + s.note + "\n" + strings.Join(heads, s.separator) + "\n"
	}
	for visit := range visits {
		now := asItWas(t, c, visit, 0.005*noise.NormFloat64())
		runs := summaries(t, now)
		for _, s := range sheets {
			for load, word := range []string{"idle", "full"} {
				for _, col := range s.rows {
					if col.still && load > 0 {
						continue
					}
					truth, on := 0.0, word
					if i := slices.IndexFunc(quantities, func(q reading.Quantity) bool { return q.Name == col.quantity }); i >= 0 {
						truth = quantities[i].Of(runs[load])
					} else {
						one, _ := now.Constant(col.quantity)
						truth, on = one.SI(), ""
					}
					truth *= col.times
					if _, known := off[col.instrument]; !known {
						off[col.instrument] = 0.5 * noise.NormFloat64()
					}
					shown := truth + noise.NormFloat64()*(col.own+col.ownPart*truth) + off[col.instrument]*(col.limit+col.limitPart*truth)/math.Sqrt(3)
					value, uncertainty, class := fmt.Sprintf("%.*f", col.decimals, shown), col.uncertainty, col.class
					if s.comma {
						value, uncertainty, class = strings.Replace(value, ".", ",", 1), strings.Replace(uncertainty, ".", ",", 1), strings.Replace(class, ".", ",", 1)
					}
					out[s.name] += strings.Join([]string{tuesday(visit), s.role, c.Name, col.quantity, col.where, value, col.unit, uncertainty, col.instrument, class, on, ""}, s.separator) + "\n"
				}
			}
		}
	}
	return out
}

func TestDemoReadings(t *testing.T) {
	var all []reading.Reading
	for name, text := range made(t) {
		if *update {
			if err := os.MkdirAll(shippedReadings, 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(shippedReadings+name, []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		kept, err := os.ReadFile(shippedReadings + name)
		if err != nil || !bytes.Equal(kept, []byte(text)) {
			t.Errorf("%s is not what is made now (%v); -update writes it", name, err)
		}
		list, messages := reading.Parse(name, kept)
		for _, m := range messages {
			t.Error(m)
		}
		if first, _, _ := strings.Cut(text, "\n"); !strings.Contains(first, "invented") && !strings.Contains(first, "inventés") {
			t.Errorf("%s does not say that it is invented: %s", name, first)
		}
		all = append(all, list...)
	}
	if want := visits * (4 + 8 + 2); len(all) != want {
		t.Errorf("%d readings, want %d", len(all), want)
	}
	story(t, all)
}

// story holds the demonstration against what it is to tell: the chart speaks
// within a year after the leaf began to tire, says since when and how fast, and
// does so before the set, idle or under full load, is more than 1 % off its
// nameplate, which it never is in these two years.
func story(t *testing.T, all []reading.Reading) {
	m := shippedModel()
	var used []reading.Reading
	around := watch.Around{Constants: m.around.Constants}
	for _, r := range all {
		i := slices.IndexFunc(m.readings, func(o reading.Reading) bool { return o.Quantity == r.Quantity && o.How.Key() == r.How.Key() })
		if i >= 0 && watch.Used(r) {
			used, around.At, around.Slopes = append(used, r), append(around.At, m.around.At[i]), append(around.Slopes, m.around.Slopes[i])
		}
	}
	trend := follow(t, used, around)
	if len(trend.Days) != visits {
		t.Fatalf("%d days", len(trend.Days))
	}
	for i, d := range trend.Days {
		truth := m.around.Constants[0] * (1 + perVist*float64(visits-1-max(i, tiresAt)))
		t.Logf("%s contact speed %.4f +- %.4f (truth %.4f), average %.4f of %.4f to %.4f; field %.2f +- %.2f ohm", d.Date, d.Constant[0], d.U[0], truth, trend.Chart.Points[i], trend.Chart.Low[i], trend.Chart.High[i], d.Constant[1], d.U[1])
		if far := math.Abs(d.Constant[0]-truth) / d.U[0]; far > 4 {
			t.Errorf("%s: %.1f standard deviations from the truth", d.Date, far)
		}
	}
	t.Logf("spoke on visit %d, since %d, %.3f %% a month; beyond %v", trend.Spoke, trend.Since, 100*trend.Rate, trend.Chart.Beyond)
	if trend.Spoke <= tiresAt || trend.Spoke > tiresAt+7 || trend.Since < tiresAt-3 || trend.Since > trend.Spoke {
		t.Errorf("it spoke on visit %d, since %d", trend.Spoke, trend.Since)
	}
	if !(trend.Rate < -0.0003 && trend.Rate > -0.0008) {
		t.Errorf("it falls by %v a month", trend.Rate)
	}
	c := shipped(t)
	for _, visit := range []int{0, 8, tiresAt, visits - 1} {
		for _, s := range summaries(t, asItWas(t, c, visit, 0)) {
			if math.Abs(s.Frequency/16.666667-1) > 0.01 {
				t.Errorf("on visit %d the set makes %v Hz", visit, s.Frequency)
			}
		}
	}
}

// Fitting on a model that is straight near the card costs less than half of one
// standard deviation of a day: without noise, the set of a warm summer, a tired
// leaf and a full battery comes out as it was.
func TestStraightEnough(t *testing.T) {
	m := shippedModel()
	for _, visit := range []int{1, 7, 20} {
		was := asItWas(t, shipped(t), visit, 0.01)
		runs := summaries(t, was)
		var readings []reading.Reading
		for _, r := range m.readings {
			q := reading.Quantities()[slices.IndexFunc(reading.Quantities(), func(q reading.Quantity) bool { return q.Name == r.Quantity })]
			r.Date, r.Value = tuesday(visit), q.Of(runs[0])
			if r.How.FullLoad {
				r.Value = q.Of(runs[1])
			}
			readings = append(readings, r)
		}
		days, err := watch.Days(readings, m.around)
		if err != nil {
			t.Fatal(err)
		}
		truth, _ := was.Constant(watch.ContactSpeed)
		off := (days[0].Constant[0] - truth.SI()) / days[0].U[0]
		t.Logf("visit %d: contact speed off by %.2f, field by %.3f ohm", visit, off, days[0].Constant[1]-62*(1+season(float64(visit-1))))
		if math.Abs(off) > 0.5 {
			t.Errorf("visit %d: off by %.2f of what the readings leave open", visit, off)
		}
	}
}
