package machine

import (
	"fmt"
	"math"

	"slipring/engine/ode"
)

// Setup is how a machine is set up, apart from its card. The zero value is
// the usual way: shaft level, running, nothing held.
type Setup struct {
	Upright       bool      // the shaft stands on end, so that gravity does not swing the weight
	Gravity       float64   // m/s2, the pull across a level shaft; 0 means that of the earth
	HeldSpeed     float64   // turns/s at which an outside drive holds the shaft; 0 means no such drive
	AtRest        bool      // begin at standstill with nothing in the windings, the switch just closed
	Start         Start     // begin there, the switch just closed, instead
	Unexcited     bool      // begin with no current in the generator's field
	Starter       float64   // ohm in series with the armature at the beginning
	Notches       []float64 // ohm of each section of a starter, which is cut out when the current has fallen to NotchCurrent; instead of Starter
	NotchCurrent  float64   // A
	CoilOnBrushes bool      // the regulator's coil is fed from the commutator, not from the rings
	Audit         bool      // count energy; see Simulation.Audit

	RelTol   float64    // relative tolerance of the integration; 0 means 1e-8
	MaxSteps int        // budget of steps for each advance; 0 means 50 million
	Method   ode.Method // the zero value is DOP853; see BenchmarkSettle for why
}

// Pull gives the pull of gravity across the shaft in m/s2, which is none on
// one that stands on end.
func (how Setup) Pull() float64 {
	switch {
	case how.Upright:
		return 0
	case how.Gravity == 0:
		return Gravity
	}
	return how.Gravity
}

// Simulation is a machine at an instant, ready to go on. What it solves, step
// by step, are the equations of its parts; those of a motor with its governor,
// on a shaft that turns forward, are
//
//	shaft     (J + m rho^2) w' = T - T_loss - T_load - m rho (g sin th + 2 v w)
//	weight    v' = w^2 rho + g cos th - c v - (p + k s) - f,  s' = v,  rho = r + s
//	armature  La Ia' = E - K w
//	field     Lf If' = V - (Rf + Rg) If,  Rg = 0 while the governor contact is closed
//
// with K by machine.Magnetization.Constant, E by machine.Motor.ArmatureVoltage,
// V by machine.Battery.Terminal, and Lf by machine.Magnetization.Inductance. T
// is machine.Motor.Torque less machine.Iron.LossTorque, T_loss is
// machine.Shaft.LossTorque, and T_load all that the generator, the tone wheels
// and the load ask for. The weight m stands at s beyond the contact, at the
// angle th from the bottom; p and k are the leaf's tension and stiffness, c its
// damping, and f the push of the contact and of the stop, each for a kg. While a
// resistor R brakes the armature, E is that of a terminal voltage of -R Ia.
type Simulation struct {
	how    Setup
	sys    *system
	solver *ode.Solver
	levels []level  // of the solver's guards
	was    []bool   // which contacts were closed before something was switched
	plan   []Change // what is still to happen, by time
	gauge  gauge
	events []event // crossings since the last Record began, when recording
	record bool
	each   func(*ode.Piece)

	guessed bool // the state is New's guess, and nothing has happened to it

	storedAtStart, arcs float64 // J, for an audit
}

