//go:build unix

package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"
	"time"
)

// BenchmarkGrowth publishes folders of 1 to 256 lessons with the real command,
// once with nothing remembered and once with nothing changed. Processor time
// counts the processes that run cells; "peak-kB/lesson" is the most memory that
// the publishing process held beyond that of an empty command, by lesson.
//
//	go test ./cmd/slipring -run '^$' -bench Growth -benchtime 1x
func BenchmarkGrowth(b *testing.B) {
	empty := measured(b, "-h")
	for _, n := range []int{1, 4, 16, 64, 256} {
		dir := generate(b, n)
		out := filepath.Join(b.TempDir(), "visit")
		report := func(b *testing.B, all []cost) {
			var sum cost
			for _, c := range all {
				sum.wall += c.wall
				sum.cpu += c.cpu
				sum.peak = max(sum.peak, c.peak)
			}
			each := float64(n * len(all))
			b.ReportMetric(float64(sum.wall.Nanoseconds())/each, "wall-ns/lesson")
			b.ReportMetric(float64(sum.cpu.Nanoseconds())/each, "cpu-ns/lesson")
			b.ReportMetric(float64(sum.peak-empty.peak)/float64(n), "peak-kB/lesson")
			b.ReportMetric(0, "ns/op") // of which the cost of a lesson is part
		}
		b.Run(fmt.Sprintf("cold-%d", n), func(b *testing.B) {
			var all []cost
			for b.Loop() {
				b.Setenv("XDG_CACHE_HOME", b.TempDir())
				os.RemoveAll(out)
				all = append(all, measured(b, "publish", "-out", out, dir))
			}
			report(b, all)
		})
		b.Run(fmt.Sprintf("unchanged-%d", n), func(b *testing.B) {
			b.Setenv("XDG_CACHE_HOME", b.TempDir())
			measured(b, "publish", "-out", out, dir)
			var all []cost
			for b.Loop() {
				all = append(all, measured(b, "publish", "-out", out, dir))
			}
			report(b, all)
		})
	}
}

// cost is what one run of the command took.
type cost struct {
	wall, cpu time.Duration
	peak      int64 // kB
}

func measured(b *testing.B, args ...string) cost {
	b.Helper()
	began := time.Now()
	c := exec.Command("slipring", args...)
	printed, err := c.CombinedOutput()
	if err != nil {
		b.Fatalf("slipring %q: %v\n%s", args, err, printed)
	}
	peak := c.ProcessState.SysUsage().(*syscall.Rusage).Maxrss
	if runtime.GOOS == "darwin" { // in bytes there
		peak /= 1024
	}
	return cost{time.Since(began), c.ProcessState.UserTime() + c.ProcessState.SystemTime(), peak}
}
