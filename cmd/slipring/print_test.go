package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/sweeptest"
	"slipring/render/browser"
	"slipring/site"
	"slipring/site/publish"
)

func nowhere() (string, bool) { return "", false }

// Without a browser there is one message, which names the page to print by
// hand, and nothing is run.
func TestPrintWithoutBrowser(t *testing.T) {
	out := filepath.Join(t.TempDir(), "prints")
	var stdout, stderr bytes.Buffer
	code := printSheets(context.Background(), []string{"-out", out, shipped}, &stdout, &stderr, nowhere)
	page := filepath.Join("visit", "handout", "index.html")
	if code != exitWrong || !strings.Contains(stderr.String(), "no browser") || !strings.Contains(stderr.String(), page) || strings.Count(stderr.String(), "\n") != 2 {
		t.Errorf("exit code %d, %q", code, stderr.String())
	}
	if _, err := os.Stat(out); err == nil {
		t.Error("a folder was made without a browser")
	}
}

func TestPrintCalledWrongly(t *testing.T) {
	pages := t.TempDir()
	if err := os.WriteFile(filepath.Join(pages, publish.Marker), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"-paper", "A5"}, `there is no paper "A5"`},
		{[]string{"-edition", "guide,poster"}, `there is no edition "poster"`},
		{[]string{"-patience", "0s"}, "-patience"},
		{[]string{"-out", filepath.Join(pages, "prints")}, "the next publish would remove"},
		{[]string{"-browser", "no/such"}, `there is no browser "no/such"`},
	} {
		var stdout, stderr bytes.Buffer
		if code := printSheets(context.Background(), append(c.args, shipped), &stdout, &stderr, nowhere); code != exitUsage || !strings.Contains(stderr.String(), c.want) {
			t.Errorf("%q: exit code %d, %q", c.args, code, stderr.String())
		}
	}
}

// What is wrong in a lesson, or stops the browser, leaves the sheets that were
// printed before.
func TestPrintKeepsWhatWasThere(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("XDG_CACHE_HOME", filepath.Join(dir, "cache"))
	lessons, out := filepath.Join(dir, "lessons"), filepath.Join(dir, "prints")
	write := func(name, content string) {
		t.Helper()
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write(filepath.Join(lessons, "house.toml"), "name = \"H\"\nplace = \"here\"\nnote = \"invented\"\ncontact = \"the desk\"\nlanguages = [\"en\"]\n")
	write(filepath.Join(lessons, "01-one", "lesson.md"), "```lesson\ntitle = \"One\"\n```\n\nWords.\n\n```visitor\nWords.\n```\n")
	write(filepath.Join(out, "one.pdf"), "before")
	self, err := os.Executable() // which does not know the switches of a browser
	if err != nil {
		t.Fatal(err)
	}
	run := func() (int, string) {
		var stdout, stderr bytes.Buffer
		code := printSheets(context.Background(), []string{"-out", out, "-browser", self, lessons}, &stdout, &stderr, nowhere)
		return code, stderr.String()
	}
	if code, said := run(); code != exitWrong || !strings.Contains(said, "the browser fails") || !strings.Contains(said, "by hand") {
		t.Errorf("a browser that fails gives exit code %d, %q", code, said)
	}
	write(filepath.Join(lessons, "01-one", "lesson.md"), "```lesson\ntitle = \"One\"\n```\n\nIt makes [20 Hz][no.such].\n")
	if code, said := run(); code != exitWrong || !strings.Contains(said, "nothing was printed") || !strings.Contains(said, "no.such") {
		t.Errorf("a lesson that is wrong gives exit code %d, %q", code, said)
	}
	files, err := os.ReadDir(out)
	if err != nil || len(files) != 1 {
		t.Errorf("the folder holds %v, %v", files, err)
	}
	if content, _ := os.ReadFile(filepath.Join(out, "one.pdf")); string(content) != "before" {
		t.Errorf("the sheet is now %q", content)
	}
}

// tool runs one of poppler's tools, which know nothing of us.
func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	cmd := exec.Command(name, args...)
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s %q: %v %s", name, args, err, errs.String())
	}
	return out.String()
}

