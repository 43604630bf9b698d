package machine

import (
	"math"

	"slipring/engine/ode"
)

// gauge watches a running machine: it keeps each turn of the shaft, and at
// the start of each the whole state, so that one turn can be compared with
// those before it.
type gauge struct {
	sys      *system
	next     float64 // shaft angle at which the next turn starts
	started  bool    // the first whole turn has begun
	now      Turn    // the turn going on
	closures int     // of the governor contact, in the turn going on
	turns    []Turn
	keep     bool // keep turns and speeds
	speeds   []sample

	strobe  bool
	strobes [longestRepeat + 1][]float64 // ring of states at starts of turns
	count   int                          // strobes taken
	period  int                          // as found by Settle

	y []float64
}

// Turn is one turn of the shaft. Means are over its time.
type Turn struct {
	Start, Length float64 // s
	Open          float64 // part of the turn for which the governor contact is open
	Closures      int     // of the governor contact
	integrals
}

// integrals over time of what a Summary gives as means
type integrals struct {
	open, armature, field, bus, outputSquared float64
}

type sample struct{ t, y float64 }

func (g *gauge) begin(sys *system, t, angle float64) {
	*g = gauge{sys: sys, strobe: g.strobe, keep: g.keep, strobes: g.strobes, y: make([]float64, sys.dim)}
	turn := 2 * math.Pi
	g.next = turn * (math.Floor(angle/turn) + 1)
	g.started = math.Mod(angle, turn) == 0
	g.now.Start = t
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
	if g.keep {
		g.speeds = append(g.speeds, sample{p.T1, p.At(p.T1, atSpeed)})
	}
}

func (g *gauge) turnStarts(p *ode.Piece, t float64) {
	g.next += 2 * math.Pi
	if g.started && g.keep {
		g.now.Length = t - g.now.Start
		g.now.Open = g.now.open / g.now.Length
		g.now.Closures = g.closures
		g.turns = append(g.turns, g.now)
	}
	g.started = true
	g.now = Turn{Start: t}
	g.closures = 0
	if g.strobe {
		at := &g.strobes[g.count%len(g.strobes)]
		if *at == nil {
			*at = make([]float64, g.sys.dim)
		}
		p.Fill(t, *at)
		g.count++
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
	n := &g.now.integrals
	if !g.sys.closed {
		n.open += h
	}
	for _, q := range gauss {
		t, w := from+q.x*h, q.w*h
		p.Fill(t, g.y)
		n.armature += w * g.y[atArmature]
		n.field += w * g.y[atField]
		n.bus += w * g.sys.busVoltage(g.y)
		out := g.sys.outputVoltage(g.y)
		n.outputSquared += w * out * out
	}
}

func (g *gauge) lastStrobe() []float64 {
	if g.count == 0 {
		return nil
	}
	return g.strobes[(g.count-1)%len(g.strobes)]
}

// repeat gives after how many turns the state repeats, or 0.
func (g *gauge) repeat() int {
	last := g.lastStrobe()
	scale := g.sys.scale()
	for back := 1; back <= min(longestRepeat, g.count-1); back++ {
		before := g.strobes[(g.count-1-back)%len(g.strobes)]
		same := true
		for i := range last {
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
