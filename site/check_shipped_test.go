package site

import (
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"slipring/engine/story"
	"slipring/engine/sweeptest"
)

// TestShipped publishes the lessons that the project ships, with the command
// as its users have it. It looks at the figures, the motions, the weight and the
// policy of every page, and checks pages of each kind against what others have
// written: the HTML and CSS checker of the W3C, the rules of axe-core for
// WCAG 2.2, and what a browser makes of them.
func TestShipped(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	t.Parallel()
	dir := publishShipped(t)
	pages := pagesIn(t, dir)
	t.Logf("%d pages", len(pages))
	t.Run("policy", func(t *testing.T) { checkPolicies(t, dir, pages) })
	t.Run("figures", func(t *testing.T) { checkFigures(t, dir, pages) })
	t.Run("motions", func(t *testing.T) { checkMotions(t, dir, pages) })
	t.Run("stories", func(t *testing.T) { checkStories(t, dir, pages) })
	t.Run("weight", func(t *testing.T) { checkWeight(t, dir) })
	t.Run("markup", func(t *testing.T) { checkMarkup(t, dir, ofEachKind(t, pages)) })
	t.Run("axe", func(t *testing.T) { checkAxe(t, dir, ofEachKind(t, pages)) })
	t.Run("sweep", func(t *testing.T) { checkSweep(t, dir, ofEachKind(t, pages)) })
	t.Run("kiosk", func(t *testing.T) { checkKiosk(t, dir, pages) })
	t.Run("lighthouse", func(t *testing.T) { checkLighthouse(t, dir, sweeptest.Sample(t, pagesToRate(t, dir, pages), 3)) })
}

// ofEachKind gives a page of each kind, in whatever language. Where sweeps take
// all, they are three, and the course's page of every lesson.
func ofEachKind(t *testing.T, pages []string) []string {
	t.Helper()
	return sweeptest.Some(t, pages, sweeptest.Count(1, 3), func(page string) string {
		kind := kindOf(page, pages)
		if kind == "course/lesson" && sweeptest.All() {
			return page
		}
		return kind
	})
}

// kindOf says what kind a page is of: its path, without its language. Lessons
// share one for each of their readers, and so do the parts of the machine and
// what cells can ask of each package.
func kindOf(page string, pages []string) string {
	kind, language := "/"+page, languageOf(page)
	for _, end := range []string{".html", "." + language, "/" + language, "/index"} {
		kind = strings.TrimSuffix(kind, end)
	}
	kind = strings.TrimPrefix(kind, "/")
	for _, other := range pages { // each lesson has a handout
		slug, ok := strings.CutSuffix(path.Base(other), "-guide.html")
		if rest, found := strings.CutPrefix(path.Base(kind), slug); ok && found && (rest == "" || rest == "-guide" || rest[0] == '.') {
			return path.Join(path.Dir(kind), "lesson"+rest)
		}
	}
	for _, pkg := range askedPackages() {
		if kind+".html" == askedIn(pkg) {
			return "course/engine/cells-of"
		}
	}
	for _, p := range story.Parts() {
		if kind+".html" == partPath(p.Name) {
			return "course/engine/part"
		}
	}
	return kind
}

// publishShipped builds the command and lets it write the site. A lesson's
// folder without a page would be a page that nobody checks.
func publishShipped(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	program := filepath.Join(folder, "slipring")
	if runtime.GOOS == "windows" {
		program += ".exe"
	}
	command := func(name string, args ...string) {
		if out, err := exec.Command(name, args...).CombinedOutput(); err != nil {
			t.Fatalf("%s %s: %v\n%s", filepath.Base(name), strings.Join(args, " "), err, out)
		}
	}
	lessons, dir := filepath.Join("..", "lessons"), filepath.Join(folder, "visit")
	command("go", "build", "-o", program, "../cmd/slipring")
	command(program, "publish", "-out", dir, lessons)
	sources, err := filepath.Glob(filepath.Join(lessons, "*", "lesson.md"))
	if err != nil || len(sources) < 2 {
		t.Fatalf("%d lessons are shipped: %v", len(sources), err)
	}
	for _, source := range sources {
		_, slug, _ := strings.Cut(filepath.Base(filepath.Dir(source)), "-")
		if _, err := os.Stat(filepath.Join(dir, "course", slug, "index.html")); err != nil {
			t.Errorf("%s has no page: %v", source, err)
		}
	}
	return dir
}

// pagesIn lists the pages of a site by their slash-separated paths.
func pagesIn(t *testing.T, dir string) []string {
	t.Helper()
	var pages []string
	err := fs.WalkDir(os.DirFS(dir), ".", func(path string, d fs.DirEntry, err error) error {
		if filepath.Ext(path) == ".html" {
			pages = append(pages, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(pages) < 20 {
		t.Fatalf("only %d pages were published", len(pages))
	}
	return pages
}

// tool gives the folder of a program that is not Go's, from the environment.
// Without it the test is skipped, or fails when it is required.
func tool(t *testing.T, name, variable string) string {
	t.Helper()
	if folder := os.Getenv(variable); folder != "" {
		return folder
	}
	sweeptest.Missing(t, name, variable+" is not set to the folder of the npm package")
	return ""
}
