package capture

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
)

// rows writes a contact of 17.3 Hz and fraction 0.4 at 1000 S/s, one second of
// it, by a function of the row.
func rows(n int, row func(i int, t, contact float64) string) string {
	r := record{frequency: 17.3, high: 0.4, begin: 0.2}
	var b strings.Builder
	for i := range n {
		t := float64(i) / 1000
		contact, _ := r.at(t)
		b.WriteString(row(i, t, contact))
	}
	return b.String()
}

func comma(s string) string { return strings.ReplaceAll(s, ".", ",") }

// The forms in which instruments write captures, in general words (from general
// knowledge, no source). Each must give the same fraction and frequency.
func TestForms(t *testing.T) {
	plain := func(i int, at, y float64) string { return fmt.Sprintf("%.3f,%.2f\n", at, 48*y) }
	forms := map[string]struct {
		text    string
		warning string
		height  float64
		unit    string
		from    float64
	}{
		"a time column, names with units": {"time (s),contact (V)\n" + rows(1000, plain), "", 48, "V", 0},
		"names, then units":               {"Time,CH1\n(s),(V)\n" + rows(1000, plain), "", 48, "V", 0},
		"units without brackets":          {"Time,CH1\ns,V\n" + rows(1000, plain), "", 48, "V", 0},
		"no head at all":                  {rows(1000, plain), "taken as seconds; the other reading is milliseconds", 48, "", 0},
		"byte-order mark, CRLF, empty last column": {"\ufeffTime (ms),CH1 (mV),\r\n" + rows(1000, func(i int, at, y float64) string {
			return fmt.Sprintf("%.1f,%.1f,\r\n", at*1000, 48000*y)
		}), "", 48, "V", 0},
		"semicolons and decimal commas": {"Zeit (s);Kanal 1 (V)\n" + rows(1000, func(i int, at, y float64) string {
			return comma(fmt.Sprintf("%.4f;%.2f\n", at, 48*y))
		}), "", 48, "V", 0},
		"semicolons and decimal points": {"t (s);u (V)\n" + rows(1000, func(i int, at, y float64) string { return fmt.Sprintf("%.4f;%.2f\n", at, 48*y) }), "", 48, "V", 0},
		"tabs":                          {"t (s)\tu (V)\n" + rows(1000, func(i int, at, y float64) string { return fmt.Sprintf("%.4f\t%.2f\n", at, 48*y) }), "", 48, "V", 0},
		"spaces, hash heads":            {"# sample rate: 1 kS/s\n# units: V\n" + rows(1000, func(i int, at, y float64) string { return fmt.Sprintf("  %.2f \n", 48*y) }), "", 48, "V", 0},
		"keys first, then one column": {"Record Length,1000\nSample Interval,1.000E-03,s\nTrigger Point,500\nVertical Units,V\nVertical Scale,20\nProbe Factor,1\n" +
			rows(1000, func(i int, at, y float64) string { return fmt.Sprintf("%.2f\n", 48*y+0.01) }), "", 48, "V", -0.5},
		"keys beside the numbers": {rows(1000, func(i int, at, y float64) string {
			side := []string{"Record Length,1000,Points", "Sample Interval,0.001,s", "Trigger Point,500,Samples", "Vertical Units,V,"}
			if i < len(side) {
				return fmt.Sprintf("%s,%.3f,%.2f\n", side[i], at-0.5, 48*y)
			}
			return fmt.Sprintf(",,,%.3f,%.2f\n", at-0.5, 48*y)
		}), "taken as seconds", 48, "V", -0.5},
		"start and increment behind the names": {"X,CH1,Start,Increment\nSequence,V,-0.5,0.001\n" + rows(1000, func(i int, at, y float64) string {
			return fmt.Sprintf("%d,%.2f,\n", i, 48*y)
		}), "", 48, "V", -0.5},
		"start and increment as numbers in the line of names": {"X,CH1 (V),-0.5,0.001\n" + rows(1000, func(i int, at, y float64) string {
			return fmt.Sprintf("%d,%.2f,,\n", i, 48*y)
		}), "", 48, "V", -0.5},
		"codes with scale and offset": {"sample interval,0.001\nscale,0.4\noffset,-12\nunits,V\n" + rows(1000, func(i int, at, y float64) string {
			return fmt.Sprintf("%.0f\n", 30+120*y)
		}), "taken as codes: a value is its code times 0.4 plus -12", 48, "V", 0},
		"a probe factor": {"sample interval,0.001\nprobe factor,10\nunits,V\n" + rows(1000, func(i int, at, y float64) string {
			return fmt.Sprintf("%.2f\n", 48*y)
		}), "the probe factor 10 above is taken to be in the numbers already", 48, "V", 0},
		"times that were rounded": {"time (s),u (V)\n" + rows(4000, func(i int, at, y float64) string {
			return fmt.Sprintf("%.2f,%.2f\n", at, 48*y)
		}), "", 48, "V", 0},
		"one column with decimal commas": {"sample interval: 0,001 s\n" + rows(1000, func(i int, at, y float64) string {
			return comma(fmt.Sprintf("%.1f\n", 48*y))
		}), "the comma is taken as a decimal comma", 48, "", 0},
		"a last line cut short": {"time (s),u (V)\n" + rows(1000, plain) + "1.0", "cut short and is left out", 48, "V", 0},
		"quoted":                {"\"time (s)\",\"u, of the rings (V)\"\n" + rows(1000, plain), "", 48, "V", 0},
		"it counts samples or seconds": {"n,u\n" + rows(1000, func(i int, at, y float64) string {
			return fmt.Sprintf("%d,%.2f\n", i, 48*y)
		}), "counts 0, 1, 2 and is taken as seconds; the other reading", 48, "", 0},
	}
	for name, form := range forms {
		t.Run(name, func(t *testing.T) {
			c, messages := ReadNumbers("x.csv", strings.NewReader(form.text))
			if c == nil {
				t.Fatal(messages)
			}
			said := fmt.Sprint(messages)
			if form.warning == "" && len(messages) > 0 || !strings.Contains(said, form.warning) {
				t.Errorf("says %s; want %q", said, form.warning)
			}
			if len(c.Channels) != 1 || c.Channels[0].Unit != form.unit || math.Abs(c.Channels[0].From-form.from) > 2e-3 {
				t.Fatalf("%d channels, unit %q, from %g", len(c.Channels), c.Channels[0].Unit, c.Channels[0].From)
			}
			r := Measure(c)
			channel := c.Channels[0].Name
			f := 17.3
			if strings.HasPrefix(name, "it counts") {
				f = 0.0173
			}
			for what, want := range map[string]float64{Frequency: f, FractionHigh: 0.4, PeakToPeak: form.height} {
				got := value(t, r, channel, what)
				if math.Abs(got.Value-want) > 3*got.Uncertainty+1e-9 {
					t.Errorf("%s %g ± %g, want %g", what, got.Value, got.Uncertainty, want)
				}
			}
		})
	}
}

