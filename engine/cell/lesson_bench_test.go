package cell

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"slipring/engine/lesson"
)

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
