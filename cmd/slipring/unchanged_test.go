package main

import (
	"bytes"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/sweeptest"
)

// seconds is what two runs may differ in.
var seconds = regexp.MustCompile(`\d+\.\d s\n`)

// A publish that finds nothing changed says what the last one said, warnings
// and all; whatever has changed, in the lessons, in the pages or in the
// program, is noticed, and the pages are those of a publish from nothing.
func TestUnchanged(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	dir := generate(t, 2)
	lesson := filepath.Join(dir, "000-load-0", "lesson.md")
	readings := filepath.Join(dir, "000-load-0", "readings.csv")
	replaceIn(t, lesson, "![What was read at the set.](table:readings)", "") // so that nothing uses them: a warning

	out := filepath.Join(t.TempDir(), "visit")
	at := func(name string) string { return filepath.Join(out, filepath.FromSlash(name)) }
	publish := func() (said string, asTheyWere bool) {
		t.Helper()
		code, text := call("publish", "-out", out, dir)
		if code != exitClean {
			t.Fatalf("publish exits %d\n%s", code, text)
		}
		text = strings.ReplaceAll(text, "(2 run anew)", "(0 run anew)")
		text = regexp.MustCompile(`(?m)^ran .*\n`).ReplaceAllString(text, "")
		return seconds.ReplaceAllString(strings.Replace(text, ", as they were;", ";", 1), "s\n"), strings.Contains(text, "as they were")
	}
	first, was := publish()
	if was || !strings.Contains(first, "warning") || !strings.Contains(first, "1 warning") {
		t.Fatalf("the first publish says\n%s", first)
	}
	pages := must(readTree(out))
	again, was := publish()
	if !was || again != first {
		t.Errorf("the second publish says (as they were: %v)\n%s\nand the first\n%s", was, again, first)
	}
	if !maps.Equal(pages, must(readTree(out))) {
		t.Error("a publish that changes nothing changes pages")
	}

	// Pages that somebody changed are made anew.
	mischief := map[string]func() error{
		"an edited page":  func() error { return os.WriteFile(at("index.html"), []byte("mine"), 0o644) },
		"a page less":     func() error { return os.Remove(at("course/load-1/index.html")) },
		"a file more":     func() error { return os.WriteFile(at("course/load-1/mine"), nil, 0o644) },
		"no site at all":  func() error { return os.RemoveAll(out) },
		"an emptied site": func() error { return emptied(out) },
	}
	for _, what := range sweeptest.Sample(t, slices.Sorted(maps.Keys(mischief)), 2) {
		if err := mischief[what](); err != nil {
			t.Fatal(err)
		}
		if _, was := publish(); was || !maps.Equal(pages, must(readTree(out))) {
			t.Errorf("after %s, the pages are not mended (as they were: %v)", what, was)
		}
		if _, was := publish(); !was {
			t.Errorf("after %s, the mended pages are made once more", what)
		}
	}

	// Whatever is in the lessons folder counts, and the pages follow it.
	edits := map[string]func(){
		"a word":    func() { replaceIn(t, lesson, "It holds the speed", "Yet it holds the speed") },
		"a reading": func() { writeFile(t, readings, []byte("# Invented for this test.\nload (ohm),speed (Hz)\n47,19.86\n")) },
		"the house": func() { replaceIn(t, filepath.Join(dir, "house.toml"), "Invented.", "All invented.") },
		"a card": func() {
			replaceIn(t, filepath.Join(dir, "cards", "bell-current-set.toml"), "24 lead cells", "24 cells")
		},
		"a lesson less": func() {
			if err := os.RemoveAll(filepath.Join(dir, "001-load-1")); err != nil {
				t.Fatal(err)
			}
		},
	}
	for _, what := range sweeptest.Sample(t, slices.Sorted(maps.Keys(edits)), 2) {
		edits[what]()
		if _, was := publish(); was {
			t.Errorf("%s has changed, and the pages are as they were", what)
		}
		fresh := filepath.Join(t.TempDir(), "visit")
		if code, text := call("publish", "-fresh", "-out", fresh, dir); code != exitClean {
			t.Fatalf("publish exits %d\n%s", code, text)
		}
		if !maps.Equal(must(readTree(out)), must(readTree(fresh))) {
			t.Errorf("%s has changed, and the pages are not those of a publish from nothing", what)
		}
		if _, was := publish(); !was {
			t.Errorf("%s has not changed since, and the pages are made anew", what)
		}
	}

	// So do other limits on what is told: they might refuse what these lessons do.
	if code, text := call("publish", "-points", "499999", "-out", out, dir); code != exitClean || strings.Contains(text, "as they were") {
		t.Errorf("with another limit on points, publish exits %d\n%s", code, text)
	}
	if code, text := call("publish", "-points", "499999", "-time", "19s", "-memory", "511", "-out", out, dir); code != exitClean || !strings.Contains(text, "as they were") {
		t.Errorf("with another limit on time, publish exits %d\n%s", code, text)
	}

	// What a link leads to may change unseen: such folders take the long way.
	card := filepath.Join(dir, "cards", "bell-current-set.toml")
	copyFile(t, card, filepath.Join(dir, "elsewhere.toml"))
	if err := swapForLink(card, filepath.Join("..", "elsewhere.toml")); err == nil {
		for range 2 {
			if _, was := publish(); was {
				t.Error("with a link in the lessons folder, the pages are as they were")
			}
		}
	}
}

