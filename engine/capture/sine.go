package capture

import (
	"math"
	"math/cmplx"
)

// sine is offset + cosine cos(2π f t) + sine sin(2π f t).
type sine struct {
	frequency            float64 // Hz
	offset, cosine, sine float64
	rounds               int
	settled              bool
}

// fitSine fits a sine of unknown frequency to samples step apart, from the
// frequency near: IEEE Std 1057, four parameters, by Gauss and Newton.
func fitSine(y []float64, step, near float64) sine {
	s := sine{frequency: near}
	for s.rounds = 1; s.rounds <= 30; s.rounds++ {
		var m [4][5]float64
		w := 2 * math.Pi * s.frequency * step
		turn, z := cmplx.Rect(1, w), complex(1, 0)
		middle := float64(len(y)-1) / 2
		for i, v := range y {
			if i%64 == 0 {
				z = cmplx.Rect(1, w*float64(i))
			}
			c, n := real(z), imag(z)
			// the derivative by the phase that a whole record gathers
			k := (float64(i) - middle) / middle
			row := [5]float64{1, c, n, k * (s.sine*c - s.cosine*n), v}
			last := 4
			if s.rounds == 1 {
				last = 3
			}
			for a := range last {
				for b := range 5 {
					m[a][b] += row[a] * row[b]
				}
			}
			z *= turn
		}
		if s.rounds == 1 {
			for a := range 4 {
				m[a][3] = 0
			}
			m[3][3] = 1
		}
		x, ok := solve4(m)
		if !ok {
			return s
		}
		s.offset, s.cosine, s.sine = x[0], x[1], x[2]
		// x[3] is a phase over half the record; the phase in the middle stays with
		// the cosine and sine of the next round
		df := x[3] / (middle * 2 * math.Pi * step)
		s.frequency += df
		if s.rounds > 1 && math.Abs(df) < 1e-13*math.Abs(s.frequency) {
			s.settled = true
			return s
		}
		if !(s.frequency > 0) {
			return s
		}
	}
	return s
}

// solve4 solves four equations, with the right side in the last column.
func solve4(m [4][5]float64) (x [4]float64, ok bool) {
	for p := range 4 {
		best := p
		for i := p + 1; i < 4; i++ {
			if math.Abs(m[i][p]) > math.Abs(m[best][p]) {
				best = i
			}
		}
		m[p], m[best] = m[best], m[p]
		if m[p][p] == 0 || math.IsNaN(m[p][p]) {
			return x, false
		}
		for i := range 4 {
			if i == p {
				continue
			}
			r := m[i][p] / m[p][p]
			for j := p; j < 5; j++ {
				m[i][j] -= r * m[p][j]
			}
		}
	}
	for p := range 4 {
		x[p] = m[p][4] / m[p][p]
	}
	return x, true
}

// phasor gives the fundamental of a stretch of about one period, by least
// squares: a vector whose length is the peak and whose angle is that of the
// cosine at instant 0, counted in samples from the beginning of the record.
func phasor(y []float64, from int, perSample float64) (complex128, bool) {
	var m [4][5]float64
	for i, v := range y {
		s, c := math.Sincos(2 * math.Pi * math.Mod(perSample*float64(from+i), 1))
		row := [4]float64{1, c, s, v}
		for a := range 3 {
			for b := range 3 {
				m[a][b] += row[a] * row[b]
			}
			m[a][4] += row[a] * v
		}
	}
	m[3][3] = 1
	x, ok := solve4(m)
	return complex(x[1], -x[2]), ok
}

// wave is what a signal without two levels says.
type wave struct {
	frequency, uFrequency float64 // Hz
	at, uAt               float64 // s, a rise of the fundamental through its mean
	turns                 int
	offset                float64
	harmonics             []complex128 // by order, from 1 at index 1
	noise                 float64      // of one sample, white
	left                  float64      // mean square of what is neither harmonic nor noise
	samples               int          // in whole periods
	jitter                bool         // the turns differ by more than noise explains
}

// mostOrder is the highest order of a distortion: IEC 61000-4-7 goes to 40.
const mostOrder = 40

