package bench_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/card"
	"slipring/engine/machine"
	"slipring/engine/sweeptest"
	"slipring/engine/tell"
)

// input of a published example
type input struct {
	name string
	x, u float64
}

func published(of func(x []float64) []float64, inputs ...input) []bench.Doubtful {
	return correlated(of, func(i, j int) float64 { return 0 }, inputs...)
}

func correlated(of func(x []float64) []float64, correlation func(i, j int) float64, inputs ...input) []bench.Doubtful {
	var x []float64
	var names []string
	for _, in := range inputs {
		x, names = append(x, in.x), append(names, in.name)
	}
	return bench.Propagate(of(x), names, correlation, func(i int, by float64) []float64 {
		changed := slices.Clone(x)
		changed[i] += by * inputs[i].u
		return of(changed)
	})
}

// The end gauge of JCGM 100:2008, H.1: a combined standard uncertainty of 32 nm
// from shares of 25, 9.7, 2.9 and 16.6 nm (tables H.1 and H.1.3.1 to H.1.3.4).
// Its inputs: a standard of 50.000623 mm (25 nm), a difference of 215 nm (5.8,
// 3.9 and 6.7 nm together), differences of expansion (within 1e-6) and of
// temperature (within 0.05) that are as likely anywhere, 11.5e-6 and -0.1.
func TestDoubtOfTheEndGauge(t *testing.T) {
	const standard, expansion, off = 50.000623e6, 11.5e-6, -0.1 // nm, 1/K, K
	got := published(func(x []float64) []float64 {
		length := x[0] + x[1] - x[0]*(x[2]*off+expansion*x[3])
		return []float64{length}
	},
		input{"standard", standard, 25},
		input{"difference", 215, math.Sqrt(5.8*5.8 + 3.9*3.9 + 6.7*6.7)},
		input{"expansion", 0, 1e-6 / math.Sqrt(3)},
		input{"temperature", 0, 0.05 / math.Sqrt(3)})[0]
	if written := fmt.Sprintf("%.6f %.0f", got.Value/1e6, got.U); written != "50.000838 32" {
		t.Errorf("the gauge is %s; the book has 50.000838 mm and 32 nm", written)
	}
	var shares []string
	for _, s := range got.Shares {
		shares = append(shares, fmt.Sprintf("%s %.1f", s.Constant, math.Abs(s.Change)))
	}
	if want := "standard 25.0, temperature 16.6, difference 9.7, expansion 2.9"; strings.Join(shares, ", ") != want {
		t.Errorf("shares %s, want %s", strings.Join(shares, ", "), want)
	}
}

// NIST Technical Note 1900, example E13: a coefficient of thermal expansion of
// 1.7266e-5, with a standard uncertainty of 1.76e-6 by the law of propagation.
func TestDoubtOfTheExpansion(t *testing.T) {
	got := published(func(x []float64) []float64 { return []float64{(x[2] - x[0]) / (x[0] * (x[3] - x[1]))} },
		input{"length", 1.4999, .0001}, input{"temperature", 288.15, .02},
		input{"length when warm", 1.5021, .0002}, input{"temperature when warm", 373.10, .05})[0]
	if math.Abs(got.Value-1.7266e-5) > 0.5e-9 || math.Abs(got.U-1.76e-6) > 0.5e-8 {
		t.Errorf("%v, u %v", got.Value, got.U)
	}
}

// JCGM 101:2008, 9.3: a first-order uncertainty of 0.0539 mg of 1.234 mg, where
// some inputs have no first-order effect at all.
func TestDoubtOfTheMass(t *testing.T) {
	root3 := math.Sqrt(3)
	got := published(func(x []float64) []float64 {
		return []float64{(x[0]+x[1])*(1+(x[2]-1.2)*(1/x[3]-1/x[4])) - 100_000}
	},
		input{"standard", 100_000, .050}, input{"small weight", 1.234, .020}, input{"air", 1.2, 0.1 / root3},
		input{"weight", 8000, 1000 / root3}, input{"reference", 8000, 50 / root3})[0]
	if fmt.Sprintf("%.3f %.4f", got.Value, got.U) != "1.234 0.0539" || len(got.Shares) != 2 {
		t.Errorf("%+v", got)
	}
}

