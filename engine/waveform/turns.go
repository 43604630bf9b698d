package waveform

import (
	"math"
	"math/cmplx"
	"sort"
)

// Ripple is what a signal does once in each turn.
type Ripple struct {
	Turns     int
	Mean      float64 // over whole turns, in the signal's unit
	Amplitude float64 // peak of the once-per-turn component, in the signal's unit
	Relative  float64 // Amplitude/|Mean|; 0 when the mean is 0
	Phase     float64 // rad: the component is Amplitude cos(angle + Phase), angle counted from a turn's start
	Swing     float64 // highest less lowest value within a turn, mean over the turns
}

// Ripple measures the once-per-turn component of a signal over all whole turns
// of the set. The component is found in each turn by itself and averaged with
// its phase, so what is not tied to the turn averages out.
func (s Set) Ripple(name string) (Ripple, error) {
	g, err := s.Named(name)
	if err != nil {
		return Ripple{}, err
	}
	turns, err := s.eachTurn(g)
	if err != nil {
		return Ripple{}, err
	}
	n := float64(len(turns))
	out := Ripple{Turns: len(turns)}
	span := s.Starts[len(turns)] - s.Starts[0]
	var sum complex128
	for i, turn := range turns {
		h, err := turn.Harmonics(1, 1)
		if err != nil {
			return Ripple{}, err
		}
		sum += cmplx.Rect(h.Amplitude[1]/n, h.Phase[1])
		low, high := turn.extremes()
		out.Swing += (high - low) / n
		out.Mean += h.Amplitude[0] * (s.Starts[i+1] - s.Starts[i]) / span
	}
	out.Amplitude, out.Phase = cmplx.Polar(sum)
	if out.Mean != 0 {
		out.Relative = out.Amplitude / math.Abs(out.Mean)
	}
	return out, nil
}

// RMSOfTurns gives the r.m.s. value of a signal over each whole turn of the
// set, at the instant in the middle of the turn.
func (s Set) RMSOfTurns(name string) (Signal, error) {
	g, err := s.Named(name)
	if err != nil {
		return Signal{}, err
	}
	turns, err := s.eachTurn(g)
	if err != nil {
		return Signal{}, err
	}
	out := Signal{Name: g.Name, Unit: g.Unit}
	for i, turn := range turns {
		v, err := turn.RMS()
		if err != nil {
			return Signal{}, err
		}
		out.T = append(out.T, (s.Starts[i]+s.Starts[i+1])/2)
		out.Y = append(out.Y, v)
	}
	return out, nil
}

// eachTurn cuts a signal into the whole turns of the set.
func (s Set) eachTurn(g Signal) ([]Signal, error) {
	if err := g.check(); err != nil {
		return nil, err
	}
	if len(s.Starts) < 2 {
		return nil, g.fail(ErrNoPeriod, "record a longer stretch", "the set holds no whole turn")
	}
	var out []Signal
	for i := 1; i < len(s.Starts); i++ {
		turn, err := g.Window(s.Starts[i-1], s.Starts[i])
		if err != nil {
			return nil, err
		}
		out = append(out, turn)
	}
	return out, nil
}

// Hunting is a slow swing of a signal about its mean, slower than the turns.
type Hunting struct {
	Swing     float64 // highest less lowest mean of a turn, in the signal's unit
	Cycles    int     // whole swings seen; 0 means that it does not hunt
	Frequency float64 // Hz; 0 when it does not hunt
	// Amplitude is the peak of the swing at Frequency, in the signal's unit,
	// from the mean of each turn. Averaging over a turn lowers it; the factor
	// sin(πf/F)/(πf/F), F turns a second, is put right. 0 when it does not hunt.
	Amplitude float64
}

// smallestHunt is the swing, as a part of the mean, below which a signal
// counts as steady.
const smallestHunt = 1e-3

// Hunting looks for a slow swing in the means of the set's whole turns, which
// hold no once-per-turn ripple. The frequency is that of rising passages
// through their mean which leave it on both sides, by a quarter of their r.m.s.
// deviation from it, so that a few large swings do not hide the others. A swing
// below 0.1 % of the mean is no hunting, nor is one that comes back every second
// turn or sooner, nor one of which fewer than two whole cycles are seen: the
// turns then differ, but Frequency is 0.
func (s Set) Hunting(name string) (Hunting, error) {
	g, err := s.Named(name)
	if err != nil {
		return Hunting{}, err
	}
	turns, err := s.eachTurn(g)
	if err != nil {
		return Hunting{}, err
	}
	if len(turns) < 5 {
		return Hunting{}, g.fail(ErrTooFew, "record a longer stretch", "%d turns; two swings take at least 5", len(turns))
	}
	slow := Signal{Name: g.Name, Unit: g.Unit}
	for i, turn := range turns {
		slow.T = append(slow.T, (s.Starts[i]+s.Starts[i+1])/2)
		slow.Y = append(slow.Y, turn.mean())
	}
	low, high := slow.extremes()
	out := Hunting{Swing: high - low}
	if !(out.Swing > smallestHunt*math.Abs(slow.mean())) {
		return out, nil
	}
	mean := slow.mean()
	margin := slow.about(mean) / 4
	var up []float64
	for _, c := range slow.passages(mean-margin, mean, mean+margin) {
		if c.Rising {
			up = append(up, c.At)
		}
	}
	n := len(up) - 1
	if n < 2 || !(up[n]-up[0] > least) {
		return out, nil
	}
	f := float64(n) / (up[n] - up[0])
	rate := float64(len(turns)) / (s.Starts[len(turns)] - s.Starts[0])
	// one in every second turn is a period of two turns; the margin is for the
	// ends of the stretch, at which swings are seen a little long or short
	if f > 0.49*rate {
		return out, nil
	}
	out.Cycles, out.Frequency = n, f
	out.Amplitude = sineAt(slow, up[0], up[n], f) / sinc(f/rate)
	return out, nil
}

func sinc(x float64) float64 { return math.Sin(math.Pi*x) / (math.Pi * x) }

// sineAt gives the peak of the sine of frequency f in the samples within from
// to to, by least squares (samples of the means of turns are too few for the
// integrals of Harmonics).
func sineAt(g Signal, from, to, f float64) float64 {
	i := sort.SearchFloat64s(g.T, from)
	// normal equations of y = a + b cos + c sin
	var m [3][4]float64
	for ; i < len(g.T) && g.T[i] <= to; i++ {
		s, c := math.Sincos(2 * math.Pi * f * (g.T[i] - from))
		row := [4]float64{1, c, s, g.Y[i]}
		for j := range 3 {
			for k := range row {
				m[j][k] += row[j] * row[k]
			}
		}
	}
	for p := range 3 {
		for j := p + 1; j < 3; j++ {
			r := m[j][p] / m[p][p]
			for k := p; k < 4; k++ {
				m[j][k] -= r * m[p][k]
			}
		}
	}
	c := m[2][3] / m[2][2]
	b := (m[1][3] - m[1][2]*c) / m[1][1]
	return math.Hypot(b, c)
}
