//go:build unix

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// BenchmarkSentence publishes the shipped lessons with the real command, of
// which one has a sentence changed each time.
//
//	go test ./cmd/slipring -run '^$' -bench Sentence -benchtime 5x
func BenchmarkSentence(b *testing.B) {
	b.Setenv("XDG_CACHE_HOME", b.TempDir())
	dir, out := filepath.Join(b.TempDir(), "lessons"), filepath.Join(b.TempDir(), "visit")
	if err := os.CopyFS(dir, os.DirFS(filepath.Join(root, "lessons"))); err != nil {
		b.Fatal(err)
	}
	texts, err := filepath.Glob(filepath.Join(dir, "*", "lesson.md"))
	if err != nil || len(texts) == 0 {
		b.Fatal("no lessons", err)
	}
	measured(b, "publish", "-out", out, dir)
	var sum cost
	n := 0
	for ; b.Loop(); n++ {
		file := texts[n%len(texts)]
		text := append(must(os.ReadFile(file)), fmt.Sprintf("\nThe sentence after change %s is new.\n", letters(n))...)
		if err := os.WriteFile(file, text, 0o644); err != nil {
			b.Fatal(err)
		}
		one := measured(b, "publish", "-out", out, dir)
		sum.wall += one.wall
		sum.cpu += one.cpu
	}
	b.ReportMetric(float64(sum.cpu.Nanoseconds())/float64(n), "cpu-ns/op")
}

// letters writes a number without digits, which a lesson would have to bind.
func letters(n int) string {
	if n < 26 {
		return string(rune('a' + n))
	}
	return letters(n/26-1) + letters(n%26)
}
