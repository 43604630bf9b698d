package site

import (
	"math/rand/v2"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// mostClicks is how many clicks it may take from a number to its equation, or
// the line of the card, and to their source.
const mostClicks = 3

// storyWalk reads pages of a site as links lead to them.
type storyWalk struct {
	t    *testing.T
	dir  string
	read map[string]*document
}

func (w *storyWalk) page(name string) *document {
	if d := w.read[name]; d != nil {
		return d
	}
	source, err := os.ReadFile(filepath.Join(w.dir, filepath.FromSlash(name)))
	if err != nil {
		w.t.Fatal(err)
	}
	root, err := html.Parse(strings.NewReader(string(source)))
	if err != nil {
		w.t.Fatal(err)
	}
	d := &document{path: name, root: root}
	w.read[name] = d
	return d
}

// at gives what a link leads to.
func (w *storyWalk) at(from, href string) (page string, n *html.Node) {
	u, err := url.Parse(href)
	if err != nil || u.IsAbs() {
		w.t.Fatalf("%s: %q leads out of the pages: %v", from, href, err)
	}
	page = from
	if u.Path != "" {
		page = path.Join(path.Dir(from), u.Path)
	}
	for d := range w.page(page).root.Descendants() {
		if u.Fragment != "" && attr(d, "id") == u.Fragment {
			return page, d
		}
	}
	w.t.Errorf("%s: %q leads nowhere", from, href)
	return page, nil
}

func hasClass(n *html.Node, class string) bool {
	return n.Type == html.ElementNode && slices.Contains(strings.Fields(attr(n, "class")), class)
}

func inside(n *html.Node, is func(*html.Node) bool) []*html.Node {
	var out []*html.Node
	for d := range n.Descendants() {
		if is(d) {
			out = append(out, d)
		}
	}
	return out
}

// found says whether a place of a page shows an equation, or a line of the card;
// and whether it shows a source.
func found(n *html.Node) (equation, source bool) {
	constant := n.Data == "tr"
	cites := attr(n, "id") == "sources.here"
	return constant || len(inside(n, func(d *html.Node) bool { return hasClass(d, "formula") })) > 0,
		constant || cites || len(inside(n, func(d *html.Node) bool { return hasClass(d, "origin") })) > 0
}

// clicks counts the clicks from a number to its equation, or the line of the
// card, and to a source; 0 for what is not reached. Of what the lesson chose
// itself, or that it made of nothing of the engine, there is only a source.
func (w *storyWalk) clicks(page, href string) (equation, source int) {
	type step struct{ page, href string }
	seen := map[step]bool{}
	now := []step{{page, href}}
	for click := 1; click <= mostClicks && (equation == 0 || source == 0); click++ {
		var next []step
		for _, s := range now {
			if seen[s] {
				continue
			}
			seen[s] = true
			page, n := w.at(s.page, s.href)
			if n == nil {
				continue
			}
			// Behind what was read off instruments stand no equations, but them.
			read := len(inside(n, func(d *html.Node) bool { return hasClass(d, "read") })) > 0
			if read && equation == 0 {
				equation = click
			}
			if e, o := found(n); e || o {
				if e && equation == 0 {
					equation = click
				}
				if o && source == 0 {
					source = click
				}
				continue
			}
			for _, a := range inside(n, func(d *html.Node) bool { return d.Data == "a" }) {
				next = append(next, step{page, attr(a, "href")})
			}
		}
		now = next
	}
	return equation, source
}

// checkStories follows each number and each claim of each lesson's course page to
// where it comes from.
func checkStories(t *testing.T, dir string, pages []string) {
	w := &storyWalk{t, dir, map[string]*document{}}
	type followed struct {
		where            string
		equation, source int
	}
	var all []followed
	claims := 0
	for _, name := range pages {
		if !strings.HasPrefix(name, "course/") || strings.HasPrefix(name, partsDir) || len(w.page(name).class("text")) == 0 {
			continue
		}
		for _, q := range inside(w.page(name).class("text")[0], func(d *html.Node) bool { return hasClass(d, "quote") || hasClass(d, "claim") }) {
			claim := hasClass(q, "claim")
			if len(inside(q, func(*html.Node) bool { return true })) == 0 || attr(q, "value") == "" && !claim {
				continue
			}
			if plain := slices.ContainsFunc(slices.Collect(q.Ancestors()), func(up *html.Node) bool {
				return slices.Contains([]string{"h1", "h2", "h3", "h4", "label", "button"}, up.Data) || hasClass(up, "key")
			}); plain {
				continue
			}
			link := q.Parent
			if !hasClass(link, "told") {
				t.Errorf("%s: %q opens nothing", name, text(q))
				continue
			}
			where := name + attr(link, "href") + " " + text(q)
			_, story := w.at(name, attr(link, "href"))
			if story == nil {
				continue
			}
			whole := inside(story, func(d *html.Node) bool { return d.Data == "data" })
			if claim {
				claims++
				said := text(inside(story, func(d *html.Node) bool { return hasClass(d, "whole") })[0])
				if !strings.HasSuffix(said, strings.TrimPrefix(attr(story, "id"), "story.")) {
					t.Errorf("%s: the story is about %s", where, said)
				}
			} else if len(whole) == 0 {
				t.Errorf("%s: the story has no number", where)
				continue
			} else if attr(whole[0], "value") != attr(q, "value") {
				t.Errorf("%s: the story is about %s", where, attr(whole[0], "value"))
			}
			lines := inside(story, func(d *html.Node) bool { return hasClass(d, "line") || hasClass(d, "logged") })
			if len(lines) == 0 {
				t.Errorf("%s: neither the line of a cell nor that of a card is shown", where)
			}
			e, s := w.clicks(name, attr(link, "href"))
			chosen := len(inside(story, func(d *html.Node) bool { return hasClass(d, "own") })) > 0
			if s == 0 && !chosen || e == 0 && !chosen {
				t.Errorf("%s: within %d clicks there is an equation after %d and a source after %d: %s", where, mostClicks, e, s, text(story))
			}
			for _, asks := range []string{"bench.", ".Steady(", ".Constant(", ".Traces(", ".Frequency"} {
				if chosen && strings.Contains(text(lines[0]), asks) {
					t.Errorf("%s: the lesson is said to have chosen it, and its lines ask the engine: %s", where, text(lines[0]))
				}
			}
			all = append(all, followed{where, e, s})
		}
	}
	if len(all) < 200 || claims < 100 {
		t.Fatalf("only %d numbers and claims were followed, of them %d claims", len(all), claims)
	}
	own := 0
	for _, one := range all {
		if one.equation == 0 {
			own++
		}
	}
	t.Logf("%d numbers and %d claims were followed; %d of them lessons chose themselves", len(all)-claims, claims, own)
	chance := rand.New(rand.NewPCG(15, 2026))
	for _, i := range chance.Perm(len(all))[:10] {
		one := all[i]
		if one.equation == 0 {
			t.Logf("%s: the lesson's own, %d clicks to its sources", one.where, one.source)
			continue
		}
		t.Logf("%s: %d clicks to the equation or the card's line, %d to the source", one.where, one.equation, one.source)
	}
}
