package lesson

import (
	"fmt"
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
		{"[[label]]\ntold = \"{} {}\"\nreads = \"{} {}\"", "fr.md:4:3: the label \"{} {}\" would stand for every other"},
		{"[[label]]\ntold = \"a {} b {}\"\nreads = \"{}\"", "fr.md:4:3: the label \"a {} b {}\" has {} 2 times, and what it reads 1 times"},
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

// One label for many: the words for which {} stands are read by themselves, and
// numbers are written as the language writes them.
func TestLabelsOfMany(t *testing.T) {
	l := base(t, "a")
	text := "```lesson\ntitle = \"B\"\n"
	for _, pair := range [][2]string{
		{"The wire {} from {} to {} is open.", "Le fil {} de {} à {} est coupé."},
		{"{}: lamp “{}” ({}): is it lit?", "{} : lampe « {} » ({}) : allumée ?"},
		{"{} to {} V", "de {} à {} V"},
		{"At rest", "À l’arrêt"},
		{"line fuse", "fusible de ligne"},
		{"The wire W9 from a to b is open.", "Celui-là."},
	} {
		text += "\n[[label]]\ntold = \"" + pair[0] + "\"\nreads = \"" + pair[1] + "\"\n"
	}
	tr, messages := ParseTranslation("fr.md", "fr", []byte(text+"```\n\na\n"), l)
	if len(messages) > 0 {
		t.Fatal(list(messages))
	}
	for told, want := range map[string]string{
		"The wire W1 from BAT.+ to start.13 is open.":  "Le fil W1 de BAT.+ à start.13 est coupé. [W1 BAT.+ start.13]",
		"The wire W9 from a to b is open.":             "Celui-là. []",
		"At rest: lamp “line fuse” (H4): is it lit?":   "À l’arrêt : lampe « fusible de ligne » (H4) : allumée ? [H4]",
		"At rest: lamp “battery low” (H5): is it lit?": "À l’arrêt : lampe « battery low » (H5) : allumée ? [battery low H5]",
		"47.8 to 48.0 V": "de 47,8 à 48,0 V []",
		" to  V":         " to  V [ to  V]",
		"1 to V":         "1 to V [1 to V]",
		"The wire W1 from BAT.+ to start.13 is open, so": "The wire W1 from BAT.+ to start.13 is open, so [The wire W1 from BAT.+ to start.13 is open, so]",
		"The wire  from  to  is open.":                   "The wire  from  to  is open. [The wire  from  to  is open.]",
	} {
		if got := fmt.Sprint(tr.Told(told), " ", tr.Lacks(told)); got != want {
			t.Errorf("%q reads %q, want %q", told, got, want)
		}
	}
	if got := l.Told("1.5 to 2 V"); got != "1.5 to 2 V" {
		t.Errorf("without a translation: %q", got)
	}
}
