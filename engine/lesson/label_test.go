package lesson

import (
	"strings"
	"testing"
)

// Labels of a translation, and what is said about wrong ones.
func TestLabels(t *testing.T) {
	l := base(t, "a")
	with := func(more string) string {
		return "```lesson\ntitle = \"B\"\n\n" + more + "\n```\n\na\n"
	}
	tr, messages := ParseTranslation("fr.md", "fr", []byte(with("[[label]]\ntold = \"speed\"\nreads = \"vitesse\"")), l)
	if len(messages) > 0 {
		t.Fatal(list(messages))
	}
	if got := tr.Told("speed") + " " + tr.Told("time") + " " + l.Told("speed"); got != "vitesse time speed" {
		t.Errorf("got %q", got)
	}
	for _, c := range []struct{ block, want string }{
		{"[[label]]\ntold = \"speed\"", "fr.md:4:3: a label says how it was told and what it reads"},
		{"[[label]]\ntold = \"speed\"\nreads = 3", "fr.md:6:9: reads is text in quotation marks, and not empty"},
		{"[[label]]\ntold = \"a\"\nread = \"b\"", "fr.md:6:1: a label has no key \"read\""},
		{"[[label]]\ntold = \"a\"\nreads = \"b\"\n[[label]]\ntold = \"a\"\nreads = \"c\"", "fr.md:7:3: the label \"a\" stands here twice"},
	} {
		_, messages := ParseTranslation("fr.md", "fr", []byte(with(c.block)), l)
		if len(messages) != 1 || !strings.HasPrefix(messages[0].String(), c.want) {
			t.Errorf("%s\ngives %s\nwant %s", c.block, list(messages), c.want)
		}
	}
	_, messages = Parse("lesson.md", []byte(with("[[label]]\ntold = \"a\"\nreads = \"b\"")))
	if len(messages) != 1 || !strings.HasPrefix(messages[0].String(), "lesson.md:4:3: a lesson has no labels of its own") {
		t.Error(list(messages))
	}
}
