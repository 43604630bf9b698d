package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"slipring/engine/sweeptest"
	"slipring/render/browser/browsertest"
)

// screen is what a command has printed so far.
type screen struct {
	lock sync.Mutex
	text bytes.Buffer
}

func (s *screen) Write(p []byte) (int, error) {
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.text.Write(p)
}

func (s *screen) String() string {
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.text.String()
}

// waitFor waits until the screen shows, behind an offset, what a pattern asks
// for, and gives the match.
func (s *screen) waitFor(t *testing.T, from int, pattern string) string {
	t.Helper()
	re := regexp.MustCompile(pattern)
	for end := time.Now().Add(sweeptest.Patience); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if found := re.FindString(s.String()[from:]); found != "" {
			return found
		}
	}
	t.Fatalf("%q did not appear; the screen:\n%s", pattern, s)
	return ""
}

// TestRehearse writes a lesson with its page open: a changed word shows without
// a cell being run, a changed cell runs its own lesson alone, a broken lesson
// shows what is wrong over the last good page, and an interrupt ends it all.
// How long a word takes to show is reported, and not judged.
func TestRehearse(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes minutes, and the race detector sees it from outside alone")
	}
	chrome := browsertest.Start(t)
	work := t.TempDir()
	t.Parallel()
	publishShipped(t)
	dir := filepath.Join(work, "lessons")
	if err := os.CopyFS(dir, os.DirFS(shipped)); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "07-why-it-does-not-hunt", "lesson.md")
	original, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	write := func(old, new string) {
		t.Helper()
		if n := strings.Count(string(original), old); n != 1 {
			t.Fatalf("%q stands %d times in the lesson", old, n)
		}
		if err := os.WriteFile(file, []byte(strings.Replace(string(original), old, new, 1)), 0o644); err != nil {
			t.Fatal(err)
		}
	}

	ctx, interrupt := context.WithCancel(context.Background())
	out := &screen{}
	ended := make(chan int)
	go func() { ended <- run(ctx, []string{"rehearse", dir}, out, out) }()
	url := strings.TrimSuffix(out.waitFor(t, 0, `http://127\.0\.0\.1:\d+/`), "/")
	t.Cleanup(interrupt)

	shows := func(selector, words string) {
		t.Helper()
		script := "String(document.querySelector(`" + selector + "`).innerText.includes(`" + words + "`))"
		for end := time.Now().Add(sweeptest.Patience); time.Now().Before(end); time.Sleep(2 * time.Millisecond) {
			// While a page loads anew there is nothing to ask, which is an error.
			if got, err := chromedp.Run(chrome, chromedp.Evaluate[string](script)); err == nil && got == "true" {
				return
			}
		}
		t.Fatalf("the page does not come to show %q; the screen:\n%s", words, out)
	}
	if err := chromedp.Do(chrome, chromedp.Navigate(url+"/course/why-it-does-not-hunt/")); err != nil {
		t.Fatal(err)
	}
	shows("main", "jerk along the road")

	var times []time.Duration
	for i := range sweeptest.Count(2, 20) {
		word := fmt.Sprintf("thing number %d", i)
		from := len(out.String())
		began := time.Now()
		write("jerk along the road", "jerk along "+word)
		shows("main", "jerk along "+word)
		times = append(times, time.Since(began))
		out.waitFor(t, from, `\(0 run anew\)`)
	}
	slices.Sort(times)
	t.Logf("from the written file to the word on the page, %d times: median %v, longest %v", len(times), times[len(times)/2], times[len(times)-1])

	from := len(out.String())
	write(`idle.Traces("governor contact", "output").Turns(3)`, `idle.Traces("governor contact", "output").Turns(2)`)
	out.waitFor(t, from, `\(1 run anew\)`)

	// A number that has drifted does not stop a rehearsal: the page shows the
	// computed one, marked.
	from = len(out.String())
	write("[16.65 Hz][idle.speed]", "[16.15 Hz][idle.speed]")
	out.waitFor(t, from, `"16.15 Hz" is written, but the model gives 16.65 Hz`)
	shows("data.drifted", "16.65 Hz")

	from = len(out.String())
	write("[16.65 Hz][idle.speed]", "[16.65 Hz][idel.speed]")
	out.waitFor(t, from, `nothing defines the label "idel.speed"`)
	shows("main", "jerk along the road") // the last good page stays

	from = len(out.String())
	write("jerk along the road", "jerk along the mended road")
	shows("main", "jerk along the mended road")
	out.waitFor(t, from, `0 warnings`)

	interrupt()
	select {
	case code := <-ended:
		if code != exitClean {
			t.Errorf("an interrupted rehearsal exits with %d", code)
		}
	case <-time.After(sweeptest.Patience):
		t.Fatal("an interrupt does not end the rehearsal")
	}
}
