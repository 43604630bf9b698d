package waveform_test

import (
	"math"
	"testing"

	"slipring/engine/machine"
	"slipring/engine/ode"
	"slipring/engine/waveform"
)

// published is one printed number, held against what the package measures.
// Grade A: the number was read in print or in a scan; B: in a transcription of
// the book's own answer; C: problem and method in a transcription, the answer
// its program's; M: from memory; own: reckoned without this package, printed
// nowhere. A row counts only when it fails a measure that is wrong by a
// thousandth; coarse says why one cannot.
type published struct {
	grade, source, what string
	got, want, within   float64
	coarse              string
}

func hold(t *testing.T, rows []published) {
	t.Helper()
	for _, p := range rows {
		t.Run(p.source+", "+p.what, func(t *testing.T) {
			passes := func(got float64) bool { return math.Abs(got-p.want) <= p.within }
			if !passes(p.got) {
				t.Errorf("got %.9g, want %g within %g", p.got, p.want, p.within)
			}
			blunt := passes(1.001*p.got) || passes(0.999*p.got)
			if blunt != (p.coarse != "") {
				t.Errorf("passes with an error of a thousandth: %v; the reason for it: %q", blunt, p.coarse)
			}
		})
	}
}

// must gives the value of a measure that has to succeed.
func must[T any](x T, err error) T {
	if err != nil {
		panic(err)
	}
	return x
}

// sampled draws f with n straight lines from 0 to span.
func sampled(n int, span float64, f func(t float64) float64) waveform.Signal {
	g := waveform.Signal{Name: "sampled", Unit: "V"}
	for i := range n + 1 {
		t := span * float64(i) / float64(n)
		g.T = append(g.T, t)
		g.Y = append(g.Y, f(t))
	}
	return g
}

// repeated draws the corner points of one period, at instants from 0 up to 1,
// over a number of periods.
func repeated(periods int, period float64, stepped bool, corners ...[2]float64) waveform.Signal {
	g := waveform.Signal{Name: "repeated", Unit: "V", Stepped: stepped}
	for i := range periods {
		for _, c := range corners {
			g.T = append(g.T, (float64(i)+c[0])*period)
			g.Y = append(g.Y, c[1])
		}
	}
	if end := float64(periods) * period; g.T[len(g.T)-1] < end {
		g.T = append(g.T, end)
		g.Y = append(g.Y, corners[0][1])
	}
	return g
}

func square(periods int, duty float64) waveform.Signal {
	return repeated(periods, 0.05, true, [2]float64{0, 1}, [2]float64{duty, 0})
}

// asOutput measures the distortion as bench.Run.Distortion does: the harmonics
// of twenty turns of a record, up to order 40.
func asOutput(g waveform.Signal) float64 {
	set := waveform.Set{Signals: []waveform.Signal{g}}
	for i := range 22 {
		set.Starts = append(set.Starts, 0.05*float64(i))
	}
	turns := must(set.Turns(20)).Signals[0]
	return 100 * must(must(turns.Harmonics(20, 40)).THD(40))
}

// Total harmonic distortion in per cent. Its definition is that of the
// International Electrotechnical Vocabulary, as IEC 62257-1 quotes it: the
// r.m.s. of the harmonics over that of the fundamental.
func TestPublishedDistortion(t *testing.T) {
	const (
		closed    = "closed forms, printed at kevinfronczak.com (total harmonic distortion)"
		boylestad = "R. L. Boylestad and L. Nashelsky, Electronic Devices and Circuit Theory, Ex. 12.14"
		sums      = "sums of 1/k^2 over the orders, reckoned in another language"
	)
	bipolar := repeated(22, 0.05, true, [2]float64{0, 1}, [2]float64{0.5, -1})
	triangle := repeated(22, 0.05, false, [2]float64{0, 0}, [2]float64{0.25, 1}, [2]float64{0.75, -1})
	saw := repeated(22, 0.05, false, [2]float64{0, -1}, [2]float64{1, 1})
	// 2.5 V with 0.25, 0.1 and 0.05 V at two, three and four times its frequency
	amplifier := sampled(44000, 22*0.05, func(t float64) float64 {
		x := 2 * math.Pi * 20 * t
		return 2.5*math.Sin(x) + 0.25*math.Sin(2*x+1) + 0.1*math.Sin(3*x) + 0.05*math.Sin(4*x-1)
	})
	hold(t, []published{
		// printed to four figures; 10.954 before rounding
		{"B", boylestad, "% up to order 40", asOutput(amplifier), 10.95, 0.005, ""},
		{"B", boylestad, "% of all orders", 100 * must(amplifier.THD(0)), 10.95, 0.005, ""},
		{"A", closed, "% of a square wave, sqrt(pi^2/8 - 1)", 100 * must(bipolar.THD(0)), 48.3426, 5e-5, ""},
		{"A", closed, "% of a triangle, sqrt(pi^4/96 - 1)", 100 * must(triangle.THD(0)), 12.1153, 5e-5, ""},
		{"A", closed, "% of a sawtooth, sqrt(pi^2/6 - 1)", 100 * must(saw.THD(0)), 80.3078, 5e-5, ""},
		{"own", sums, "% of a square wave up to order 40", asOutput(bipolar), 47.0322, 5e-5, ""},
		{"own", sums, "% of a square wave up to order 50", 100 * must(bipolar.THD(50)), 47.2971, 5e-5, ""},
		{"own", sums, "% of a triangle up to order 40", asOutput(triangle), 12.1142, 5e-5, ""},
		{"own", sums, "% of a sawtooth up to order 40", asOutput(saw), 78.7556, 5e-5, ""},
	})
}

