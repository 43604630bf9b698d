package machine

import (
	"math"

	"slipring/engine/ode"
)

// gauge watches a running machine: it keeps each turn of the shaft, and at
// the start of each the whole state, so that one turn can be compared with
// those before it.
type gauge struct {
	sys     *system
	next    float64 // shaft angle at which the next turn starts
	half    float64 // electrical angle at which the EMF next goes through zero
	started bool    // the first whole turn has begun
	now     Turn    // the turn going on
	turns   []Turn
	keep    bool // keep turns and zeros
	zeros   []zero
	watched span // of speed, since watch
	most    most

	strobe  bool
	strobes [longestRepeat + 1]strobe // ring of states at starts of turns
	count   int                       // strobes taken
	period  int                       // as found by Settle

	y []float64
}

// Turn is one turn of the shaft.
type Turn struct {
	Start, Length     float64 // s
	Open              float64 // part of the turn for which the governor contact is open
	Closures          int     // of the governor contact
	RegulatorClosures int
	OutputVoltage     float64 // V r.m.s. at the rings

	speed span
	sums  [sums]float64
}

// integrals over time that a Turn keeps
const (
	governorOpen = iota // s
	governorShut
	regulatorOpen
	regulatorShut
	armatureCurrent
	fieldCurrent
	bus
	batteryPower
	exciting
	direct
	alternatingSquared
	alternatingPower
	sums
)

// strobe is the state at the start of a turn.
type strobe struct {
	t float64
	y []float64
}

// fraction gives a share of a whole in two shares, 0 and 1 without rounding.
func fraction(share, rest float64) float64 { return share / (share + rest) }

// span is how far down and up something went.
type span struct{ low, high float64 }

var nowhere = span{math.Inf(1), math.Inf(-1)}

func (s *span) take(low, high float64) { s.low, s.high = min(s.low, low), max(s.high, high) }

// zero is an instant at which the EMF at the rings goes through zero.
type zero struct {
	t      float64
	rising bool
}

// most is what was reached at the most.
type most struct {
	speed, armature float64 // rad/s, A
}

func (g *gauge) begin(sys *system, angle float64) {
	*g = gauge{sys: sys, strobe: g.strobe, keep: g.keep, strobes: g.strobes, y: make([]float64, sys.dim())}
	turn := 2 * math.Pi
	g.next = turn * (math.Floor(angle/turn) + 1)
	g.half = math.Pi * (math.Floor((angle+sys.output.Angle)/math.Pi) + 1)
	g.started = math.Mod(angle, turn) == 0
	g.now.speed, g.watched = nowhere, nowhere
}

// piece takes in one accepted piece of the solution, in which no contact
// changes.
func (g *gauge) piece(p *ode.Piece) {
	from := p.T0
	for {
		t, ok := p.Cross(g.sys.shaft.angle, g.next)
		if !ok {
			break
		}
		g.during(p, from, t)
		g.turnStarts(p, t)
		from = t
	}
	g.during(p, from, p.T1)
	if g.strobe { // what a settling machine does on its way counts for nothing
		return
	}
	if m := g.sys.motor; m != nil {
		low, high := p.Range(m.armature, p.T0, p.T1)
		g.most.armature = max(g.most.armature, -low, high)
	}
	if !g.keep {
		return
	}
	for {
		t, ok := p.Cross(g.sys.shaft.angle, g.half-g.sys.output.Angle)
		if !ok {
			break
		}
		g.zeros = append(g.zeros, zero{t, math.Mod(math.Round(g.half/math.Pi), 2) == 0})
		g.half += math.Pi
	}
}

func (g *gauge) turnStarts(p *ode.Piece, t float64) {
	g.next += 2 * math.Pi
	if g.started && g.keep {
		g.now.Length = t - g.now.Start
		g.now.Open = fraction(g.now.sums[governorOpen], g.now.sums[governorShut])
		g.now.OutputVoltage = math.Sqrt(g.now.sums[alternatingSquared] / g.now.Length)
		g.turns = append(g.turns, g.now)
	}
	g.started = true
	g.now = Turn{Start: t, speed: nowhere}
	if g.strobe {
		at := &g.strobes[g.count%len(g.strobes)]
		if at.y == nil {
			at.y = make([]float64, g.sys.dim())
		}
		at.t = t
		p.Fill(t, at.y)
		g.count++
	}
}