// What cannot be measured is one message with its place and a next step.
func TestRefusals(t *testing.T) {
	plain := func(i int, at, y float64) string { return fmt.Sprintf("%.3f,%.2f\n", at, 48*y) }
	head := "time (s),u (V)\n"
	for name, c := range map[string]struct{ text, want string }{
		"empty":             {"", "x.csv: there are no numbers in it"},
		"words":             {"a bell\nand a coil\n", "x.csv:2:1: this line should hold numbers"},
		"a word processor":  {"PK\x03\x04 and so on", "x.csv: "},
		"no times":          {"u (V)\n" + rows(200, func(i int, at, y float64) string { return fmt.Sprintf("%.2f\n", 48*y) }), "x.csv:2:1: neither a column of times nor a sample interval"},
		"uneven times":      {head + rows(400, func(i int, at, y float64) string { return fmt.Sprintf("%.4f,%.2f\n", at*(1+at), 48*y) }), "x.csv:360:1: the times are uneven"},
		"a gap":             {head + rows(400, func(i int, at, y float64) string { return fmt.Sprintf("%.3f,%.2f\n", at+float64(i/200), 48*y) }), "x.csv:202:1: the times are uneven: this one is 1.001 s after"},
		"times that turn":   {head + rows(400, plain) + rows(100, plain), "x.csv:402:1: this time is before that of the line above"},
		"a word among them": {head + rows(300, plain) + "0.3,lost\n" + rows(900, func(i int, at, y float64) string { return plain(i, at+0.301, y) }), `x.csv:302:5: "lost" is no number`},
		"a missing value":   {head + rows(600, plain) + "0.6,\n" + rows(900, func(i int, at, y float64) string { return plain(i, at+0.601, y) }), "x.csv:602:5: column 2 has no number"},
		"five channels":     {rows(100, func(i int, at, y float64) string { return fmt.Sprintf("%.3f,1,2,3,4,5\n", at) }), "x.csv:1:1: 5 columns of values are there"},
		"three rows":        {head + rows(3, plain), "x.csv:2:1: only 3 rows"},
		"commas and commas": {rows(100, func(i int, at, y float64) string { return comma(fmt.Sprintf("%.3f,%.2f\n", at, 48*y)) }), "x.csv:1:1: commas seem to stand both"},
		"a long line":       {head + rows(600, plain) + strings.Repeat("1", 100_000) + "\n", "x.csv:602:1: this line is longer"},
		"too few turns":     {head + rows(60, plain), "shows too few turns: it passes the middle between its levels 2 times, and 3 are needed"},
	} {
		got, messages := ReadNumbers("x.csv", strings.NewReader(c.text))
		if got != nil {
			messages = append(messages, Measure(got).Messages...)
		}
		errors := 0
		said := ""
		for _, m := range messages {
			if m.Level == 0 {
				errors++
				said = m.String()
			}
		}
		if errors != 1 || !strings.Contains(said, c.want) || !strings.Contains(said, "\n    ") {
			t.Errorf("%s: says %v; want one error with %q", name, messages, c.want)
		}
	}
}

