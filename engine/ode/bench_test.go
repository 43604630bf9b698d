package ode

import (
	"fmt"
	"testing"
)

// BenchmarkGovernor gives the cost of one simulated second of the reference
// problem.
func BenchmarkGovernor(b *testing.B) {
	for _, method := range []Method{DormandPrince54, DormandPrince8} {
		for _, tol := range []float64{1e-6, 1e-8} {
			b.Run(fmt.Sprintf("%v/rtol=%g", method, tol), func(b *testing.B) {
				g := &governor{}
				s, err := New(g.problem(), Settings{Method: method, RelTol: tol})
				if err != nil {
					b.Fatal(err)
				}
				g.start(s)
				b.ReportAllocs()
				second := 0.0
				for b.Loop() {
					second++
					if second > 20 { // the span for which the answer is known
						g.start(s)
						second = 1
					}
					if err := s.Advance(second, nil); err != nil {
						b.Fatal(err)
					}
				}
				st := s.Stats()
				b.ReportMetric(float64(st.Evaluations)/second, "evaluations/op")
				b.ReportMetric(float64(st.Steps+st.Rejected)/second, "steps/op")
			})
		}
	}
}
