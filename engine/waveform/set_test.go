package waveform_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"slipring/engine/waveform"
)

func TestSignalAt(t *testing.T) {
	ramp := waveform.Signal{T: []float64{1, 2, 2, 4}, Y: []float64{0, 10, 30, 40}}
	contact := waveform.Signal{Stepped: true, T: []float64{1, 2, 4}, Y: []float64{0, 1, 0}}
	for _, c := range []struct {
		g        waveform.Signal
		at, want float64
	}{
		{ramp, 1.5, 5}, {ramp, 1, 0}, {ramp, 3, 35}, {ramp, 4, 40},
		{ramp, 0, 0}, {ramp, 9, 40}, // the nearest value holds outside
		{contact, 1.999, 0}, {contact, 2, 1}, {contact, 3.999, 1}, {contact, 4, 0},
		{contact, 0, 0}, {contact, 9, 0},
		{waveform.Signal{}, 3, 0},
	} {
		if got := c.g.At(c.at); got != c.want {
			t.Errorf("%v at %g: %g, want %g", c.g, c.at, got, c.want)
		}
	}
}

func TestWindow(t *testing.T) {
	line := waveform.Signal{Name: "line", Unit: "V", T: []float64{0, 1, 2, 3}, Y: []float64{0, 10, 0, 30}}
	contact := waveform.Signal{Name: "contact", Stepped: true, T: []float64{0, 1, 2, 3}, Y: []float64{0, 1, 0, 1}}
	jump := waveform.Signal{Name: "jump", T: []float64{0, 1, 1, 2}, Y: []float64{0, 1, 5, 6}}
	for _, c := range []struct {
		what     string
		g        waveform.Signal
		from, to float64
		t, y     []float64
	}{
		{"between samples", line, 0.5, 2.5, []float64{0, 0.5, 1.5, 2}, []float64{5, 10, 0, 15}},
		{"at sample instants", line, 1, 2, []float64{0, 1}, []float64{10, 0}},
		{"the whole", line, 0, 3, []float64{0, 1, 2, 3}, []float64{0, 10, 0, 30}},
		{"within one line", line, 0.25, 0.75, []float64{0, 0.5}, []float64{2.5, 7.5}},
		{"steps, between changes", contact, 0.5, 1.5, []float64{0, 0.5, 1}, []float64{0, 1, 1}},
		{"steps, from a change to a change", contact, 1, 2, []float64{0, 1}, []float64{1, 0}},
		{"steps, no change inside", contact, 1.25, 1.75, []float64{0, 0.5}, []float64{1, 1}},
		{"a jump inside", jump, 0.5, 1.5, []float64{0, 0.5, 0.5, 1}, []float64{0.5, 1, 5, 5.5}},
		{"a jump at the beginning", jump, 1, 2, []float64{0, 1}, []float64{5, 6}},
		{"a jump at the end", jump, 0, 1, []float64{0, 1}, []float64{0, 1}},
	} {
		got, err := waveform.Set{Signals: []waveform.Signal{c.g}}.Window(c.from, c.to)
		if err != nil {
			t.Errorf("%s: %v", c.what, err)
			continue
		}
		g := got.Signals[0]
		if !slices.Equal(g.T, c.t) || !slices.Equal(g.Y, c.y) {
			t.Errorf("%s: %v, %v; want %v, %v", c.what, g.T, g.Y, c.t, c.y)
		}
		if g.Name != c.g.Name || g.Unit != c.g.Unit || g.Stepped != c.g.Stepped {
			t.Errorf("%s: lost its name, unit or steps: %+v", c.what, g)
		}
	}
	// the original is left alone
	if !slices.Equal(line.T, []float64{0, 1, 2, 3}) {
		t.Errorf("a window changed its signal: %v", line.T)
	}
}