// fitWave fits a periodic signal whose period is known roughly. Each turn gives
// the phase of its fundamental; a straight line through these gives the
// frequency, and their scatter how sure it is.
func fitWave(c Channel, near float64) (wave, bool) {
	n := len(c.Y)
	f := near
	if s := fitSine(c.Y, c.Step, near); s.settled && math.Abs(s.frequency-near) < 0.1*near {
		f = s.frequency
	}
	var w wave
	for range 4 {
		per := f * c.Step // turns a sample
		length := 1 / per
		w.turns = int((float64(n) + 0.5) * per)
		if w.turns < 1 || length < 4 {
			return w, false
		}
		var sx, sxx, sy, sxy, last float64
		phases := make([]float64, 0, w.turns)
		size := 0.0
		for k := range w.turns {
			from, to := int(math.Round(float64(k)*length)), min(n, int(math.Round(float64(k+1)*length)))
			v, ok := phasor(c.Y[from:to], from, per)
			if !ok || v == 0 {
				return w, false
			}
			phi := cmplx.Phase(v) / (2 * math.Pi)
			if k > 0 {
				phi -= math.Round(phi - last)
			}
			last = phi
			phases = append(phases, phi)
			size += cmplx.Abs(v) / float64(w.turns)
			x := float64(k)
			sx, sxx, sy, sxy = sx+x, sxx+x*x, sy+phi, sxy+x*phi
		}
		m := float64(w.turns)
		slope := 0.0
		if w.turns > 1 {
			slope = (sxy - sx*sy/m) / (sxx - sx*sx/m)
		}
		w.frequency = f * (1 + slope)
		w.spectrum(c, w.frequency)
		// what is left of each phase when the line is taken away, in turns
		ssr := 0.0
		for k, phi := range phases {
			r := phi - sy/m - slope*(float64(k)-sx/m)
			ssr += r * r
		}
		s0 := w.noise * w.noise * 2 / (length * size * size) / (4 * math.Pi * math.Pi)
		s0 += c.quantum * c.quantum / 12 * 2 / (length * size * size) / (4 * math.Pi * math.Pi)
		s2 := (4*s0 + ssr) / (4 + max(m-2, 0))
		w.jitter = m > 4 && ssr/(m-2) > 10*s0
		if w.turns > 1 {
			w.uFrequency = f * math.Sqrt(s2/(sxx-sx*sx/m))
		} else {
			w.uFrequency = f * math.Sqrt(s2) * math.Sqrt(12)
		}
		// the phase in the middle of the record, as the instant of a rise there
		w.uFrequency *= 1 + 0.5/length // a turn's last sample is in it by chance
		mid := math.Floor(m / 2)
		phi := sy/m + slope*(mid-sx/m) + 0.25 // of the sine, at that turn, against the carrier f
		t := (mid + 0.5) * length * c.Step
		angle := f*t + phi
		t -= (angle - math.Round(angle)) / w.frequency
		w.at = c.From + t
		w.uAt = math.Sqrt(s2/m) / f
		if math.Abs(slope) < 1e-9 {
			break
		}
		f = w.frequency
	}
	if c.seen != nil {
		w.uFrequency = math.Hypot(w.uFrequency, c.seen.period*w.frequency)
		w.uAt = math.Hypot(w.uAt, c.seen.fraction)
		if c.seen.hidden {
			w.uFrequency, w.uAt = 2*w.uFrequency, 2*w.uAt
		}
	}
	return w, true
}

func sq(x float64) float64 { return x * x }

// spectrum finds the harmonics over whole periods: projections, repeated on what
// they leave, since the samples of whole periods are not quite whole.
func (w *wave) spectrum(c Channel, f float64) {
	per := f * c.Step
	w.samples = min(len(c.Y), int(math.Round(math.Floor(float64(len(c.Y))*per+1e-6+0.5*per)/per)))
	if w.samples < 4 {
		w.samples = len(c.Y)
	}
	orders := max(1, min(mostOrder, int(0.45/per)))
	w.harmonics = make([]complex128, orders+1)
	w.offset = 0
	rest := append([]float64(nil), c.Y[:w.samples]...)
	sums := make([]complex128, orders+1)
	n := float64(w.samples)
	powers := make([]complex128, orders+1)
	for range 4 {
		clear(sums)
		mean := 0.0
		for i, v := range rest {
			mean += v
			z := cmplx.Rect(1, -2*math.Pi*math.Mod(per*float64(i), 1))
			p := complex(v, 0)
			for k := 1; k <= orders; k++ {
				p *= z
				sums[k] += p
			}
		}
		mean /= n
		w.offset += mean
		for k := 1; k <= orders; k++ {
			powers[k] = sums[k] * complex(2/n, 0)
			w.harmonics[k] += powers[k]
		}
		for i := range rest {
			z := cmplx.Rect(1, 2*math.Pi*math.Mod(per*float64(i), 1))
			p, v := complex(1, 0), mean
			for k := 1; k <= orders; k++ {
				p *= z
				v += real(powers[k])*real(p) - imag(powers[k])*imag(p)
			}
			rest[i] -= v
		}
	}
	all, pairs := 0.0, 0.0
	for i, r := range rest {
		all += r * r
		if i > 0 {
			pairs += sq(r-rest[i-1]) / 2
		}
	}
	free := max(n-float64(2*orders+1), 1)
	if c.seen != nil {
		// Columns of a picture are not noisy each by itself. As a first-order Markov
		// chain, of which two neighbours correlate by r, they count as (1 - r)/(1 + r)
		// of their number.
		q := min(1, pairs/max(all, 1e-300)) // 1 - r
		w.noise = math.Sqrt(all / free * (2 - q) / max(q, 1/n))
		return
	}
	white := min(pairs/max(n-1, 1), all/n) * n / free
	w.noise = math.Sqrt(white)
	w.left = max(0, (all-white*free)/n)
}