// New makes a machine under a load, at time 0 with the governor's weight
// straight down: near its working speed, at rest, or in a state that the setup
// gives. It fails when the card has a flaw, when nothing would turn the shaft,
// or when the machine cannot be in that state.
func New(c Card, how Setup, load Load) (*Simulation, error) {
	if flaws := c.Validate(); len(flaws) > 0 {
		return nil, flaws[0]
	}
	if !(how.Gravity >= 0) || !finite(how.Gravity) {
		return nil, fmt.Errorf("gravity cannot pull with %g m/s2", how.Gravity)
	}
	if how.HeldSpeed < 0 || !finite(how.HeldSpeed) {
		return nil, fmt.Errorf("a shaft cannot be held at %g turns a second", how.HeldSpeed)
	}
	if !c.Has("motor") && !c.Has("ac-motor") && how.HeldSpeed == 0 {
		return nil, fmt.Errorf("nothing turns the shaft: the card %q has no motor, and no speed is held", c.Name)
	}
	for _, r := range append([]float64{how.Starter}, how.Notches...) {
		if !(r >= 0) || !finite(r) {
			return nil, fmt.Errorf("a starter cannot have %g ohm", r)
		}
	}
	if len(how.Notches) > 0 && !(how.NotchCurrent > 0 && finite(how.NotchCurrent)) {
		return nil, fmt.Errorf("a starter's sections cannot be cut out at %g A", how.NotchCurrent)
	}
	s := &Simulation{how: how, sys: newSystem(c, how)}
	if err := s.sys.check(load); err != nil {
		return nil, err
	}
	s.sys.put(load)
	y := s.sys.guess(how.HeldSpeed)
	s.guessed = !how.AtRest && how.Start == Start{}
	if !s.guessed {
		var err error
		if y, err = s.sys.begun(how.Start, how.HeldSpeed); err != nil {
			return nil, err
		}
	}
	if g := s.sys.generator; g != nil && how.Unexcited {
		y[g.exciting] = 0
	}
	return s, s.begin(y)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// begin starts the solver at time 0 from state y, modes to match.
func (s *Simulation) begin(y []float64) error {
	m := s.sys
	p := ode.Problem{
		Dim:        m.dim(),
		Derivative: m.derivative,
		Scale:      m.scale,
		Crossing:   s.crossing,
	}
	s.levels = nil
	each(m, func(w watching) { s.levels = append(s.levels, w.watch(y, s.solver == nil)...) })
	for _, l := range s.levels {
		p.Guards = append(p.Guards, l.Guard)
	}
	m.closes()
	rel := s.how.RelTol
	if rel == 0 {
		rel = 1e-8
	}
	solver, err := ode.New(p, ode.Settings{Method: s.how.Method, RelTol: rel, MaxSteps: s.how.MaxSteps, MaxStep: m.longestStep()})
	if err != nil {
		return err
	}
	s.solver = solver
	s.was = make([]bool, len(m.contacts))
	s.each = s.gauge.piece
	s.gauge.begin(m, y[m.shaft.angle])
	if len(m.lines) > 0 {
		clear(y[m.account:])
		s.storedAtStart, s.arcs = m.stored(y), 0
	}
	solver.Start(0, y)
	return nil
}

// crossing switches what a level stands for.
func (s *Simulation) crossing(guard int, t float64, y []float64, guards []ode.Guard) bool {
	s.before(y)
	s.levels[guard].cross(t, y, &guards[guard])
	s.after(t, y)
	return false
}

// before and after stand round whatever is switched: they count what contacts
// do, and the energy that goes in an arc.
func (s *Simulation) before(y []float64) {
	for i, c := range s.sys.contacts {
		s.was[i] = c.closed()
	}
	if len(s.sys.lines) > 0 {
		s.arcs += s.sys.stored(y)
	}
}

func (s *Simulation) after(t float64, y []float64) {
	for i, c := range s.sys.contacts {
		if is := c.closed(); is != s.was[i] {
			s.note(t, c, is)
			s.gauge.changed(c, is)
		}
	}
	if len(s.sys.lines) > 0 {
		s.arcs -= s.sys.stored(y)
	}
}

// watchAgain lets the solver watch the levels that are there to be reached.
func (s *Simulation) watchAgain() {
	for i, l := range s.levels {
		if l.off != nil {
			s.solver.Guards()[i].Off = l.off()
		}
	}
}

// Advance goes on for a time in s, through the changes that are planned.
func (s *Simulation) Advance(seconds float64) error {
	end := s.solver.Time() + seconds
	for len(s.plan) > 0 && s.plan[0].At <= end {
		c := s.plan[0]
		s.plan = s.plan[1:]
		if err := s.solver.Advance(max(c.At, s.solver.Time()), s.each); err != nil {
			return err
		}
		s.make(c)
	}
	return s.solver.Advance(end, s.each)
}

// Time gives the time in s since the simulation began.
func (s *Simulation) Time() float64 { return s.solver.Time() }

// Clone gives a second machine in the same state and with the same plan, at
// time 0. With a shaft at the start of a turn, its turns begin at time 0 too.
func (s *Simulation) Clone() (*Simulation, error) {
	c := &Simulation{how: s.how, sys: s.sys.copy(), solver: s.solver, guessed: s.guessed}
	now := s.Time()
	for _, p := range s.plan {
		p.At -= now
		c.plan = append(c.plan, p)
	}
	c.sys.later(now)
	y := append([]float64(nil), s.solver.State()...)
	angle := s.sys.shaft.angle
	y[angle] = math.Mod(y[angle], 2*math.Pi)
	return c, c.begin(y)
}
