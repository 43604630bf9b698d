package words

import (
	"io/fs"
	"os"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// waiting lists the sections that no page asks for yet. As soon as one does,
// its section has to go from here, and from then on each of its texts must be
// used.
var waiting = []string{}

var (
	literalForm = regexp.MustCompile(`"([a-z][a-z0-9-]*)\.([a-z0-9%-]*)[^"]*"`)
	askedForm   = regexp.MustCompile(`\b(?:Text|HTML)\(?\s*\(?(?:printf )?"([a-z][a-z0-9-]*\.[a-z0-9.%-]*)"`)
)

// Every text is asked for by a page, and every text that a page asks for is
// there. A page asks by the key itself, or by the beginning of one with more
// to follow: "notice." + h.Signal, or printf "notice.%s".
func TestUsed(t *testing.T) {
	keys := in(t, "en").Keys()
	asked, used := map[string]string{}, map[string]bool{}
	sources := 0
	for _, dir := range []string{".", "../page", "../plot", "../motion", "../../site"} {
		err := fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || path.Ext(name) != ".go" && path.Ext(name) != ".html" || strings.HasSuffix(name, "_test.go") {
				return err
			}
			source, err := fs.ReadFile(os.DirFS(dir), name)
			if err != nil {
				return err
			}
			sources++
			for _, m := range askedForm.FindAllStringSubmatch(string(source), -1) {
				asked[m[1]] = dir + "/" + name
			}
			for _, m := range literalForm.FindAllStringSubmatch(string(source), -1) {
				beginning, _, open := strings.Cut(m[1]+"."+m[2], "%")
				for _, key := range keys {
					if key == beginning || (open || m[2] == "") && strings.HasPrefix(key, beginning) {
						used[key] = true
					}
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if sources < 10 {
		t.Fatalf("only %d sources were read", sources)
	}
	for key, file := range asked {
		beginning, _, open := strings.Cut(key, "%")
		if !slices.ContainsFunc(keys, func(k string) bool {
			return k == key || (open || strings.HasSuffix(key, ".")) && strings.HasPrefix(k, beginning)
		}) {
			t.Errorf("%s asks for %q, which is no text", file, key)
		}
	}
	uses := map[string]bool{}
	for key := range asked {
		section, _, _ := strings.Cut(key, ".")
		uses[section] = true
	}
	for _, section := range waiting {
		if uses[section] {
			t.Errorf("the section %q is in use: take it off the list of those that wait", section)
		}
	}
	for _, key := range keys {
		section, _, _ := strings.Cut(key, ".")
		if section != "date" && !slices.Contains(waiting, section) && !used[key] {
			t.Errorf("no page uses %s", key)
		}
	}
}

// How a page may ask for a text.
func TestAskedForm(t *testing.T) {
	for source, want := range map[string]string{
		`w.Text("course.minutes", "n", 15)`:                       "course.minutes",
		`words.HTML("course.key", "quote", q)`:                    "course.key",
		`r.words.Text("notice." + h.Signal)`:                      "notice.",
		`<h1>{{$.Words.Text "course.title"}}</h1>`:                "course.title",
		`{{.Words.Text (printf "notice.%s" .Class)}}`:             "notice.%s",
		`{{.Words.HTML "start.doubt" "logbook" (tag "a")}}`:       "start.doubt",
		`<div class="words">{{.Text}}</div> {{with .Figures}}"x"`: "",
		`p.Text = r.print(text...)`:                               "",
	} {
		got := ""
		if m := askedForm.FindStringSubmatch(source); m != nil {
			got = m[1]
		}
		if got != want {
			t.Errorf("%s asks for %q, want %q", source, got, want)
		}
	}
}
