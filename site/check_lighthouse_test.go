package site

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"slipring/render/browser"
)

// checkLighthouse: Lighthouse gives each of these pages at least 95 of 100 for
// accessibility and for best practices. Its figure for speed depends on the
// machine, so it is only reported.
func checkLighthouse(t *testing.T, dir string, pages []string) {
	script := filepath.Join(tool(t, "lighthouse", "SLIPRING_LIGHTHOUSE"), "cli", "index.js")
	program, ok := browser.Find()
	node, err := exec.LookPath("node")
	if err != nil || !ok {
		t.Fatalf("lighthouse needs node (%v) and a browser (%v)", err, ok)
	}
	server := httptest.NewServer(http.FileServer(http.Dir(dir)))
	defer server.Close()
	for _, page := range pages {
		out := filepath.Join(t.TempDir(), "report.json")
		run := exec.Command(node, script, server.URL+"/"+page, "--quiet", "--output=json", "--output-path="+out,
			"--only-categories=performance,accessibility,best-practices", "--chrome-flags=--headless --no-sandbox --disable-gpu --disable-dev-shm-usage")
		run.Env = append(os.Environ(), "CHROME_PATH="+program)
		if said, err := run.CombinedOutput(); err != nil {
			t.Errorf("%s: lighthouse: %v\n%s", page, err, said)
			continue
		}
		content, err := os.ReadFile(out)
		if err != nil {
			t.Fatal(err)
		}
		rate(t, page, content)
	}
}

// pagesToRate takes the start page, and the last lesson's panels and course
// page.
func pagesToRate(t *testing.T, pages []string) []string {
	t.Helper()
	var panel, course string
	for _, page := range pages {
		if strings.HasPrefix(page, "kiosk/") && languageOf(page) == "en" && page != "kiosk/index.html" {
			panel = page
		}
	}
	if panel == "" {
		t.Fatal("no lesson is on the kiosk")
	}
	course = "course/" + strings.TrimSuffix(strings.TrimPrefix(panel, "kiosk/"), ".html") + "/index.html"
	return []string{"index.html", course, panel}
}

func rate(t *testing.T, page string, report []byte) {
	t.Helper()
	var r struct {
		Categories map[string]struct {
			Score     *float64
			AuditRefs []struct {
				ID     string
				Weight float64
			}
		}
		Audits map[string]struct {
			Title string
			Score *float64
		}
	}
	if err := json.Unmarshal(report, &r); err != nil {
		t.Fatalf("%s: %v", page, err)
	}
	for _, category := range []string{"performance", "accessibility", "best-practices"} {
		c := r.Categories[category]
		if c.Score == nil {
			t.Errorf("%s has no figure for %s", page, category)
			continue
		}
		t.Logf("%s: %s %.0f", page, category, 100**c.Score)
		if category == "performance" || *c.Score >= 0.95 {
			continue
		}
		t.Errorf("%s has %.0f of 100 for %s", page, 100**c.Score, category)
		for _, ref := range c.AuditRefs {
			if a := r.Audits[ref.ID]; ref.Weight > 0 && a.Score != nil && *a.Score < 1 {
				t.Logf("    %s: %s", ref.ID, a.Title)
			}
		}
	}
}
