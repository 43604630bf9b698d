package site

import (
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

const (
	battery = "```step battery\ndo = \"Read the [19.95 Hz][idle.speed].\"\nwhere = \"There.\"\nwith = \"A meter.\"\nexpect = \"idle.speed\"\nwithin = \"0.2 Hz\"\notherwise = \"Stop.\"\nsigns = \"The reader.\"\n```\n\n"
	looks   = "```step PART\ndo = \"Look at it.\"\nwhere = \"There.\"\nsee = \"All is well.\"\notherwise = \"Stop.\"\nsigns = \"Who looked.\"\nhazards = [\"rotating\"]\n```\n\n"
)

// The page from one end to the other has the steps of all lessons in the order
// of the set's parts, under the numbers of their lessons, behind the notices of
// all hazards, with limits, room to write, and the way back.
func TestFromEndToEnd(t *testing.T) {
	first := "```lesson\ntitle = \"Sound\"\nknow = \"You can hear it.\"\nhazards = [\"rotating\"]\n```\n\n```caution rotating\nStay outside the rail.\n```\n\n" +
		strings.Replace(looks, "PART", "isolation", 1) + battery + strings.Replace(looks, "PART", "lines", 1)
	second := "```lesson\ntitle = \"Warmth\"\nhazards = [\"rotating\", \"voltage\"]\n```\n\n```caution rotating\n```\n\n```caution voltage\n```\n\n" + strings.Replace(looks, "PART", "motor", 1)
	in := inputOf(t, [][2]string{{"first", first}, {"warmth", second}})
	pages := documents(t, treeOf(t, in))
	d := pages[endPath]
	if d == nil {
		t.Fatal("there is no page of all steps")
	}
	var got []string
	for _, part := range d.class("hour") {
		got = append(got, attr(part, "aria-labelledby"))
		for _, round := range (&document{"", part, nil}).class("round") {
			of := &document{"", round, nil}
			for _, h3 := range of.tags("h3") {
				got = append(got, text(h3))
			}
			for _, act := range of.class("commission") {
				got = append(got, text((&document{"", act, nil}).class("stage")[0]))
			}
			for _, a := range of.tags("a") {
				href, id, _ := strings.Cut(attr(a, "href"), "#")
				if to := pages["course/"+strings.TrimPrefix(href, "../")]; to == nil || !to.ids[id] {
					t.Errorf("%s#%s is not there", href, id)
				}
			}
		}
	}
	want := []string{"part.isolation", "Sound", "Step 1", "part.battery", "Step 2", "part.motor", "Warmth", "Step 1", "part.lines", "Sound", "Step 3"}
	if !slices.Equal(got, want) {
		t.Errorf("the page has\n%q, want\n%q", got, want)
	}
	all := text(d.root)
	for words, times := range map[string]int{"19.95 Hz, from 19.75 Hz to 20.15 Hz": 1, "Reading": 1, "As expected": 3, "Initials": 4, "If not so": 4, "Who signs": 4, "Stay outside the rail.": 1} {
		if n := strings.Count(all, words); n != times {
			t.Errorf("the page says %q %d times, want %d", words, n, times)
		}
	}
	if n := len(d.class("notice")); n != 2 {
		t.Errorf("%d notices stand at its head, want those of both hazards", n)
	}
	course := pages["course/first/index.html"]
	if n := len(course.class("commission")); n != 3 || len(course.class("sign")) != 0 {
		t.Errorf("the lesson's page has %d steps, want 3, and no room to write", n)
	}
	for name, link := range map[string]string{"course/index.html": "end-to-end/index.html", "handout/index.html": "../course/end-to-end/index.html"} {
		if !slices.ContainsFunc(pages[name].tags("a"), func(n *html.Node) bool { return attr(n, "href") == link }) {
			t.Errorf("%s does not lead to it", name)
		}
	}
	if !slices.ContainsFunc(Sheets(in), func(s Sheet) bool { return s.Edition == endSheet && s.Path == endPath }) {
		t.Error("it is no sheet to be printed")
	}
}
