package main

import (
	"fmt"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/sweeptest"
	"slipring/render/browser"
	"slipring/site"
)

// Each talk of the shipped lessons is one page, on both papers and in both
// languages, says that it is invented, has room for ten to sign, and has no
// type smaller than 12 pt.
func TestTalksPrint(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	for _, name := range []string{"pdfinfo", "pdftotext", "pdftohtml"} {
		if _, err := exec.LookPath(name); err != nil {
			sweeptest.Missing(t, "browser", name+" of poppler-utils is missing")
		}
	}
	program, ok := browser.Find()
	if !ok {
		sweeptest.Missing(t, "browser", "no browser of the Chromium family was found")
	}
	t.Parallel()
	for paper := range papers() {
		p, code := readPrinting([]string{"-out", t.TempDir(), "-paper", paper, shipped}, t.Output(), t.Output())
		if code >= 0 {
			t.Fatal("the flags are refused")
		}
		p.program = program
		w, tree, messages := buildSite(t.Context(), p.options, openLessons(t, p.lessons), p.cache(), t.Output())
		if diag.HasError(messages) {
			t.Fatal(messages)
		}
		talks := slices.DeleteFunc(site.Sheets(w.input()), func(s site.Sheet) bool { return s.Edition != "talk" })
		if len(talks) != 2*12 {
			t.Errorf("there are %d talks", len(talks))
		}
		talks = sweeptest.Sample(t, talks, 3)
		if _, err := p.all(t.Context(), tree, talks, newProgress(t.Output())); err != nil {
			t.Fatal(err)
		}
		for _, s := range talks {
			checkTalk(t, filepath.Join(p.out, s.Name()+".pdf"), paper)
		}
	}
}

func checkTalk(t *testing.T, file, paper string) {
	name := paper + " " + filepath.Base(file)
	if info := tool(t, "pdfinfo", file); !regexp.MustCompile(`(?m)^Pages:\s+1$`).MatchString(info) {
		t.Errorf("%s is not one page:\n%s", name, info)
	}
	text := strings.Join(strings.Fields(tool(t, "pdftotext", file, "-")), " ")
	invented, sign := "This story is invented.", "Name, signature"
	if strings.HasSuffix(file, ".fr.pdf") {
		invented, sign = "Cette histoire est inventée.", "Nom, signature"
	}
	if !strings.Contains(text, invented) || strings.Count(text, sign) != 10 {
		t.Errorf("%s does not say %q, or does not ask ten to sign: %s", name, invented, text)
	}
	const zoom = 3 // the most; sizes are written in whole points
	sizes := regexp.MustCompile(`<fontspec [^>]*size="(\d+)"`).FindAllStringSubmatch(tool(t, "pdftohtml", "-xml", "-i", "-stdout", "-zoom", fmt.Sprint(zoom), file), -1)
	if len(sizes) == 0 {
		t.Errorf("%s has no type", name)
	}
	for _, m := range sizes {
		if size, err := strconv.Atoi(m[1]); err != nil || size < 12*zoom {
			t.Errorf("%s has type of %d/%d pt", name, size, zoom)
		}
	}
}