// A channel that clips keeps its times and loses its heights.
func TestClipped(t *testing.T) {
	for name, level := range map[string]func(y float64) string{
		"flat": func(y float64) string { return fmt.Sprintf("%.2f", min(y, 50)) },
		"marked": func(y float64) string {
			if y > 50 {
				return "9.9E+37"
			}
			return fmt.Sprintf("%.2f", y)
		},
		"in words": func(y float64) string {
			if y > 50 {
				return "overrange"
			}
			return fmt.Sprintf("%.2f", y)
		},
	} {
		text := "time (s),u (V)\n"
		for i := range 1000 {
			at := float64(i) / 1000
			text += fmt.Sprintf("%.3f,%s\n", at, level(80*math.Sin(2*math.Pi*(17.3*at+0.1))))
		}
		c, messages := ReadNumbers("x.csv", strings.NewReader(text))
		if c == nil {
			t.Fatal(messages)
		}
		r := Measure(c)
		if said := fmt.Sprint(messages, r.Messages); !strings.Contains(said, "clips") && !strings.Contains(said, "beyond what the instrument shows") {
			t.Errorf("%s: says %s", name, said)
		}
		if got := value(t, r, "u", Frequency); math.Abs(got.Value-17.3) > 0.01 {
			t.Errorf("%s: frequency %g", name, got.Value)
		}
		for _, x := range r.Results {
			if x.Name == RMS || x.Name == PeakToPeak || x.Name == Mean {
				t.Errorf("%s: gives %s %g", name, x.Name, x.Value)
			}
		}
	}
}

// The cases of numbers that a prototype fixed (shared design, measuring): their
// sizes are what must hold.
func TestNumbersOfTheDesign(t *testing.T) {
	// 200 S/s and exactly 20 Hz: every edge is rounded alike, and residuals are 0
	r := record{rate: 200, seconds: 1, frequency: 20, high: 0.43, begin: 0.07}
	c, _ := ReadNumbers("x.csv", strings.NewReader(r.table(quiet())))
	got := value(t, Measure(c), "contact", FractionHigh)
	if got.Uncertainty < 0.035 || got.Uncertainty > 0.05 {
		t.Errorf("in step: ± %g, want 0.04", got.Uncertainty)
	}
	r = record{rate: 10000, seconds: 1, frequency: 17.3, high: 0.4, begin: 0.03}
	c, _ = ReadNumbers("x.csv", strings.NewReader(r.table(quiet())))
	got = value(t, Measure(c), "contact", FractionHigh)
	if math.Abs(got.Value-0.4) > 0.0005 || got.Uncertainty < 0.00005 || got.Uncertainty > 0.0003 {
		t.Errorf("10 kS/s: %g ± %g", got.Value, got.Uncertainty)
	}
	r.noise = 0.15
	c, _ = ReadNumbers("x.csv", strings.NewReader(r.table(quiet())))
	report := Measure(c)
	if got := value(t, report, "contact", EdgesATurn); math.Abs(got.Value-2) > 1e-3 {
		t.Errorf("noise of 15 %%: %g edges a turn", got.Value)
	}
}

