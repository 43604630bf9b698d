package site

import (
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/render/scene"
)

const sampleScene = `title = "All of it"
width = 800
height = 600
[governor]
draws = "governor"
at = [300, 300]
name = "governor <one>"
lessons = ["first"]
[lamp]
draws = "lamp"
at = [600, 300]
name = "lamp"
lessons = ["second"]
[quay]
draws = "box"
at = [100, 500]
gone = true
name = "quay"
`

// The drawing stands on the map with links to lessons that visitors see, on
// first screens with the lesson's part lit, on the course's list, and with a key
// on each sheet. A house without one has no page with a trace of it.
func TestWholeOnPages(t *testing.T) {
	in := sampleInput(t)
	for path, content := range treeOf(t, in) {
		if text := string(content); strings.HasSuffix(path, ".html") && (strings.Contains(text, "look/scene.css") || strings.Contains(text, `<svg class="whole`) || strings.Contains(text, `class="country"`)) {
			t.Errorf("%s has a drawing that the house has not", path)
		}
	}
	s, messages := card.ReadScene("scene.toml", []byte(sampleScene), scene.Shapes(), scene.Materials())
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	in.Scene = s
	tree := treeOf(t, in)
	for path, holds := range map[string][]string{
		"kiosk/index.html":          {`<a href="first.html" tabindex="-1" aria-hidden="true">`, `<use href="#whole.0"/>`, "look/scene.css", "It shows: governor &lt;one&gt;, lamp. Dashed, because it is no longer there: quay."},
		"kiosk/first.html":          {`<g class="part lit" id="`, `<g class="part dim" id="`, "Marked in it: governor &lt;one&gt;."},
		"course/index.html":         {`<a href="first/index.html" tabindex="-1"`, `<a href="second/index.html" tabindex="-1"`, `<b class="nth">2</b>`},
		"handout/first.html":        {`<li class="lit"><b>1</b> <strong>governor &lt;one&gt;</strong></li></ol>`, `<g class="mark lit">`},
		"handout/first-guide.html":  {`<li class="lit"><b>1</b> <strong>governor &lt;one&gt;</strong></li>`, `<li><b>3</b> quay</li>`},
		"handout/first.large.html":  {`<li><b>3</b> quay</li>`},
		"handout/second-guide.html": {`<li class="lit"><b>2</b> <strong>lamp</strong></li>`},
	} {
		for _, want := range holds {
			if !strings.Contains(string(tree[path]), want) {
				t.Errorf("%s lacks %s", path, want)
			}
		}
	}
	// The second lesson has no panel: visitors are not led to it.
	if strings.Contains(string(tree["kiosk/index.html"]), "second") {
		t.Error("the map leads to a lesson that is not on the kiosk")
	}
	if strings.Contains(string(tree["kiosk/first.html"]), `class="hit"`) {
		t.Error("a first screen's drawing can be touched")
	}
}
