package capture

import "math"

// edge is a passage between two levels.
type edge struct {
	at     float64 // s
	rising bool
}

// doubt is what edges are uncertain by.
type doubt struct {
	edge    float64 // s, of one edge, but for the grain
	grain   float64 // s that edges are rounded to
	counted bool    // the grain is that of the samples, and its phase can be followed
	common  float64 // s, of all intervals in common
	period  float64 // part of the period, in common
	hidden  bool
}

// pulses is what the edges of a signal that goes to and fro say.
type pulses struct {
	period, uPeriod float64 // s
	high, uHigh     float64 // part of the period that it is high
	at, uAt         float64 // s, of the first rise of a turn in the middle of the record
	each            int     // times that it rises in a period
	edges           int
	ratio           float64 // of the scatter to what was to be expected, as a square
	alike           bool    // all edges were rounded alike
	scatter         float64 // s, of an edge
}

// periodsOf gives the number of times that a signal rises in a period: more than
// once where a contact bounces. It is the smallest number with which the edges
// come back evenly.
func risesAPeriod(edges []edge) int {
	var up []float64
	for _, e := range edges {
		if e.rising {
			up = append(up, e.at)
		}
	}
	spread := func(m int) float64 {
		if len(up) < m+2 {
			return math.Inf(1)
		}
		mean, most := (up[len(up)-1]-up[0])/float64(len(up)-1)*float64(m), 0.0
		for i := m; i < len(up); i++ {
			most = max(most, math.Abs(up[i]-up[i-m]-mean)/mean)
		}
		return most
	}
	once := spread(1)
	if once < 0.2 || math.IsInf(once, 1) {
		return 1
	}
	for m := 2; m <= 8 && len(up) >= 2*m+1; m++ {
		if spread(m) < once/6 {
			return m
		}
	}
	return 1
}

// fitPulses finds period and part by least squares over all edges: each kind of
// edge of a turn (the first rise, the first fall and so on) comes back after a
// period. The edges alternate. It fails with fewer than three.
func fitPulses(edges []edge, d doubt) (pulses, bool) {
	if len(edges) < 3 {
		return pulses{}, false
	}
	m := risesAPeriod(edges)
	// The first rise of a turn is the one after the longest low, so that a bounce
	// follows the touch that it belongs to.
	start := 0
	for start < len(edges) && !edges[start].rising {
		start++
	}
	if m > 1 {
		best, low := start, 0.0
		for i := start; i < min(start+2*m, len(edges)); i += 2 {
			if i > 0 && edges[i].at-edges[i-1].at > low {
				best, low = i, edges[i].at-edges[i-1].at
			}
		}
		start = best
	}
	kinds := 2 * m
	count, sumK, sumT := make([]float64, kinds), make([]float64, kinds), make([]float64, kinds)
	of := func(i int) (kind int, k float64) {
		turn := (i - start) / kinds
		if i < start {
			turn = -((start - i + kinds - 1) / kinds)
		}
		return i - start - turn*kinds, float64(turn)
	}
	base := edges[0].at
	for i, e := range edges {
		kind, k := of(i)
		count[kind]++
		sumK[kind] += k
		sumT[kind] += e.at - base
	}
	skk, skt, used := 0.0, 0.0, 0
	for i, e := range edges {
		kind, k := of(i)
		dk := k - sumK[kind]/count[kind]
		skk += dk * dk
		skt += dk * (e.at - base)
	}
	if skk == 0 {
		return pulses{}, false
	}
	p := pulses{period: skt / skk, each: m, edges: len(edges)}
	for _, n := range count {
		if n == 0 {
			return pulses{}, false
		}
		used++
	}
	ssr := 0.0
	for i, e := range edges {
		kind, k := of(i)
		r := e.at - base - sumT[kind]/count[kind] - (k-sumK[kind]/count[kind])*p.period
		ssr += r * r
	}
	dof := float64(len(edges) - used - 1)
	grain := d.grain * d.grain / 12
	s0 := d.edge*d.edge + grain
	if dof > 0 {
		p.ratio = ssr / dof / s0
		p.alike = p.ratio < 0.3
	}
	s2 := (4*s0 + ssr) / (4 + dof)
	p.scatter = math.Sqrt(s2)

	width, parts, dk := 0.0, 0.0, 0.0
	for j := 0; j < kinds; j += 2 {
		up, down := sumK[j]/count[j], sumK[j+1]/count[j+1]
		width += sumT[j+1]/count[j+1] - sumT[j]/count[j] - p.period*(down-up)
		dk += down - up
		parts += 1/count[j] + 1/count[j+1]
	}
	p.high = width / p.period
	varWidth := s2 * (parts + dk*dk/skk)
	varPeriod := s2 / skk
	cov := -dk * s2 / skk
	pp := p.period * p.period
	v := (varWidth + p.high*p.high*varPeriod - 2*p.high*cov) / pp

	turns := float64(len(edges)) / float64(kinds)
	single := s2 // variance of one edge, without what is said of rounding below
	alike := 0.0 // of the grain's variance, what does not average out
	if d.counted {
		// What the grain adds is followed edge by edge, and only the rest is noise.
		jitter := max(0, ssr-dof*grain)
		single = (4*d.edge*d.edge + jitter) / (4 + dof)
		v *= single / s2
		alike = max(0.35/turns, roundedAlike(p.period/d.grain, turns, math.Sqrt(jitter/max(dof, 1))/d.grain))
	}
	if p.alike {
		alike = 1
		if columns := p.period / max(d.grain, 1e-300); !d.counted && math.Abs(columns-math.Round(columns))*turns > 0.5 {
			alike = 0.5 // not in step with the columns that are assumed; perhaps with others
		}
		varPeriod += 2 * alike * grain / (turns * turns)
	}
	v += 2 * float64(m) * alike * grain / pp
	v += d.common * d.common / pp
	varPeriod += d.period * d.period * pp
	p.uHigh, p.uPeriod = math.Sqrt(v), math.Sqrt(varPeriod)
	p.at = base + sumT[0]/count[0]
	back := sumK[0]/count[0] - math.Round(sumK[0]/count[0])
	p.at -= back * p.period
	p.uAt = math.Sqrt(single/count[0] + alike*grain + d.common*d.common)
	if d.hidden {
		p.uHigh, p.uPeriod, p.uAt = 2*p.uHigh, 2*p.uPeriod, 2*p.uAt
	}
	return p, true
}

// roundedAlike gives which part of the variance of one rounding remains in the
// mean of n, where the next edge is ratio grains later: 1 where all are rounded
// alike, about 1/n where none is. An edge's rounding is a saw-tooth of its
// instant; jitter, in grains, smooths it. By the saw-tooth's Fourier series.
func roundedAlike(ratio, n, jitter float64) float64 {
	n = max(1, math.Floor(n)) // the sum over edges has a whole number of them
	sum := 0.0
	for h := 1.0; h <= 30; h++ {
		x := math.Pi * h * (ratio - math.Round(ratio))
		mean := 1.0
		if s := math.Sin(x); math.Abs(s) > 1e-9 {
			mean = math.Sin(n*x) / (n * s)
		}
		smooth := math.Exp(-2 * math.Pi * math.Pi * h * h * jitter * jitter)
		sum += 6 / (math.Pi * math.Pi * h * h) * mean * mean * smooth * smooth
	}
	return sum
}
