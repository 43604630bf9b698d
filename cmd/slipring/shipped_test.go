package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"slipring/engine/sweeptest"
)

// shipped is the folder of the lessons that the project ships.
var shipped = filepath.Join("..", "..", "lessons")

// publishShipped gives the pages of the shipped lessons, by their path. The
// command as its users have it published a copy of them with nothing remembered,
// once for all tests, which may then rely on their results being known.
func publishShipped(t *testing.T) map[string]string {
	t.Helper()
	pages, err := publishedOnce()
	if err != nil {
		t.Fatal(err)
	}
	return pages
}

var publishedOnce = sync.OnceValues(func() (map[string]string, error) {
	work := filepath.Join(scratch, "shipped")
	if err := os.CopyFS(filepath.Join(work, "lessons"), os.DirFS(shipped)); err != nil {
		return nil, err
	}
	pages, err := publishIn(work)
	if err == nil && len(pages) < 50 {
		err = fmt.Errorf("only %d files are published", len(pages))
	}
	return pages, err
})

// patient is the time that cells get in tests of other things.
var patient = sweeptest.Patience.String()

// publishIn publishes in a folder whose lessons are not known yet, and gives the
// pages.
func publishIn(work string) (map[string]string, error) {
	run := exec.Command("slipring", "publish", "-time", patient)
	run.Dir = work
	if said, err := run.CombinedOutput(); err != nil || strings.Contains(string(said), "(0 run anew)") {
		return nil, fmt.Errorf("a first publish: %v\n%s", err, said)
	}
	return readTree(filepath.Join(work, "visit"))
}
