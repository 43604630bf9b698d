package capture

import "math"

// rounds says how unsure sums of edges are that were rounded to a grain: to the
// samples, or to columns of an instrument's screen.
//
// An edge at t is found at t + e(t) + n. Noise n is independent from edge to
// edge. The rounding e is a saw-tooth of t with the grain G as its period:
//
//	e(t) = G Σ sin(2π h t/G) / (π h),  h = 1, 2, ...
//
// (its Fourier series). Where in a grain the first edge of a kind lies is chance,
// and even. Then two edges of a kind that are k turns of P apart have
//
//	mean e(t) e(t + k P) = G²/12 Σ 6/(π² h²) cos(2π h k P/G)
//
// which is G²/12 for k = 0, and for all k where P is a whole number of grains:
// all are rounded alike, and no mean makes that better. Noise before rounding of
// deviation σ multiplies each term by exp(-(2π h σ/G)²), as the mean of a cosine
// of a normal quantity does; a doubt u of P by exp(-(2π h k u/G)²/2). A result
// that weighs edge i by w has the variance Σ w(i) w(i') mean e(i) e(i') of
// rounding, and σ² Σ w(i)² of noise.
type rounds struct {
	count  []float64 // edges of each kind, one a turn
	ssr    []float64 // s², squares of what the fit leaves of each kind
	skk    float64   // squares of turns from their middle, of all kinds
	dof    float64   // freedom of the fit
	period float64   // s

	grain float64     // s², variance of one rounding
	noise float64     // s², variance of an edge but for rounding
	like  [][]float64 // of each kind, by turns apart: how much alike two roundings are
	alike float64     // how likely it is that all edges of a kind are rounded alike
	step  float64     // s², what rounding adds to the period's variance where they are
	slope float64     // s², variance of the period where the grain is known
}

// follow finds the noise, and how much alike roundings are.
func (r *rounds) follow(d doubt) {
	r.grain = d.grain * d.grain / 12
	for _, n := range r.count {
		r.like = append(r.like, append([]float64{1}, make([]float64, int(n)-1)...))
	}
	r.pool(d)
	if d.grain == 0 {
		return
	}
	if d.counted {
		r.slope = r.posterior(d)
		for range 2 {
			for j, n := range r.count {
				r.like[j] = alike(int(n), r.period/d.grain, math.Sqrt(r.slope)/d.grain, math.Sqrt(r.noise)/d.grain)
			}
			r.pool(d)
		}
		r.slope = r.posterior(d)
	}
	for j, n := range r.count {
		if n < 2 {
			continue
		}
		part, none := r.together(d, j)
		r.like[j][0] = 1 - none
		for k, c := range r.like[j][1:] {
			r.like[j][k+1] = part + (1-part-none)*c
		}
		r.alike += part / float64(len(r.count))
		// Edges of two kinds that all lie in a line to within a grain leave the period
		// unsure by G/(n - 1) either way, with a density of (1 - |x|)².
		r.step += part / float64(len(r.count)) * 12 * r.grain / (10 * sq(n-1))
	}
	r.pool(d)
}

// posterior gives the variance of the period. By how much rounding moves the slope
// depends on the true period itself: where that is nearly a whole number of
// grains, edges stay alike for long, and the slope comes out whole. So it is the
// mean of squares over all periods that may be true, each weighed by how likely it
// gives the slope that was found.
func (r *rounds) posterior(d doubt) float64 {
	independent := r.grain / r.skk
	noise := r.noise / (d.grain * d.grain)
	most := 2.0
	for _, n := range r.count {
		most = max(most, n)
	}
	reach := max(2/(most-1), 5*math.Sqrt((independent+r.noise/r.skk))/d.grain)
	sum, squares := 0.0, 0.0
	const steps = 24
	for i := -steps; i <= steps; i++ {
		off := reach * float64(i) / steps
		v := r.noise/r.skk + 0.15*independent
		for _, n := range r.count {
			v += r.grain * slopes(n, r.period/d.grain+off, noise) / (r.skk * r.skk)
		}
		off *= d.grain
		w := math.Exp(-off*off/(2*v)) / math.Sqrt(v)
		sum += w
		squares += w * off * off
	}
	return squares / sum
}

