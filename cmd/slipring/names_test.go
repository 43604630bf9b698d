package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"slipring/engine/diag"
)

// Names of folders hold what moves a terminal's cursor, what turns text
// around, what is no UTF-8, and a line end. Each is printed as an escape, and
// a message begins no line but its own.
func TestNamesStayOnTheirLine(t *testing.T) {
	if testing.Short() {
		t.Skip("the command once for each name takes minutes under the race detector")
	}
	if runtime.GOOS != "linux" {
		t.Skip("other systems refuse such names")
	}
	t.Setenv("XDG_CACHE_HOME", t.TempDir()) // other tests want lessons that are not known yet
	top := t.TempDir()
	names := []string{"red\x1b[31m", "turned\u202e", "back\b", "broken\xff", "two\nlines: no error", "two\rlines"}
	for _, name := range names {
		lessons := filepath.Join(top, name)
		if err := generateIn(lessons, 1); err != nil {
			t.Fatal(err)
		}
		for _, args := range [][]string{
			{"publish", "-out", filepath.Join(top, name+"visit"), lessons},
			{"publish", "-out", lessons, lessons},
			{"proof", filepath.Join(lessons, "none")},
			{"proof", "-keep", filepath.Join(lessons, "house.toml"), lessons},
		} {
			look(t, args)
		}
	}
	inner := filepath.Join(top, "lessons")
	for _, name := range names {
		if err := os.MkdirAll(filepath.Join(inner, name), 0o755); err != nil {
			t.Fatal(err)
		}
		for _, file := range []string{"lesson.md", "words.md", name + ".csv"} {
			if err := os.WriteFile(filepath.Join(inner, name, file), []byte("no lesson\n"), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	look(t, []string{"proof", inner})
	look(t, []string{"publish", "-out", filepath.Join(top, "visit"), inner})
}

// look runs the command, and looks at what it prints.
func look(t *testing.T, args []string) {
	t.Helper()
	said, _ := exec.Command("slipring", args...).CombinedOutput() // most calls are wrong, and say so
	if len(said) == 0 {
		t.Errorf("%q says nothing", args)
	}
	if at, what := diag.Hidden(said); at >= 0 {
		t.Errorf("%q: %s: %q", args, what, said)
	}
	for line := range strings.Lines(string(said)) {
		if strings.Contains(line, "\r") || strings.HasPrefix(line, "lines: no error") {
			t.Errorf("%q prints the line %q", args, line)
		}
	}
}
