package site

import (
	"compress/gzip"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"slipring/engine/sweeptest"
	"slipring/render/browser"
)

// least is what Lighthouse has to give each of these pages, of 100, on its model
// of a telephone.
const least = 95

// Lighthouse's figure for performance also counts how busy the machine was that
// ran it, so that the same page has 97 at one time and 85 at another. What it
// is made of stands still, and that is limited here instead, a little above what
// the pages have. The figure itself is logged.
const (
	mostBytes    = 400 * 1000 // as they go over the wire, packed, fonts with them: the whole ones on pages with rare letters
	mostRequests = 32
	mostElements = 3400 // a lesson whose numbers and claims each open a story
	mostShift    = 0.25 // "poor" is above, says web.dev, "Cumulative Layout Shift (CLS)" (from memory); what shifts are fonts that come late, which a busy machine makes later: 0.15 was seen on one, 0.01 alone
)

// skipped lists the audit that does not apply: pages are files, opened from a
// disk too, and robots.txt belongs to the host that may serve them. Lighthouse
// would have the page fetch it, which the page's policy does not allow
// (default-src 'none'), and take it for broken. That no such file is published
// is tested: RFC 9309, section 2.3.1.3, then lets crawlers read everything.
const skipped = "robots-txt"

// checkLighthouse: Lighthouse gives each of these pages at least 95 of 100 for
// accessibility, for best practices and for what search engines ask, and they
// keep within limits of what has to be loaded.
func checkLighthouse(t *testing.T, dir string, pages []string) {
	script := filepath.Join(tool(t, "lighthouse", "SLIPRING_LIGHTHOUSE"), "cli", "index.js")
	program, ok := browser.Find()
	node, err := exec.LookPath("node")
	if err != nil || !ok {
		t.Fatalf("lighthouse needs node (%v) and a browser (%v)", err, ok)
	}
	server := host(dir)
	defer server.Close()
	if _, err := os.Stat(filepath.Join(dir, "robots.txt")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("robots.txt is published, so that its audit applies: %v", err)
	}
	for _, page := range pages {
		out := filepath.Join(t.TempDir(), "report.json")
		run := exec.Command(node, script, server.URL+"/"+page, "--quiet", "--output=json", "--output-path="+out,
			"--only-categories=performance,accessibility,best-practices,seo", "--skip-audits="+skipped, "--chrome-flags=--headless --no-sandbox --disable-gpu --disable-dev-shm-usage --ignore-certificate-errors")
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

// host serves a site as those who keep web servers do: by HTTP/2, with text packed.
func host(dir string) *httptest.Server {
	files := http.FileServer(http.Dir(dir))
	server := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if path.Ext(r.URL.Path) == ".woff" {
			files.ServeHTTP(w, r)
			return
		}
		w.Header().Set("Content-Encoding", "gzip")
		pack := gzip.NewWriter(w)
		defer pack.Close()
		files.ServeHTTP(packed{w, pack}, r)
	}))
	server.EnableHTTP2 = true
	server.StartTLS()
	return server
}

type packed struct {
	http.ResponseWriter
	pack io.Writer
}

func (p packed) Write(content []byte) (int, error) { return p.pack.Write(content) }

// pagesToRate takes one page of each kind that a browser makes something else
// of, in one language or the other; of a lesson, that with the longest page of the
// course, which need not be on the kiosk. Pages that share a template and a style sheet are one kind here: the
// sweep and axe-core look at each of them.
func pagesToRate(t *testing.T, dir string, pages []string) []string {
	t.Helper()
	heaviest, most := "", int64(0)
	for _, page := range pages {
		if info, err := os.Stat(filepath.Join(dir, filepath.FromSlash(page))); err == nil && kindOf(page, pages) == "course/lesson" && info.Size() > most {
			heaviest, most = path.Base(path.Dir(page)), info.Size()
		}
	}
	kinds := map[string][]string{
		"start": {""}, "lists": {"course/sources", "course/glossary"}, "map": {"course"}, "lesson": {"course/lesson"},
		"at the machine": {"course/at-the-machine", "course/sign-off"}, "machine": {"course/engine", "course/engine/part"}, "cells": {"course/engine/cells", "course/engine/cells-of"},
		"sheets": {"handout"}, "a sheet": {"handout/lesson", "handout/lesson-guide", "handout/lesson.large", "handout/lesson.talk",
			"handout/teachers.sheet", "handout/hanging.sheet", "handout/spoken.sheet"},
		"logbook": {"logbook"}, "kiosk": {"kiosk"}, "kiosk's lesson": {"kiosk/lesson"},
	}
	of := map[string]string{}
	for name, list := range kinds {
		for _, kind := range list {
			of[kind] = name
		}
	}
	asked := slices.DeleteFunc(slices.Clone(pages), func(page string) bool {
		kind := kindOf(page, pages)
		return of[kind] == "" || strings.Contains(kind, "/lesson") && kind != "kiosk/lesson" && !strings.Contains(page, "/"+heaviest)
	})
	rated := sweeptest.Some(t, asked, 1, func(page string) string { return of[kindOf(page, pages)] })
	if len(rated) != len(kinds) {
		t.Errorf("%d pages are of %d kinds: %q", len(rated), len(kinds), rated)
	}
	return rated
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
			Title        string
			Score        *float64
			NumericValue *float64
			Details      struct {
				Items []struct{ URL, ResourceType, Priority string }
			}
		}
	}
	if err := json.Unmarshal(report, &r); err != nil {
		t.Fatalf("%s: %v", page, err)
	}
	for _, category := range []string{"performance", "accessibility", "best-practices", "seo"} {
		c := r.Categories[category]
		if c.Score == nil {
			t.Errorf("%s has no figure for %s", page, category)
			continue
		}
		t.Logf("%s: %s %.0f", page, category, 100**c.Score)
		if category == "performance" || 100**c.Score >= least {
			continue
		}
		t.Errorf("%s has %.0f of 100 for %s", page, 100**c.Score, category)
		for _, ref := range c.AuditRefs {
			if a := r.Audits[ref.ID]; ref.Weight > 0 && a.Score != nil && *a.Score < 1 {
				t.Logf("    %s: %s", ref.ID, a.Title)
			}
		}
	}
	for audit, most := range map[string]float64{"total-byte-weight": mostBytes, "dom-size": mostElements, "cumulative-layout-shift": mostShift} {
		has := r.Audits[audit].NumericValue
		if has == nil {
			t.Errorf("%s has no figure for %s", page, audit)
			continue
		}
		t.Logf("%s: %s %.3g", page, audit, *has)
		if *has > most {
			t.Errorf("%s has %.3g for %s, of at most %g", page, *has, audit, most)
		}
	}
	requests := r.Audits["network-requests"].Details.Items
	t.Logf("%s: %d requests", page, len(requests))
	if len(requests) == 0 || len(requests) > mostRequests {
		t.Errorf("%s needs %d requests, of at most %d", page, len(requests), mostRequests)
	}
	for _, one := range requests {
		if one.ResourceType == "Script" && one.Priority != "Low" { // what Chromium gives a script that is deferred
			t.Errorf("%s waits for %s before it shows anything: priority %s", page, one.URL, one.Priority)
		}
	}
}
