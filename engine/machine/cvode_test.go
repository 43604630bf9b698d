//go:build unix

package machine_test

import (
	"bytes"
	"fmt"
	"math"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"slipring/engine/machine"
	"slipring/engine/ode"
)

// BenchmarkAgainstCVODE measures the time of a simulated second at equal
// measured error against SUNDIALS CVODE (Adams, root finding), which
// testdata/cvode.c drives; it is built here where cc and SUNDIALS are
// installed. The error is the farthest coordinate after the run from a run of
// the 8th-order method at a relative tolerance of 1e-13, itself held against
// scipy by the reference tests. Each side's time at an error of 1e-6 is read
// off a line through its points on logarithmic scales. The ratio says that
// this code is quicker on this small problem, mostly for lack of overhead; it
// does not say that the method is better.
func BenchmarkAgainstCVODE(b *testing.B) {
	program := filepath.Join(b.TempDir(), "cvode")
	build := exec.Command("cc", "-O2", "-o", program, filepath.Join("testdata", "cvode.c"), "-lsundials_cvode", "-lsundials_nvecserial", "-lm")
	if out, err := build.CombinedOutput(); err != nil {
		b.Skipf("no C compiler, or no SUNDIALS (Debian: libsundials-dev): %v\n%.200s", err, out)
	}
	for _, c := range []struct {
		card    string
		load    machine.Load
		seconds float64
	}{
		{"governed-motor", machine.Load{Torque: 0.3}, 20},
		{"whole-set", machine.Load{Resistance: 94}, 10},
	} {
		b.Run(c.card, func(b *testing.B) {
			card := readCard(b, c.card)
			_, states := reference(b, c.card)
			run := func(how machine.Setup) (*machine.Simulation, float64) {
				sim, err := machine.NewAt(card, how, c.load, states[0])
				if err != nil {
					b.Fatal(err)
				}
				began := processorTime(b)
				if err := sim.Advance(c.seconds); err != nil {
					b.Fatal(err)
				}
				return sim, processorTime(b) - began
			}
			exact, _ := run(machine.Setup{RelTol: 1e-13, Method: ode.DormandPrince8})
			truth, _ := exact.Coordinates()
			truth = append([]float64(nil), truth...)

			var ours, theirs []point
			for b.Loop() {
				ours, theirs = nil, nil
				for rtol := 1e-5; rtol > 5e-11; rtol /= 10 {
					sim, best := run(machine.Setup{RelTol: rtol})
					y, theirBest := runCVODE(b, program, card, c.load, states[0], rtol, c.seconds)
					for range 2 { // the shortest of three: others use this machine too
						_, seconds := run(machine.Setup{RelTol: rtol})
						best = min(best, seconds)
						_, seconds = runCVODE(b, program, card, c.load, states[0], rtol, c.seconds)
						theirBest = min(theirBest, seconds)
					}
					ours = append(ours, point{farthest(sim, truth), best / c.seconds})
					_, scale := sim.Coordinates()
					worst := 0.0
					for i := range truth {
						worst = max(worst, math.Abs(y[i]-truth[i])/(math.Abs(truth[i])+scale[i]))
					}
					theirs = append(theirs, point{worst, theirBest / c.seconds})
				}
			}
			for i := range ours {
				b.Logf("ours: error %.1e in %.3f ms; CVODE: error %.1e in %.3f ms a second",
					ours[i].err, 1e3*ours[i].time, theirs[i].err, 1e3*theirs[i].time)
			}
			a, z := timeAt(ours, 1e-6), timeAt(theirs, 1e-6)
			b.ReportMetric(1e3*a, "ms/s-ours")
			b.ReportMetric(1e3*z, "ms/s-cvode")
			b.ReportMetric(z/a, "ratio")
		})
	}
}

// processorTime gives the time in s that this process has used. CVODE's side
// is timed the same way.
func processorTime(b *testing.B) float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

type point struct{ err, time float64 }

// timeAt fits log time to log error by least squares.
func timeAt(ps []point, err float64) float64 {
	var n, sx, sy, sxx, sxy float64
	for _, p := range ps {
		x, y := math.Log(p.err), math.Log(p.time)
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	slope := (n*sxy - sx*sy) / (n*sxx - sx*sx)
	return math.Exp((sy-slope*sx)/n + slope*math.Log(err))
}

func runCVODE(b *testing.B, program string, card machine.Card, load machine.Load, y []float64, rtol, seconds float64) (end []float64, took float64) {
	var in strings.Builder
	for _, s := range card.Constants() {
		fmt.Fprintf(&in, "%s.%s %.17g\n", s.Part, s.Key, s.SI())
	}
	shut := 0
	if len(y) > 11 && y[11] < 0 {
		shut = 1
	}
	fmt.Fprintf(&in, "load.torque %.17g\nload.resistance %.17g\nclosed 0\nshut %d\n", load.Torque, load.Resistance, shut)
	for i, v := range y {
		fmt.Fprintf(&in, "y%d %.17g\n", i, v)
	}
	cmd := exec.Command(program, strconv.FormatFloat(rtol, 'g', -1, 64), strconv.FormatFloat(seconds, 'g', -1, 64))
	cmd.Stdin = strings.NewReader(in.String())
	out, err := cmd.Output()
	if err != nil {
		b.Fatal(err)
	}
	for i, word := range bytes.Fields(out) {
		v, err := strconv.ParseFloat(string(word), 64)
		if err != nil {
			b.Fatal(err)
		}
		if i == 0 {
			took = v
		} else {
			end = append(end, v)
		}
	}
	if len(end) != len(y) {
		b.Fatalf("cvode gave %d coordinates for %d", len(end), len(y))
	}
	return end, took
}