// Form factors of the voltages of a direct-current machine: effective value
// over mean value, against those of a sine, sqrt(2) pi/4.
func TestPublishedFormFactor(t *testing.T) {
	const elements = "C. P. Steinmetz, Theoretical Elements of Electrical Engineering, 4th ed., section 4, par. 25, "
	factor := func(half waveform.Signal) float64 {
		return must(half.RMS()) / must(half.Mean()) / (math.Pi / (2 * math.Sqrt2))
	}
	// one half wave each, of a machine whose poles span 80 % of the pitch
	conductor := repeated(1, 0.025, true, [2]float64{0, 0}, [2]float64{0.1, 1}, [2]float64{0.9, 0})
	rings := repeated(1, 0.025, false, [2]float64{0, 0}, [2]float64{0.4, 1}, [2]float64{0.6, 1}, [2]float64{1, 0})
	hold(t, []published{
		{"A", elements + "(b)", "between two rings", factor(rings), 1.025, 5e-4, ""},
		{"A", elements + "(a)", "of one conductor", factor(conductor), 1.006, 6e-4, "printed as 1.006, where 1.0066 is meant"},
	})
}

// Statistical Reference Datasets of the U.S. National Institute of Standards
// and Technology, univariate summary statistics (data and certified values of
// Lew and Lottery read in copies; NumAcc3 and NumAcc4 are made by their rule).
// Each value is held for one second, so that means over time are means of the
// values; the certified deviation divides by n - 1.
func TestPublishedStatistics(t *testing.T) {
	alternating := func(middle float64) []float64 {
		y := []float64{middle}
		for i := range 1000 {
			y = append(y, middle-0.1+0.2*float64(i%2))
		}
		return y
	}
	for _, c := range []struct {
		name            string
		y               []float64
		mean, deviation float64
		within          float64 // of the deviation, relative
	}{
		{"Lew", column(t, "lew.csv"), -177.435000000000, 277.332168044316, 1e-13},
		{"Lottery", column(t, "lottery.csv"), 518.958715596330, 291.699727470969, 1e-13},
		// the decimals of the data are not binary numbers: a part in 1e9 and 1e8 of
		// the deviation is all that the numbers hold
		{"NumAcc3", alternating(1000000.2), 1000000.2, 0.1, 1e-8},
		{"NumAcc4", alternating(10000000.2), 10000000.2, 0.1, 1e-7},
	} {
		g := waveform.Signal{Stepped: true}
		for i, y := range append(c.y, 0) {
			g.T, g.Y = append(g.T, float64(i)), append(g.Y, y)
		}
		n := float64(len(c.y))
		population := c.deviation * math.Sqrt((n-1)/n)
		rms := math.Hypot(c.mean, population)
		hold(t, []published{
			{"A", "NIST " + c.name, "mean", must(g.Mean()), c.mean, 1e-13 * math.Abs(c.mean), ""},
			{"A", "NIST " + c.name, "deviation", must(g.ACRMS()), population, c.within * population, ""},
			{"A", "NIST " + c.name, "mean square", must(g.RMS()), rms, 1e-13 * rms, ""},
		})
	}
}

// column reads the numbers of a file of testdata, below its comments.
func column(t *testing.T, file string) (y []float64) {
	t.Helper()
	for _, r := range rows(t, file) {
		y = append(y, number(t, r[0]))
	}
	return y
}

