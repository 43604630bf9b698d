package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// shipped is the folder of the lessons that the project ships.
var shipped = filepath.Join("..", "..", "lessons")

// firstSite is what the first publish of the shipped lessons gave.
type firstSite struct {
	cache string            // the folder in which their results are kept
	pages map[string]string // by their path
}

// publishShipped gives what a copy of the shipped lessons came to, which the
// command published as its users have it, with nothing remembered, once for all
// tests.
func publishShipped(t *testing.T) firstSite {
	t.Helper()
	first, err := publishedOnce()
	if err != nil {
		t.Fatal(err)
	}
	return first
}

var publishedOnce = sync.OnceValues(func() (first firstSite, err error) {
	name, err := exec.LookPath("slipring")
	if err != nil {
		return first, err
	}
	work, err := os.MkdirTemp(filepath.Dir(name), "first") // which goes when all tests have run
	if err != nil {
		return first, err
	}
	if err := os.CopyFS(filepath.Join(work, "lessons"), os.DirFS(shipped)); err != nil {
		return first, err
	}
	first.cache = filepath.Join(work, "cache")
	run := exec.Command("slipring", "publish")
	run.Dir = work
	run.Env = append(os.Environ(), "XDG_CACHE_HOME="+first.cache)
	if said, err := run.CombinedOutput(); err != nil || strings.Contains(string(said), "(0 run anew)") {
		return first, fmt.Errorf("the first publish: %v\n%s", err, said)
	}
	first.pages, err = readTree(filepath.Join(work, "visit"))
	if err == nil && len(first.pages) < 50 {
		err = fmt.Errorf("only %d files are published", len(first.pages))
	}
	return first, err
})