// Resistance, reactance and impedance of JCGM 100:2008, H.2, by its first
// approach: 127.732, 219.847 and 254.260 ohm with uncertainties of 0.071, 0.295
// and 0.236 ohm (table H.3), from a voltage, a current and a phase whose
// correlations are -0.36, 0.86 and -0.65 (table H.2; here in full, as its five
// sets of readings give them). Without these correlations they would be 0.195,
// 0.201 and 0.204.
func TestDoubtOfTheImpedance(t *testing.T) {
	of := func(x []float64) []float64 {
		return []float64{x[0] / x[1] * math.Cos(x[2]), x[0] / x[1] * math.Sin(x[2]), x[0] / x[1]}
	}
	sets := [3][5]float64{
		{5.007, 4.994, 5.005, 4.990, 4.999},                     // V
		{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3}, // A
		{1.0456, 1.0438, 1.0468, 1.0428, 1.0433},                // rad
	}
	var inputs []input
	var off [3][5]float64
	for i, name := range []string{"voltage", "current", "phase"} {
		mean, square := 0.0, 0.0
		for _, x := range sets[i] {
			mean += x / 5
		}
		for k, x := range sets[i] {
			off[i][k] = x - mean
			square += off[i][k] * off[i][k]
		}
		inputs = append(inputs, input{name, mean, math.Sqrt(square / 20)})
	}
	correlation := func(i, j int) float64 {
		sum := 0.0
		for k := range 5 {
			sum += off[i][k] * off[j][k]
		}
		return sum / (20 * inputs[i].u * inputs[j].u)
	}
	if written := fmt.Sprintf("%.2f %.2f %.2f", correlation(0, 1), correlation(0, 2), correlation(1, 2)); written != "-0.36 0.86 -0.65" {
		t.Fatalf("correlations %s", written)
	}
	together, alone := correlated(of, correlation, inputs...), published(of, inputs...)
	for k, want := range []struct{ value, u, alone float64 }{{127.732, 0.071, 0.195}, {219.847, 0.295, 0.201}, {254.260, 0.236, 0.204}} {
		// The second one is 0.2956, which the book prints as 0.295.
		if math.Abs(together[k].Value-want.value) > 0.0005 || math.Abs(together[k].U-want.u) > 0.0006 || math.Abs(alone[k].U-want.alone) > 0.0005 {
			t.Errorf("%.4f, u %.4f, without correlations %.4f; want %+v", together[k].Value, together[k].U, alone[k].U, want)
		}
	}
}

// A set whose battery's voltage and resistance were fitted together has a
// current that is sure, or is not, by how they go together.
func TestDoubtOfConstantsFittedTogether(t *testing.T) {
	set := func(r float64) *bench.Set {
		c := doubtful(t).Card()
		for _, name := range []string{"battery.voltage", "battery.resistance"} {
			one, _ := c.Constant(name)
			given := one.Given
			given.Uncertainty = 0.01 * given.Value
			c.Put(one.Part, one.Key, given)
		}
		c.Together = machine.Together{Constants: []string{"battery.resistance", "battery.voltage"}, Correlation: [][]float64{{1, r}, {r, 1}}}
		return bench.New([]machine.Card{c}).Open(c.Name)
	}
	for _, r := range []float64{-0.9, 0, 0.9, 0.9999} {
		got := set(r).Doubt(func(s *bench.Set) float64 { return s.Constant("battery.voltage") / s.Constant("battery.resistance") })
		// I = V/R with u(V)/V = u(R)/R = 0.01: (u(I)/I)^2 = 2 (1 - r) 0.01^2
		if want := 0.01 * math.Sqrt(2*(1-r)) * got.Value; math.Abs(got.U-want) > 2e-4*got.Value {
			t.Errorf("with a correlation of %v u is %v, want %v", r, got.U, want)
		}
		named := set(r).Doubt(func(s *bench.Set) float64 { return s.Constant("battery.voltage") }, "battery.voltage")
		if math.Abs(named.U-0.01*named.Value) > 1e-9 {
			t.Errorf("alone it is %+v", named)
		}
	}
}

// doubtful is the whole set, of which three constants have an uncertainty.
func doubtful(t testing.TB) *bench.Set {
	t.Helper()
	const file = "../machine/testdata/whole-set.toml"
	source, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	c, messages := card.Read(file, source)
	for _, m := range messages {
		t.Fatal(m)
	}
	for name, part := range map[string]float64{"shaft.inertia": 0.1, "shaft.friction": 0.1, "battery.resistance": 0.15} {
		one, ok := c.Constant(name)
		if !ok {
			t.Fatal(name)
		}
		given := one.Given
		given.Uncertainty = part * given.Value
		c.Put(one.Part, one.Key, given)
	}
	return bench.New([]machine.Card{c}).Open(c.Name)
}