func TestTurns(t *testing.T) {
	s := waveform.Set{
		Signals: []waveform.Signal{{Name: "x", T: []float64{0, 10}, Y: []float64{0, 10}}},
		Starts:  []float64{1, 3, 6, 9},
	}
	got := must(s.Turns(2))
	if g := got.Signals[0]; !slices.Equal(g.T, []float64{0, 5}) || !slices.Equal(g.Y, []float64{1, 6}) {
		t.Errorf("two turns: %v, %v", g.T, g.Y)
	}
	if !slices.Equal(got.Starts, []float64{0, 2, 5}) {
		t.Errorf("starts of two turns: %v", got.Starts)
	}
	// turns of turns: what a figure's window goes through
	if again := must(got.Turns(2)); !slices.Equal(again.Starts, got.Starts) {
		t.Errorf("starts again: %v", again.Starts)
	}
}

// TestFailures: what cannot be measured gives one typed error that says what
// was seen and what to do.
func TestFailures(t *testing.T) {
	sine := sampled(100, 3, func(t float64) float64 { return math.Sin(2 * math.Pi * t) })
	flat := sampled(10, 1, func(float64) float64 { return 20 })
	short := sampled(100, 0.8, func(t float64) float64 { return math.Sin(2 * math.Pi * t) })
	nan := sampled(10, 1, func(t float64) float64 { return t })
	nan.Y[4] = math.NaN()
	inf := sampled(10, 1, func(t float64) float64 { return t })
	inf.Y[4] = math.Inf(1)
	back := sampled(10, 1, func(t float64) float64 { return t })
	back.T[4] = 0.1
	instant := waveform.Signal{T: []float64{1, 1}, Y: []float64{0, 1}}
	uneven := waveform.Signal{T: []float64{0, 1, 2}, Y: []float64{0, 1}}
	set := waveform.Set{Signals: []waveform.Signal{sine}, Starts: []float64{0.5, 1.5}}
	second := sampled(400, 4, func(t float64) float64 { return math.Cos(4 * math.Pi * t) })

	for _, c := range []struct {
		what string
		err  error
		want error
		text string
	}{
		{"a mean of nothing", second2(waveform.Signal{Name: "speed"}.Mean()), waveform.ErrTooFew,
			`signal "speed": too few samples: 0 where at least 2 are needed`},
		{"r.m.s. with a NaN", second2(nan.RMS()), waveform.ErrNotFinite,
			`signal "sampled": a value is not a usable number: sample 4, at 0.4 s, is NaN`},
		{"r.m.s. with an infinity", second2(inf.ACRMS()), waveform.ErrNotFinite, ""},
		{"instants that go back", second2(back.Mean()), waveform.ErrOutOfOrder, ""},
		{"no time at all", second2(instant.Mean()), waveform.ErrOutOfOrder, ""},
		{"a value short", second2(uneven.RMS()), waveform.ErrTooFew, ""},
		{"range", second3(nan.Range()), waveform.ErrNotFinite, ""},
		{"span", second3(nan.Span()), waveform.ErrNotFinite, ""},
		{"levels of a flat signal", second2(flat.StateLevels()), waveform.ErrFlat,
			`signal "sampled": the signal is flat: it is 20 all the time`},
		{"timing of a flat signal", second2(flat.Timing(waveform.References{})), waveform.ErrFlat, ""},
		{"frequency of a flat signal", second2(flat.Frequency()), waveform.ErrFlat, ""},
		{"half cycles of a flat signal", second2(flat.HalfCycles(0)), waveform.ErrFlat, ""},
		{"distortion of a flat signal", second2(flat.THD(0)), waveform.ErrFlat, ""},
		{"frequency of less than a period", second2(short.Frequency()), waveform.ErrNoPeriod, ""},
		{"timing of less than a period", second2(short.Timing(waveform.References{})), waveform.ErrNoPeriod, ""},
		{"whole periods of less than one", second3(short.WholePeriods()), waveform.ErrNoPeriod, ""},
		{"half cycles about a level that is never passed", second2(sine.HalfCycles(3)), waveform.ErrNoPeriod,
			`signal "sampled": no whole period: it rises through the level 3 0 times; a whole period needs 2`},
		{"half cycles about no number", second2(sine.HalfCycles(math.NaN())), waveform.ErrRequest, ""},
		{"a margin below 0", second2(sine.Crossings(0, -1)), waveform.ErrRequest, ""},
		{"reference levels upside down", second2(sine.Timing(waveform.References{Low: 0.9, High: 0.1})), waveform.ErrRequest, ""},
		{"no periods", second2(sine.Harmonics(0, 5)), waveform.ErrRequest, ""},
		{"no orders", second2(sine.Harmonics(3, 0)), waveform.ErrRequest, ""},
		{"distortion up to order 1", second2(sine.THD(1)), waveform.ErrRequest, ""},
		{"distortion beyond the list", second2(must(sine.Harmonics(3, 5)).THD(6)), waveform.ErrRequest, ""},
		{"distortion of nothing", second2(waveform.Harmonics{}.THD(0)), waveform.ErrRequest, ""},
		{"distortion without a fundamental", second2(must(second.Harmonics(4, 5)).THD(0)), waveform.ErrNoFundamental, ""},
		{"one sample", second2(sine.Resample(1)), waveform.ErrRequest, ""},
		{"a spectrum of nothing", second2(waveform.Signal{}.Spectrum(0)), waveform.ErrTooFew, ""},
		{"an empty window", second2(set.Window(1, 1)), waveform.ErrRequest,
			"the request makes no sense: an empty window: from 1 s to 1 s"},
		{"a window to nowhere", second2(set.Window(0, math.NaN())), waveform.ErrRequest, ""},
		{"a window before the signal", second2(set.Window(-1, 1)), waveform.ErrOutside,
			`signal "sampled": outside the signal: it does not cover -1 s to 1 s`},
		{"a window beyond the signal", second2(set.Window(1, 4)), waveform.ErrOutside, ""},
		{"a window of nothing", second2(waveform.Signal{}.Window(0, 1)), waveform.ErrOutside, ""},
		{"no turns", second2(set.Turns(0)), waveform.ErrRequest, ""},
		{"too many turns", second2(set.Turns(2)), waveform.ErrNoPeriod,
			"no whole period: asked for 2 turns, but the set holds 1"},
		{"turns of an empty set", second2(waveform.Set{}.Turns(1)), waveform.ErrNoPeriod, ""},
		{"a name that is not there", second2(set.Named("spead")), waveform.ErrRequest,
			`the request makes no sense: no signal is called "spead"`},
		{"ripple of a name that is not there", second2(set.Ripple("x")), waveform.ErrRequest, ""},
		{"ripple without turns", second2(waveform.Set{Signals: set.Signals}.Ripple("sampled")), waveform.ErrNoPeriod, ""},
		{"hunting in one turn", second2(set.Hunting("sampled")), waveform.ErrTooFew, ""},
		{"a tone above half the rate", second2(waveform.Sound{}.Tone(1, waveform.Partial{Frequency: 12000, Amplitude: 1})), waveform.ErrRequest,
			"the request makes no sense: a sound: a partial of 12000 Hz at 22050 samples a second"},
		{"a tone of nothing", second2(waveform.Sound{}.Tone(1)), waveform.ErrRequest, ""},
		{"a tone without end", second2(waveform.Sound{}.Tone(math.Inf(1), waveform.Partial{Frequency: 1, Amplitude: 1})), waveform.ErrRequest, ""},
		{"too loud", second2(waveform.Sound{Volume: 2}.Tone(1, waveform.Partial{Frequency: 1, Amplitude: 1})), waveform.ErrRequest, ""},
		{"too slow", second2(waveform.Sound{Rate: 10}.Tone(1, waveform.Partial{Frequency: 1, Amplitude: 1})), waveform.ErrRequest, ""},
		{"a flat sound", second2(waveform.Sound{}.Play(flat)), waveform.ErrFlat, ""},
		{"a broken sound", second2(waveform.Sound{}.Play(nan)), waveform.ErrNotFinite, ""},
	} {
		if !errors.Is(c.err, c.want) {
			t.Errorf("%s: %v, want %v", c.what, c.err, c.want)
			continue
		}
		var f *waveform.Failure
		if !errors.As(c.err, &f) || f.Next == "" || f.Detail == "" {
			t.Errorf("%s: no next step in %#v", c.what, c.err)
		}
		if c.text != "" && c.err.Error() != c.text {
			t.Errorf("%s: %q, want %q", c.what, c.err.Error(), c.text)
		}
	}
}

func second2[A any](_ A, err error) error         { return err }
func second3[A, B any](_ A, _ B, err error) error { return err }
