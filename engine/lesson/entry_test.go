package lesson

import (
	"strings"
	"testing"
)

const entryBlock = "```entry\ntitle = \"An entry\"\nby = \"the drum keeper\"\ncard = \"set\"\nparts = [\"governor\"]\n```\n\n"

func TestParseEntry(t *testing.T) {
	l, messages := ParseEntry("a.md", []byte(entryBlock+"```done\nOiled, [9 g][w].\n\n![The can](picture:can.png \"Held up\")\n```\n\n```open which-oil\nWhich *oil*?\n```\n"))
	if len(messages) > 0 {
		t.Fatal(list(messages))
	}
	f := l.Facts
	if l.Title != "An entry" || f.By != "the drum keeper" || f.Card != "set" || len(f.Parts) != 1 || f.Parts[0] != "governor" {
		t.Errorf("%+v", f)
	}
	if at := string(l.Source[f.PartsAt[0]:]); !strings.HasPrefix(at, `"governor"`) {
		t.Errorf("the part stands at %.20q", at)
	}
	var got []string
	l.Body.Walk(func(n *Node) bool {
		switch n.Kind {
		case EntryBlock:
			got = append(got, n.Purpose+" "+n.Name)
		case Bound, Embed:
			got = append(got, n.EmbedKind+" "+n.Name+" "+n.Title)
		}
		return true
	})
	if want := "done | w |picture can.png Held up|open which-oil"; strings.Join(got, "|") != want {
		t.Errorf("got %q, want %q", strings.Join(got, "|"), want)
	}
}

func TestEntryFindings(t *testing.T) {
	for source, want := range map[string]string{
		"":       "the entry is empty",
		"Words.": "the entry has no entry block",
		entryBlock + "# Heading\n\n```done\nOiled.\n```\n":                           "this stands in no block of the entry",
		entryBlock + "```done\n# Heading\n```\n":                                     "a heading stands in a block of the entry",
		entryBlock + "```done oil\nOiled.\n```\n":                                    `"oil" stands behind the info word "done"`,
		entryBlock + "```open\nWhy?\n```\n":                                          "does not name its question in one word",
		entryBlock + "```open Why?\nWhy?\n```\n":                                     `"Why?" cannot be the name of a question`,
		entryBlock + "```open why\n```\n":                                            `the "open" block is empty`,
		entryBlock + "```visitor\nLook.\n```\n":                                      `a "visitor" block has no place in an entry`,
		entryBlock + "```done\n![A can](can.png)\n```\n":                             `"can.png" is no picture that an entry can show`,
		entryBlock + "```done\nIt: ![A can](picture:can.png)\n```\n":                 `"picture:can.png" is no picture that an entry can show`,
		entryBlock + "```done\nOiled.\n":                                             "is never closed, so it swallows the rest of the entry",
		strings.Replace(entryBlock, "by", "from", 1) + "```done\nOiled.\n```\n":      `the entry block has no key "from"`,
		strings.Replace(entryBlock, "[\"governor\"]", "1", 1) + "```done\nO.\n```\n": "parts is a list of words in quotation marks",
		"```lesson\ntitle = \"A\"\n```\n":                                            `a "lesson" block has no place in an entry`,
	} {
		_, messages := ParseEntry("a.md", []byte(source))
		if got := list(messages); !strings.Contains(got, want) {
			t.Errorf("%q:\n%s\nwant %q", source, got, want)
		}
	}
	// What an entry is made of is nothing to a lesson, which shows it as code.
	l, messages := Parse("lesson.md", []byte("```lesson\ntitle = \"A\"\n```\n\n```found\nA.\n```\n\n![A can](picture:can.png)\n"))
	if l.Body.Children[0].Kind != CodeBlock || !strings.Contains(list(messages), "a picture from elsewhere") {
		t.Errorf("a lesson says %s", list(messages))
	}
}
