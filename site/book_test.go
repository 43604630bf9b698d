package site

import (
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"slipring/engine/lesson"
	"slipring/engine/logbook"
	"slipring/engine/proof"
	"slipring/engine/tell"
)

const loggedBlock = "```entry\ntitle = \"TITLE\"\nby = \"the drum keeper\"\ncard = \"set\"\nparts = PARTS\n```\n\n"

// logged makes an entry whose facts are those of a test.
func logged(t *testing.T, date, name, parts, blocks string) logbook.Entry {
	t.Helper()
	source := strings.NewReplacer("TITLE", "On "+name, "PARTS", parts).Replace(loggedBlock) + blocks
	l, messages := lesson.ParseEntry(date+"-"+name+".md", []byte(source))
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	l.Slug, l.Language = name, "en"
	e := logbook.Entry{Checked: proof.Checked{Lesson: l}, Date: date, Name: name}
	facts := []proof.Fact{{Value: tell.Value{Name: "card.battery.voltage", Number: 48, Unit: "V"}, From: "the card"},
		{Value: tell.Value{Name: "lesson.asked.speed", Number: 16.65, Unit: "Hz"}, Model: true, Moved: true}}
	e.Report, messages = proof.Folder{}.CheckEntry(l, facts)
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	return e
}

func bookInput(t *testing.T) Input {
	t.Helper()
	in := loggedInput(t)
	one := logged(t, "2026-11-20", "joints", `["battery"]`, "```done\nIt has [48 V][card.battery.voltage].\n\n![A \\<joint>](picture:joint.png \"Green\")\n```\n\n```open why-green\nWhy are they green?\n```\n\n```open who\nWho knows?\n```\n")
	one.Pictures = []logbook.Picture{{Name: "joint.png", Content: []byte("drawn"), Width: 40, Height: 30}}
	in.Logbook = []logbook.Entry{one,
		logged(t, "2026-11-22", "acid", `[]`, "```found\nIt smells.\n```\n\n```answer why-green\nAcid crept up. The model gave [16.5 Hz][lesson.asked.speed].\n```\n")}
	return in
}

// The book has all that is dated in one order of time, and by part, with the
// questions before all: what is open first, and what was answered with where.
func TestBook(t *testing.T) {
	in := bookInput(t)
	tree := treeOf(t, in)
	pages := documents(t, tree)
	d := pages["logbook/work/index.html"]
	var order []string
	for _, n := range d.class("moment") {
		order = append(order, attr(n, "aria-labelledby"))
	}
	if want := []string{"history..counted", "entry..joints", "history..cleaned", "entry..acid"}; !slices.Equal(order, want) {
		t.Errorf("the order is %q, want %q", order, want)
	}
	inside := func(class string) (all []string) {
		for _, n := range d.class(class) {
			all = append(all, strings.Join(strings.Fields(text(n)), " "))
		}
		return all
	}
	questions := strings.Join(inside("questions"), " ")
	open, answered := strings.Index(questions, "Who knows? Open."), strings.Index(questions, "Why are they green? Asked on 20 November 2026 by the drum keeper, in On joints. Answered on 22 November 2026 in On acid.")
	if open < 0 || answered < open {
		t.Errorf("the questions read %q", questions)
	}
	byPart := strings.Join(inside("by-part"), " ")
	if !strings.Contains(byPart, "the whole set 22 November 2026 On acid battery 12 May 2026 Change") || !strings.Contains(byPart, "20 November 2026 On joints") {
		t.Errorf("by part: %q", byPart)
	}
	whole := strings.Join(strings.Fields(text(d.root)), " ")
	for _, s := range []string{"gave 16.5 Hz (the model now gives 16.", "To the question of 20 November 2026", "Written by the drum keeper. About: battery. Invented demonstration data.", "0.08 Ω before, 0.05 Ω after"} {
		if !strings.Contains(strings.ReplaceAll(whole, "\u00a0", " "), s) {
			t.Errorf("the book does not say %q", s)
		}
	}
	image := only(t, d.class("picture")[0], "img")
	if attr(image, "src") != "joint.png" || attr(image, "alt") != "A <joint>" || string(tree["logbook/work/joint.png"]) != "drawn" {
		t.Errorf("the picture is %v", image.Attr)
	}
	if n := len(d.class("sign")); n != 2 {
		t.Errorf("%d entries are signed, want 2", n)
	}
	// Every link within the book, and to the constants, arrives.
	for _, page := range []string{"logbook/work/index.html", "logbook/work/fr.html"} {
		for _, a := range pages[page].tags("a") {
			href, id, ok := strings.Cut(attr(a, "href"), "#")
			to := pages[page]
			if strings.HasPrefix(href, "../") && !strings.HasPrefix(href, "../../") {
				to = pages["logbook/"+strings.TrimPrefix(href, "../")]
			}
			if ok && (to == nil || !to.ids[id]) {
				t.Errorf("%s: %s leads nowhere", page, attr(a, "href"))
			}
		}
	}
	// What has no French words stands there in English, and says so.
	french := pages["logbook/work/fr.html"]
	if n := slices.IndexFunc(french.class("words"), func(n2 *html.Node) bool { return attr(n2, "lang") == "en" }); n < 0 {
		t.Error("English words are not marked in the French book")
	}
	if !slices.Contains(Sheets(in), Sheet{bookPath, bookSheet}) {
		t.Error("the book is no sheet")
	}
}

// A house without anything dated has no book, and nothing leads to one.
func TestNoBook(t *testing.T) {
	in := frenchInput(t)
	for name, content := range treeOf(t, in) {
		if strings.HasPrefix(name, "logbook/work") || strings.Contains(string(content), "logbook/work") || strings.Contains(string(content), `"work/index.html"`) {
			t.Errorf("%s has, or leads to, a logbook of work", name)
		}
	}
}

// The book says in each language how an entry is written, with a whole one to
// copy, which is one.
func TestBookHow(t *testing.T) {
	in := bookInput(t)
	in.House.Languages = []string{"en", "fr"}
	tree := treeOf(t, in)
	pages := documents(t, tree)
	for page, want := range map[string]string{"logbook/work/index.html": "Roles sign, never names.", "logbook/work/fr.html": "On signe par son rôle, jamais par son nom."} {
		how := pages[page].class("how")
		if len(how) != 1 || !strings.Contains(text(how[0]), want) || !strings.Contains(text(how[0]), "logbook/words/fr/") {
			t.Fatalf("%s does not say how to write an entry", page)
		}
		_, sample, _ := strings.Cut(string(tree[page]), `<pre translate="no"><code>`)
		sample, _, _ = strings.Cut(html.UnescapeString(sample), "</code>")
		l, messages := lesson.ParseEntry("2026-11-14-a.md", []byte(sample))
		if len(messages) > 0 || l.Facts.Card != "set" || len(l.Body.Children) != 3 {
			t.Errorf("the sample of %s is no entry: %v\n%s", page, messages, sample)
		}
	}
}
