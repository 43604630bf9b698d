package site

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"slipring/engine/diag"
	"slipring/render/page"
)

func TestTreeHasEverything(t *testing.T) {
	tree := sampleTree(t)
	var got []string
	for name := range tree {
		if !strings.HasPrefix(name, "look/") {
			got = append(got, name)
		}
	}
	slices.Sort(got)
	want := []string{
		"course/first/figure-contact.csv", "course/first/index.html", "course/first/table-readings.csv", "course/first/values.json",
		"course/index.html", "course/second/index.html", "course/second/values.json", "course/sign-off.html",
		"handout/first-guide.html", "handout/first.html", "handout/first.large.html", "handout/index.html",
		"handout/second-guide.html", "handout/second.html", "handout/second.large.html", "handout/spoken.sheet.html",
		"index.html", "kiosk/first.html", "kiosk/index.html", "logbook/index.html",
	}
	if !slices.Equal(got, want) {
		t.Errorf("the tree holds\n%q, want\n%q", got, want)
	}
}

func TestBuildIsPure(t *testing.T) {
	one, two := knobbedTree(t), knobbedTree(t)
	for name := range one {
		if string(one[name]) != string(two[name]) {
			t.Errorf("%s differs from one Build to the next", name)
		}
	}
}

// Every link and everything that a page loads is in the tree; only an author's
// own link may lead out, and nothing is ever loaded from elsewhere.
func TestLinks(t *testing.T) {
	tree := knobbedTree(t)
	pages := documents(t, tree)
	reached := map[string]bool{"index.html": true}
	for name, d := range pages {
		for n := range d.root.Descendants() {
			for _, a := range n.Attr {
				loads := a.Key == "src" || a.Key == "href" && n.Data != "a" || a.Key == "srcset" || a.Key == "data" || a.Key == "poster"
				if !loads && a.Key != "href" {
					continue
				}
				u, err := url.Parse(a.Val)
				if err != nil {
					t.Errorf("%s: %v", name, err)
					continue
				}
				if u.IsAbs() || u.Host != "" {
					if loads || !strings.Contains(attr(n, "class"), "outside") || strings.HasPrefix(name, "kiosk/") {
						t.Errorf("%s: <%s> leads to %s", name, n.Data, a.Val)
					}
					continue
				}
				if strings.HasPrefix(u.Path, "/") {
					t.Errorf("%s: %s is no relative link", name, a.Val)
				}
				to := name
				if u.Path != "" {
					to = path.Join(path.Dir(name), u.Path)
				}
				if _, ok := tree[to]; !ok {
					t.Errorf("%s: %s leads to %s, which is not there", name, a.Val, to)
					continue
				}
				reached[to] = true
				if u.Fragment != "" && !pages[to].ids[u.Fragment] {
					t.Errorf("%s: %s names no element of %s", name, a.Val, to)
				}
				if strings.HasPrefix(name, "kiosk/") && n.Data == "a" && !strings.HasPrefix(to, "kiosk/") {
					t.Errorf("%s: %s leaves the kiosk", name, a.Val)
				}
			}
		}
	}
	for name, content := range tree {
		for _, part := range strings.Split(string(content), "url(")[1:] {
			if path.Ext(name) != ".css" {
				break
			}
			to, _, _ := strings.Cut(part, ")")
			to = path.Join(path.Dir(name), to)
			reached[to] = true
			if _, ok := tree[to]; !ok {
				t.Errorf("%s loads %s, which is not there", name, to)
			}
		}
		if path.Ext(name) == ".css" && (strings.Contains(string(content), "@import") || strings.Contains(string(content), "//")) {
			t.Errorf("%s loads something by address", name)
		}
	}
	for name := range tree {
		if !reached[name] && name != "look/fonts/licence.txt" {
			t.Errorf("no page leads to %s", name)
		}
	}
}

