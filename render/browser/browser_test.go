package browser

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"
)

func TestNames(t *testing.T) {
	env := func(list map[string]string) func(string) string {
		return func(name string) string { return list[name] }
	}
	for _, c := range []struct {
		system string
		env    map[string]string
		want   []string
		not    string
	}{
		{"linux", nil, []string{"chromium", "google-chrome", "microsoft-edge", "/snap/bin/chromium"}, "Applications"},
		{"darwin", map[string]string{"HOME": "/Users/x"}, []string{"chromium", "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome", "/Users/x/Applications/Chromium.app/Contents/MacOS/Chromium"}, "snap"},
		{"windows", map[string]string{"ProgramFiles": `D:\Programs`, "LocalAppData": `C:\Users\x\AppData\Local`},
			[]string{"msedge", `D:\Programs\Microsoft\Edge\Application\msedge.exe`, `C:\Users\x\AppData\Local\Google\Chrome\Application\chrome.exe`}, "snap"},
	} {
		got := names(c.system, env(c.env))
		for _, want := range c.want {
			if !slices.Contains(got, want) {
				t.Errorf("on %s, %q is not looked for in %q", c.system, want, got)
			}
		}
		for _, name := range got {
			if strings.Contains(name, c.not) || strings.HasPrefix(name, `\`) {
				t.Errorf("on %s, %q is looked for", c.system, name)
			}
		}
	}
}

func TestAddress(t *testing.T) {
	for full, want := range map[string]string{"/a b/c#d.html": "file:///a%20b/c%23d.html", "C:/x/y.html": "file:///C:/x/y.html"} {
		if got := address(full); got != want {
			t.Errorf("%s is at %s, want %s", full, got, want)
		}
	}
}

// script writes a stand-in for a browser.
func script(t *testing.T, body string) string {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("the stand-in for a browser is a shell script")
	}
	name := filepath.Join(t.TempDir(), "browser")
	if err := os.WriteFile(name, []byte("#!/bin/sh\n"+body+"\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	return name
}

const findOut = `for a in "$@"; do case "$a" in --print-to-pdf=*) out="${a#*=}";; esac; done`

// A browser that fails, writes nothing or half a file, or never ends, is said
// to have done so.
func TestPrintFails(t *testing.T) {
	page := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(page, []byte("<p>x"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, body, want string
		patience         time.Duration
	}{
		{"fails", "echo no display >&2; exit 3", "exit status 3 (no display)", 0},
		{"nothing", "exit 0", "wrote no PDF", 0},
		{"half", findOut + "\nprintf '%%PDF-1.4 half' > \"$out\"", "not whole", 0},
		{"endless", "exec sleep 600", "the browser was not done after 200ms", 200 * time.Millisecond},
	} {
		_, err := Printer{Program: script(t, c.body), Patience: c.patience}.Print(context.Background(), page)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: the error is %v, want one that says %q", c.name, err, c.want)
		}
	}
	whole := script(t, findOut+"\nprintf '%%PDF-1.4\\n%%%%EOF\\n' > \"$out\"")
	if pdf, err := (Printer{Program: whole}).Print(context.Background(), page); err != nil || !strings.HasPrefix(string(pdf), "%PDF-") {
		t.Errorf("a whole PDF gives %q, %v", pdf, err)
	}
	if _, err := (Printer{Program: whole}).Print(context.Background(), page+".gone"); err == nil {
		t.Error("a page that is not there is printed")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := (Printer{Program: whole}).Print(ctx, page); err == nil {
		t.Error("a run that was stopped prints")
	}
}
