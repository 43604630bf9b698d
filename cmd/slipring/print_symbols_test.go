package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"slipring/engine/sweeptest"
	"slipring/render/browser"
)

// The chart of symbols is printed for the wall on each paper: on A3 one page, on
// A4 and Letter two at most, with no words under 12 pt (American Printing House
// for the Blind) and nothing beyond the paper.
func TestPrintsSymbols(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes a while")
	}
	if _, ok := browser.Find(); !ok {
		sweeptest.Missing(t, "browser", "no browser of the Chromium family was found")
	}
	lessons := t.TempDir()
	for name, text := range map[string]string{
		"house.toml":     "name = \"Brackenhythe Signal House\"\nplace = \"nowhere\"\ncontact = \"nobody\"\nnote = \"Invented for this test.\"\nlanguages = [\"en\", \"fr\"]\n",
		"01-a/lesson.md": "```lesson\ntitle = \"A lesson\"\n```\n\n# A lesson\n\nIt is drawn.\n\n```go\ntell.Schematic(\"d\", tell.Put(\"lamp\", \"H1\", \"\", 1, 1))\n```\n\n![A lamp](schematic:d)\n",
	} {
		file := filepath.Join(lessons, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		paper, size string
		most        int
	}{
		{"A4", "(A4)", 2}, {"Letter", "(letter)", 2}, {"A3", "(A3)", 1},
	} {
		out := t.TempDir()
		var stdout, stderr strings.Builder
		if code := printSheets(context.Background(), []string{"-out", out, "-paper", c.paper, "-edition", "symbols", lessons}, &stdout, &stderr, browser.Find); code != exitClean {
			t.Fatalf("exit code %d: %s", code, stderr.String())
		}
		file := filepath.Join(out, "symbols.chart.pdf")
		info := tool(t, "pdfinfo", file)
		pages := 0
		if m := regexp.MustCompile(`(?m)^Pages:\s+(\d+)`).FindStringSubmatch(info); m != nil {
			fmt.Sscan(m[1], &pages)
		}
		if pages < 1 || pages > c.most || !strings.Contains(info, c.size) {
			t.Errorf("on %s the chart takes %d pages, %d at most were asked for:\n%s", c.paper, pages, c.most, info)
		}
		sizesAtLeast(t, file, 12)
		text := tool(t, "pdftotext", "-layout", file, "-")
		for _, want := range []string{"relay coil", "bobine de relais", "frame", "zigzag"} {
			if !strings.Contains(text, want) {
				t.Errorf("on %s the chart lacks %q", c.paper, want)
			}
		}
	}
}
