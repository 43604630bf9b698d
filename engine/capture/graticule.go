package capture

import (
	"math"
	"sort"
)

// place is the middle of a side of a graticule's cell, where the line was found
// off by some divisions.
type place struct {
	u, v     float64
	upright  bool
	off      float64
	contrast float64
}

// lookAt looks for the line at the middle of a cell's side: across it, where the
// mean along it is highest or lowest. Places with much colour are traces'.
func (p photo) lookAt(l lens, u, v float64, upright bool) (place, bool) {
	const steps, reach = 41, 0.16 // divisions to either side
	var profile [steps]float64
	for i := range steps {
		across := reach * (float64(i)/(steps-1)*2 - 1)
		n, sum := 0, 0.0
		for j := range 13 {
			along := 0.3 * (float64(j)/6 - 1)
			x, y := l.at(u+across, v+along)
			if !upright {
				x, y = l.at(u+along, v+across)
			}
			r, g, b, ok := p.between(x, y)
			if !ok {
				return place{}, false
			}
			if max(r, g, b)-min(r, g, b) > 60 {
				continue
			}
			n++
			sum += r + g + b
		}
		if n < 5 {
			return place{}, false
		}
		profile[i] = sum / float64(n)
	}
	sorted := profile
	sort.Float64s(sorted[:])
	base := sorted[steps/2]
	spread := sorted[3*steps/4] - sorted[steps/4]
	peak, sign := 0, 1.0
	for i, y := range profile {
		if math.Abs(y-base) > math.Abs(profile[peak]-base) {
			peak = i
		}
	}
	if profile[peak] < base {
		sign = -1
	}
	height := math.Abs(profile[peak] - base)
	if height < 12 || height < 2.5*spread || peak < 3 || peak > steps-4 {
		return place{}, false
	}
	sum, moment := 0.0, 0.0
	for i := max(0, peak-8); i <= min(steps-1, peak+8); i++ {
		w := max(0, sign*(profile[i]-base)-0.25*height)
		sum += w
		moment += w * float64(i)
	}
	off := reach * (moment/sum/(steps-1)*2 - 1)
	return place{u, v, upright, off, sign * height}, true
}

// lattice is what the lines of the graticule say of a lens.
type lattice struct {
	found, all int
	rms        float64 // divisions, of the places that were kept
	outside    int     // lines that go on beyond the frame
}

// refine moves the lens so that the lines of the graticule lie where they should:
// perspective and one radial term by least squares over the middles of all sides
// of cells.
func (p photo) refine(l lens, columns, rows float64) (lens, lattice) {
	var found lattice
	for round := range 3 {
		var places []place
		found = lattice{}
		for i := 0.0; i <= columns; i++ {
			for j := 0.5; j < rows; j++ {
				found.all++
				if x, ok := p.lookAt(l, i, j, true); ok {
					places = append(places, x)
				}
			}
		}
		for j := 0.0; j <= rows; j++ {
			for i := 0.5; i < columns; i++ {
				found.all++
				if x, ok := p.lookAt(l, i, j, false); ok {
					places = append(places, x)
				}
			}
		}
		places = together(places)
		found.found = len(places)
		if len(places) < 40 {
			return l, found
		}
		l, found.rms = fitLens(l, places, round > 0)
	}
	for i := 0.0; i <= columns; i++ {
		for _, j := range []float64{-0.5, rows + 0.5} {
			if _, ok := p.lookAt(l, i, j, true); ok {
				found.outside++
			}
		}
	}
	return l, found
}

// together leaves out places whose line is of the other sign than most, or lies
// elsewhere than those around it.
func together(places []place) []place {
	bright := 0
	for _, x := range places {
		if x.contrast > 0 {
			bright++
		}
	}
	var out []place
	for _, x := range places {
		if (x.contrast > 0) == (2*bright >= len(places)) {
			out = append(out, x)
		}
	}
	return out
}

