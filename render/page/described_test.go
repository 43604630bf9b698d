package page

import (
	"testing"

	"slipring/engine/lesson"
	"slipring/engine/proof"
)

// A picture of which nothing is said in words is reported at its place.
func TestDescribed(t *testing.T) {
	l, messages := lesson.Parse("lesson.md", []byte("```lesson\ntitle = \"A\"\n```\n\n![One turn](figure:contact)\n"))
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	for description, want := range map[string]int{"It turns.": 0, " ": 1, "": 1} {
		p := newPrinter(Input{Checked: proof.Checked{Lesson: l}}, Links{})
		p.described(all(l.Body, lesson.Embed)[0], description)
		if len(p.messages) != want || want == 1 && (p.messages[0].Line != 5 || p.messages[0].Rule != "undescribed") {
			t.Errorf("%q gives %v", description, p.messages)
		}
	}
}
