package lesson

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Whatever the file: no panic, offsets within the file and within the parent's
// reach, bound texts that are the bytes of the file, and the same tree for
// either line end.
func FuzzParse(f *testing.F) {
	files, err := filepath.Glob(filepath.Join("testdata", "findings", "*.txtar"))
	if err != nil || len(files) == 0 {
		f.Fatal("no seeds", err)
	}
	for _, file := range append(files, filepath.Join("testdata", "tree.txtar")) {
		f.Add(string(source(f, file)))
	}
	shipped, err := filepath.Glob(filepath.Join("..", "..", "lessons", "*", "lesson.md"))
	if err != nil || len(shipped) == 0 {
		f.Fatal("no lessons", err)
	}
	for _, file := range shipped {
		text, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text))
	}
	f.Add("\ufeff> [1\r\n> A][b c]\r\n\r\n- `[x][y]`\r\n")
	f.Add("[a][b]: c\n\n[a][b]\n\n[[a][b]][c] ![a][b] [a]\\[b] [a][b\\]]")
	for _, text := range []string{
		"```question\nask = '{a 1 A}'\nanswer = 'a'\nwithin = '1 %'\nwhy = '''\n[1 A][a]\n'''\n```", "`tex a\nb` > `tex\u00a0x`",
		"> - ```formula\n>   a\n>\n>   b\n>   ```", "```question\n[[option]]\ntext = \"\"\"\n> {a}\"\"\"\nwhen = 'not b'\n```", "\t```formula\n\ta\n\t```\n- ```formula\n\t\ta\n\tb",
		"![{a 1 A} {b} \\{c} {](figure:x)",
	} {
		f.Add(text)
	}
	f.Add("```entry\ntitle = 'A'\nparts = ['b']\n```\n\n```open c\n![d](picture:e.png 'f')\n```\n\n```answer c\n# g\n```")
	f.Add("*\n\t#") // places counted in columns
	f.Add(">\t>0")
	f.Add("*\n\t```")
	f.Add("*\n\t```go")
	f.Fuzz(func(t *testing.T, text string) {
		entry, _ := ParseEntry("entry.md", []byte(text))
		check(t, entry)
		l, messages := Parse("lesson.md", []byte(text))
		check(t, l)
		for _, m := range messages {
			if m.Line < 1 || m.Line > strings.Count(text, "\n")+1 || m.Column < 1 || m.Text == "" || m.Hint == "" {
				t.Errorf("%+v", m)
			}
		}
		if strings.Contains(text, "\r") || strings.Contains(text[:min(len(text), 4)], "\x00") {
			return // the latter may be UTF-16, where a carriage return is two bytes
		}
		other, again := Parse("lesson.md", []byte(strings.ReplaceAll(text, "\n", "\r\n")))
		check(t, other)
		if len(text) < Largest/2 && list(messages) != list(again) {
			t.Errorf("findings\n%s\nbecame\n%s\nwith carriage returns", list(messages), list(again))
		}
		if a, b := shape(l.Body), shape(other.Body); len(text) < Largest/2 && a != b {
			t.Errorf("tree\n%s\nbecame\n%s\nwith carriage returns", a, b)
		}
	})
}

func check(t *testing.T, l *Lesson) {
	t.Helper()
	l.Body.Walk(func(n *Node) bool {
		if n.Offset < 0 || n.End < n.Offset || n.End > len(l.Source) {
			t.Fatalf("%s at %d to %d of %d bytes", kindNames[n.Kind], n.Offset, n.End, len(l.Source))
		}
		for _, c := range n.Children {
			if c.Offset < n.Offset || c.End > n.End {
				t.Errorf("%s at %d to %d holds %s at %d to %d", kindNames[n.Kind], n.Offset, n.End, kindNames[c.Kind], c.Offset, c.End)
			}
		}
		switch n.Kind {
		case Bound:
			if n.Text != string(l.Source[n.Offset:n.End]) || l.Source[n.Offset-1] != '[' || l.Source[n.End] != ']' || n.Name == "" {
				t.Errorf("bound text %q of %q stands for %q", n.Text, n.Name, l.Source[n.Offset-1:n.End+1])
			}
		case CellBlock:
			if n.Cell < 0 || n.Cell >= len(l.Cells) {
				t.Errorf("there is no cell %d", n.Cell)
			}
		case Insert:
			if n.Name == "" || len(n.Children) > 0 && n.Text != string(l.Source[n.Offset:n.End]) || len(n.Children) == 0 && n.Name != string(l.Source[n.Offset:n.End]) {
				t.Errorf("insert %q of %q stands for %q", n.Text, n.Name, l.Source[n.Offset:n.End])
			}
		case Formula:
			for i := range len(n.Text) {
				at := n.Place(i)
				if at < n.Offset || at >= n.End {
					t.Fatalf("byte %d of the formula %q stands at %d, outside of %d to %d", i, n.Text, at, n.Offset, n.End)
				}
				if c := l.Source[at]; c != n.Text[i] && !(n.Text[i] == ' ' && c <= ' ') && n.Text[i] != '\n' {
					t.Fatalf("byte %d of the formula %q stands for %q", i, n.Text, c)
				}
			}
		case QuestionBlock:
			checkQuestion(t, l, n)
		case Heading:
			if n.ID == "" {
				t.Error("a heading has no identifier")
			}
		}
		if strings.Contains(n.Destination, "\x00") {
			t.Errorf("%s leads to %q", kindNames[n.Kind], n.Destination)
		}
		return true
	})
	for _, c := range l.Cells {
		if line, _ := l.At(c.Offset); !strings.HasPrefix(string(l.Source[c.Offset:]), c.Source) || c.Line != line {
			t.Errorf("cell at %d, line %d", c.Offset, c.Line)
		}
	}
	if len(l.Facts.Needs) != len(l.Facts.NeedsAt) || len(l.Facts.Hazards) != len(l.Facts.HazardsAt) {
		t.Errorf("places of %+v", l.Facts)
	}
}

