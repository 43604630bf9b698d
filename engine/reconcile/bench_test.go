package reconcile_test

import (
	"math/rand/v2"
	"runtime"
	"testing"

	"slipring/engine/reconcile"
)

// A large board answers while somebody waits: 2,000 wires, before any reading and
// with half of the readings taken. The design asks for less than 2 s and 500 MB.
func BenchmarkLargeBoard(b *testing.B) {
	random := rand.New(rand.NewPCG(1, 1))
	large := invent(plan{parts: 1000, wires: 2000, chain: 0.3, changed: 0.02}, random)
	var readings []reconcile.Reading
	for _, w := range large.candidates() {
		if random.Float64() < 0.5 {
			readings = append(readings, reconcile.Reading{From: w[0], To: w[1], Closed: large.reads(w[0], w[1], random)})
		}
	}
	for name, list := range map[string][]reconcile.Reading{"no readings": nil, "half of the readings": readings} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				board, err := reconcile.New(large.parts, large.sheets)
				if err != nil {
					b.Fatal(err)
				}
				for _, r := range list {
					if err := board.Take(r); err != nil {
						b.Fatal(err)
					}
				}
				if len(board.Next(20)) == 0 || len(board.Judged()) < 2000 {
					b.Fatal("no answer")
				}
			}
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			b.ReportMetric(float64(m.Sys)/1e6, "MB-from-system")
		})
	}
}
