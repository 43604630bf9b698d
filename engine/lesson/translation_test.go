package lesson

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"slipring/engine/language"
)

const baseText = "```lesson\ntitle = \"A\"\nminutes = 15\nneeds = [\"b\"]\nhazards = [\"dust\"]\nrevised = 2026-11-25\n```\n\n"

func base(t testing.TB, text string) *Lesson {
	t.Helper()
	l, messages := Parse("01-a/lesson.md", []byte(baseText+text))
	if len(messages) > 0 {
		t.Fatal(list(messages))
	}
	l.Folder, l.Slug, l.Number = "01-a", "a", 1
	return l
}

func translationFiles(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("testdata", "translations", "*.txtar"))
	if err != nil || len(files) < 4 {
		t.Fatalf("found %d archives, %v", len(files), err)
	}
	return files
}

func translationSource(t testing.TB, file string) []byte {
	t.Helper()
	a, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(a.Files, func(f txtar.File) bool { return f.Name == "fr.md" })
	if i < 0 {
		t.Fatalf("%s has no fr.md", file)
	}
	return a.Files[i].Data
}

// Each archive in testdata/translations is a translation with mistakes.
func TestTranslationFindings(t *testing.T) {
	l := base(t, "A word.\n")
	for _, file := range translationFiles(t) {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			source := translationSource(t, file)
			_, messages := ParseTranslation("fr.md", "fr", source, l)
			if len(messages) == 0 {
				t.Error("nothing was found")
			}
			golden(t, file, list(messages))
			for _, m := range messages {
				if m.Rule == "" || m.Text == "" || m.Hint == "" || m.Line < 1 || m.Column < 1 {
					t.Errorf("%+v lacks something", m)
				}
			}
			_, again := ParseTranslation("fr.md", "fr", bytes.ReplaceAll(source, []byte("\n"), []byte("\r\n")), l)
			if got, want := list(again), list(messages); got != want {
				t.Errorf("with carriage returns:\n%s\nwant:\n%s", got, want)
			}
		})
	}
}

// What a translation has from its lesson, and what from itself.
func TestTranslation(t *testing.T) {
	l := base(t, "One [1 V][a].\n\n```go\ntell.Value(\"a\", 1, \"V\")\n```\n")
	source := "\ufeff```lesson\r\ntitle = \"Une leçon\"\r\n```\r\n\r\nUn [1 V][a].\r\n"
	tr, messages := ParseTranslation("01-a/words/fr.md", "fr", []byte(source), l)
	if len(messages) > 0 {
		t.Fatal(list(messages))
	}
	if tr.File != "01-a/words/fr.md" || tr.Folder != "01-a" || tr.Slug != "a" || tr.Number != 1 || tr.Title != "Une leçon" ||
		tr.Language != "fr" || tr.Base != l || l.Base != nil {
		t.Errorf("%+v", tr)
	}
	f := tr.Facts
	if f.Title != "Une leçon" || f.Minutes != 15 || !slices.Equal(f.Needs, l.Facts.Needs) || !slices.Equal(f.Hazards, l.Facts.Hazards) ||
		f.Revised != "2026-11-25" || f.NeedsAt != nil || f.HazardsAt != nil {
		t.Errorf("%+v", f)
	}
	if got := source[f.TitleAt:]; !strings.HasPrefix(got, `"Une`) {
		t.Errorf("the title stands at %q", got)
	}
	bound := 0
	tr.Body.Walk(func(n *Node) bool {
		if n.Kind == Bound {
			bound++
			if got := source[n.Offset:n.End]; got != "1 V" {
				t.Errorf("the quote stands at %q", got)
			}
		}
		return true
	})
	if bound != 1 || len(tr.Cells) != 1 || tr.Cells[0] != l.Cells[0] {
		t.Errorf("%d quotes, cells %v", bound, tr.Cells)
	}

	later, messages := ParseTranslation("fr.md", "fr", []byte("```lesson\ntitle = \"Une leçon\"\nrevised = 2026-11-26\n```\n"), l)
	if len(messages) > 0 || later.Facts.Revised != "2026-11-26" {
		t.Errorf("revised %q, %s", later.Facts.Revised, list(messages))
	}
}