// So are readings, wherever they lie, and entries of the logbook: the pages
// that show them are made anew, and say what now stands in the file.
func TestUnchangedLogbook(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	dir := generate(t, 1)
	at := func(name string) string { return filepath.Join(dir, filepath.FromSlash(name)) }
	const heads = "# Invented for this test.\ndate,role,quantity,value,unit,uncertainty,instrument\n"
	for name, text := range map[string]string{
		"readings/first.csv":      heads + "2026-03-03,docent,battery.voltage,48.1,V,0.1,voltmeter\n",
		"000-load-0/day.csv":      heads + "2026-03-04,docent,battery.voltage,48.2,V,0.1,voltmeter\n",
		"logbook/2026-03-05-a.md": "```entry\ntitle = \"The battery\"\nby = \"the docent\"\ncard = \"bell-current-set\"\nparts = [\"battery\"]\n```\n\n```done\nIt was filled up.\n```\n",
	} {
		writeFile(t, at(name), []byte(text))
	}
	replaceIn(t, at("000-load-0/lesson.md"), `data = ["readings.csv"]`, `data = ["readings.csv", "day.csv"]`)
	out := filepath.Join(t.TempDir(), "visit")
	publish := func() (asTheyWere bool) {
		t.Helper()
		code, text := call("publish", "-out", out, dir)
		if code != exitClean {
			t.Fatalf("publish exits %d\n%s", code, text)
		}
		return strings.Contains(text, "as they were")
	}
	says := func(page, words string) bool {
		return bytes.Contains(must(os.ReadFile(filepath.Join(out, filepath.FromSlash(page)))), []byte(words))
	}
	const read, work = "logbook/readings/index.html", "logbook/work/index.html"
	if publish(); !publish() {
		t.Fatal("pages of which nothing has changed are made anew")
	}
	for _, c := range []struct{ file, was, is, page string }{
		{"readings/first.csv", "48.1", "48.3", read},
		{"000-load-0/day.csv", "48.2", "48.4", read},
		{"logbook/2026-03-05-a.md", "It was filled up.", "It was filled to the mark.", work},
	} {
		if !says(c.page, c.was) || says(c.page, c.is) {
			t.Errorf("%s does not say %q, of %s", c.page, c.was, c.file)
		}
		replaceIn(t, at(c.file), c.was, c.is)
		if publish() {
			t.Errorf("%s has changed, and the pages are as they were", c.file)
		}
		if says(c.page, c.was) || !says(c.page, c.is) {
			t.Errorf("%s does not say %q, of %s", c.page, c.is, c.file)
		}
		if !publish() {
			t.Errorf("%s has not changed since, and the pages are made anew", c.file)
		}
	}
}

// A publish with -fresh runs all, whatever is known.
func TestFreshRunsAll(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	dir, out := generate(t, 1), filepath.Join(t.TempDir(), "visit")
	for _, flags := range [][]string{nil, {"-fresh"}, {"-fresh"}} {
		code, text := call(append(append([]string{"publish"}, flags...), "-out", out, dir)...)
		if code != exitClean || !strings.Contains(text, "(1 run anew)") {
			t.Errorf("publish %q exits %d\n%s", flags, code, text)
		}
	}
}

// What one program knows of a publish, another does not.
func TestRememberPublished(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	o := options{lessons: generate(t, 1)}
	m := openCache()
	in := openLessons(t, o.lessons)
	known := func() bool { _, ok := m.store.Get(m.publishedKey(o, in)); return ok }
	m.rememberPublished(o, in, workshop{}, nil, nil)
	if !known() {
		t.Error("a publish is not kept")
	}

	m = openCache()
	m.engine = []byte("another program")
	if known() {
		t.Error("another program knows of this one's publish")
	}
	if os.Symlink("elsewhere", filepath.Join(o.lessons, "link")) == nil {
		in = openLessons(t, o.lessons)
		if m.rememberPublished(o, in, workshop{}, nil, nil); known() {
			t.Error("a publish is kept of lessons that can change unseen")
		}
	}
}

