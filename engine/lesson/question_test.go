package lesson

import (
	"strings"
	"testing"
)

// Where each byte of a formula stands, also when its lines begin behind the
// marks of lists and quotations, and whatever the line ends are.
func TestFormulaPlaces(t *testing.T) {
	const text = "```lesson\ntitle = \"A\"\n```\n\n> - ```formula\n>   a +\n>   b\n>   ```\n\nSome `tex  c\nd ` text.\n"
	for _, source := range []string{text, "\ufeff" + strings.ReplaceAll(text, "\n", "\r\n")} {
		l, messages := Parse("lesson.md", []byte(source))
		if len(messages) > 0 {
			t.Fatal(list(messages))
		}
		var found []string
		l.Body.Walk(func(n *Node) bool {
			if n.Kind == Formula {
				found = append(found, n.Text)
				for i, c := range []byte(n.Text) {
					if at := n.Place(i); c > ' ' && source[at] != c {
						t.Errorf("byte %d of %q is at %d, where %q stands", i, n.Text, at, source[at])
					}
				}
			}
			return true
		})
		if len(found) != 2 || found[0] != "a +\nb" || found[1] != "c d" {
			t.Errorf("formulas %q", found)
		}
	}
}

// Whatever stands in a question block: no panic, places within the block, and
// either a finding or a question that has all its parts.
func FuzzQuestion(f *testing.F) {
	for _, s := range []string{
		"", "ask", "ask = 'a'\nanswer = 'b'\nwithin = '5 %'", "ask = \"\"\"\n\n{a 1 A}\"\"\"\nanswer = 'b'\nwithin = '5 %'\nwhy = '''\n- [1 A][a]\n'''",
		"ask = 'a'\n[[option]]\ntext = 'b'\nwhen = 'c'\n[[option]]\ntext = '''\nd'''\nwhen = 'not c'\nbut = \"e\"", "ask = 'a'\nby = 'rising'\n[[item]]\ntext='b'\nvalue='c'\n[[item]]\ntext='d'\nvalue='e'",
		"ask = 'a'\nright = 'largest'\n[[option]]\ntext='b'\nvalue='c'\n[[option]]\ntext='d'\nvalue='e'", "[[option]]\n[[item]]\n[option.x]", "a.b = 1\n[[option.x]]\n\"\" = ''", "ask = \"\\u0041\"\nwithin = 1",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, block string) {
		if strings.Contains(block, "````") || strings.Contains(block, "~~~~") {
			return
		}
		source := "```lesson\ntitle = \"A\"\n```\n\n````question\n" + block + "\n````\n"
		l, messages := Parse("lesson.md", []byte(source))
		check(t, l)
		lines := strings.Count(source, "\n") + 1
		for _, m := range messages {
			if m.Line < 1 || m.Line > lines || m.Column < 1 || m.Text == "" || m.Hint == "" {
				t.Errorf("%+v", m)
			}
		}
		if len(messages) > 0 {
			return
		}
		l.Body.Walk(func(n *Node) bool {
			q := n.Question
			if q == nil {
				return true
			}
			whole := q.Ask != nil
			switch q.Kind {
			case Number:
				whole = whole && q.Answer.Name != "" && q.Within.Number > 0 && len(q.Options) == 0
			case Order:
				whole = whole && q.Rule.Name != ""
			}
			if q.Kind != Number {
				whole = whole && len(q.Options) >= 2 && len(q.Options) <= mostOptions
				for _, o := range q.Options {
					whole = whole && o.Text != nil && o.Name.Name != ""
				}
			}
			if !whole {
				t.Errorf("accepted %+v", q)
			}
			return true
		})
	})
}