// IEEE Std 1057, four parameters: a record of our own without noise. No
// published one was found.
func TestSineFitIsExact(t *testing.T) {
	y := make([]float64, 200)
	for i := range y {
		s, c := math.Sincos(2 * math.Pi * 20.3 * float64(i) / 1000)
		y[i] = 1.5*c - 0.7*s + 0.25
	}
	got := fitSine(y, 1e-3, 20)
	if !got.settled || got.rounds > 9 || math.Abs(got.frequency-20.3) > 1e-11 ||
		math.Abs(got.cosine-1.5) > 1e-9 || math.Abs(got.sine+0.7) > 1e-9 || math.Abs(got.offset-0.25) > 1e-9 {
		t.Errorf("%+v", got)
	}
}

// A contact that bounces twice at each touch: the whole time that it is closed
// counts, and the first touch begins the turn.
func TestBounce(t *testing.T) {
	text := "time (s),u (V)\n"
	for i := range 10000 {
		at := float64(i) / 10000
		x := 17.3*at + 0.3
		x -= math.Floor(x)
		y := 0
		if x < 0.02 || x > 0.03 && x < 0.4 {
			y = 1
		}
		text += fmt.Sprintf("%.4f,%d\n", at, y)
	}
	c, _ := ReadNumbers("x.csv", strings.NewReader(text))
	r := Measure(c)
	if got := value(t, r, "u", FractionHigh); math.Abs(got.Value-0.39) > 3*got.Uncertainty {
		t.Errorf("fraction %g ± %g, want 0.39", got.Value, got.Uncertainty)
	}
	if got := value(t, r, "u", EdgesATurn); math.Abs(got.Value-4) > 1e-6 {
		t.Errorf("%g edges a turn, want 4", got.Value)
	}
	if said := fmt.Sprint(r.Messages); !strings.Contains(said, "rises 2 times a turn") {
		t.Errorf("says %s", said)
	}
}

// What a square wave and a wave with a third harmonic have as distortion: the
// closed form of a square up to order 40 is sqrt(sum 1/k²), k odd from 3 to 39.
func TestDistortion(t *testing.T) {
	want := 0.0
	for k := 3.0; k < 40; k += 2 {
		want += 1 / (k * k)
	}
	for name, c := range map[string]struct {
		at   func(turn float64) float64
		want float64
	}{
		"square": {func(x float64) float64 { return math.Copysign(84, math.Sin(2*math.Pi*x)) }, math.Sqrt(want)},
		"third":  {func(x float64) float64 { return 84 * (math.Sin(2*math.Pi*x) + 0.2*math.Sin(6*math.Pi*x)) }, 0.2},
	} {
		text := "time (s),u (V)\n"
		for i := range 20000 {
			at := float64(i) / 20000
			text += fmt.Sprintf("%.5f,%.3f\n", at, c.at(17.3*at+0.1))
		}
		got, _ := ReadNumbers("x.csv", strings.NewReader(text))
		r := Measure(got)
		if d := value(t, r, "u", Distortion); math.Abs(d.Value-c.want) > 2e-3 {
			t.Errorf("%s: %g, want %g", name, d.Value, c.want)
		}
		if h := value(t, r, "u", HalfDifference); math.Abs(h.Value) > 3*h.Uncertainty {
			t.Errorf("%s: half difference %g ± %g", name, h.Value, h.Uncertainty)
		}
	}
}

// A file of more rows than are kept is thinned, and still right within its doubt.
func TestThinned(t *testing.T) {
	r := record{frequency: 17.31, high: 0.4, begin: 0.2, late: 40}
	var b bytes.Buffer
	b.WriteString("sample interval,0.0000005\ncontact,bell\nV,V\n")
	const n = mostKept*2 + 12345
	for i := range n {
		contact, volts := r.at(float64(i) * 0.5e-6)
		b.WriteByte('0' + byte(contact))
		b.WriteByte(',')
		b.Write(strconv.AppendFloat(nil, volts, 'f', 1, 64))
		b.WriteByte('\n')
	}
	c, messages := ReadNumbers("x.csv", &b)
	if c == nil || !strings.Contains(fmt.Sprint(messages), fmt.Sprintf("of its %d lines each 4 neighbours are averaged", n)) {
		t.Fatal(messages)
	}
	report := Measure(c)
	for _, x := range []struct {
		name string
		want float64
	}{{FractionHigh, 0.4}, {Period, 1 / 17.31}, {Phase, 40}} {
		got := value(t, report, "contact", x.name)
		if math.Abs(got.Value-x.want) > 3*got.Uncertainty || got.Uncertainty > 1e-3 {
			t.Errorf("%s %g ± %g, want %g", x.name, got.Value, got.Uncertainty, x.want)
		}
	}
}
