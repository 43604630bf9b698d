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
	counted bool    // the grain is known, so that which edges are rounded alike can be followed
	guessed bool    // nothing tells the grain: it may be this, another as large, or smaller
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
	ssr, each := 0.0, make([]float64, kinds)
	for i, e := range edges {
		kind, k := of(i)
		r := e.at - base - sumT[kind]/count[kind] - (k-sumK[kind]/count[kind])*p.period
		ssr += r * r
		each[kind] += r * r
	}
	dof := float64(len(edges) - used - 1)
	grain := d.grain * d.grain / 12
	s0 := d.edge*d.edge + grain
	if dof > 0 {
		p.ratio = ssr / dof / s0
	}
	p.scatter = math.Sqrt((4*s0 + ssr) / (4 + dof))

	width, lag := 0.0, 0.0 // lag: how much later falls count their turns than rises
	for j := 0; j < kinds; j += 2 {
		up, down := sumK[j]/count[j], sumK[j+1]/count[j+1]
		width += sumT[j+1]/count[j+1] - sumT[j]/count[j] - p.period*(down-up)
		lag += down - up
	}
	p.high = width / p.period
	back := sumK[0]/count[0] - math.Round(sumK[0]/count[0])
	p.at = base + sumT[0]/count[0] - back*p.period

	r := rounds{count: count, skk: skk, ssr: each, dof: dof, period: p.period}
	r.follow(d)
	p.alike = r.alike > 0.5
	// Each result is a weighted sum of all edges: what its kind weighs in the mean,
	// and what the slope weighs.
	ends, first := make([]float64, kinds), make([]float64, kinds)
	for j := range ends {
		ends[j] = float64(2*(j%2) - 1)
	}
	first[0] = 1
	v := r.variance(ends, -(lag+p.high)) + d.common*d.common
	p.uHigh = math.Sqrt(v) / p.period
	p.uPeriod = math.Sqrt(max(r.slope, r.variance(make([]float64, kinds), 1)) + d.period*d.period*p.period*p.period)
	p.uAt = math.Sqrt(r.variance(first, -back) + d.common*d.common)
	if d.hidden {
		p.uHigh, p.uPeriod, p.uAt = 2*p.uHigh, 2*p.uPeriod, 2*p.uAt
	}
	return p, true
}