// TestPrints prints sheets of the shipped lessons and looks at the PDFs with
// poppler's tools.
func TestPrints(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes minutes for all sheets")
	}
	for _, name := range []string{"pdfinfo", "pdffonts", "pdftotext", "pdftohtml", "pdftoppm"} {
		if _, err := exec.LookPath(name); err != nil {
			sweeptest.Missing(t, "browser", name+" of poppler-utils is missing")
		}
	}
	if _, ok := browser.Find(); !ok {
		sweeptest.Missing(t, "browser", "no browser of the Chromium family was found")
	}
	t.Parallel()
	pages := map[string][]byte{}
	for path, page := range publishShipped(t) {
		if strings.HasSuffix(path, ".html") {
			pages[site.Sheet{Path: path}.Name()+".pdf"] = []byte(page)
		}
	}
	editions := strings.Join(site.SheetEditions(), ",")
	type paper struct{ paper, size string }
	for i, c := range sweeptest.Sample(t, []paper{
		// ISO 216 A4 is 210 mm x 297 mm, Letter is 8.5 in x 11 in; 72 pt are 1 in.
		{"A4", "(A4)"},
		{"Letter", "(letter)"},
	}, 1) {
		out := t.TempDir()
		var stdout, stderr bytes.Buffer
		args := []string{"-out", out, "-paper", strings.ToLower(c.paper), "-edition", editions, shipped}
		if !sweeptest.All() || i > 0 { // a second paper takes as long, and differs in how pages break
			printSome(t, args, &stdout)
		} else if code := printSheets(context.Background(), args, &stdout, &stderr, browser.Find); code != exitClean {
			t.Fatalf("exit code %d: %s", code, stderr.String())
		}
		files, err := filepath.Glob(filepath.Join(out, "*"))
		if err != nil || len(files) < 2 {
			t.Fatalf("%d files, %v", len(files), err)
		}
		if want := fmt.Sprintf("%d sheets on %s", len(files), c.paper); !strings.Contains(stdout.String(), want) {
			t.Errorf("print says %q, without %q", stdout.String(), want)
		}
		talks := 0
		for _, file := range files {
			checkSheet(t, file, c.size)
			if strings.Contains(filepath.Base(file), ".talk") {
				talks++
				checkTalk(t, file, c.paper)
			}
			wordsPrinted(t, file, pages[filepath.Base(file)])
			if i == 0 { // ink is as dark on any paper
				wordsDark(t, file)
			}
		}
		want := 0
		for name := range pages {
			if strings.Contains(name, ".talk") {
				want++
			}
		}
		if want == 0 || sweeptest.All() && i == 0 && talks != want {
			t.Errorf("%d talks were printed of %d that were published", talks, want)
		}
	}
}

// printSome prints some sheets as the command prints all: a few of each edition
// under sweeps, of each kind of edition else.
func printSome(t *testing.T, args []string, stdout io.Writer) {
	t.Helper()
	var stderr bytes.Buffer
	p, code := readPrinting(args, stdout, &stderr)
	if code >= 0 {
		t.Fatal(stderr.String())
	}
	p.program, _ = browser.Find()
	w, tree, messages := buildSite(t.Context(), p.options, openLessons(t, p.lessons), p.cache(), &stderr)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	few := sweeptest.Count(1, 8)
	sheets := sweeptest.Some(t, site.Sheets(w.input()), few, func(s site.Sheet) string {
		if s.Edition == "talk" || s.Edition == "large" || sweeptest.All() {
			return s.Edition
		}
		return "others"
	})
	done, err := p.all(t.Context(), tree, sheets, newProgress(&stderr))
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(stdout, "%s on %s", count(done, "sheet"), p.paper)
}

var field = regexp.MustCompile(`(?m)^([A-Z][A-Za-z ]*):\s+(.*)$`)

