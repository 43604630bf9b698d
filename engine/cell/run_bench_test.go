package cell

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"slipring/engine/lesson"
)

// A lesson that does next to nothing: what a child process costs.
func BenchmarkRun(b *testing.B) {
	p := written("", "", "__mark(0)\ntell.Value(`x`, 1, ``)")
	for b.Loop() {
		if _, messages := p.Run(context.Background(), nil, Limits{}); len(messages) > 0 {
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
		if _, messages := p.Run(context.Background(), nil, Limits{}); len(messages) > 0 {
			b.Fatal(messages)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1e6, "ns/turn")
}

// An ordinary lesson of numbers: assembled, and run.
func BenchmarkAssembleLesson(b *testing.B) {
	l := numbers(b)
	for b.Loop() {
		if _, messages := Assemble(l); len(messages) > 0 {
			b.Fatal(messages)
		}
	}
}

func BenchmarkRunLesson(b *testing.B) {
	p, messages := Assemble(numbers(b))
	if len(messages) > 0 {
		b.Fatal(messages)
	}
	for b.Loop() {
		if _, messages := p.Run(context.Background(), nil, Limits{}); len(messages) > 0 {
			b.Fatal(messages)
		}
	}
}

func numbers(b *testing.B) *lesson.Lesson {
	file := filepath.Join("testdata", "lessons", "01-numbers", "lesson.md")
	source, err := os.ReadFile(file)
	if err != nil {
		b.Fatal(err)
	}
	l, messages := lesson.Parse(file, source)
	if len(messages) > 0 {
		b.Fatal(messages)
	}
	return l
}
