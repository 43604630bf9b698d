package waveform

import (
	"fmt"
	"math"
	"math/cmplx"
)

// Harmonics are the Fourier components of a signal over whole periods:
//
//	y(t) = Amplitude[0] + Σ Amplitude[k] cos(2π k Frequency t + Phase[k])
//
// with t counted from the start of the signal.
type Harmonics struct {
	Frequency float64   // Hz, of the fundamental
	Amplitude []float64 // peak value by order, in the signal's unit; order 0 is the mean, with its sign
	Phase     []float64 // rad, by order
	ACRMS     float64   // of all orders but 0, those beyond the list included
}

// mostOrders keeps a slip of the pen from asking for hours of work.
const mostOrders = 100000

// Harmonics gives the components up to an order of a signal whose span is a
// whole number of periods; WholePeriods and Set.Turns cut one. They are the
// integrals 2/T ∫ y exp(-jkωt) dt, exact for the drawing with samples at any
// distance, so steps are not blurred and nothing folds back from high orders.
//
// A smooth signal is lowered by being drawn with straight lines: with m even
// samples a period, order k by the factor (sin(πk/m)/(πk/m))², which is 0.9992
// for the fundamental at m = 64. Sample finely, or use Spectrum.
func (g Signal) Harmonics(periods, orders int) (Harmonics, error) {
	if err := g.check(); err != nil {
		return Harmonics{}, err
	}
	if periods < 1 || orders < 1 || orders > mostOrders {
		return Harmonics{}, g.fail(ErrRequest, fmt.Sprintf("ask for 1 period or more and orders from 1 to %d", mostOrders),
			"%d orders over %d periods", orders, periods)
	}
	t0 := g.T[0]
	span := g.T[len(g.T)-1] - t0
	out := Harmonics{
		Frequency: float64(periods) / span,
		Amplitude: make([]float64, orders+1), Phase: make([]float64, orders+1),
	}
	mean := g.mean()
	out.Amplitude[0] = mean
	out.ACRMS = g.about(mean)

	sum := make([]complex128, orders+1)
	turns := float64(periods) / span
	g.walk(func(ta, tb, a, b float64) {
		if tb == ta {
			return
		}
		addComponents(sum, (ta-t0)*turns, (tb-t0)*turns, a-mean, b-mean)
	})
	for k := 1; k <= orders; k++ {
		c := sum[k] * complex(2/float64(periods), 0)
		out.Amplitude[k], out.Phase[k] = cmplx.Polar(c)
	}
	return out, nil
}

// addComponents adds ∫ y exp(-2πjku) du over a straight piece from (u0, a) to
// (u1, b), u in periods, to sum[k] for every k >= 1. About the middle of the
// piece, with half its phase x = πk(u1-u0), the integral is
//
//	(u1-u0) exp(-2πjkum) ((a+b)/2 sin x/x - j (b-a)/2 (sin x - x cos x)/x²)
//
// which does not lose figures on short or steep pieces, as the usual primitive
// does.
func addComponents(sum []complex128, u0, u1, a, b float64) {
	du := u1 - u0
	middle := u0 + du/2
	middle -= math.Floor(middle)
	s, c := math.Sincos(2 * math.Pi * middle)
	turn := complex(c, -s)
	s, c = math.Sincos(math.Pi * du)
	half := complex(c, s)
	mean, diff := du*(a+b)/2, du*(b-a)/2
	p, q := complex(1, 0), complex(1, 0)
	for k := 1; k < len(sum); k++ {
		p *= turn
		q *= half
		if k%64 == 0 { // powers by multiplication drift by a rounding each time
			s, c = math.Sincos(2 * math.Pi * math.Mod(float64(k)*middle, 1))
			p = complex(c, -s)
			s, c = math.Sincos(math.Pi * math.Mod(float64(k)*du, 2))
			q = complex(c, s)
		}
		x := math.Pi * float64(k) * du
		var even, odd float64
		if x < 0.05 {
			// the terms left out are x⁸/362880 and x⁹/3991680
			xx := x * x
			even = 1 - xx/6*(1-xx/20*(1-xx/42))
			odd = x / 3 * (1 - xx/10*(1-xx/28*(1-xx/54)))
		} else {
			even = imag(q) / x
			odd = (imag(q) - x*real(q)) / (x * x)
		}
		sum[k] += p * complex(mean*even, -diff*odd)
	}
}

// THD gives the total harmonic distortion: the r.m.s. of the harmonics from
// order 2 to limit over the r.m.s. of the fundamental (IEC 61000-4-7 calls it
// THD; a ratio, so 0.483 is 48.3 %). Limit 0 means all orders, those beyond
// the list included, from the r.m.s. of the whole. Say the limit with the
// figure: a square wave has 48.34 % to all orders, but 47.03 % up to order 40.
func (h Harmonics) THD(limit int) (float64, error) {
	if limit < 0 || limit == 1 || limit >= len(h.Amplitude) || len(h.Amplitude) < 2 {
		return 0, &Failure{Reason: ErrRequest,
			Detail: fmt.Sprintf("distortion up to order %d from harmonics up to order %d", limit, len(h.Amplitude)-1),
			Next:   "ask for an order from 2 to that of the harmonics, or 0 for all orders"}
	}
	one := h.Amplitude[1]
	// 1e-9 is far above rounding and far below what any instrument shows
	if !(one > 1e-9*h.ACRMS) {
		return 0, &Failure{Reason: ErrNoFundamental,
			Detail: fmt.Sprintf("its amplitude is %.3g where the r.m.s. of the whole is %.3g", one, h.ACRMS),
			Next:   "check how many periods the signal holds"}
	}
	if limit == 0 {
		r := h.ACRMS / one
		return math.Sqrt(max(0, 2*r*r-1)), nil
	}
	sum := 0.0
	for _, a := range h.Amplitude[2 : limit+1] {
		sum += (a / one) * (a / one)
	}
	return math.Sqrt(sum), nil
}

// THD cuts the signal to whole periods (WholePeriods) and gives its total
// harmonic distortion up to order limit, or to all orders for 0; see
// Harmonics.THD.
func (g Signal) THD(limit int) (float64, error) {
	cut, periods, err := g.WholePeriods()
	if err != nil {
		return 0, err
	}
	h, err := cut.Harmonics(periods, max(limit, 1))
	if err != nil {
		return 0, err
	}
	return h.THD(limit)
}
