package motion

import (
	"math"

	"slipring/engine/tell"
	"slipring/engine/waveform"
)

// wave gives a signal of n samples over a stretch of time, from a function of
// the part of it that has passed.
func wave(name, unit string, from, span float64, n int, f func(part float64) float64) waveform.Signal {
	g := waveform.Signal{Name: name, Unit: unit}
	for i := range n {
		p := float64(i) / float64(n-1)
		g.T = append(g.T, from+p*span)
		g.Y = append(g.Y, f(p))
	}
	return g
}

// touch gives a contact that changes at instants, and first is 0.
func touch(name string, from, to float64, at ...float64) waveform.Signal {
	g := waveform.Signal{Name: name, Stepped: true, T: []float64{from}, Y: []float64{0}}
	for i, t := range at {
		g.T = append(g.T, t)
		g.Y = append(g.Y, float64((i+1)%2))
	}
	g.T = append(g.T, to)
	g.Y = append(g.Y, g.Y[len(g.Y)-1])
	return g
}

func turning(from, span, turns float64) waveform.Signal {
	return wave("shaft angle", "deg", from, span, int(200*turns)+1, func(p float64) float64 { return math.Mod(360*turns*p+1e-9, 360) })
}

// samples are motions with invented numbers, one for each thing that drawings
// do.
func samples() []tell.Motion {
	sin := func(turns, high, middle float64) func(float64) float64 {
		return func(p float64) float64 { return middle + high*math.Sin(2*math.Pi*turns*p) }
	}
	cos := func(turns, high, middle float64) func(float64) float64 {
		return func(p float64) float64 { return middle + high*math.Cos(2*math.Pi*turns*p) }
	}
	set := func(from, span float64, s ...waveform.Signal) waveform.Set {
		return waveform.Set{Signals: s, Starts: []float64{from, from + span}}
	}
	var s tell.Sheet
	s.Motion("governor",
		set(0, 0.05, turning(0, 0.05, 1), wave("weight travel", "mm", 0, 0.05, 201, cos(1, 0.09, -0.06)),
			waveform.Signal{Name: "governor contact", Stepped: true, T: []float64{0, 0.0067, 0.0433, 0.05}, Y: []float64{1, 0, 1, 1}}),
		tell.Size{Name: "contact radius", Number: 13, Unit: "mm"})
	s.Motion("governor.hunting",
		set(0.1, 0.15, turning(0.1, 0.15, 3), wave("weight travel", "mm", 0.1, 0.15, 601, cos(0.5, 0.02, 0)), touch("governor contact", 0.1, 0.25, 0.18, 0.24)),
		tell.Size{Name: "gravity", Number: 0, Unit: "m/s2"})
	s.Motion("governor.twice",
		set(0, 0.1, turning(0, 0.1, 2), wave("weight travel", "mm", 0, 0.1, 201, cos(2, 0.09, -0.06)),
			waveform.Signal{Name: "governor contact", Stepped: true, T: []float64{0, 0.006, 0.044, 0.056, 0.094, 0.1}, Y: []float64{1, 0, 1, 0, 1, 1}}))
	s.Motion("governor.stuck",
		set(0, 0.05, turning(0, 0.05, 1), wave("weight travel", "mm", 0, 0.05, 3, func(float64) float64 { return 0 }), touch("governor contact", 0, 0.05)))
	s.Motion("regulator",
		set(0, 0.05, wave("plunger travel", "mm", 0, 0.05, 201, cos(2, 0.15, 0.04)), wave("regulator coil current", "A", 0, 0.05, 201, sin(1, 0.08, 0)),
			touch("regulator contact", 0, 0.05, 0.0075, 0.0175, 0.0325, 0.0425)))
	s.Motion("generator",
		set(0, 0.05, turning(0, 0.05, 1), wave("output", "V", 0, 0.05, 201, sin(1, 119, 0)), wave("generator field current", "A", 0, 0.05, 201, sin(2, 0.003, 0.17))))
	s.Motion("tone-wheel", set(0, 0.05, turning(0, 0.05, 1)), tell.Size{Name: "teeth", Number: 8})
	s.Motion("governor.bells",
		set(0, 0.05, turning(0, 0.05, 1), wave("weight travel", "mm", 0, 0.05, 201, cos(1, 0.09, -0.06)), wave("speed", "Hz", 0, 0.05, 201, sin(1, 0.008, 19.97)),
			waveform.Signal{Name: "governor contact", Stepped: true, T: []float64{0, 0.0067, 0.0433, 0.05}, Y: []float64{1, 0, 1, 1}}),
		tell.Size{Name: "bells", Number: 12}, tell.Size{Name: "all bells", Number: 30})
	s.Motion("bell", set(0, 0.05, wave("bell current", "A", 0, 0.05, 201, sin(1, 0.04, 0))))
	rising := func(p float64) float64 { return min(900*p, 400) }
	s.Motion("fuse", set(0, 1.5, wave("armature current", "A", 0, 1.5, 201, func(p float64) float64 { return 60 - 40*p }), wave("fuse heat", "A2", 0, 1.5, 201, rising)),
		tell.Size{Name: "melting current", Number: 25, Unit: "A"})
	s.Motion("fuse.melts", set(0, 1.5, wave("armature current", "A", 0, 1.5, 201, func(p float64) float64 {
		if p > 0.45 {
			return 0
		}
		return 60
	}), wave("fuse heat", "A2", 0, 1.5, 201, rising)), tell.Size{Name: "melting current", Number: 20, Unit: "A"})
	square := func(p float64) float64 { return 180 * min(4*p*p, 1) }
	s.Motion("balance", set(0, 2, wave("pull", "g", 0, 2, 201, square), wave("speed", "Hz", 0, 2, 201, func(p float64) float64 { return 20 * min(2*p, 1) })),
		tell.Size{Name: "weight", Number: 12, Unit: "g"})
	return s.Result().Motions
}
