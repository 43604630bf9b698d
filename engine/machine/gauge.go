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
	keep    bool // keep turns, speeds and zeros
	speeds  []sample
	zeros   []zero
	most    most

	strobe  bool
	strobes [longestRepeat + 1][]float64 // ring of states at starts of turns
	count   int                          // strobes taken

	strobedAt float64 // when the last was taken
	period    int     // as found by Settle

	y []float64
}

// Turn is one turn of the shaft.
type Turn struct {
	Start, Length     float64 // s
	Open              float64 // part of the turn for which the governor contact is open
	Closures          int     // of the governor contact
	RegulatorClosures int
	OutputVoltage     float64 // V r.m.s. at the rings

	sums [sums]float64
}

// integrals over time that a Turn keeps
const (
	governorOpen = iota // s
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

type sample struct{ t, y float64 }

// zero is an instant at which the EMF at the rings goes through zero.
type zero struct {
	t      float64
	rising bool
}

// most is what was reached at the most.
type most struct {
	speed, armature, output float64 // rad/s, A, V
}

func (g *gauge) begin(sys *system, angle float64) {
	*g = gauge{sys: sys, strobe: g.strobe, keep: g.keep, strobes: g.strobes, y: make([]float64, sys.dim)}
	turn := 2 * math.Pi
	g.next = turn * (math.Floor(angle/turn) + 1)
	g.half = math.Pi * (math.Floor((angle+sys.output.Angle)/math.Pi) + 1)
	g.started = math.Mod(angle, turn) == 0
}

// piece takes in one accepted piece of the solution, in which no contact
// changes.
func (g *gauge) piece(p *ode.Piece) {
	from := p.T0
	for {
		t, ok := p.Cross(atAngle, g.next)
		if !ok {
			break
		}
		g.integrate(p, from, t)
		g.turnStarts(p, t)
		from = t
	}
	g.integrate(p, from, p.T1)
	g.most.speed = max(g.most.speed, math.Abs(p.At(p.T1, atSpeed)))
	g.most.armature = max(g.most.armature, math.Abs(p.At(p.T1, atArmature)))
	if !g.keep {
		return
	}
	g.speeds = append(g.speeds, sample{p.T1, p.At(p.T1, atSpeed)})
	for {
		t, ok := p.Cross(atAngle, g.half-g.sys.output.Angle)
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
		g.now.Open = g.now.sums[governorOpen] / g.now.Length
		g.now.OutputVoltage = math.Sqrt(g.now.sums[alternatingSquared] / g.now.Length)
		g.turns = append(g.turns, g.now)
	}
	g.started = true
	g.now = Turn{Start: t}
	if g.strobe {
		at := &g.strobes[g.count%len(g.strobes)]
		if *at == nil {
			*at = make([]float64, g.sys.dim)
		}
		p.Fill(t, *at)
		g.count++
		g.strobedAt = t
	}
}

// Gauss's rule with three points, exact for polynomials up to the fifth degree
var gauss = [3]struct{ x, w float64 }{
	{0.5 - 0.38729833462074168852, 5.0 / 18},
	{0.5, 8.0 / 18},
	{0.5 + 0.38729833462074168852, 5.0 / 18},
}

func (g *gauge) integrate(p *ode.Piece, from, to float64) {
	if !g.keep || !(to > from) {
		return
	}
	h := to - from
	n := &g.now.sums
	if g.sys.hasGovernor && !g.sys.governing.closed() {
		n[governorOpen] += h
	}
	if g.sys.hasRegulator && g.sys.regulating.closed() {
		n[regulatorShut] += h
	}
	for _, q := range gauss {
		t, w := from+q.x*h, q.w*h
		p.Fill(t, g.y)
		y := g.y
		n[armatureCurrent] += w * y[atArmature]
		n[fieldCurrent] += w * y[atField]
		v := g.sys.busVoltage(t, y)
		n[bus] += w * v
		if !g.sys.switchOpen {
			n[batteryPower] += w * g.sys.battery.source(t) * (y[atArmature] + y[atField])
		}
		e := g.sys.electric(y)
		n[direct] += w * e.dc
		n[alternatingSquared] += w * e.ac * e.ac
		n[alternatingPower] += w * e.ac * e.iac
		g.most.output = max(g.most.output, math.Abs(e.ac))
		if g.sys.hasGenerator {
			n[exciting] += w * y[atExciting]
		}
	}
}

func (g *gauge) lastStrobe() []float64 {
	if g.count == 0 {
		return nil
	}
	return g.strobes[(g.count-1)%len(g.strobes)]
}

// repeat gives after how many turns the state repeats, or 0. The fuse's heat
// is left out: it is slow, and acts on nothing before it melts.
func (g *gauge) repeat() int {
	last := g.lastStrobe()
	scale := g.sys.scale()
	for back := 1; back <= min(longestRepeat, g.count-1); back++ {
		before := g.strobes[(g.count-1-back)%len(g.strobes)]
		same := true
		for i := range min(len(last), atFuse) {
			if i != atAngle && math.Abs(last[i]-before[i]) > 1e-7*(scale[i]+math.Abs(last[i])) {
				same = false
				break
			}
		}
		if same {
			return back
		}
	}
	return 0
}