// Where the cells of a lesson go in its translation.
func TestPlaceCells(t *testing.T) {
	const cell = "```go\n```\n\n"
	for _, c := range []struct{ name, base, words, want string }{
		{"same blocks", "a\n\n" + cell + "b\n\n# H\n\n" + cell + "c\n\n" + cell, "a\n\nb\n\n# H\n\nc", "p 0 p h 1 p 2"},
		{"before all", cell + "a\n\n# H\n", "a\n\n# H", "0 p h"},
		{"in front of a heading", "a\n\n" + cell + cell + "# H\n\nb", "a\n\n# H\n\nb", "p 0 1 h p"},
		{"fewer blocks", "# G\n\na\n\nb\n\nc\n\n" + cell + "# H\n\nd", "# G\n\na\n\n# H\n\nd", "h p 0 h p"},
		{"more blocks", "# G\n\na\n\n" + cell + "# H\n\nd", "# G\n\na\n\nb\n\n# H\n\nd", "h p 0 p h p"},
		{"fewer headings", "# G\n\na\n\n# H\n\n" + cell + "b\n\n# I\n\n" + cell, "# G\n\na", "h p 0 1"},
		{"more headings", "# G\n\n" + cell + "a", "# G\n\na\n\n# H\n\nb", "h 0 p h p"},
		{"nothing", cell + "a\n\n" + cell, "", "0 1"},
		{"no cells", "a", "a", "p"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := base(t, c.base)
			tr, messages := ParseTranslation("fr.md", "fr", []byte("```lesson\ntitle = \"B\"\n```\n\n"+c.words), l)
			if len(messages) > 0 {
				t.Fatal(list(messages))
			}
			var got []string
			for _, n := range tr.Body.Children {
				switch n.Kind {
				case CellBlock:
					got = append(got, fmt.Sprint(n.Cell))
				case Heading:
					got = append(got, "h")
				default:
					got = append(got, "p")
				}
			}
			if s := strings.Join(got, " "); s != c.want {
				t.Errorf("got %s, want %s", s, c.want)
			}
		})
	}
}

func TestReadTranslations(t *testing.T) {
	a := block("")
	for _, c := range []struct {
		name  string
		house []string
		files map[string]string
		want  string // languages of each lesson
		say   string
	}{
		{name: "clean", house: []string{"en", "fr"}, files: map[string]string{
			"01-a/lesson.md": a, "01-a/words/fr.md": a, "02-b/lesson.md": a, "02-b/words/fr.md": a, "02-b/words/.fr.md.swp": "x",
		}, want: "en+fr en+fr"},
		{name: "first language", house: []string{"fr", "en"}, files: map[string]string{
			"01-a/lesson.md": a, "01-a/words/en.md": a,
		}, want: "fr+en"},
		{name: "one language", house: []string{"en"}, files: map[string]string{"01-a/lesson.md": a}, want: "en"},
		{name: "no language", files: map[string]string{"01-a/lesson.md": a}, want: ""},
		{name: "missing", house: []string{"en", "fr"}, files: map[string]string{
			"01-a/lesson.md": a, "02-b/lesson.md": a, "02-b/words/fr.md": a,
		}, want: "en en+fr", say: `
`},
		{name: "names", house: []string{"en", "fr"}, files: map[string]string{
			"01-a/lesson.md": a, "01-a/words/fr.md": a, "01-a/words/en.md": a, "01-a/words/zh.md": a, "02-b/lesson.md": a, "02-b/words/FR.md": a, "01-a/words/notes.txt": "x",
			"01-a/words/fr": "x", "01-a/words/more/fr.md": a,
		}, want: "en+fr en", say: `
01-a/words/en.md: "en" is the house's first language, which is that of the lesson itself
    write it into lesson.md
01-a/words/fr: this is no translation
    a translation is named after its language, such as fr.md; keep other files elsewhere
01-a/words/more: this is no translation
    a translation is named after its language, such as fr.md; keep other files elsewhere
01-a/words/notes.txt: this is no translation
    a translation is named after its language, such as fr.md; keep other files elsewhere
01-a/words/zh.md: lessons cannot be written in a language "zh"
    it is one of: en, de, es, fr
02-b/words/FR.md: lessons cannot be written in a language "FR"
    did you mean "fr"?
`},
		{name: "not of the house", house: []string{"en"}, files: map[string]string{
			"01-a/lesson.md": a, "01-a/words/fr.md": a,
		}, want: "en", say: `
01-a/words/fr.md: "fr" is not one of the house's languages
    add it to languages in house.toml, or take the file away
`},
		{name: "house", house: []string{"en", "fx", "zh", "en"}, files: map[string]string{"01-a/lesson.md": a, "01-a/words/fr.md": a}, want: "", say: `
house.toml: "en" stands twice in the house's languages
    leave one out
house.toml: lessons cannot be written in "fx"
    did you mean "fr"?
    or write what pages say in it: languages/fx.toml
house.toml: lessons cannot be written in "zh"
    it is one of: en, de, es, fr
    or write what pages say in it: languages/zh.toml
`},
		{name: "no file", house: []string{"en", "fr"}, files: map[string]string{
			"01-a/lesson.md": a, "01-a/words/fr.md/x": a, "02-b/lesson.md": a, "02-b/words": "x",
		}, want: "en en", say: `
01-a/words/fr.md: this is no ordinary file
    put the translation's text there
02-b/words: this is no folder
    make it one, and put the lesson's translations into it, such as fr.md
`},
		{name: "links", house: []string{"en", "fr"}, files: map[string]string{
			"01-a/lesson.md": a, "01-a/words/fr.md": "-> ../../../secret.md", "02-b/lesson.md": a, "02-b/words/fr.md": "-> ../../other/fr.md",
			"other/fr.md": a, "03-c/lesson.md": a, "03-c/words": "-> ../..", "04-d/lesson.md": a, "04-d/words/fr.md": "-> nowhere.md",
		}, want: "en en+fr en en", say: `
01-a/words/fr.md: cannot be read: path escapes from parent
    put the file itself into the folder; a link must not lead out of the lessons folder
03-c/words: cannot be read: path escapes from parent
    put the translations themselves there; a link must not lead out of the lessons folder
04-d/words/fr.md: cannot be read: no such file or directory
    put the file itself into the folder; a link must not lead out of the lessons folder
`},
		{name: "findings", house: []string{"en", "fr"}, files: map[string]string{
			"01-a/lesson.md": a, "01-a/words/fr.md": "Du texte",
		}, want: "en+fr", say: `
01-a/words/fr.md:1:1: the translation has no lesson block
    begin the file with:
    ` + "```lesson" + `
    title = "What this lesson is about, in its language"
    ` + "```" + `
`},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := tree(t, c.files)
			in := open(t, dir)
			lessons, messages := ReadAll(in)
			if len(messages) > 0 {
				t.Fatal(list(messages))
			}
			messages = ReadTranslations(in, lessons, language.Set{}, c.house)
			var got []string
			for _, l := range lessons {
				s := l.Language
				for _, tr := range l.Translations {
					s += "+" + tr.Language
					if tr.Base != l || tr.File != filepath.Join(dir, l.Folder, "words", tr.Language+".md") {
						t.Errorf("%q translates %q", tr.File, tr.Base.File)
					}
				}
				if s != "" {
					got = append(got, s)
				}
			}
			if s := strings.Join(got, " "); s != c.want {
				t.Errorf("got %q, want %q", s, c.want)
			}
			say := filepath.ToSlash(strings.ReplaceAll(list(messages), dir+string(filepath.Separator), ""))
			say = strings.ReplaceAll(say, filepath.ToSlash(dir)+"/", "")
			if say != strings.TrimPrefix(c.say, "\n") {
				t.Errorf("got:\n%s\nwant:%s", say, c.say)
			}
		})
	}
}

