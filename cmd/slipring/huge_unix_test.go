//go:build unix

package main

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// Files longer than any memory, and pipes, that stand where a publish looks keep
// it neither waiting nor from publishing, and one that a lesson names is refused
// by its size.
func TestHugeFilesAndPipes(t *testing.T) {
	home := t.TempDir()
	t.Setenv("XDG_CACHE_HOME", home)
	dir, out := generate(t, 1), filepath.Join(t.TempDir(), "visit")
	huge := func(name string) {
		t.Helper()
		f := must(os.Create(name))
		defer f.Close()
		must(0, f.Truncate(1<<40))
	}
	publish := func(want string) {
		t.Helper()
		if code, text := call("publish", "-out", out, dir); code != exitClean || !strings.Contains(text, want) {
			t.Errorf("publish exits %d, and does not say %q but\n%s", code, want, text)
		}
	}
	huge(filepath.Join(dir, "film.mp4"))
	huge(filepath.Join(dir, "000-load-0", "all.csv"))
	publish("files in")
	publish("as they were")
	huge(filepath.Join(out, "film.mp4"))
	publish("(0 run anew)")

	kept := must(filepath.Glob(filepath.Join(home, "slipring", "*")))
	if len(kept) < 3 {
		t.Fatalf("only %d files are kept", len(kept))
	}
	for _, name := range kept {
		must(0, os.Remove(name))
		must(0, syscall.Mkfifo(name, 0o600))
	}
	publish("(1 run anew)")

	huge(filepath.Join(dir, "000-load-0", "readings.csv"))
	if code, text := call("publish", "-out", out, dir); code != exitWrong || !strings.Contains(text, "more than the 4194304 that a data file may have") {
		t.Errorf("publish exits %d and says\n%s", code, text)
	}
}