func checkSheet(t *testing.T, file, size string) {
	name := filepath.Base(file)
	info := map[string]string{}
	for _, m := range field.FindAllStringSubmatch(tool(t, "pdfinfo", file), -1) {
		info[m[1]] = m[2]
	}
	if info["Tagged"] != "yes" {
		t.Errorf("%s is not tagged", name)
	}
	if !strings.Contains(info["Title"], "Brackenhythe Signal House") || !strings.Contains(info["Title"], " \u2013 ") {
		t.Errorf("%s is called %q", name, info["Title"])
	}
	if !strings.HasSuffix(info["Page size"], size) {
		t.Errorf("%s is on paper of %s, want %s", name, info["Page size"], size)
	}
	var pages int
	fmt.Sscan(info["Pages"], &pages)
	if most := mostPages(name); pages < 1 || pages > most {
		t.Errorf("%s takes %d pages, %d at most were asked for", name, pages, most)
	}
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	language := "en"
	if strings.HasSuffix(name, ".fr.pdf") {
		language = "fr"
	}
	if !regexp.MustCompile(`/Lang \(` + language + `\)`).Match(raw) {
		t.Errorf("%s does not say that it is in %q", name, language)
	}
	// The columns of pdffonts begin where its line of dashes has its words.
	lines := strings.Split(strings.TrimRight(tool(t, "pdffonts", file), "\n"), "\n")
	if len(lines) < 3 {
		t.Errorf("%s has no font", name)
		return
	}
	at := strings.Index(lines[0], "emb")
	for _, line := range lines[2:] {
		if !strings.HasPrefix(line[at:], "yes") {
			t.Errorf("%s: a font is not embedded: %s", name, line)
		}
	}
	structure := tool(t, "pdfinfo", "-struct-text", file)
	if strings.Count(structure, "\n  ") < 3 || !strings.Contains(structure, "H1") {
		t.Errorf("%s has no structure with a heading:\n%s", name, structure)
	}
	headingsStay(t, file, name, structure, pages)
	typeSizes(t, file, name)
	if strings.Contains(name, ".large") {
		pagesFilled(t, file, pages)
	}
}

// mostPages says how many pages a sheet may take: a visitors' sheet one, a
// guide's two, in either language and on either paper.
func mostPages(name string) int {
	stem := strings.TrimSuffix(strings.TrimSuffix(name, ".pdf"), ".fr")
	switch {
	case strings.HasSuffix(stem, ".large"):
		return 6
	case stem == "teachers.sheet":
		return 1
	case stem == "spoken.sheet", strings.HasPrefix(stem, "course.at-the-machine"), strings.HasPrefix(stem, "course.end-to-end"): // of all lessons
		lessons, _ := filepath.Glob(filepath.Join(shipped, "*", "lesson.md"))
		return len(lessons) // a page for each
	case strings.HasSuffix(stem, ".chart"): // a cover, and six sheets for the wall
		return 7
	case strings.HasPrefix(stem, "logbook.work"): // of all years
		return 40
	case strings.HasPrefix(stem, "course.cutting-list"): // as many wires as there are
		return 12
	case stem == "hanging.sheet", stem == "tests.sheet":
		return 3
	case strings.HasSuffix(stem, "-guide"), strings.Contains(stem, "."):
		return 2
	}
	return 1
}

// headingsStay fails when the last words of a page are those of a heading.
func headingsStay(t *testing.T, file, name, structure string, pages int) {
	heading := regexp.MustCompile(`(?m)^\s+H[1-4] \(block\)\n(?:\s+\w+.*\n)*?\s+"(.+)"`)
	var headings []string
	for _, m := range heading.FindAllStringSubmatch(structure, -1) {
		headings = append(headings, strings.TrimSpace(m[1]))
	}
	if len(headings) == 0 {
		t.Errorf("%s: no heading was found in its structure", name)
	}
	texts := strings.Split(strings.TrimSuffix(tool(t, "pdftotext", file, "-"), "\f"), "\f")
	if len(texts) != pages {
		t.Fatalf("%s: pdftotext shows %d of %d pages", name, len(texts), pages)
	}
	for i, page := range texts {
		i++
		var last string
		for line := range strings.Lines(page) {
			line = strings.TrimSpace(strings.Trim(line, "\f\n"))
			if line != "" && line != fmt.Sprintf("%d / %d", i, pages) {
				last = line
			}
		}
		if slices.Contains(headings, last) {
			t.Errorf("%s: the heading %q stands alone at the end of page %d", name, last, i)
		}
	}
}