// What a current by Ohm's law leans on: dI/I is dR/R, to the first order.
func TestDoubtOfACurrent(t *testing.T) {
	set := doubtful(t)
	got := set.Doubt(func(s *bench.Set) float64 { return s.Constant("battery.voltage") / s.Constant("battery.resistance") })
	// half of the difference between 1/(1 - 0.15) and 1/(1 + 0.15)
	if want := got.Value * 0.15 / (1 - 0.15*0.15); math.Abs(got.U-want) > 1e-9*want {
		t.Errorf("u is %v, want %v", got.U, want)
	}
	if len(got.Shares) != 1 || got.Shares[0].Constant != "battery.resistance" || got.Shares[0].Change >= 0 {
		t.Errorf("shares %+v: a higher resistance alone lowers the current", got.Shares)
	}
	if got.Low() != got.Value-2*got.U || got.High() != got.Value+2*got.U {
		t.Errorf("from %v to %v", got.Low(), got.High())
	}
	named := set.Doubts(func(s *bench.Set) []float64 {
		return []float64{s.Constant("shaft.inertia"), 1}
	}, "shaft.inertia")
	if len(named) != 2 || math.Abs(named[0].U-0.1*named[0].Value) > 1e-12 || named[1].U != 0 || named[1].Shares != nil {
		t.Errorf("%+v", named)
	}
}

func TestDoubtRefuses(t *testing.T) {
	set := doubtful(t)
	torque := 0.0
	for want, wrong := range map[string]func(){
		"has no uncertainty": func() { set.Doubt(func(*bench.Set) float64 { return 1 }, "battery.voltage") },
		"has no constant":    func() { set.Doubt(func(*bench.Set) float64 { return 1 }, "battery.volts") },
		"is named twice":     func() { set.Doubt(func(*bench.Set) float64 { return 1 }, "shaft.inertia", "shaft.inertia") },
		"there are 1 results, but 2 with": func() {
			n := 0
			set.Doubts(func(*bench.Set) []float64 { n++; return make([]float64, n) }, "shaft.inertia")
		},
		"needs more than 24 runs": func() {
			set.Doubt(func(s *bench.Set) float64 {
				for range 30 {
					torque += 0.001
					s.Steady(machine.Load{Torque: torque})
				}
				return 1
			})
		},
	} {
		t.Run(want, func(t *testing.T) {
			defer func() {
				if m, ok := recover().(tell.Misuse); !ok || !strings.Contains(m.Text, want) || m.Hint == "" {
					t.Errorf("got %+v", m)
				}
			}()
			wrong()
		})
	}
}

// The doubt of how long the shaft turns on is what a hundred sets have whose
// constants differ by as much as the card allows (JCGM 101:2008): the model is
// no straight line, but near enough to one for what is known.
func TestDoubtAgainstManySets(t *testing.T) {
	count := sweeptest.Count(8, 200)
	set := doubtful(t)
	stands := func(s *bench.Set) float64 {
		speed := s.Coast(machine.Load{}, 30).Traces("speed").Window(0, 30).Signals[0]
		for i, y := range speed.Y {
			if y < 0.05 {
				return speed.T[i] - bench.Before
			}
		}
		t.Fatal("it never stands")
		return 0
	}
	doubt := set.Doubt(stands, "shaft.inertia", "shaft.friction")
	random := rand.New(rand.NewPCG(uint64(sweeptest.Seed(t)), 1))
	var times []float64
	for range count {
		one := set
		for _, name := range []string{"shaft.inertia", "shaft.friction"} {
			x := set.Constant(name)
			one = one.WithConstant(name, x*(1+0.1*random.NormFloat64()))
		}
		times = append(times, stands(one))
	}
	mean, square := 0.0, 0.0
	for _, x := range times {
		mean += x / float64(count)
	}
	for _, x := range times {
		square += (x - mean) * (x - mean) / float64(count-1)
	}
	// The deviation of n draws is itself known to 1/sqrt(2(n - 1)) of it
	// (JCGM 100:2008, table E.1), and their mean to u/sqrt(n): three of each.
	n := float64(count)
	if off := math.Abs(math.Sqrt(square)/doubt.U - 1); off > 3/math.Sqrt(2*(n-1))+0.03 {
		t.Errorf("%d sets differ by %.3f s, the doubt is %.3f s", count, math.Sqrt(square), doubt.U)
	}
	if off := math.Abs(mean - doubt.Value); off > (3/math.Sqrt(n)+0.1)*doubt.U {
		t.Errorf("%d sets stand after %.3f s in the mean, one after %.3f s", count, mean, doubt.Value)
	}
}