// fitLens moves a lens to the places, by Gauss and Newton with differences.
func fitLens(l lens, places []place, radial bool) (lens, float64) {
	// Where the line is, in pixels, and across which way it was looked for.
	type target struct{ x, y, nx, ny, division float64 }
	targets := make([]target, len(places))
	for i, p := range places {
		u, v, du, dv := p.u, p.v, 0.0, 0.0
		if p.upright {
			u, du = u+p.off, 1
		} else {
			v, dv = v+p.off, 1
		}
		x, y := l.at(u, v)
		x1, y1 := l.at(p.u+0.01*du, p.v+0.01*dv)
		x0, y0 := l.at(p.u-0.01*du, p.v-0.01*dv)
		d := math.Hypot(x1-x0, y1-y0)
		targets[i] = target{x, y, (x1 - x0) / d, (y1 - y0) / d, d / 0.02}
	}
	rest := func(l lens, i int) float64 {
		x, y := l.at(places[i].u, places[i].v)
		t := targets[i]
		return ((t.x-x)*t.nx + (t.y-y)*t.ny) / t.division
	}
	unknowns := 8
	if radial {
		unknowns = 9
	}
	limit, rms := math.Inf(1), 0.0
	for round := range 6 {
		m := make([][]float64, unknowns)
		for i := range m {
			m[i] = make([]float64, unknowns+1)
		}
		scale := []float64{1, 1, 1, 1, 1, 1, 1e-3, 1e-3, 1e-2}
		n, ssr := 0.0, 0.0
		for i := range places {
			r := rest(l, i)
			if math.Abs(r) > limit {
				continue
			}
			n++
			ssr += r * r
			row := make([]float64, unknowns)
			for k := range unknowns {
				moved := l
				const h = 1e-4
				if k < 8 {
					moved.h[k] += h * scale[k]
				} else {
					moved.k1 += h * scale[k]
				}
				row[k] = (r - rest(moved, i)) / h
			}
			for a := range unknowns {
				for b := range unknowns {
					m[a][b] += row[a] * row[b]
				}
				m[a][unknowns] += row[a] * r
			}
		}
		if n < 30 {
			return l, rms
		}
		for a := range unknowns {
			m[a][a] *= 1 + 1e-12
		}
		rms = math.Sqrt(ssr / n)
		x, ok := solve(m)
		if !ok {
			return l, rms
		}
		for k, d := range x {
			if k < 8 {
				l.h[k] += d * scale[k]
			} else {
				l.k1 += d * scale[k]
			}
		}
		if round >= 1 {
			limit = max(3*rms, 1e-3)
		}
	}
	return l, rms
}

// findFrame finds the graticule of a screen that was saved, or photographed
// straight: in the rows and columns of the picture that its lines run along.
func (p photo) findFrame(columns, rows float64) ([]Point, bool) {
	size := p.Bounds().Size()
	grey := func(x, y int) int {
		c := p.at(x, y)
		if max(c.R, c.G, c.B)-min(c.R, c.G, c.B) > 60 {
			return -1
		}
		return int(c.R) + int(c.G) + int(c.B)
	}
	lines := func(n, across int, at func(i, j int) int) []float64 {
		score := make([]float64, n)
		step := max(1, across/700)
		k := max(2, n/250)
		for i := k; i < n-k; i++ {
			total, hit := 0, 0
			for j := 0; j < across; j += step {
				a, b, c := at(i, j), at(i-k, j), at(i+k, j)
				if a < 0 || b < 0 || c < 0 {
					continue
				}
				total++
				if d := 2*a - b - c; d > 40 || d < -40 {
					hit++
				}
			}
			if total > across/step/4 {
				score[i] = float64(hit) / float64(total)
			}
		}
		return score
	}
	left, right, ok := comb(lines(size.X, size.Y, func(i, j int) int { return grey(i, j) }), int(columns))
	top, bottom, ok2 := comb(lines(size.Y, size.X, func(i, j int) int { return grey(j, i) }), int(rows))
	return []Point{{left, top}, {right, top}, {right, bottom}, {left, bottom}}, ok && ok2
}

// comb finds n+1 peaks at even distances: the comb whose teeth are highest at
// their lowest.
func comb(score []float64, n int) (first, last float64, ok bool) {
	var peaks []float64
	for i := 1; i < len(score)-1; i++ {
		if score[i] < 0.35 || score[i] < score[i-1] || score[i] <= score[i+1] && score[i+1] > 0.35 && score[i] < score[i+1] {
			continue
		}
		// the middle of the peak
		a, b := i, i
		for a > 0 && score[a-1] > score[i]/2 {
			a--
		}
		for b < len(score)-1 && score[b+1] > score[i]/2 {
			b++
		}
		sum, moment := 0.0, 0.0
		for k := a; k <= b; k++ {
			sum += score[k]
			moment += score[k] * (float64(k) + 0.5)
		}
		middle := moment / sum
		if len(peaks) == 0 || middle-peaks[len(peaks)-1] > 2 {
			peaks = append(peaks, middle)
		}
	}
	near := func(x, within float64) bool {
		k := sort.SearchFloat64s(peaks, x)
		return k < len(peaks) && peaks[k]-x <= within || k > 0 && x-peaks[k-1] <= within
	}
	bestTeeth := 0
	for i, a := range peaks {
		for _, b := range peaks[i+1:] {
			pitch := (b - a) / float64(n)
			if pitch < 8 {
				continue
			}
			teeth := 0
			for k := 0; k <= n; k++ {
				if near(a+float64(k)*pitch, max(1.5, 0.03*pitch)) {
					teeth++
				}
			}
			if teeth > bestTeeth || teeth == bestTeeth && b-a > last-first {
				bestTeeth, first, last = teeth, a, b
			}
		}
	}
	return first, last, bestTeeth >= n-1 && bestTeeth >= 4
}
