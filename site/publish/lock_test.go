package publish

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"slipring/engine/diag"
	"slipring/engine/sweeptest"
)

// A place is held by one run at a time: before its first site is there, over
// a site, and while other runs swap theirs.
func TestTakeWaits(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "visit")
	for _, what := range []string{"no site", "a site"} {
		first := mustTake(t, out)
		ended, end := context.WithCancel(t.Context())
		_, err := Take(ended, out, end)
		var m diag.Message
		if !errors.As(err, &m) || !strings.Contains(m.Text, "another run") || m.File != out || m.Hint == "" {
			t.Errorf("over %s, a second Take gives %v", what, err)
		}
		var told atomic.Int32
		taken := make(chan error)
		go func() {
			second, err := Take(t.Context(), out, func() { told.Add(1) })
			if err == nil {
				second.Release()
			}
			taken <- err
		}()
		for end := time.Now().Add(sweeptest.Patience); told.Load() == 0; time.Sleep(time.Millisecond) {
			if time.Now().After(end) {
				t.Fatal("who waits is not told so")
			}
		}
		if err := first.Write(smallTree(what)); err != nil {
			t.Fatal(err)
		}
		select {
		case err := <-taken:
			t.Errorf("over %s, the place is taken (%v) before it was given back", what, err)
		default:
		}
		first.Release()
		if err := <-taken; err != nil || told.Load() != 1 {
			t.Errorf("over %s, the second Take gives %v, told %d times to wait", what, err, told.Load())
		}
		if !sameTree(onDisk(t, out), smallTree(what)) || len(names(t, dir)) != 1 {
			t.Errorf("over %s, %q stand there", what, names(t, dir))
		}
	}
}

// Many runs at once end one after the other, each with a whole site.
func TestManyAtOnce(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "visit")
	var inside atomic.Int32
	var wait sync.WaitGroup
	for k := range 4 {
		wait.Go(func() {
			for i := range 5 {
				target, err := Take(t.Context(), out, nil)
				if err != nil {
					t.Error(err)
					return
				}
				if n := inside.Add(1); n != 1 {
					t.Errorf("%d runs hold the place", n)
				}
				mine := smallTree(fmt.Sprint(k, i))
				if err := target.Write(mine); err != nil {
					t.Error(err)
				}
				if !sameTree(onDisk(t, out), mine) {
					t.Error("a site of two runs stands there")
				}
				inside.Add(-1)
				target.Release()
			}
		})
	}
	wait.Wait()
	if got := names(t, dir); !slices.Equal(got, []string{"visit"}) {
		t.Errorf("beside the site stand %q", got)
	}
}

// A place that was taken and given back is as it was.
func TestReleaseLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "visit")
	mustTake(t, out).Release()
	if got := names(t, dir); len(got) != 0 {
		t.Errorf("there is %q", got)
	}
	mustWrite(t, smallTree("one"), out)
	stagedAt(t, out, smallTree("two")).Release()
	if got := names(t, dir); !slices.Equal(got, []string{"visit"}) || !sameTree(onDisk(t, out), smallTree("one")) {
		t.Errorf("there is %q", got)
	}
}

// Holds tells every way in which a site can differ from what was written.
func TestHolds(t *testing.T) {
	out := filepath.Join(t.TempDir(), "visit")
	at := func(name string) string { return filepath.Join(out, filepath.FromSlash(name)) }
	tree := smallTree("one")
	holds := func() bool {
		target := mustTake(t, out)
		defer target.Release()
		return target.Holds(tree.Sum())
	}
	if holds() {
		t.Error("a site that is not there is held")
	}
	for what, change := range map[string]func() error{
		"a changed byte": func() error {
			info, err := os.Stat(at("index.html"))
			if err != nil {
				return err
			}
			if err := os.WriteFile(at("index.html"), []byte("onf"), 0o644); err != nil {
				return err
			}
			return os.Chtimes(at("index.html"), info.ModTime(), info.ModTime()) // as if untouched
		},
		"a missing file":     func() error { return os.Remove(at("course/3/index.html")) },
		"a missing folder":   func() error { return os.RemoveAll(at("course/3")) },
		"an empty site":      func() error { return os.RemoveAll(at("course")) },
		"a file more":        func() error { return os.WriteFile(at("course/3/notes"), nil, 0o644) },
		"a folder more":      func() error { return os.Mkdir(at("course/mine"), 0o755) },
		"a file moved":       func() error { return os.Rename(at("course/3/index.html"), at("course/3/page.html")) },
		"another marker":     func() error { return os.WriteFile(at(Marker), []byte("mine"), 0o644) },
		"a file for a link":  func() error { return swapForLink(at("index.html"), at("course/3/index.html")) },
		"two files changed":  func() error { return os.Rename(at("index.html"), at("look/fonts/a.ttf")) },
		"a huge file more":   func() error { return hugeFile(at("course/3/film")) },
		"a page grown huge":  func() error { return hugeFile(at("index.html")) },
		"a huge marker":      func() error { return hugeFile(at(Marker)) },
		"a file cut to zero": func() error { return os.Truncate(at("look/fonts/a.ttf"), 0) },
	} {
		mustWrite(t, tree, out)
		if !holds() {
			t.Fatalf("before %s, the site does not hold what was written", what)
		}
		if err := change(); err != nil {
			if (strings.Contains(what, "link") || strings.Contains(what, "huge")) && runtime.GOOS == "windows" {
				continue // which makes links for administrators only, and gives each file its room
			}
			t.Fatal(err)
		}
		if holds() {
			t.Errorf("%s is not noticed", what)
		}
	}
}

// hugeFile makes a file longer than any memory, which takes no room on a disk.
func hugeFile(name string) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE, 0o644)
	if err != nil {
		return err
	}
	defer f.Close()
	return f.Truncate(1 << 40)
}

func swapForLink(name, to string) error {
	if err := os.Remove(name); err != nil {
		return err
	}
	return os.Symlink(to, name)
}

func TestSum(t *testing.T) {
	trees := []Tree{
		{}, {"a": nil}, {"b": nil}, {"a": []byte("b")}, {"a": nil, "b": nil},
		{"a": []byte("1"), "b": []byte("2")}, {"a": []byte("2"), "b": []byte("1")}, {"ab": nil}, {"a/b": nil},
	}
	seen := map[Sum]Tree{}
	for _, tree := range trees {
		sum := tree.Sum()
		if other, had := seen[sum]; had {
			t.Errorf("%q and %q have one sum", other, tree)
		}
		seen[sum] = tree
		if again := maps.Clone(tree).Sum(); again != sum {
			t.Errorf("%q has two sums", tree)
		}
	}
}
