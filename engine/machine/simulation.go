package machine

import (
	"fmt"
	"math"

	"slipring/engine/ode"
)

// Setup is how a machine is set up, apart from its card. The zero value is
// the usual way: shaft level, nothing held.
type Setup struct {
	Upright   bool    // the shaft stands on end, so that gravity does not swing the weight
	HeldSpeed float64 // turns/s at which an outside drive holds the shaft; 0 means no such drive
	RelTol    float64 // relative tolerance of the integration; 0 means 1e-8
	Method    ode.Method
}

// Simulation is a machine at an instant, ready to go on.
type Simulation struct {
	how    Setup
	sys    system
	solver *ode.Solver
	gauge  gauge
	events []event // crossings since the last Record began, when recording
	record bool
	each   func(*ode.Piece)
}

// event is a contact that changed at an instant.
type event struct {
	t      float64
	closed bool
}

// New makes a machine near its working speed and under a load, at time 0 with
// the governor's weight straight down. It fails when the card has a flaw, or
// when nothing would turn the shaft.
func New(c Card, how Setup, load Load) (*Simulation, error) {
	if flaws := c.Validate(); len(flaws) > 0 {
		return nil, flaws[0]
	}
	if c.Motor == nil && how.HeldSpeed == 0 {
		return nil, fmt.Errorf("nothing turns the shaft: the card %q has no motor, and no speed is held", c.Name)
	}
	if how.HeldSpeed < 0 || !finite(how.HeldSpeed) {
		return nil, fmt.Errorf("a shaft cannot be held at %g turns a second", how.HeldSpeed)
	}
	if err := load.check(); err != nil {
		return nil, err
	}
	s := &Simulation{how: how, sys: newSystem(c, how)}
	s.sys.load = load
	return s, s.begin(s.sys.guess(how.HeldSpeed))
}

func (l Load) check() error {
	if l.Torque < 0 || !finite(l.Torque) {
		return fmt.Errorf("a load cannot have a torque of %g N m", l.Torque)
	}
	return nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// begin starts the solver at time 0 from state y, modes to match.
func (s *Simulation) begin(y []float64) error {
	p := ode.Problem{
		Dim:        s.sys.dim,
		Derivative: s.sys.derivative,
		Scale:      s.sys.scale(),
		Crossing:   s.crossing,
	}
	if s.sys.hasGovernor {
		s.sys.closed = y[atTravel] > 0
		s.sys.stopped = y[atTravel] > s.sys.weight.StopTravel
		p.Guards = []ode.Guard{
			guardContact: {Coordinate: atTravel, Level: 0, Above: s.sys.closed},
			guardStop:    {Coordinate: atTravel, Level: s.sys.weight.StopTravel, Above: s.sys.stopped},
		}
	}
	rel := s.how.RelTol
	if rel == 0 {
		rel = 1e-8
	}
	solver, err := ode.New(p, ode.Settings{Method: s.how.Method, RelTol: rel})
	if err != nil {
		return err
	}
	s.solver = solver
	s.each = s.gauge.piece
	s.gauge.begin(&s.sys, 0, y[atAngle])
	solver.Start(0, y)
	return nil
}

func (s *Simulation) crossing(guard int, t float64, _ []float64, _ []ode.Guard) bool {
	switch guard {
	case guardContact:
		s.sys.closed = !s.sys.closed
		if s.sys.closed {
			s.gauge.closures++
		}
		if s.record {
			s.events = append(s.events, event{t, s.sys.closed})
		}
	case guardStop:
		s.sys.stopped = !s.sys.stopped
	}
	return false
}

// Advance goes on for a time in s.
func (s *Simulation) Advance(seconds float64) error {
	return s.solver.Advance(s.solver.Time()+seconds, s.each)
}

// Time gives the time in s since the simulation began.
func (s *Simulation) Time() float64 { return s.solver.Time() }

// Change puts another load on the set from now on.
func (s *Simulation) Change(load Load) error {
	if err := load.check(); err != nil {
		return err
	}
	s.sys.load = load
	s.solver.Restart()
	return nil
}

// Clone gives a second machine in the same state, at time 0. With a shaft at
// the start of a turn, its turns begin at time 0 too.
func (s *Simulation) Clone() (*Simulation, error) {
	c := &Simulation{how: s.how, sys: s.sys}
	y := append([]float64(nil), s.solver.State()...)
	y[atAngle] = math.Mod(y[atAngle], 2*math.Pi)
	return c, c.begin(y)
}

// most turns after which a settled machine may repeat itself
const longestRepeat = 6

// Settle goes on until the machine repeats itself from turn to turn (or every
// few turns), and then sets its time to 0 at the start of a turn. A machine
// that does not repeat itself within 20 s is taken as it is then: it hunts, or
// skips turns. It fails when the shaft stalls.
func (s *Simulation) Settle() error {
	const longest, block = 20.0, 0.5
	s.gauge.strobe = true
	defer func() { s.gauge.strobe = false }()
	for s.Time() < longest {
		if err := s.Advance(block); err != nil {
			return err
		}
		if s.gauge.count >= 20 && s.gauge.repeat() > 0 {
			break
		}
	}
	last := s.gauge.lastStrobe()
	if s.gauge.count < 20 {
		return fmt.Errorf("the shaft stalls under this load: it makes %d turns in %.0f s", s.gauge.count, s.Time())
	}
	repeat := s.gauge.repeat()
	y := append([]float64(nil), last...)
	y[atAngle] = 0
	err := s.begin(y)
	s.gauge.period = repeat
	return err
}