// The translations that the project ships are read without a finding.
func TestShippedTranslations(t *testing.T) {
	dir := filepath.Join("..", "..", "lessons")
	in := open(t, dir)
	lessons, _ := ReadAll(in)
	messages := ReadTranslations(in, lessons, language.Set{}, []string{"en", "fr"})
	count := 0
	for _, l := range lessons {
		count += len(l.Translations)
	}
	for _, m := range messages {
		if !strings.HasPrefix(m.Text, "the lesson is not translated") {
			t.Error(m)
		}
	}
	if count == 0 {
		t.Error("there is no translation")
	}
}

// Whatever the file: what FuzzParse asks for, and all cells of the lesson in
// their order.
func FuzzTranslation(f *testing.F) {
	for _, file := range translationFiles(f) {
		f.Add(string(translationSource(f, file)), "a\n\n```go\n```\n\n# H\n\n```go\n```\n")
	}
	shipped, err := filepath.Glob(filepath.Join("..", "..", "lessons", "*", "words", "*.md"))
	if err != nil || len(shipped) == 0 {
		f.Fatal("no translations", err)
	}
	for _, file := range shipped {
		words, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		text, err := os.ReadFile(filepath.Join(filepath.Dir(file), "..", lessonFile))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(words), string(text))
	}
	f.Fuzz(func(t *testing.T, words, text string) {
		l, _ := Parse("lesson.md", []byte(text))
		tr, messages := ParseTranslation("fr.md", "fr", []byte(words), l)
		cells := 0
		tr.Body.Walk(func(n *Node) bool {
			if n.Offset < 0 || n.End < n.Offset || n.End > len(tr.Source) {
				t.Fatalf("%s at %d to %d of %d bytes", kindNames[n.Kind], n.Offset, n.End, len(tr.Source))
			}
			for _, c := range n.Children {
				if c.Offset < n.Offset || c.End > n.End {
					t.Errorf("%s at %d to %d holds %s at %d to %d", kindNames[n.Kind], n.Offset, n.End, kindNames[c.Kind], c.Offset, c.End)
				}
			}
			if n.Kind == Bound && n.Text != string(tr.Source[n.Offset:n.End]) {
				t.Errorf("bound text %q stands for %q", n.Text, tr.Source[n.Offset:n.End])
			}
			if n.Kind == CellBlock {
				if n.Cell != cells {
					t.Errorf("cell %d stands where %d should", n.Cell, cells)
				}
				cells++
			}
			return true
		})
		if cells != len(l.Cells) || len(tr.Cells) != len(l.Cells) {
			t.Errorf("%d of %d cells were placed", cells, len(l.Cells))
		}
		for _, m := range messages {
			if m.File != "fr.md" || m.Line < 1 || m.Line > strings.Count(words, "\n")+1 || m.Column < 1 || m.Text == "" || m.Hint == "" {
				t.Errorf("%+v", m)
			}
		}
	})
}