// Gauss's rule with three points, exact for polynomials up to the fifth degree
var gauss = [3]struct{ x, w float64 }{
	{0.5 - 0.38729833462074168852, 5.0 / 18},
	{0.5, 8.0 / 18},
	{0.5 + 0.38729833462074168852, 5.0 / 18},
}

// during takes in a part of a piece that lies within one turn.
func (g *gauge) during(p *ode.Piece, from, to float64) {
	if g.strobe || !(to > from) {
		return
	}
	low, high := p.Range(g.sys.shaft.speed, from, to)
	g.most.speed = max(g.most.speed, -low, high)
	g.watched.take(low, high)
	g.now.speed.take(low, high)
	if !g.keep {
		return
	}
	h := to - from
	n := &g.now.sums
	m, motor := g.sys, g.sys.motor
	if c := m.governor; c != nil && c.governing.closed() {
		n[governorShut] += h
	} else {
		n[governorOpen] += h
	}
	if c := m.regulator; c != nil && c.regulating.closed() {
		n[regulatorShut] += h
	} else {
		n[regulatorOpen] += h
	}
	for _, q := range gauss {
		t, w := from+q.x*h, q.w*h
		p.Fill(t, g.y)
		y := g.y
		if motor != nil {
			n[armatureCurrent] += w * y[motor.armature]
			n[fieldCurrent] += w * y[motor.field]
			n[bus] += w * motor.bus(t, y)
			n[batteryPower] += w * motor.battery.source(t) * motor.battery.current(y)
		}
		e := m.output.electric(y)
		n[direct] += w * e.dc
		n[alternatingSquared] += w * e.ac * e.ac
		n[alternatingPower] += w * e.ac * e.iac
		if m.generator != nil {
			n[exciting] += w * y[m.generator.exciting]
		}
	}
}

// changed counts a contact of a Turn that has closed, or not.
func (g *gauge) changed(c *contact, closed bool) {
	m := g.sys
	switch {
	case !closed:
	case m.governor != nil && c == &m.governor.governing:
		g.now.Closures++
	case m.regulator != nil && c == &m.regulator.regulating:
		g.now.RegulatorClosures++
	}
}

// strobed gives the last strobe, or one that was taken some turns before it.
func (g *gauge) strobed(back int) strobe {
	return g.strobes[(g.count-1-back+len(g.strobes))%len(g.strobes)]
}

// repeat gives after how many turns the state repeats, or 0. What differs from
// turn to turn by less than distinct, relative to its size, may still be on its
// way to repeat itself each turn, and gives 0 too.
func (g *gauge) repeat(distinct float64) int {
	for back := 1; back <= min(longestRepeat, g.count-1); back++ {
		switch d := g.differs(back); {
		case d <= 1e-7:
			return back
		case d < distinct:
			return 0
		}
	}
	return 0
}

// differs gives by how much the last strobe differs from an earlier one: the
// state that differs most, relative to its size, of those that are compared.
func (g *gauge) differs(back int) float64 {
	last, before := g.strobed(0).y, g.strobed(back).y
	most := 0.0
	for i, one := range g.sys.states {
		if one.compared {
			most = max(most, math.Abs(last[i]-before[i])/(one.scale+math.Abs(last[i])))
		}
	}
	return most
}

// near says whether one of the last strobes has the generator's field and the
// plunger of a state, within a hundredth.
func (g *gauge) near(y []float64) bool {
	m := g.sys
	for back := range min(longestRepeat, g.count) {
		at := g.strobed(back).y
		same := true
		for _, i := range []int{m.generator.exciting, m.regulator.plunger, m.regulator.rate} {
			same = same && math.Abs(at[i]-y[i]) <= 1e-2*(m.scale[i]+math.Abs(y[i]))
		}
		if same {
			return true
		}
	}
	return false
}
