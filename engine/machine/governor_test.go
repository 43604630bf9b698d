package machine_test

import (
	"math"
	"testing"

	"slipring/engine/machine"
)

// held makes a governor alone, its contact given a stiffness, on a shaft that
// an outside drive holds at a speed.
func held(t *testing.T, c machine.Card, speed float64) *machine.Simulation {
	t.Helper()
	sim, err := machine.New(without(c, "motor", "battery", "output"), machine.Setup{HeldSpeed: speed, RelTol: 1e-10}, machine.Load{})
	if err != nil {
		t.Fatal(err)
	}
	if err := sim.Settle(); err != nil {
		t.Fatal(err)
	}
	return sim
}

func governorCard(t *testing.T, change map[string]float64) machine.Card {
	t.Helper()
	c := readCard(t, "governed-motor")
	for name, v := range change {
		var err error
		if c, err = c.With("governor."+name, v); err != nil {
			t.Fatal(err)
		}
	}
	return c
}

// The closed forms of offset and amplitude against the simulated weight, for
// a free contact.
func TestWeightSwing(t *testing.T) {
	const speed = 20 // 200 samples of a record make one turn
	for _, spring := range []float64{32, 42, 60, 110} {
		for _, damping := range []float64{0.03, 0.3} {
			card := governorCard(t, map[string]float64{
				"spring-frequency": spring, "damping": damping, "contact-stiffness": 0})
			g := model[machine.Governor](card, "governor")
			set, err := held(t, card, speed).Record(1, "weight travel")
			if err != nil {
				t.Fatal(err)
			}
			y := set.Signals[0].Y[:4000]
			var mean, c, s float64
			for i, v := range y {
				sin, cos := math.Sincos(2 * math.Pi * float64(i) / 200)
				mean += v / 4000
				c += v * cos / 2000
				s += v * sin / 2000
			}
			offset, amplitude := mean*1e-3, math.Hypot(c, s)*1e-3
			if e := math.Abs(amplitude/g.Amplitude(speed) - 1); e > 1e-5 {
				t.Errorf("spring %g Hz, damping %g: amplitude %.4g m, rule %.4g m", spring, damping, amplitude, g.Amplitude(speed))
			}
			if e := math.Abs(offset/g.Offset(speed) - 1); e > 1e-5 {
				t.Errorf("spring %g Hz, damping %g: offset %.4g m, rule %.4g m", spring, damping, offset, g.Offset(speed))
			}
		}
	}
}

// Values of a study made with two other programs: amplitude in micrometres at
// 19.9 turns a second with a damping ratio of 0.03.
func TestAmplitudeOfTheStudy(t *testing.T) {
	for spring, want := range map[float64]float64{42: 255.314, 60: 88.466, 110: 21.973} {
		g := model[machine.Governor](governorCard(t, map[string]float64{"spring-frequency": spring, "damping": 0.03}), "governor")
		if got := 1e6 * g.Amplitude(19.9); math.Abs(got-want) > 6e-4 {
			t.Errorf("spring %g Hz: %.4f um, want %.3f", spring, got, want)
		}
	}
}

// The same study's open fractions, at a radius of 12 mm and a contact speed of
// 20.35 turns a second: rule and simulation for a free contact, then the
// simulation alone as the contact gets firmer.
func TestOpenFractionOfTheStudy(t *testing.T) {
	free := map[string]float64{"radius": 0.012, "contact-speed": 20.35, "contact-stiffness": 0, "damping": 0.03}
	card := governorCard(t, free)
	g := model[machine.Governor](card, "governor")
	for _, c := range []struct{ speed, rule, simulated float64 }{
		{19.95, 0.7388, 0.7389}, {19.85, 0.8242, 0.8244}, {20.90, 0.1067, 0.1064},
	} {
		if got := g.OpenFraction(c.speed); math.Abs(got-c.rule) > 3.5e-4 {
			t.Errorf("rule at %g: %.4f, want %.4f", c.speed, got, c.rule)
		}
		sum, err := held(t, card, c.speed).Measure()
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(sum.OpenFraction-c.simulated) > 1e-4 {
			t.Errorf("simulation at %g: %.4f, want %.4f", c.speed, sum.OpenFraction, c.simulated)
		}
	}
	// its own frequency against the contact's leaf, in Hz, says how firm it is
	for _, c := range []struct{ firmness, damping, want float64 }{
		{22.97, 0.1, 0.7532}, {50, 0.1, 0.7760}, {150, 0.3, 0.8428},
	} {
		w := 2 * math.Pi * c.firmness
		free["contact-stiffness"], free["damping"] = 0.012*w*w, c.damping
		sum, err := held(t, governorCard(t, free), 19.95).Measure()
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(sum.OpenFraction-c.want) > 1e-4 {
			t.Errorf("contact of %g Hz: open %.4f, want %.4f", c.firmness, sum.OpenFraction, c.want)
		}
	}
}

// The two trade points (common practice, no source) fix the radius and the
// contact speed of a governor with a free contact.
func TestGovernorFromTwoPoints(t *testing.T) {
	rk := machine.RadiusFromPoints(19.95, 0.77, 19.85, 0.87)
	fc := machine.ContactSpeedFromPoints(19.95, 0.77, 19.85, 0.87)
	if math.Abs(rk-10.467e-3) > 1e-6 || math.Abs(fc-20.391) > 1e-3 {
		t.Errorf("r kappa %.6g m, contact speed %.6g Hz; want 10.467e-3, 20.391", rk, fc)
	}
	// with a very stiff spring kappa is 1, and the rule must give them back
	g := machine.Governor{Radius: rk, ContactSpeed: fc, SpringFrequency: 1e5, Gravity: machine.Gravity}
	if a, b := g.OpenFraction(19.95), g.OpenFraction(19.85); math.Abs(a-0.77) > 1e-6 || math.Abs(b-0.87) > 1e-6 {
		t.Errorf("open %.7f and %.7f; want 0.77 and 0.87", a, b)
	}
	if low, high := g.BandLow(), g.BandHigh(); math.Abs(low-19.80) > 0.01 || math.Abs(high-20.97) > 0.01 {
		t.Errorf("band %.4f to %.4f Hz; want 19.80 to 20.97", low, high)
	}
	if w := g.BandWidth(); math.Abs(w-0.057) > 0.002 {
		t.Errorf("the band is %.4f of the speed wide", w)
	}
	for speed, want := range map[float64]float64{19.95: -0.81, 19.85: -1.34} {
		if got := g.OpenFractionSlope(speed); math.Abs(got-want) > 0.006 {
			t.Errorf("slope at %g Hz: %.4f a Hz, want %.2f", speed, got, want)
		}
		const h = 1e-5
		numeric := (g.OpenFraction(speed+h) - g.OpenFraction(speed-h)) / (2 * h)
		if math.Abs(numeric/g.OpenFractionSlope(speed)-1) > 1e-5 {
			t.Errorf("slope at %g Hz: %.6f, by differences %.6f", speed, g.OpenFractionSlope(speed), numeric)
		}
	}
}