// checkQuestion looks at the places of a question's words.
func checkQuestion(t *testing.T, l *Lesson, n *Node) {
	t.Helper()
	if n.Question == nil {
		t.Fatal("a question without a question")
	}
	q := n.Question
	for _, r := range append([]Reference{q.Answer, q.Unit, q.Rule}, func() (all []Reference) {
		for _, o := range q.Options {
			all = append(all, o.Name)
		}
		return all
	}()...) {
		if r.Name != "" && (r.At < n.Offset || r.At >= n.End || !strings.ContainsRune("\"'", rune(l.Source[r.At]))) {
			t.Errorf("%q at %d, in a question from %d to %d", r.Name, r.At, n.Offset, n.End)
		}
	}
	for i, c := range n.Children {
		if i > 0 && c.Offset < n.Children[i-1].End {
			t.Error("texts of a question overlap")
		}
	}
}

// shape prints a tree without its offsets.
func shape(n *Node) string {
	var b strings.Builder
	copied := *n
	copied.Offset, copied.End, copied.Children = 0, 0, nil
	copied.Question, copied.Step, copied.stretches = nil, nil, nil
	copied.Text = strings.ReplaceAll(copied.Text, "\r", "")
	fmt.Fprintf(&b, "%+v(", copied)
	for _, c := range n.Children {
		b.WriteString(shape(c))
	}
	b.WriteString(")\n")
	return b.String()
}

// BenchmarkParse reads the longest shipped lesson.
func BenchmarkParse(b *testing.B) {
	var longest []byte
	files, _ := filepath.Glob(filepath.Join("..", "..", "lessons", "*", "lesson.md"))
	for _, file := range files {
		if text, err := os.ReadFile(file); err == nil && len(text) > len(longest) {
			longest = text
		}
	}
	if longest == nil {
		b.Fatal("no lesson to read")
	}
	b.SetBytes(int64(len(longest)))
	b.ReportAllocs()
	for b.Loop() {
		Parse("lesson.md", longest)
	}
}

// BenchmarkParseHostile reads files of one hundred kilobytes that are made to
// be slow to read.
func BenchmarkParseHostile(b *testing.B) {
	const size = 100_000
	for name, line := range map[string]string{
		"brackets": strings.Repeat("[", 9000), "quotes": "[1 A][a]", "links": strings.Repeat("[a](", 2000), "images": strings.Repeat("![", 4000),
		"emphasis": strings.Repeat("*a _", 2000), "strong": strings.Repeat("**a", 3000), "code": strings.Repeat("`a ``", 1900),
		"titles": "[a](b \"c", "labels": "[a][b", "link lines": "[a](", "references": "[a]: b", "tags": "<a b='", "nested": strings.Repeat("[a [b](c", 1000),
		"lines": "a", "lists": "- a", "nested lists": "- a\n ", "quotations": "> a\n", "fences": "```docent\na\n```", "headings": "# a",
	} {
		run := strings.Repeat(line+"\n", 60_000/(len(line)+1)) + "\n"
		text := []byte("```lesson\ntitle = \"A\"\n```\n\n" + strings.Repeat(run, size/len(run)))
		b.Run(name, func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				Parse("lesson.md", text)
			}
		})
	}
}
