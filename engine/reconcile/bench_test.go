package reconcile_test

import (
	"math"
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

// What a board takes grows with its size, and not with the square of it: eight
// times as many wires, with half of their readings, take at most 8^1.5 times as
// many allocations, which are counted, since time is not the same twice.
func TestLargeBoardsGrow(t *testing.T) {
	small, large := allocations(t, 60), allocations(t, 480)
	most := math.Pow(8, 1.5)
	t.Logf("60 wires: %.0f allocations; 480: %.0f, %.1f times as many", small, large, large/small)
	if large/small > most {
		t.Errorf("%.1f times as many, and at most %.1f are expected", large/small, most)
	}
}

// allocations counts what a board of so many wires allocates until it answers.
func allocations(t *testing.T, wires int) float64 {
	random := rand.New(rand.NewPCG(1, 1))
	b := invent(plan{parts: wires / 2, wires: wires, chain: 0.3, changed: 0.02}, random)
	var readings []reconcile.Reading
	for _, w := range b.candidates() {
		if random.Float64() < 0.5 {
			readings = append(readings, reconcile.Reading{From: w[0], To: w[1], Closed: b.reads(w[0], w[1], random)})
		}
	}
	return testing.AllocsPerRun(1, func() {
		board := b.board(t)
		for _, r := range readings {
			if err := board.Take(r); err != nil {
				t.Fatal(err)
			}
		}
		if len(board.Next(20)) == 0 {
			t.Fatal("no answer")
		}
	})
}