// What each page owes to those who read it by ear or by keyboard.
func TestPages(t *testing.T) {
	titles := map[string]string{}
	for name, d := range documents(t, sampleTree(t)) {
		if got := attr(d.tags("html")[0], "lang"); got != "en" {
			t.Errorf("%s: lang is %q", name, got)
		}
		if n := len(d.tags("h1")); n != 1 {
			t.Errorf("%s has %d first headings", name, n)
		}
		title := text(d.tags("title")[0])
		if other := titles[title]; other != "" || title == "" {
			t.Errorf("%s and %s are both called %q", name, other, title)
		}
		titles[title] = name
		for _, n := range d.tags("h2") {
			if text(n) == text(d.tags("h1")[0]) {
				t.Errorf("%s says its title twice", name)
			}
		}
		if len(d.tags("main")) != 1 {
			t.Errorf("%s has no main part", name)
		}
		level := 0
		for n := range d.root.Descendants() {
			if n.Type == html.ElementNode && len(n.Data) == 2 && n.Data[0] == 'h' && n.Data[1] >= '1' && n.Data[1] <= '6' {
				this, _ := strconv.Atoi(n.Data[1:])
				if this > level+1 {
					t.Errorf("%s: heading %q of level %d follows one of level %d", name, text(n), this, level)
				}
				level = this
			}
			for _, a := range n.Attr {
				if a.Key == "style" || strings.HasPrefix(a.Key, "on") {
					t.Errorf("%s: <%s> has the attribute %s, which the policy blocks", name, n.Data, a.Key)
				}
				if a.Key == "aria-labelledby" || a.Key == "aria-describedby" {
					for _, id := range strings.Fields(a.Val) {
						if !d.ids[id] {
							t.Errorf("%s: %s names %q, which is not there", name, a.Key, id)
						}
					}
				}
			}
			if n.Data == "a" && n.Type == html.ElementNode && text(n) == "" {
				t.Errorf("%s: the link to %s has no words", name, attr(n, "href"))
			}
		}
	}
}

// Each page carries a policy that lets nothing be loaded but our own files,
// before anything that it would have to hold for; only the kiosk and the course run
// scripts.
func TestPolicy(t *testing.T) {
	for name, d := range documents(t, sampleTree(t)) {
		head := d.tags("head")[0]
		found := false
		for n := range head.ChildNodes() {
			if n.Type != html.ElementNode {
				continue
			}
			if n.Data == "meta" && attr(n, "http-equiv") == "Content-Security-Policy" {
				found = true
				rules := map[string]string{}
				for rule := range strings.SplitSeq(attr(n, "content"), ";") {
					name, sources, _ := strings.Cut(strings.TrimSpace(rule), " ")
					rules[name] = sources
				}
				want := map[string]string{
					"default-src": "'none'", "style-src": "'self' file:", "font-src": "'self' file:", "base-uri": "'none'", "form-action": "'none'",
				}
				if strings.HasPrefix(name, "kiosk/") || strings.HasPrefix(name, "course/") {
					want["script-src"] = "'self' file:"
				}
				if !maps.Equal(rules, want) {
					t.Errorf("%s: the policy is %v", name, rules)
				}
			}
			if (n.Data == "link" || n.Data == "script") && !found {
				t.Errorf("%s loads something before its policy", name)
			}
		}
		if !found {
			t.Errorf("%s has no policy", name)
		}
		for _, n := range d.tags("script") {
			data := attr(n, "src") == "" && attr(n, "type") == "application/json" // which never runs
			if !data && (attr(n, "src") == "" || attr(n, "type") != "") {
				t.Errorf("%s has a script that is inline or a module", name)
			}
		}
		if len(d.tags("style")) > 0 {
			t.Errorf("%s has an inline style sheet", name)
		}
	}
}

// Every page says what its numbers were computed from, and that they are
// invented.
func TestProvenance(t *testing.T) {
	in := sampleInput(t)
	in.Version = "7b"
	tree, _ := Build(in)
	first := digest([]byte(firstLesson))[:12]
	for name, d := range documents(t, tree) {
		footer := d.tags("footer")
		if len(footer) != 1 {
			t.Errorf("%s has no line about its source", name)
			continue
		}
		got := text(footer[0])
		if strings.HasPrefix(name, "kiosk/") {
			// The line is short there; the rest is a touch away.
			if !strings.Contains(got, "machine card set") || !strings.Contains(got, "Invented demonstration data.") {
				t.Errorf("%s says %q", name, got)
			}
			got = ""
			for _, s := range d.tags("section") {
				if attr(s, "id") == "screen.where" {
					got = text(s)
				}
			}
		}
		// What visitors take home is short; the rest is on the page of the course.
		brief := strings.HasPrefix(name, "handout/first.") || strings.HasPrefix(name, "handout/second.")
		var want []string
		card := "machine card set of 20 November 2026"
		if brief {
			card = "machine card set"
		} else {
			want = append(want, "odel version 7b", "digest")
		}
		if !strings.Contains(name, "second") {
			want = append(want, card, "Invented demonstration data.")
		}
		if (strings.Contains(name, "first") || strings.HasPrefix(name, "kiosk/")) && !brief {
			want = append(want, "lesson digest "+first)
		}
		if !strings.HasPrefix(name, "kiosk/") && !brief {
			want = append(want, "Logbook")
		}
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%s says %q, which lacks %q", name, got, w)
			}
		}
	}
	in.House.Note = "Invented demonstration data: no such house exists."
	tree, _ = Build(in)
	for name, d := range documents(t, tree) {
		if got := text(d.tags("footer")[0]); strings.Count(got, "nvented") != 1 || !strings.Contains(got, in.House.Note) {
			t.Errorf("%s says %q", name, got)
		}
	}
}

