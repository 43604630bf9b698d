//go:build unix

package main

import (
	"bytes"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"slipring/engine/sweeptest"
)

// Somebody removes the lessons while they are published. The run either was
// done, and its site is whole, or says what is missing, and the old site is.
func TestRemovedWhilePublishing(t *testing.T) {
	t.Parallel()
	s := newTwo(t)
	dir := t.TempDir()
	out, lessons := filepath.Join(dir, "visit"), filepath.Join(dir, "lessons")
	random := sweeptest.Random(t)
	published, refused := 0, 0
	began := time.Now()
	if said, err := exec.Command("slipring", "publish", "-fresh", "-out", out, s.lessons[1]).CombinedOutput(); err != nil {
		t.Fatalf("publish: %v\n%s", err, said)
	}
	takes := time.Since(began)
	removals := sweeptest.Count(5, 30)
	for i := 0; i < removals || published == 0 || refused == 0; i++ {
		if i == 10*removals {
			t.Fatalf("of %d removals, %d came too late and %d did not", i, published, refused)
		}
		if code, text := call("publish", "-out", out, s.lessons[0]); code != exitClean {
			t.Fatalf("publish exits %d\n%s", code, text)
		}
		if err := os.CopyFS(lessons, os.DirFS(s.lessons[1])); err != nil {
			t.Fatal(err)
		}
		var said bytes.Buffer
		c := exec.Command("slipring", "publish", "-fresh", "-out", out, lessons)
		c.Stdout, c.Stderr = &said, &said
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		share := 0.2 // while files are read
		if i%2 == 1 {
			share = 1.5 // at any time, and when all is done
		}
		if i%3 == 2 && runtime.GOOS == "linux" { // while pages are written
			some := random.IntN(len(s.pages[1]))
			await(c, func() bool { return beside(out+".new-0") > some })
		} else {
			time.Sleep(time.Duration(random.Float64() * share * float64(takes)))
		}
		if err := os.RemoveAll(lessons); err != nil {
			t.Fatal(err)
		}
		want := s.pages[1]
		if err := c.Wait(); err != nil {
			want = s.pages[0]
			refused++
			// with exitUsage where the folder was gone before it looked
			if code := c.ProcessState.ExitCode(); code != exitWrong && code != exitUsage || said.Len() == 0 {
				t.Fatalf("removal %d: the run exits %d and says %q", i, code, said.String())
			}
		} else {
			published++
		}
		if !maps.Equal(must(readTree(out)), want) {
			t.Fatalf("removal %d: the site is neither the old nor the new one\n%s", i, said.String())
		}
	}
	t.Logf("%d published, %d refused", published, refused)
}
