//go:build unix

package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"slipring/engine/sweeptest"
)

// two are two folders of lessons and the pages of each, which share no page and
// not the number of pages.
type two struct {
	lessons [2]string
	pages   [2]map[string]string
}

// newTwo gives two folders of lessons to publish, but not to write to. Their
// results are known.
func newTwo(t *testing.T) two {
	t.Helper()
	s, err := twoOnce()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var twoOnce = sync.OnceValues(func() (s two, err error) {
	for i := range s.lessons {
		work := filepath.Join(scratch, fmt.Sprint("two-", i))
		s.lessons[i] = filepath.Join(work, "lessons")
		if err := generateIn(s.lessons[i], 1+i); err != nil {
			return s, err
		}
		name := strings.Replace(house+rotating, "A house of no particular kind", fmt.Sprintf("House number %d", i), 1)
		if err := os.WriteFile(filepath.Join(s.lessons[i], "house.toml"), []byte(name), 0o644); err != nil {
			return s, err
		}
		if s.pages[i], err = publishIn(work); err != nil {
			return s, err
		}
	}
	return s, nil
})

// TestKilledPublish kills publishes at random moments: the process alone, the
// process with those that run its cells, or only these. After each, the site is
// the whole old one or the whole new one, the next run works, and nothing that a
// killed run left lasts.
func TestKilledPublish(t *testing.T) {
	t.Parallel()
	random := sweeptest.Random(t)
	s := newTwo(t)
	dir := t.TempDir()
	out := filepath.Join(dir, "visit")

	start := func(target int, fresh bool) *exec.Cmd {
		t.Helper()
		args := []string{"publish", "-out", out}
		if fresh {
			args = append(args, "-fresh")
		}
		c := exec.Command("slipring", append(args, s.lessons[target])...)
		c.Stdout = &bytes.Buffer{}
		c.Stderr = c.Stdout
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		return c
	}
	var takes [2]time.Duration // of a run that knows all results, and of one that runs all
	for i, fresh := range []bool{false, true} {
		for target := range 2 { // the second time from one site to the other
			began := time.Now()
			if c := start(target, fresh); c.Wait() != nil {
				t.Fatal(c.Stdout)
			}
			takes[i] = time.Since(began)
		}
	}

	// Some runs end before their moment, so that there may have to be more.
	runs, linux := sweeptest.Count(10, 100), runtime.GOOS == "linux"
	now, killed, swapped, left, orphans := 1, 0, 0, 0, 0
	i := 0
	for ; i < runs || killed < runs/3 || left == 0 || orphans == 0 && linux; i++ {
		if i == 10*runs {
			t.Fatalf("only %d of %d runs were killed, folders were left %d times, and %d processes that ran cells were seen", killed, i, left, orphans)
		}
		target, fresh, whom := 1-now, i%2 == 1, i/2%3
		if i%10 == 9 {
			target = now // and there is nothing to do
		}
		span := takes[0]
		if fresh {
			span = takes[1]
		}
		c := start(target, fresh)
		switch moment := random.IntN(3); {
		case moment == 0 && fresh && linux: // cells run
			await(c, func() bool { return len(childrenOf(c.Process.Pid)) > 0 })
		case moment == 1 && linux: // pages are written
			some := random.IntN(len(s.pages[target]))
			await(c, func() bool { return beside(dir) > some })
		default: // at any time
			time.Sleep(time.Duration(random.Float64() * 1.1 * float64(span)))
		}
		children := childrenOf(c.Process.Pid)
		if whom > 0 {
			for _, pid := range children {
				_ = syscall.Kill(pid, syscall.SIGKILL) // it may have ended
			}
		}
		if whom < 2 {
			if err := c.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
				t.Fatal(err)
			}
		}
		err := c.Wait()
		if !c.ProcessState.Exited() {
			killed++
		} else if err != nil && whom < 2 {
			t.Fatalf("kill %d: a publish that was not killed failed:\n%s", i, c.Stdout)
		}
		for _, pid := range children {
			orphans++
			gone(t, pid)
		}
		for _, e := range must(os.ReadDir(dir)) {
			if e.Name() != "visit" {
				left++
			}
		}
		if _, err := os.Stat(out); errors.Is(err, fs.ErrNotExist) && !linux {
			if c := start(target, false); c.Wait() != nil { // it was between its two renames
				t.Fatal(c.Stdout)
			}
		}
		switch pages := must(readTree(out)); {
		case maps.Equal(pages, s.pages[now]):
			if err == nil && target != now {
				t.Fatalf("kill %d: a publish said that it was done, and the old site is there", i)
			}
		case maps.Equal(pages, s.pages[target]):
			now = target
			swapped++
		default:
			t.Fatalf("kill %d leaves %d files of no site", i, len(pages))
		}
	}
	t.Logf("of %d publishes of about %v, or %v with cells run, %d were killed and %d put their site in place; folders left by killed runs were seen %d times, and %d processes that ran cells were left alone",
		i, takes[0].Round(time.Millisecond), takes[1].Round(time.Millisecond), killed, swapped, left, orphans)

	for _, target := range []int{1 - now, now} {
		if c := start(target, false); c.Wait() != nil {
			t.Fatalf("the publish after all kills failed:\n%s", c.Stdout)
		}
		if !maps.Equal(must(readTree(out)), s.pages[target]) {
			t.Error("the publish after all kills gives other pages")
		}
	}
	if got := must(os.ReadDir(dir)); len(got) != 1 {
		t.Errorf("beside the site stand %v", got)
	}
}