// What to do after an accident stands on the guide's sheet with the hazards of
// the lesson, and on the sheet to sign with all of them; each with whom to call.
func TestAfterAccident(t *testing.T) {
	pages := documents(t, treeOf(t, frenchInput(t)))
	for name, want := range map[string]string{
		"handout/asked-guide.html":    "After an accident Rotating shaft: Stop the set & call help. In an emergency: the front desk.",
		"handout/asked-guide.fr.html": "Après un accident Arbre en rotation : Arrêtez le groupe. En cas d’urgence : the front desk.",
		"course/sign-off.html":        "After an accident Rotating shaft: Stop the set & call help. Electric shock: Switch off first. In an emergency: the front desk.",
		"course/sign-off.fr.html":     "Après un accident Arbre en rotation : Arrêtez le groupe. Electric shock : Switch off first. En cas d’urgence : the front desk.",
	} {
		if got := pages[name].class("accident"); len(got) != 1 || text(got[0]) != want {
			t.Errorf("%s has %d such sections, which should say %q", name, len(got), want)
		}
	}
	for _, name := range []string{"handout/asked.html", "handout/asked.large.html", "handout/second-guide.html"} {
		if got := pages[name]; len(got.class("accident")) > 0 || len(got.class("contact")) != 1 {
			t.Errorf("%s has %d accidents and %d contacts", name, len(got.class("accident")), len(got.class("contact")))
		}
	}
}

// The cautions stand in full on every page about the lesson.
func TestCautionsOnEveryPage(t *testing.T) {
	pages := documents(t, sampleTree(t))
	for _, name := range []string{"course/first/index.html", "kiosk/first.html", "handout/first.html", "handout/first-guide.html", "handout/first.large.html"} {
		notices := pages[name].class("notice")
		if strings.HasPrefix(name, "handout/first.") { // visitors look on: a line for each hazard, and the whole on the guide's sheet
			if len(notices) != 1 || text(notices[0]) != "Warning: Rotating shaft. Keep hands and hair away." {
				t.Errorf("%s has %d notices, %q", name, len(notices), text(notices[0]))
			}
			continue
		}
		if len(notices) != 1 || text(notices[0]) != "Warning Rotating shaft It winds in sleeves and hair. Keep hands and hair away. Keep your hands off while it turns." {
			t.Errorf("%s has %d notices", name, len(notices))
			continue
		}
		for n := notices[0].Parent; n != nil; n = n.Parent {
			if n.Data == "details" || attr(n, "hidden") != "" {
				t.Errorf("%s hides its caution", name)
			}
		}
	}
	// On the kiosk a line of it comes before any panel, and leads to the whole;
	// each panel repeats it in short.
	kiosk := pages["kiosk/first.html"]
	screens := kiosk.class("screen")
	if len(screens) != 5 || len(kiosk.class("panel")) != 2 || len(kiosk.class("beside")) != 2 {
		t.Fatalf("the kiosk has %d screens", len(screens))
	}
	sign := kiosk.class("signs")[0].FirstChild
	for sign.Data != "li" {
		sign = sign.NextSibling
	}
	if got := text(sign); got != "Warning Keep hands and hair away." || attr(sign.FirstChild, "href") != "#"+attr(screens[3], "id") || !strings.Contains(text(screens[3]), "Keep your hands off") {
		t.Errorf("the first screen warns %q, and leads to %q", got, text(screens[3]))
	}
	for _, s := range kiosk.class("panel") {
		if !strings.Contains(text(s), "Warning Keep hands and hair away.") {
			t.Errorf("a panel says %q", text(s))
		}
	}
	if points := pages["handout/first-guide.html"].class("points"); len(points) != 1 {
		t.Error("the guide has no talking points")
	}
	for _, name := range []string{"handout/first.html", "course/first/index.html", "kiosk/first.html"} {
		if strings.Contains(text(pages[name].root), "Ask them first.") {
			t.Errorf("%s has a talking point", name)
		}
	}
}

