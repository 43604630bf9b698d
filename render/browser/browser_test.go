package browser

import (
	"slices"
	"strings"
	"testing"
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