// slopes gives the variance, in that of one rounding, of the sum of n roundings
// each times its turns from the middle. Of term h of the saw-tooth that sum is
// the derivative of Dirichlet's kernel sin(n x/2) / sin(x/2) at x = 2π h ratio.
func slopes(n, ratio, noise float64) float64 {
	sum, kept := 0.0, 0.0
	for h := 1.0; h <= 12; h++ { // what is beyond counts as if each were by itself
		size := 6 / (math.Pi * math.Pi * h * h) * math.Exp(-4*math.Pi*math.Pi*h*h*noise)
		x := math.Pi * math.Remainder(h*ratio, 1)
		sin, cos := math.Sincos(x)
		d := -n * (n*n - 1) * x / 6 // near 0, where the quotient is lost
		if math.Abs(n*x) > 1e-3 {
			s, c := math.Sincos(n * x)
			d = (n*c*sin - s*cos) / (2 * sin * sin)
		}
		sum += size * d * d
		kept += size
	}
	return sum + max(0, 1-kept)*n*(n*n-1)/12
}

// pool finds the noise: what is left beyond what rounding leaves, and 4 degrees of
// freedom for what was to be expected. Of the squares of n roundings the means of
// the kinds and the slope take with them what their own variance is.
func (r *rounds) pool(d doubt) {
	left, ssr := 0.0, 0.0
	for j, n := range r.count {
		left += n*r.like[j][0] - n*weigh(r.like[j], 1/n, 0) - weigh(r.like[j], 0, 1)/r.skk
		ssr += r.ssr[j]
	}
	r.noise = (4*d.edge*d.edge + max(0, ssr-r.grain*left)) / (4 + r.dof)
}

// together gives how likely it is that all n edges of a kind are rounded alike, and
// how likely that none is rounded to so coarse a grain; what is left to 1 is that
// each is rounded by itself. Beforehand a period is as likely to be longer than
// whole grains by any part of one, and n edges are alike where that part is within
// half a grain over n - 1 turns: one time in n - 1. How well each explains what the
// fit leaves, as normal, weighs them (Bayes); and, where the grain is known, how
// near the period that was found is to whole grains. A grain that is guessed is this
// very one, another as large, or a smaller, each as likely beforehand.
func (r *rounds) together(d doubt, kind int) (alike, none float64) {
	n := r.count[kind]
	one := d.edge*d.edge + 1e-6*r.grain
	each := one + r.grain
	fits := 0.5 * ((n-1)*math.Log(each/one) - r.ssr[kind]/one + r.ssr[kind]/each)
	off := r.period - d.grain*math.Round(r.period/d.grain)
	whole := 0.5*math.Log(r.skk*d.grain*d.grain/(2*math.Pi*one)) - 0.5*r.skk*off*off/one
	this, other, smaller := 0.0, 1.0, 0.0
	switch {
	case d.counted:
		this, other = 1, 0
	case d.guessed:
		this, other, smaller = 1.0/3, 1.0/3, 1.0/3
	}
	prior := 1 / max(1, n-1)
	most := max(0, fits+max(0, whole)) // the exponentials of all that is less have room
	alike = prior * (this*math.Exp(fits+whole-most) + other*math.Exp(fits-most))
	none = smaller * math.Exp(fits-most)
	sum := alike + none + (1-prior)*(this+other)*math.Exp(-most)
	return alike / sum, none / sum
}

// variance gives that of a result in which the mean of each kind weighs so much,
// and the slope, the period, so much.
func (r *rounds) variance(mean []float64, slope float64) float64 {
	v := r.noise*slope*slope/r.skk + slope*slope*r.step
	for j, n := range r.count {
		v += r.noise*mean[j]*mean[j]/n + r.grain*weigh(r.like[j], mean[j]/n, slope/r.skk)
	}
	return v
}

// alike gives how much alike roundings are of edges from 0 to n-1 turns apart,
// where a turn has so many grains, with a doubt and with a noise in grains.
func alike(n int, ratio, doubt, noise float64) []float64 {
	out := make([]float64, n)
	out[0] = 1
	x := ratio - math.Round(ratio)
	for k := 1; k < n; k++ {
		w := math.Exp(-2 * math.Pi * math.Pi * (2*noise*noise + sq(float64(k)*doubt)))
		for h := 1.0; h <= 30; h++ {
			size := math.Pow(w, h*h)
			if size < 1e-4 {
				break
			}
			out[k] += 6 / (math.Pi * math.Pi * h * h) * math.Cos(2*math.Pi*h*float64(k)*x) * size
		}
	}
	return out
}

// weigh gives the sum over all pairs of edges, one a turn, of how much alike they
// are, times the weights of both: a mean's, and a slope's times the turns from the
// middle. Pairs k turns apart lie evenly about the middle, so that their sums are
// closed forms.
func weigh(like []float64, mean, slope float64) float64 {
	sum, n := 0.0, len(like)
	for k := range n {
		if like[k] == 0 {
			continue
		}
		m, d := float64(n-k), float64(k)
		pairs := mean*mean*m + slope*slope*(m*(m*m-1)/12-m*d*d/4)
		if k > 0 {
			pairs *= 2
		}
		sum += like[k] * pairs
	}
	return sum
}