// childrenOf gives the processes that a process started, where the system tells
// (Linux, proc_tid_children(5)).
func childrenOf(pid int) []int {
	var all []int
	lists, _ := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/children", pid))
	for _, list := range lists {
		text, _ := os.ReadFile(list) // the process may have ended
		for _, word := range strings.Fields(string(text)) {
			if child, err := strconv.Atoi(word); err == nil {
				all = append(all, child)
			}
		}
	}
	return all
}

// lives says whether a process has not ended, where the system tells. One that
// has ended and that nobody has asked after is a zombie (proc_pid_stat(5)).
func lives(pid int) bool {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	return err == nil && !bytes.Contains(text, []byte(") Z "))
}

// gone waits until a process has ended.
func gone(t *testing.T, pid int) {
	t.Helper()
	for end := time.Now().Add(sweeptest.Patience); lives(pid); time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("process %d outlives the publish that started it", pid)
		}
	}
}

// await waits until something is so, or a command has ended.
func await(c *exec.Cmd, so func() bool) {
	for !so() && lives(c.Process.Pid) {
		time.Sleep(100 * time.Microsecond)
	}
}

// beside counts the files that stand beside the site of a folder.
func beside(dir string) int {
	n := 0
	_ = filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil: // it was there a moment ago
		case name == filepath.Join(dir, "visit"):
			return fs.SkipDir
		case !d.IsDir():
			n++
		}
		return nil
	})
	return n
}

// TestTwoPublishes holds one publish in its middle while another begins: that
// one says that it waits, waits, and comes after it.
func TestTwoPublishes(t *testing.T) {
	t.Parallel()
	s := newTwo(t)
	for _, over := range []string{"no site", "a site"} {
		dir := t.TempDir()
		out := filepath.Join(dir, "visit")
		if over == "a site" {
			if code, text := call("publish", "-out", out, s.lessons[1]); code != exitClean {
				t.Fatal(text)
			}
		}
		begin := func(target int) (*exec.Cmd, *screen) {
			c, said := exec.Command("slipring", "publish", "-fresh", "-out", out, s.lessons[target]), &screen{}
			c.Stdout, c.Stderr = said, said
			if err := c.Start(); err != nil {
				t.Fatal(err)
			}
			t.Cleanup(func() { _ = c.Process.Kill() })
			return c, said
		}
		until := func(what string, is func() bool) {
			t.Helper()
			for end := time.Now().Add(sweeptest.Patience); !is(); time.Sleep(time.Millisecond) {
				if time.Now().After(end) {
					t.Fatalf("over %s, waited in vain until %s", over, what)
				}
			}
		}
		first, firstSaid := begin(0)
		held := filepath.Join(dir, "visit.new-0", ".slipring-pages")
		until("the first publish is at work", func() bool { info, err := os.Stat(held); return err == nil && info.Size() > 0 })
		if err := first.Process.Signal(syscall.SIGSTOP); err != nil {
			t.Fatal(err)
		}
		second, secondSaid := begin(1)
		until("the second says that it waits", func() bool {
			return strings.Contains(secondSaid.String(), "another run of slipring is publishing into "+out+"; waiting")
		})
		before := slices.Sorted(maps.Keys(must(readTree(dir))))
		time.Sleep(100 * time.Millisecond) // in which it could do what it should not
		if after := slices.Sorted(maps.Keys(must(readTree(dir)))); !slices.Equal(before, after) {
			t.Errorf("over %s, the second publish works while the first is there: %q, then %q", over, before, after)
		}
		if err := first.Process.Signal(syscall.SIGCONT); err != nil {
			t.Fatal(err)
		}
		if err := first.Wait(); err != nil {
			t.Errorf("over %s, the first publish: %v\n%s", over, err, firstSaid)
		}
		if err := second.Wait(); err != nil {
			t.Errorf("over %s, the second publish: %v\n%s", over, err, secondSaid)
		}
		if !maps.Equal(must(readTree(out)), s.pages[1]) {
			t.Errorf("over %s, the pages are not those of the second publish", over)
		}
		if got := must(os.ReadDir(dir)); len(got) != 1 {
			t.Errorf("over %s, beside the site stand %v", over, got)
		}
	}
}
