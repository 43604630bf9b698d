package machine

import (
	"fmt"
	"math"
	"strings"

	"slipring/engine/ode"
	"slipring/engine/waveform"
)

// channel is a quantity that can be recorded.
type channel struct {
	name, unit string
	contact    bool // 1 closed, 0 open; recorded at its changes
	value      func(s *system, t float64, y []float64) float64
}

func channels() []channel {
	return []channel{
		{"governor contact", "", true, func(s *system, _ float64, _ []float64) float64 { return step(s.governing.closed()) }},
		{"regulator contact", "", true, func(s *system, _ float64, _ []float64) float64 { return step(s.regulating.closed()) }},
		{"output", "V", false, func(s *system, _ float64, y []float64) float64 { return s.electric(y).ac }},
		{"output current", "A", false, func(s *system, _ float64, y []float64) float64 { return s.electric(y).iac }},
		{"generator EMF", "V", false, func(s *system, _ float64, y []float64) float64 { return s.electric(y).emf }},
		{"commutator voltage", "V", false, func(s *system, _ float64, y []float64) float64 { return s.electric(y).dc }},
		{"speed", "Hz", false, func(_ *system, _ float64, y []float64) float64 { return y[atSpeed] / (2 * math.Pi) }},
		{"field current", "A", false, func(_ *system, _ float64, y []float64) float64 { return y[atField] }},
		{"armature current", "A", false, func(_ *system, _ float64, y []float64) float64 { return y[atArmature] }},
		{"bus voltage", "V", false, func(s *system, t float64, y []float64) float64 { return s.busVoltage(t, y) }},
		{"weight travel", "mm", false, func(_ *system, _ float64, y []float64) float64 { return 1e3 * y[atTravel] }},
		{"shaft angle", "deg", false, func(_ *system, _ float64, y []float64) float64 {
			return 180 / math.Pi * math.Mod(y[atAngle], 2*math.Pi)
		}},
		{"generator field current", "A", false, full(atExciting, 1)},
		{"regulator coil current", "A", false, full(atCoil, 1)},
		{"plunger travel", "mm", false, full(atPlunger, 1e3)},
		{"fuse heat", "A2", false, full(atFuse, 1)},
	}
}

// full records a coordinate that a small machine has not, and that is 0 there.
func full(at int, factor float64) func(*system, float64, []float64) float64 {
	return func(_ *system, _ float64, y []float64) float64 {
		if at < len(y) {
			return factor * y[at]
		}
		return 0
	}
}

func step(on bool) float64 {
	if on {
		return 1
	}
	return 0
}

// TraceNames lists the names that Record knows.
func TraceNames() []string {
	var out []string
	for _, c := range channels() {
		out = append(out, c.name)
	}
	return out
}

// samplesPerTurn is how finely Record samples a turn at the nameplate speed.
const samplesPerTurn = 200

// Record goes on for a time in s and gives the named signals over it, from
// time 0 at its beginning. A contact is 1 while it is closed, and changes at
// exact instants; the others are sampled 4000 times a second.
func (s *Simulation) Record(seconds float64, names ...string) (waveform.Set, error) {
	r, err := s.recorder(names)
	if err != nil {
		return waveform.Set{}, err
	}
	err = r.run(seconds)
	return r.out, err
}

// RecordTurns goes on for n whole turns and gives the named signals over
// them, from time 0 at the start of the first.
func (s *Simulation) RecordTurns(n int, names ...string) (waveform.Set, error) {
	r, err := s.recorder(names)
	if err != nil {
		return waveform.Set{}, err
	}
	for range n + 10 { // a set that cannot make a turn in a second will not be waited for
		if err := r.run(max(0.05, 0.06*float64(n+1-len(r.out.Starts)))); err != nil {
			return r.out, err
		}
		if len(r.out.Starts) > n {
			return r.out.Turns(n)
		}
	}
	return r.out, fmt.Errorf("the shaft makes only %d whole turns in %.3g s", max(len(r.out.Starts)-1, 0), s.Time()-r.t0)
}

