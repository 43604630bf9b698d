package machine

import (
	"fmt"
	"math"
	"slices"

	"slipring/engine/ode"
	"slipring/engine/waveform"
)

// Recordable says why signals cannot be recorded: their names are unknown, or
// the card has not the part that they belong to.
func (s *Simulation) Recordable(names ...string) error {
	_, err := s.chosen(names)
	return err
}

// chosen gives the named signals.
func (s *Simulation) chosen(names []string) ([]signal, error) {
	if len(names) == 0 {
		return nil, fmt.Errorf("no signal to record was named")
	}
	var out []signal
	for _, n := range names {
		named := func(g signal) bool { return g.name == n }
		if i := slices.IndexFunc(s.sys.signals, named); i >= 0 {
			out = append(out, s.sys.signals[i])
			continue
		}
		all := everything().signals
		i := slices.IndexFunc(all, named)
		if i < 0 {
			return nil, fmt.Errorf("no signal is called %q", n)
		}
		return nil, fmt.Errorf("the signal %q needs the part [%s], which the card has not", n, all[i].part)
	}
	return out, nil
}

// Signals lists the names of the signals that Record knows of this machine,
// part by part.
func (s *Simulation) Signals() []string {
	var out []string
	for _, g := range s.sys.signals {
		out = append(out, g.name)
	}
	return out
}

// samplesPerTurn is how finely Record samples a turn at the nameplate speed.
const samplesPerTurn = 200

// Record goes on for a time in s and gives the named signals over it, from
// time 0 at its beginning. A contact is 1 while it is closed, and changes at
// exact instants; the others are sampled 4000 times a second. It fails when the
// machine has not the part that a signal belongs to.
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
	return r.out, s.standstill(max(len(r.out.Starts)-1, 0))
}

// mostRoom is for how many samples of a signal room is made beforehand.
const mostRoom = 1 << 18

type recorder struct {
	sim  *Simulation
	t0   float64
	rate float64 // samples a second
	next int     // number of the next sample
	mark float64 // shaft angle of the next turn
	ch   []signal
	y    []float64
	out  waveform.Set
}

func (s *Simulation) recorder(names []string) (*recorder, error) {
	r := &recorder{sim: s, t0: s.Time(), rate: 20 * samplesPerTurn, y: make([]float64, s.sys.dim())}
	var err error
	if r.ch, err = s.chosen(names); err != nil {
		return nil, err
	}
	for _, c := range r.ch {
		r.out.Signals = append(r.out.Signals, waveform.Signal{Name: c.name, Unit: c.unit, Kind: c.kind, Stepped: c.contact != nil})
	}
	angle := s.solver.State()[s.sys.shaft.angle]
	turn := 2 * math.Pi
	r.mark = turn * math.Ceil(angle/turn)
	if r.mark == angle {
		r.out.Starts = append(r.out.Starts, 0)
		r.mark += turn
	}
	for i, c := range r.ch {
		if c.contact != nil {
			r.put(i, 0, s.solver.State())
		}
	}
	return r, nil
}

func (r *recorder) put(i int, t float64, y []float64) {
	g := &r.out.Signals[i]
	if n := len(g.T); n > 0 && g.T[n-1] >= t {
		return
	}
	g.T = append(g.T, t)
	g.Y = append(g.Y, r.ch[i].value(r.t0+t, y))
}

func (r *recorder) putSmooth(t float64, y []float64) {
	for i, c := range r.ch {
		if c.contact == nil {
			r.put(i, t, y)
		}
	}
}

func (r *recorder) run(seconds float64) error {
	s := r.sim
	for i, c := range r.ch {
		if n := int(seconds*r.rate) + 2; c.contact == nil && n < mostRoom {
			g := &r.out.Signals[i]
			g.T, g.Y = slices.Grow(g.T, n), slices.Grow(g.Y, n)
		}
	}
	usual := s.each
	s.events, s.record = s.events[:0], true
	s.each = func(p *ode.Piece) {
		usual(p)
		r.piece(p)
	}
	err := s.Advance(seconds)
	s.each, s.record = usual, false
	for i, c := range r.ch {
		if c.contact == nil {
			continue
		}
		g := &r.out.Signals[i]
		for _, e := range s.events {
			if e.contact != c.contact {
				continue
			}
			g.T = append(g.T, e.t-r.t0)
			g.Y = append(g.Y, step(e.closed))
		}
	}
	end := s.Time() - r.t0
	for i, c := range r.ch {
		if c.contact != nil {
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
		t, ok := p.Cross(r.sim.sys.shaft.angle, r.mark)
		if !ok {
			return
		}
		r.out.Starts = append(r.out.Starts, t-r.t0)
		r.mark += 2 * math.Pi
	}
}

// event is a contact that changed at an instant.
type event struct {
	t       float64
	contact *contact
	closed  bool
}

// note keeps a change of a contact while a record is made.
func (s *Simulation) note(t float64, c *contact, closed bool) {
	if s.record {
		s.events = append(s.events, event{t, c, closed})
	}
}
