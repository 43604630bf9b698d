package site

import (
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

const (
	listenLesson = "```lesson\ntitle = \"Sound\"\nknow = \"You can hear it.\"\nhazards = [\"rotating\"]\nsafety = true\n```\n\n```caution rotating\nStay outside the rail.\n```\n\n" +
		"## At the set\n\n```machine isolated\n1. Lock it.\n2. Look at [the rule](#at-the-set).\n```\n\n```limit load\nIt makes [21 Hz][fast.value] or more.\n```\n\n```machine load\n3. Listen: it makes [19.95 Hz][idle.speed].\n```\n"
	warmthLesson = "```lesson\ntitle = \"Warmth\"\nhazards = [\"voltage\"]\n```\n\n```caution voltage\n```\n\n```machine before\n1. Feel the air.\n```\n\n```machine load\n2. Read the thermometer.\n```\n"
)

// The page of all steps has them in the order of a day, under the numbers of
// their lessons, behind the notices of all hazards, with the way back.
func TestAtMachine(t *testing.T) {
	in := inputOf(t, [][2]string{{"first", strings.Replace(listenLesson, "[21 Hz][fast.value]", "too many turns", 1)}, {"warmth", warmthLesson}})
	pages := documents(t, treeOf(t, in))
	d := pages["course/at-the-machine/index.html"]
	if d == nil {
		t.Fatal("there is no page of all steps")
	}
	var got []string
	for _, hour := range d.class("hour") {
		got = append(got, attr(hour, "aria-labelledby"))
		for _, round := range (&document{"", hour, nil}).class("round") {
			in := &document{"", round, nil}
			got = append(got, text(in.tags("h3")[0]))
			for _, li := range in.tags("li") {
				got = append(got, attr(li, "value")+" "+text((&document{"", li, nil}).class("act")[0]))
			}
			href, id, _ := strings.Cut(attr(in.tags("a")[0], "href"), "#")
			if to := pages["course/"+strings.TrimPrefix(href, "../")]; to == nil || !to.ids[id] {
				t.Errorf("%s#%s is not there", href, id)
			}
		}
	}
	want := []string{"day.before", "Warmth", "1 Feel the air.", "day.isolated", "Sound", "1 Lock it.", "2 Look at the rule.",
		"day.load", "Sound", "3 Listen: it makes 19.95 Hz.", "Warmth", "2 Read the thermometer."}
	if !slices.Equal(got, want) {
		t.Errorf("the day is\n%q, want\n%q", got, want)
	}
	if n := len(d.class("notice")); n != 2 {
		t.Errorf("%d notices stand at its head, want those of both hazards", n)
	}
	if all := text(d.root); !strings.Contains(all, "too many turns or more.") || strings.Count(all, "Stay outside the rail.") != 1 {
		t.Errorf("the page lacks a limit, or has what a lesson's caution adds more or less than once: %q", all)
	}
	// Each of the four rounds names its lesson's hazard, the first of a lesson
	// with what the caution adds, the others with the way there.
	var warned []string
	for _, round := range d.class("round") {
		in := &document{"", round, nil}
		for _, n := range append(in.class("added"), in.class("again")...) {
			line := attr(n, "class") + ": " + text(n)
			for _, a := range (&document{"", n, nil}).tags("a") {
				line += " " + attr(a, "href")
				if id := strings.TrimPrefix(attr(a, "href"), "#"); !d.ids[id] {
					t.Errorf("no %q is there", id)
				}
			}
			warned = append(warned, line)
		}
	}
	if want := []string{"added: Danger: Electric shock.", "added: Warning: Rotating shaft.Stay outside the rail.",
		"again: Warning: Rotating shaft. See “Set isolated and locked off”. #warned.first", "again: Danger: Electric shock. See “Before the start”. #warned.warmth"}; !slices.Equal(warned, want) {
		t.Errorf("it warns\n%q, want\n%q", warned, want)
	}
	if n := len(d.class("reading")); n != 1 {
		t.Errorf("%d steps have room for a reading, want the one that tells a number", n)
	}
	for name, link := range map[string]string{"course/index.html": "at-the-machine/index.html", "handout/index.html": "../course/at-the-machine/index.html"} {
		if !slices.ContainsFunc(pages[name].tags("a"), func(n *html.Node) bool { return attr(n, "href") == link }) {
			t.Errorf("%s does not lead to it", name)
		}
	}
	if !slices.ContainsFunc(Sheets(in), func(s Sheet) bool { return s.Edition == machineSheet && s.Path == machinePath }) {
		t.Error("it is no sheet to be printed")
	}
}
