package main

import (
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"slipring/engine/diag"
	"slipring/engine/sweeptest"
	"slipring/render/plot"
	"slipring/site"
	"slipring/site/publish"
)

// TestSameBytes publishes copies of the shipped lessons in different folders,
// with files of different dates, in different languages and time zones, by one
// worker and by two, with all cells run and with none. Every file of every
// site has the same bytes.
func TestSameBytes(t *testing.T) {
	if testing.Short() {
		t.Skip("whole publishes take minutes each under the race detector")
	}
	t.Parallel()
	first := publishShipped(t)
	type condition struct {
		folder string
		env    []string
		flags  []string
		ran    bool // cells are run
	}
	for _, c := range sweeptest.Sample(t, []condition{
		{"a", []string{"TZ=UTC", "LANG=C", "LC_ALL=C", "GOMAXPROCS=1"}, []string{"-fresh", "-workers", "1"}, true},
		{"the second house, à côté", []string{"TZ=Pacific/Kiritimati", "LANG=fr_FR.UTF-8", "LC_ALL=fr_FR.UTF-8"}, []string{"-fresh", "-workers", "2"}, true},
		{"c", []string{"TZ=America/Los_Angeles", "LANG=tr_TR.UTF-8", "LC_ALL=tr_TR.UTF-8"}, []string{"-workers", "2"}, false},
		{"d", []string{"TZ=Asia/Kolkata", "LANG=de_DE.UTF-8", "LC_ALL=", "GOGC=20"}, []string{"-workers", "1"}, false},
	}, 1) {
		work := filepath.Join(t.TempDir(), c.folder)
		lessons := filepath.Join(work, "lessons")
		if err := os.CopyFS(lessons, os.DirFS(filepath.Join(root, "lessons"))); err != nil {
			t.Fatal(err)
		}
		if err := dated(lessons, time.Date(1990+len(c.folder), 2, 3, 4, 5, 6, 0, time.UTC)); err != nil {
			t.Fatal(err)
		}
		out := filepath.Join(work, "visit")
		args := []string{"publish", "-time", patient}
		if !c.ran { // so that this is not the publish of the folder before
			out = filepath.Join(work, "deeper", "pages")
			args = append(args, "-out", out)
		}
		args = append(args, c.flags...)
		if c.folder != "a" { // the others name their lessons as they please
			args = append(args, lessons)
		}
		run := exec.Command("slipring", args...)
		run.Dir = work
		run.Env = append(os.Environ(), c.env...)
		printed, err := run.CombinedOutput()
		if err != nil {
			t.Fatalf("%q: %v\n%s", c.folder, err, printed)
		}
		if strings.Contains(string(printed), "(0 run anew)") == c.ran {
			t.Errorf("%q: cells should run: %v\n%s", c.folder, c.ran, printed)
		}
		pages := must(readTree(out))
		for _, name := range slices.Sorted(maps.Keys(merged(first, pages))) {
			if first[name] != pages[name] {
				t.Errorf("%q: %s differs: %s", c.folder, name, difference(first[name], pages[name]))
			}
		}
	}
}

// TestRebuildSameBytes rehearses: after each change, the pages are those of a
// publish from nothing, though most drawings and results are kept ones.
func TestRebuildSameBytes(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	dir := generate(t, 2)
	lesson := filepath.Join(dir, "000-load-0", "lesson.md")
	o := options{lessons: dir}
	known := o.cache()
	var drawings plot.Drawings
	for _, change := range []func(){
		func() {},
		func() {},
		func() { replaceIn(t, lesson, "It holds the speed", "It keeps the speed") },
		func() { replaceIn(t, lesson, "the governor contact above, the output below", "the contact above") },
		func() { replaceIn(t, lesson, ".Turns(3)", ".Turns(2)") },
		func() { replaceIn(t, lesson, ".Turns(2)", ".Turns(3)") },
		func() { replaceIn(t, lesson, `Label: "rule"`, `Label: "the rule"`) },
	} {
		change()
		rehearsed := rebuild(t.Context(), o, known, &drawings, nil, io.Discard)
		w := runLessons(t.Context(), o, openLessons(t, o.lessons), cache{}, nil)
		if diag.HasError(w.messages) || diag.HasError(rehearsed.Messages) {
			t.Fatal(w.messages, rehearsed.Messages)
		}
		pages, _ := site.Build(w.input())
		if len(pages) < 30 || publish.Tree(rehearsed.Files).Sum() != pages.Sum() {
			t.Errorf("of %d pages, some are not those of a publish", len(pages))
		}
	}
}

// dated gives all files in a folder one date.
func dated(dir string, date time.Time) error {
	files, err := readTree(dir)
	if err != nil {
		return err
	}
	for name := range files {
		if err := os.Chtimes(filepath.Join(dir, name), date, date); err != nil {
			return err
		}
	}
	return nil
}

func merged(a, b map[string]string) map[string]string {
	both := maps.Clone(a)
	maps.Copy(both, b)
	return both
}

// difference shows two texts where they first differ.
func difference(a, b string) string {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	around := func(s string) string { return s[max(i-30, 0):min(i+30, len(s))] }
	return "\n\t" + around(a) + "\n\t" + around(b)
}
