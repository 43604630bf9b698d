package main

import (
	"bytes"
	"context"
	"fmt"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"slipring/engine/sweeptest"
	"slipring/render/browser"
)

// TestPrintsChart prints a finder for the wall in two languages on each paper,
// and asks poppler for the size of its pages and type, and for all its words.
func TestPrintsChart(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	for _, name := range []string{"pdfinfo", "pdftotext", "pdftohtml"} {
		if _, err := exec.LookPath(name); err != nil {
			sweeptest.Missing(t, "browser", name+" of poppler-utils is missing")
		}
	}
	if _, ok := browser.Find(); !ok {
		sweeptest.Missing(t, "browser", "no browser of the Chromium family was found")
	}
	t.Parallel()
	dir, files := t.TempDir(), map[string]string{}
	for _, f := range must(txtar.ParseFile(filepath.Join(root, "cmd", "slipring", "testdata", "finder.txtar"))).Files {
		files[f.Name] = string(f.Data)
	}
	writeFolder(t, filepath.Join(dir, "lessons"), files)
	type paper struct {
		name, size string
		wide, high float64 // pt; ISO 216: A4 210 mm x 297 mm, A3 297 mm x 420 mm; Letter 8.5 in x 11 in
	}
	for _, p := range []paper{{"A4", "(A4)", 842, 595}, {"Letter", "(letter)", 792, 612}, {"A3", "(A3)", 1191, 842}} {
		out := filepath.Join(dir, p.name)
		var stdout, stderr bytes.Buffer
		args := []string{"-out", out, "-paper", p.name, "-edition", "chart", filepath.Join(dir, "lessons")}
		if code := printSheets(context.Background(), args, &stdout, &stderr, browser.Find); code != exitClean {
			t.Fatalf("exit code %d: %s", code, stderr.String())
		}
		for _, c := range []struct{ file, sheet, words string }{
			{"board.chart.pdf", "Sheet", "ask"}, {"board.chart.fr.pdf", "Feuille", "fr"},
		} {
			file := filepath.Join(out, c.file)
			info := tool(t, "pdfinfo", file)
			var wide, high float64
			size := regexp.MustCompile(`Page size: +([\d.]+) x ([\d.]+) pts \((\w+)\)`).FindStringSubmatch(info)
			if size == nil || "("+size[3]+")" != p.size {
				t.Fatalf("%s on %s: %s", c.file, p.name, info)
			}
			fmt.Sscan(size[1], &wide)
			fmt.Sscan(size[2], &high)
			if wide-p.wide > 1 || p.wide-wide > 1 || high-p.high > 1 || p.high-high > 1 {
				t.Errorf("%s on %s lies on pages of %v x %v pt", c.file, p.name, wide, high)
			}
			// A page about the chart, and a page for each of its four sheets.
			if !regexp.MustCompile(`Pages: +5\n`).MatchString(info) || !strings.Contains(info, "Tagged:          yes") {
				t.Errorf("%s on %s: %s", c.file, p.name, info)
			}
			for sheet := 1; sheet <= 4; sheet++ {
				page := tool(t, "pdftotext", "-f", fmt.Sprint(sheet+1), "-l", fmt.Sprint(sheet+1), file, "-")
				if !strings.Contains(page, fmt.Sprintf("%s %d ", c.sheet, sheet)) {
					t.Errorf("%s on %s: page %d is not sheet %d:\n%s", c.file, p.name, sheet+1, sheet, page)
				}
			}
			typeSizes(t, file, c.file)
			chartWords(t, file, files, c.words)
		}
	}
}

// chartWords fails where words that the cell tells, or that the translation has
// for them, are not on the chart.
func chartWords(t *testing.T, file string, files map[string]string, in string) {
	t.Helper()
	printed, n := lettersOf(tool(t, "pdftotext", file, "-")), 0
	form, from := `(?:Says|Ask|How): "([^"]*)"|(?:one|two)\("([^"]*)"`, files["01-board/lesson.md"]
	if in == "fr" {
		form, from = `reads = "([^"]*)"()`, files["01-board/words/fr.md"]
	}
	for _, m := range regexp.MustCompile(form).FindAllStringSubmatch(from, -1) {
		words := m[1] + m[2]
		n++
		if !strings.Contains(printed, lettersOf(words)) {
			// poppler may read lines of boxes beside each other in turn
			for word := range strings.FieldsSeq(words) {
				if !strings.Contains(printed, lettersOf(word)) {
					t.Errorf("%s has not %q of %q", filepath.Base(file), word, words)
				}
			}
		}
	}
	if n < 20 {
		t.Errorf("only %d texts were looked for", n)
	}
}