func TestValues(t *testing.T) {
	tree := sampleTree(t)
	want := `[
  {"name": "card.battery.voltage", "kind": "value", "value": 48, "unit": "V", "frame": null},
  {"name": "drop.speed", "kind": "value", "value": -0.1, "unit": "Hz", "frame": null},
  {"name": "fast", "kind": "claim", "value": true, "unit": "", "frame": null},
  {"name": "idle.speed", "kind": "value", "value": 19.950000000000003, "unit": "Hz", "frame": null},
  {"name": "tiny", "kind": "value", "value": 1e-12, "unit": "", "frame": null}
]`
	var got, expected []map[string]any
	if err := json.Unmarshal(tree["course/first/values.json"], &got); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(want), &expected); err != nil {
		t.Fatal(err)
	}
	if fmt.Sprint(got) != fmt.Sprint(expected) {
		t.Errorf("values.json holds\n%s, want\n%s", tree["course/first/values.json"], want)
	}
	if got[3]["value"].(float64) != 19.950000000000003 || !strings.Contains(string(tree["course/first/values.json"]), "19.950000000000003,") {
		t.Error("a value does not read back to the last bit")
	}
	if string(tree["course/second/values.json"]) != "[]\n" {
		t.Errorf("without values the list is %q", tree["course/second/values.json"])
	}
}

// Every constant of every card stands in the logbook.
func TestLogbook(t *testing.T) {
	in := sampleInput(t)
	log := documents(t, sampleTree(t))["logbook/index.html"]
	rows := map[string]string{}
	for _, n := range log.tags("tr") {
		rows[attr(n, "id")] = text(n)
	}
	constants := 0
	for _, c := range in.Cards {
		for _, e := range c.Constants() {
			constants++
			row := rows[c.Name+"."+e.Name()]
			for _, want := range []string{e.Key, e.Doc, page.UnitSymbol(e.Unit), string(e.Origin), e.Note} {
				if !strings.Contains(row, want) {
					t.Errorf("%s.%s is logged as %q, without %q", e.Part, e.Key, row, want)
				}
			}
		}
	}
	if constants != 3 {
		t.Fatalf("the card has %d constants", constants)
	}
	if row := rows["set.battery.resistance"]; !strings.Contains(row, "0.05") || !strings.Contains(row, "12 May 2026") {
		t.Errorf("the measured resistance is logged as %q", row)
	}
	if !strings.Contains(text(log.root), digest([]byte(firstLesson))) {
		t.Error("the logbook lacks a lesson's whole digest")
	}
}

func TestPlain(t *testing.T) {
	for x, want := range map[float64]string{0: "0", 48: "48", 4e-06: "0.000004", 1e-9: "1e-09", 2.5e12: "2.5e+12", -0.25: "-0.25"} {
		if got := page.Plain(x); got != want {
			t.Errorf("%v is written %q, want %q", x, got, want)
		}
	}
	if whole, rest := split("-12.5"); whole != "\u221212" || rest != ".5" {
		t.Errorf("-12.5 is split into %q and %q", whole, rest)
	}
}

// What is wrong in a lesson comes up as a message, and its page is not made.
func TestBuildReports(t *testing.T) {
	in := sampleInput(t)
	in.Lessons[0].Result.Figures = nil
	tree, messages := Build(in)
	if !diag.HasError(messages) || messages[0].File != "first/lesson.md" || messages[0].Line == 0 {
		t.Errorf("a missing figure gives %v", messages)
	}
	if _, ok := tree["course/first/index.html"]; ok {
		t.Error("the page of a lesson with an error was made")
	}
	in = sampleInput(t)
	in.Lessons = nil
	in.Cards = nil
	if _, messages := Build(in); len(messages) > 0 {
		t.Errorf("a house without lessons gives %v", messages)
	}
}

// A lesson may be called as a folder of pages is, but not as a page of the course.
func TestNamesOfPages(t *testing.T) {
	for slug, taken := range map[string]bool{
		"kiosk": false, "handout": false, "logbook": false, "course": false, "sign-off": false,
		"sources": true, "glossary": true, "engine": true,
	} {
		in := sampleInput(t)
		in.Lessons[1].Lesson.Slug = slug
		_, messages := Build(in)
		if got := diag.HasError(messages); got != taken {
			t.Errorf("a lesson called %s gives %v", slug, messages)
		}
	}
}