type recorder struct {
	sim  *Simulation
	t0   float64
	rate float64 // samples a second
	next int     // number of the next sample
	mark float64 // shaft angle of the next turn
	ch   []channel
	y    []float64
	out  waveform.Set
}

func (s *Simulation) recorder(names []string) (*recorder, error) {
	r := &recorder{sim: s, t0: s.Time(), rate: 20 * samplesPerTurn, y: make([]float64, s.sys.dim)}
	if len(names) == 0 {
		return nil, fmt.Errorf("no signal to record was named; known are: %s", quoted(TraceNames()))
	}
	all := channels()
	for _, n := range names {
		found := false
		for _, c := range all {
			if c.name == n {
				found = true
				r.ch = append(r.ch, c)
				r.out.Signals = append(r.out.Signals, waveform.Signal{Name: c.name, Unit: c.unit, Stepped: c.contact})
			}
		}
		if !found {
			return nil, fmt.Errorf("no signal is called %q; known are: %s", n, quoted(TraceNames()))
		}
	}
	angle := s.solver.State()[atAngle]
	turn := 2 * math.Pi
	r.mark = turn * math.Ceil(angle/turn)
	if r.mark == angle {
		r.out.Starts = append(r.out.Starts, 0)
		r.mark += turn
	}
	for i, c := range r.ch {
		if c.contact {
			r.put(i, 0, s.solver.State())
		}
	}
	return r, nil
}

func quoted(names []string) string {
	return `"` + strings.Join(names, `", "`) + `"`
}

func (r *recorder) put(i int, t float64, y []float64) {
	g := &r.out.Signals[i]
	if n := len(g.T); n > 0 && g.T[n-1] >= t {
		return
	}
	g.T = append(g.T, t)
	g.Y = append(g.Y, r.ch[i].value(&r.sim.sys, r.t0+t, y))
}

func (r *recorder) putSmooth(t float64, y []float64) {
	for i, c := range r.ch {
		if !c.contact {
			r.put(i, t, y)
		}
	}
}

func (r *recorder) run(seconds float64) error {
	s := r.sim
	usual := s.each
	s.events, s.record = s.events[:0], true
	s.each = func(p *ode.Piece) {
		usual(p)
		r.piece(p)
	}
	err := s.Advance(seconds)
	s.each, s.record = usual, false
	for i, c := range r.ch {
		if !c.contact {
			continue
		}
		g := &r.out.Signals[i]
		kind := governorContact
		if c.name == "regulator contact" {
			kind = regulatorContact
		}
		for _, e := range s.events {
			if e.what != kind {
				continue
			}
			g.T = append(g.T, e.t-r.t0)
			g.Y = append(g.Y, step(e.closed))
		}
	}
	end := s.Time() - r.t0
	for i, c := range r.ch {
		if c.contact {
			r.put(i, end, s.solver.State())
		}
	}
	r.putSmooth(end, s.solver.State())
	return err
}

func (r *recorder) piece(p *ode.Piece) {
	for ; ; r.next++ {
		t := float64(r.next) / r.rate
		if r.t0+t > p.T1 {
			break
		}
		p.Fill(r.t0+t, r.y)
		r.putSmooth(t, r.y)
	}
	for {
		t, ok := p.Cross(atAngle, r.mark)
		if !ok {
			return
		}
		r.out.Starts = append(r.out.Starts, t-r.t0)
		r.mark += 2 * math.Pi
	}
}

// event is a contact that changed at an instant.
type event struct {
	t      float64
	what   guardKind
	closed bool
}

// note keeps a change of a contact while a record is made.
func (s *Simulation) note(t float64, what guardKind, closed bool) {
	if s.record {
		s.events = append(s.events, event{t, what, closed})
	}
}