// Pages are made of what was in the folder at one time: a file that changes
// meanwhile is an error, even where the change is taken back. What an editor
// keeps for itself is not.
func TestChangedMeanwhile(t *testing.T) {
	dir := generate(t, 2)
	house, lesson := filepath.Join(dir, "house.toml"), filepath.Join(dir, "000-load-0")
	for _, c := range []struct {
		want   string
		change func() error
	}{
		{"", func() error { return nil }},
		{"", func() error { return os.WriteFile(filepath.Join(dir, ".house.toml.swp"), []byte("1"), 0o644) }},
		{"", func() error { return os.WriteFile(house+"~", nil, 0o644) }},
		{"", func() error { return os.WriteFile(filepath.Join(lesson, "~$lesson.docx"), nil, 0o644) }},
		{"house.toml: this file was saved", func() error {
			replaceIn(t, house, "Invented.", "Invented!")
			replaceIn(t, house, "Invented!", "Invented.")
			date := must(os.Stat(house)).ModTime().Add(1e9) // some systems keep dates by the second
			return os.Chtimes(house, date, date)
		}},
		{"new.csv: this file was added", func() error { return os.WriteFile(filepath.Join(lesson, "new.csv"), nil, 0o644) }},
		{"lesson.md: this file was removed", func() error { return os.RemoveAll(lesson) }},
		{": this file was removed", func() error { return os.RemoveAll(dir) }},
	} {
		before := openLessons(t, dir)
		if _, err := before.ReadFile("house.toml", folder.Largest); err != nil {
			t.Fatal(err)
		}
		if err := c.change(); err != nil {
			t.Fatal(err)
		}
		switch got := before.Changed(); {
		case c.want == "" && len(got) > 0, c.want != "" && (len(got) != 1 || !strings.Contains(got[0].Error(), c.want)):
			t.Errorf("want %q, got %v", c.want, got)
		}
	}
}

// What makes the pages looks whether the lessons are still what they were.
func TestBuildLooksAgain(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	o := options{lessons: generate(t, 1)}
	in := openLessons(t, o.lessons)
	if _, tree, messages := buildSite(t.Context(), o, in, o.cache(), io.Discard); len(messages) > 0 || len(tree) == 0 {
		t.Fatalf("%d pages are made of lessons at rest, and %v is said", len(tree), messages)
	}
	replaceIn(t, filepath.Join(o.lessons, "house.toml"), "Invented.", "Invented!")
	if _, _, messages := buildSite(t.Context(), o, in, o.cache(), io.Discard); !diag.HasError(messages) {
		t.Errorf("of lessons that have changed, %v is said", messages)
	}
}

// A program that differs in one byte makes all pages itself.
func TestOtherProgram(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	dir, out := generate(t, 1), filepath.Join(t.TempDir(), "visit")
	self, err := exec.LookPath("slipring")
	if err != nil {
		t.Fatal(err)
	}
	program, err := os.ReadFile(self)
	if err != nil {
		t.Fatal(err)
	}
	other := filepath.Join(t.TempDir(), filepath.Base(self))
	if err := os.WriteFile(other, append(program, 0), 0o755); err != nil { // which the system does not load
		t.Fatal(err)
	}
	for _, c := range []struct{ program, want string }{
		{self, "(1 run anew)"}, {self, "as they were"}, {other, "(1 run anew)"}, {other, "as they were"}, {self, "as they were"},
	} {
		printed, err := exec.Command(c.program, "publish", "-out", out, dir).CombinedOutput()
		if err != nil || !strings.Contains(string(printed), c.want) {
			t.Errorf("%s: %v; want %q in\n%s", c.program, err, c.want, printed)
		}
	}
}

// openLessons opens a folder for one test.
func openLessons(t *testing.T, dir string) *folder.Folder {
	t.Helper()
	in := folder.Open(dir)
	t.Cleanup(in.Close)
	return in
}

// replaceIn changes the one place of a file at which old stands.
func replaceIn(t *testing.T, file, old, new string) {
	t.Helper()
	content := string(must(os.ReadFile(file)))
	if n := strings.Count(content, old); n != 1 {
		t.Fatalf("%q stands %d times in %s", old, n, file)
	}
	if err := os.WriteFile(file, []byte(strings.Replace(content, old, new, 1)), 0o644); err != nil {
		t.Fatal(err)
	}
}

// swapForLink puts a link in the place of a file.
func swapForLink(name, to string) error {
	if err := os.Remove(name); err != nil {
		return err
	}
	return os.Symlink(to, name)
}

// emptied removes all that stands in a folder.
func emptied(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if err := os.RemoveAll(filepath.Join(dir, e.Name())); err != nil {
			return err
		}
	}
	return nil
}

// A file is made once for the same program and the same ingredients.
func TestCacheFile(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	made := 0
	file := func(c cache, of string) string {
		t.Helper()
		data, err := c.file([]byte(of), func() ([]byte, error) { made++; return []byte("made of " + of), nil })
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	other, fresh := openCache(), openCache()
	other.engine, fresh.fresh = []byte("another program"), true
	for _, step := range []struct {
		c    cache
		of   string
		made int
	}{{openCache(), "a", 1}, {openCache(), "a", 1}, {openCache(), "b", 2}, {other, "a", 3}, {fresh, "a", 4}, {openCache(), "a", 4}, {cache{}, "a", 5}} {
		if got := file(step.c, step.of); got != "made of "+step.of || made != step.made {
			t.Errorf("of %q comes %q after %d were made, want %d", step.of, got, made, step.made)
		}
	}
	if _, err := openCache().file([]byte("c"), func() ([]byte, error) { return []byte("half"), os.ErrClosed }); err == nil {
		t.Error("a file that cannot be made is no error")
	}
	if file(openCache(), "c") != "made of c" {
		t.Error("what could not be made is kept")
	}
}
