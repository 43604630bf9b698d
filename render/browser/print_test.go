package browser

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"slipring/engine/sweeptest"
)

func TestAddress(t *testing.T) {
	for full, want := range map[string]string{"/a b/c#d.html": "file:///a%20b/c%23d.html", "C:/x/y.html": "file:///C:/x/y.html"} {
		if got := address(full); got != want {
			t.Errorf("%s is at %s, want %s", full, got, want)
		}
	}
}

// standIn writes a script that stands in for a browser, and a page.
func standIn(t *testing.T, body string) (program, page string) {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("the stand-in for a browser is a shell script")
	}
	dir := t.TempDir()
	program, page = filepath.Join(dir, "browser"), filepath.Join(dir, "page.html")
	for file, text := range map[string]string{page: "<!doctype html><title>T</title><h1>Words</h1>", program: "#!/bin/sh\n" + body + "\n"} {
		if err := os.WriteFile(file, []byte(text), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	return program, page
}

// A browser that fails, or never answers, is said to have done so.
func TestPrintFails(t *testing.T) {
	for _, c := range []struct {
		name, body, want string
		patience         time.Duration
	}{
		{"fails", "echo no display >&2; exit 3", "no display", 0},
		{"silent", "exit 0", "the browser fails", 0},
		{"endless", "exec sleep 600", "the browser was not done after 200ms", 200 * time.Millisecond},
	} {
		program, page := standIn(t, c.body)
		printer := NewPrinter(program, c.patience)
		defer printer.Close()
		if pdf, err := printer.Print(t.Context(), page); err == nil || !strings.Contains(err.Error(), c.want) || len(pdf) > 0 {
			t.Errorf("%s: the error is %v, want one that says %q", c.name, err, c.want)
		}
		if _, err := printer.Print(t.Context(), page+".gone"); err == nil || !os.IsNotExist(err) {
			t.Errorf("a page that is not there gives %v", err)
		}
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		if _, err := printer.Print(ctx, page); err == nil || err != context.Canceled {
			t.Errorf("a run that was stopped gives %v", err)
		}
	}
}

// A browser that crashes is started once more, and no third time; one that does
// not prints page after page.
func TestCrashOnce(t *testing.T) {
	found, ok := Find()
	if !ok {
		sweeptest.Missing(t, "browser", "no browser of the Chromium family was found")
	}
	for crashes, want := range map[int]string{0: "", 1: "", 2: "the browser fails"} {
		runs := filepath.Join(t.TempDir(), "runs")
		program, page := standIn(t, fmt.Sprintf("echo x >> %s\nif [ $(wc -l < %[1]s) -le %d ]; then kill -SEGV $$; fi\nexec %s \"$@\"", runs, crashes, found))
		printer := NewPrinter(program, sweeptest.Patience)
		defer printer.Close()
		for range 2 {
			pdf, err := printer.Print(t.Context(), page)
			if want == "" && (err != nil || !whole(pdf)) {
				t.Errorf("after %d crashes: %d bytes, %v", crashes, len(pdf), err)
			}
			if want != "" {
				if err == nil || !strings.Contains(err.Error(), want) {
					t.Errorf("after %d crashes: %v, want %s", crashes, err, want)
				}
				break
			}
		}
		if text, err := os.ReadFile(runs); err != nil || strings.Count(string(text), "x") != min(crashes+1, 2) {
			t.Errorf("with %d crashes the browser was started %q, %v", crashes, text, err)
		}
	}
}