// Frequencies of things that move by a law of their own: the output of the
// simulated two-pole generator, its shaft held at a speed, and a pendulum. The
// same three measures read each.
func TestPublishedFrequency(t *testing.T) {
	measures := func(grade, source, what string, g waveform.Signal, want float64) {
		half := must(g.HalfCycles(0))
		timing := must(g.Timing(waveform.References{}))
		within := 1e-6 * want
		hold(t, []published{
			{grade, source, what + " by passages of the mean", must(g.Frequency()), want, within, ""},
			{grade, source, what + " by mid-reference instants", timing.Frequency, want, within, ""},
			{grade, source, what + " by its periods", 1 / timing.Period, want, within, ""},
			{grade, source, what + " by half cycles", half.Frequency, want, within, ""},
			{grade, source, what + ", its half cycles together", 1 / (half.Upper + half.Lower), want, within, ""},
			{grade, source, what + ", its half cycles alike", half.Upper / half.Lower, 1, 1e-5, ""},
			{grade, source, what + ", its pulse as long", timing.Width, 0.5 / want, 1e-4 / want, ""},
		})
	}
	measures("A", "NEETS Module 5 (NAVEDTRA 14177), p. 3-14", "Hz of 2 poles at 3600 r/min", heldOutput(t, 3600), 60)
	measures("A", "K. B. Miller, American Telephone Practice, Fig. 336", "Hz of 2 poles at 1000 r/min", heldOutput(t, 1000), 16+2.0/3)
	// l = g, so that T = 4 K; K of the modulus sqrt(1/2), table 17.1 of the book
	measures("M", "M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions", "Hz of a pendulum let go at 90 degrees",
		pendulum(t, 10.3), 1/(4*1.854074677301372))
}

// heldOutput is a quarter of a second of the unloaded output of a machine whose
// shaft is held at a speed, with its rings keyed somewhere.
func heldOutput(t *testing.T, rpm float64) waveform.Signal {
	t.Helper()
	k := func(v float64, unit string) machine.Given {
		return machine.Given{Value: v, Unit: unit, Origin: machine.Assumed}
	}
	sim, err := machine.New(machine.Card{
		Name: "held",
		Parts: []machine.Part{
			{Name: "shaft", Given: map[string]machine.Given{"inertia": k(1, "kg m2"), "friction": k(0, "N m"), "viscous-friction": k(0, "N m s"), "windage": k(0, "N m s2")}},
			{Name: "output", Given: map[string]machine.Given{"frequency": k(20, "Hz"), "voltage": k(84, "V"), "angle": k(33, "deg")}},
		},
	}, machine.Setup{HeldSpeed: rpm / 60}, machine.Load{})
	if err != nil {
		t.Fatal(err)
	}
	set, err := sim.Record(0.25, "output")
	if err != nil {
		t.Fatal(err)
	}
	return set.Signals[0]
}

// pendulum is the angle of a pendulum of unit frequency constant, let go at a
// right angle, over a number of swings, at uneven instants.
func pendulum(t *testing.T, swings float64) waveform.Signal {
	t.Helper()
	s, err := ode.New(ode.Problem{Dim: 2, Scale: []float64{1, 1}, Derivative: func(_ float64, y, d []float64) {
		d[0], d[1] = y[1], -math.Sin(y[0])
	}}, ode.Settings{Method: ode.DormandPrince8, RelTol: 1e-12})
	if err != nil {
		t.Fatal(err)
	}
	s.Start(0, []float64{math.Pi / 2, 0})
	g := waveform.Signal{Name: "pendulum"}
	for i := range 8001 {
		at := 7.4163 * swings * (float64(i) + 0.4*math.Sin(float64(i))) / 8000
		if err := s.Advance(at, nil); err != nil {
			t.Fatal(err)
		}
		g.T, g.Y = append(g.T, at), append(g.Y, s.State()[0])
	}
	return g
}

// The rise of what follows a step with one time constant.
func TestPublishedRise(t *testing.T) {
	// up for 300 time constants, which settles the state levels, and down again
	g := sampled(130000, 1300, func(t float64) float64 {
		if t = math.Mod(t, 600); t < 300 {
			return 1 - math.Exp(-t)
		}
		return math.Exp(300 - t)
	})
	timing := must(g.Timing(waveform.References{}))
	const source = "rise time of an RC circuit, ln 9 = 2.197 time constants"
	hold(t, []published{
		{"M", source, "time constants", timing.Rise, 2.197, 1e-3, ""},
		{"M", source, "time constants of the fall", timing.Fall, 2.197, 1e-3, ""},
	})
}
