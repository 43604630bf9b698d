package site

import (
	"encoding/json"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strings"
	"testing"
)

// checkMarkup: the Nu Html Checker, which holds pages against the HTML Standard
// and style sheets against those of CSS, finds no error and has nothing to
// warn of.
func checkMarkup(t *testing.T, dir string, pages []string) {
	jar := filepath.Join(tool(t, "vnu", "SLIPRING_VNU"), "build", "dist", "vnu.jar")
	if _, err := os.Stat(jar); err != nil {
		t.Fatalf("SLIPRING_VNU is no folder of the npm package vnu-jar: %v", err)
	}
	java, err := exec.LookPath("java")
	if err != nil {
		t.Fatal(err)
	}
	var html, css []string
	for _, page := range pages {
		html = append(html, filepath.Join(dir, filepath.FromSlash(page)))
	}
	for _, pattern := range []string{"*.css", "*/*.css", "*/*/*.css"} {
		found, err := filepath.Glob(filepath.Join(dir, filepath.FromSlash(pattern)))
		if err != nil {
			t.Fatal(err)
		}
		css = append(css, found...)
	}
	if len(css) == 0 {
		t.Fatal("there is no style sheet")
	}
	css = forChecker(t, css)
	files := 0
	for _, kind := range []struct {
		paths, flags []string
	}{{html, nil}, {css, []string{"--css"}}} {
		paths := kind.paths
		args := append([]string{"-jar", jar, "--format", "json", "--stdout", "--exit-zero-always"}, kind.flags...)
		out, err := exec.Command(java, append(args, paths...)...).Output()
		if err != nil {
			t.Fatalf("the checker: %v\n%s", err, out)
		}
		var found struct {
			Messages []struct {
				Type, URL, Message, Extract string
				LastLine                    int
			}
		}
		if err := json.Unmarshal(out, &found); err != nil {
			t.Fatalf("the checker says %.200q: %v", out, err)
		}
		files += len(paths)
		for _, m := range found.Messages {
			// A page that is read from a disk has no origin for 'self' to name.
			if m.Type == "info" && strings.Contains(m.Message, "violates Content Security Policy") {
				continue
			}
			_, page, inside := strings.Cut(m.URL, filepath.Base(dir)+"/")
			if !inside {
				page = "look/" + path.Base(m.URL)
			}
			t.Errorf("%s:%d: %s: %s\n    %s", page, m.LastLine, m.Type, m.Message, m.Extract)
		}
	}
	t.Logf("%d files", files)
}

// forChecker copies style sheets for a checker that knows no container queries
// (CSS Containment Module Level 3, W3C): they stand there as queries of the
// window, so that what is in them is checked too.
func forChecker(t *testing.T, sheets []string) (copies []string) {
	t.Helper()
	dir := t.TempDir()
	known := strings.NewReplacer("@container (", "@media (", "container-type: inline-size;", "", "cqw", "vw")
	for _, sheet := range sheets {
		content, err := os.ReadFile(sheet)
		if err != nil {
			t.Fatal(err)
		}
		to := filepath.Join(dir, filepath.Base(sheet))
		if err := os.WriteFile(to, []byte(known.Replace(string(content))), 0o600); err != nil {
			t.Fatal(err)
		}
		copies = append(copies, to)
	}
	return copies
}
