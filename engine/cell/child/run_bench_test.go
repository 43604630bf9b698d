package child

import (
	"context"
	"testing"
)

// A lesson that does next to nothing: what a child process costs.
func BenchmarkRun(b *testing.B) {
	p := written("", "", "__mark(0)\ntell.Value(`x`, 1, ``)")
	for b.Loop() {
		if _, messages := runProgram(context.Background(), p, nil, Limits{}); len(messages) > 0 {
			b.Fatal(messages)
		}
	}
}

// A loop of a million turns with a mark in each, and without.
func BenchmarkLoopMarked(b *testing.B)   { loop(b, "__mark(1)\n") }
func BenchmarkLoopUnmarked(b *testing.B) { loop(b, "") }

func loop(b *testing.B, mark string) {
	p := written("", "", "x := 0.0\nfor i := 0; i < 1000000; i++ {\n"+mark+"x += 0.5\n}\ntell.Value(`x`, x, ``)")
	for b.Loop() {
		if _, messages := runProgram(context.Background(), p, nil, Limits{}); len(messages) > 0 {
			b.Fatal(messages)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1e6, "ns/turn")
}
