package lesson

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"slipring/engine/diag"
)

var update = flag.Bool("update", false, "write the expected output anew, to be read before it is committed")

// golden compares got with the file want of a text archive, which must be
// there.
func golden(t *testing.T, file, got string) {
	t.Helper()
	a, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(a.Files, func(f txtar.File) bool { return f.Name == "want" })
	if *update {
		if i < 0 {
			i = len(a.Files)
			a.Files = append(a.Files, txtar.File{Name: "want"})
		}
		a.Files[i].Data = []byte(got)
		if err := os.WriteFile(file, txtar.Format(a), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if i < 0 {
		t.Fatalf("%s has no file want (go test ./engine/lesson -update writes it)", file)
	}
	if want := string(a.Files[i].Data); got != want {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
}

// source gives the lesson of a text archive.
func source(t testing.TB, file string) []byte {
	t.Helper()
	a, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range a.Files {
		if f.Name == "lesson.md" {
			return f.Data
		}
	}
	t.Fatalf("%s has no lesson.md", file)
	return nil
}

func list(messages []diag.Message) string {
	var b strings.Builder
	for _, m := range messages {
		fmt.Fprintf(&b, "%s\n", m)
	}
	return b.String()
}

// Each archive in testdata/findings is a lesson with mistakes of one sort.
func TestFindings(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("testdata", "findings", "*.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < 8 {
		t.Fatalf("found %d archives; some are missing", len(files))
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			plain := source(t, file)
			_, messages := Parse("lesson.md", plain)
			if len(messages) == 0 {
				t.Error("nothing was found")
			}
			golden(t, file, list(messages))
			for _, m := range messages {
				if m.Rule == "" || m.Text == "" || m.Hint == "" || m.Line < 1 || m.Column < 1 {
					t.Errorf("%+v lacks something", m)
				}
			}

			// Line ends and a byte order mark change no finding, and no
			// position but the columns of the first line.
			_, again := Parse("lesson.md", bytes.ReplaceAll(plain, []byte("\n"), []byte("\r\n")))
			if got, want := list(again), list(messages); got != want {
				t.Errorf("with carriage returns:\n%s\nwant:\n%s", got, want)
			}
		})
	}
}

// The whole tree of a lesson that uses everything.
func TestTree(t *testing.T) {
	file := filepath.Join("testdata", "tree.txtar")
	plain := source(t, file)
	l, messages := Parse("lesson.md", plain)
	if diag.HasError(messages) { // its HTML is warned of
		t.Fatal(list(messages))
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%+v\n", l.Facts)
	for _, d := range l.Definitions {
		fmt.Fprintf(&b, "definition %q at %d\n", d.Label, d.Offset)
	}
	for _, c := range l.Cells {
		fmt.Fprintf(&b, "cell at %d, line %d: %q\n", c.Offset, c.Line, c.Source)
	}
	b.WriteString(dump(l, l.Body, 0))
	golden(t, file, b.String())
}

var kindNames = map[Kind]string{
	Document: "document", Heading: "heading", Paragraph: "paragraph", ThematicBreak: "thematic break",
	List: "list", ListItem: "item", BlockQuote: "quotation", CodeBlock: "code", HTMLBlock: "html", CellBlock: "cell",
	Caution: "caution", VisitorPanel: "panel", TalkingPoint: "talking point", Embed: "embed",
	Text: "text", Emphasis: "emphasis", Strong: "strong", CodeSpan: "code span", SoftBreak: "soft break",
	QuestionBlock: "question", GuessBlock: "guess", QuestionText: "question text", QuestionNote: "question note", Insert: "insert", Formula: "formula",
	HardBreak: "hard break", Link: "link", Image: "image", RawHTML: "raw html", Bound: "bound",
}

// dump prints a tree, and for the smallest nodes the bytes that they stand
// for.
func dump(l *Lesson, n *Node, depth int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s%s", strings.Repeat("  ", depth), kindNames[n.Kind])
	for _, f := range []struct{ name, value string }{
		{"text", n.Text}, {"id", n.ID}, {"info", n.Info}, {"hazard", n.Hazard},
		{"embed", n.EmbedKind}, {"name", n.Name}, {"to", n.Destination}, {"title", n.Title},
	} {
		if f.value != "" {
			fmt.Fprintf(&b, " %s=%q", f.name, f.value)
		}
	}
	if n.Level > 0 {
		fmt.Fprintf(&b, " level=%d", n.Level)
	}
	if n.Kind == List {
		fmt.Fprintf(&b, " ordered=%v start=%d tight=%v", n.Ordered, n.Start, n.Tight)
	}
	if n.Kind == CellBlock {
		fmt.Fprintf(&b, " index=%d", n.Cell)
	}
	if q := n.Question; q != nil {
		fmt.Fprintf(&b, " kind=%d answer=%v unit=%v within=%v rule=%v", q.Kind, q.Answer, q.Unit, q.Within, q.Rule)
		for _, o := range q.Options {
			fmt.Fprintf(&b, " [%v not=%v at %d]", o.Name, o.Not, o.At)
		}
	}
	fmt.Fprintf(&b, " %d-%d", n.Offset, n.End)
	if len(n.Children) == 0 && n.Offset < n.End {
		fmt.Fprintf(&b, " %q", l.Source[n.Offset:n.End])
	}
	b.WriteByte('\n')
	for _, c := range n.Children {
		b.WriteString(dump(l, c, depth+1))
	}
	return b.String()
}

// Files that are no text, or too much of it.
func TestUnreadable(t *testing.T) {
	const head = "```lesson\ntitle = \"A\"\n```\n\n"
	for _, c := range []struct {
		name, source, want string
	}{
		{"empty", "", `lesson.md:1:1: the lesson is empty`},
		{"blank", "\ufeff \r\n\t\n", `lesson.md:1:1: the lesson is empty`},
		{"nul", head + "a\x00b", `lesson.md:5:2: the control character U+0000, which cannot be seen, stands here`},
		{"turned around", head + "a\u202eb", `lesson.md:5:2: the character U+202E, which cannot be seen and turns the text behind it around, stands here`},
		{"second mark", "\ufeff" + head + "a\ufeffb", `lesson.md:5:2: the character U+FEFF, which cannot be seen, stands here`},
		{"latin", head + "caf\xe9 noir", `lesson.md:5:4: the byte 0xe9 here is not UTF-8`},
		{"surrogate", head + "x \xed\xa0\x80", `lesson.md:5:3: the byte 0xed here is not UTF-8`},
		{"lone carriage return", head + "a\rb", `lesson.md:5:2: a carriage return stands here without a line feed behind it`},
		{"last carriage return", head + "a\r", `lesson.md:5:2: a carriage return stands here without a line feed behind it`},
		{"large", head + strings.Repeat("a ", Largest/2), `lesson.md:1:1: the lesson has 1048603 bytes, more than the 1048576 that a lesson may have`},
		{"line", head + strings.Repeat("a ", 5001), `lesson.md:5:1: this line has 10002 bytes, more than the 10000 that a line may have`},
		{"run", head + strings.Repeat("a long line\r\n", 6000), `lesson.md:5:1: from here on no empty line follows within 65536 bytes`},
		{"quotations", head + strings.Repeat(">", 101) + " deep", `lesson.md:5:1: more than 100 lists or quotations begin on this line`},
		{"lists", head + strings.Repeat("- ", 101) + "deep", `lesson.md:5:1: more than 100 lists or quotations begin on this line`},
		{"emphasis", head + strings.Repeat("**", 101) + "deep" + strings.Repeat("**", 101),
			`lesson.md:5:1: more than 100 lists, quotations or emphases stand within each other`},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, messages := Parse("lesson.md", []byte(c.source))
			if l == nil || l.Body == nil {
				t.Fatal("no lesson came back")
			}
			if len(messages) != 1 {
				t.Fatalf("got %d findings: %s", len(messages), list(messages))
			}
			if got, _, _ := strings.Cut(messages[0].String(), "\n"); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
			if messages[0].Hint == "" {
				t.Error("there is no next step")
			}
		})
	}
}

// A thematic break, a long table of dashes and a deep but decent lesson are
// not taken for nesting.
func TestNotTooDeep(t *testing.T) {
	for _, text := range []string{
		strings.Repeat("-", 500), strings.Repeat("*", 500), strings.Repeat("> ", 20) + "deep",
		strings.Repeat("* ", 40), strings.Repeat("*", 40) + "a" + strings.Repeat("*", 40),
	} {
		if _, messages := Parse("lesson.md", []byte("```lesson\ntitle = \"A\"\n```\n\n"+text)); len(messages) > 0 {
			t.Errorf("%.20q: %s", text, list(messages))
		}
	}
}

// Facts of a lesson block, and their places.
func TestFacts(t *testing.T) {
	text := "\ufeff```lesson\r\n# a comment\r\ntitle = 'Why \"it\" turns'\r\nminutes = 1_5\r\nneeds = [\r\n  \"one\", # first\r\n  \"two-b\",\r\n]\r\n" +
		"hazards = [\"rotating\", \"insulation\"]\r\nrevised = 2026-11-25\r\nbeside = true\r\nsafety = true\r\n```\r\n"
	l, messages := Parse("lesson.md", []byte(text))
	if len(messages) > 0 {
		t.Fatal(list(messages))
	}
	f := l.Facts
	if f.Title != `Why "it" turns` || l.Title != f.Title || f.Minutes != 15 || f.Revised != "2026-11-25" || !f.Beside || !f.Safety ||
		!slices.Equal(f.Needs, []string{"one", "two-b"}) || !slices.Equal(f.Hazards, []string{"rotating", "insulation"}) {
		t.Errorf("%+v", f)
	}
	at := func(offset int, want string) {
		t.Helper()
		if got := text[offset:min(len(text), offset+len(want))]; got != want {
			t.Errorf("at %d stands %q, want %q", offset, got, want)
		}
	}
	at(f.TitleAt, `'Why`)
	at(f.NeedsAt[0], `"one"`)
	at(f.NeedsAt[1], `"two-b"`)
	at(f.HazardsAt[0], `"rotating"`)
	at(f.HazardsAt[1], `"insulation"`)
	if l.Body.Children != nil {
		t.Errorf("the lesson block is shown: %v", l.Body.Children)
	}
}

func TestAt(t *testing.T) {
	text := []byte("one\r\ntwo\n\nfour")
	l, _ := Parse("lesson.md", text)
	for offset := -1; offset <= len(text)+1; offset++ {
		line, column := l.At(offset)
		wantLine, wantColumn := diag.Place(text, offset)
		if line != wantLine || column != wantColumn {
			t.Errorf("offset %d is at %d:%d, want %d:%d", offset, line, column, wantLine, wantColumn)
		}
	}
}

// On paper a block for the screen loses the figures that stand in it, and all of
// itself where it holds nothing else; what is heard stays, and so does all that
// stands around the block. The lesson itself is as it was.
func TestOnPaper(t *testing.T) {
	l, messages := Parse("lesson.md", []byte("```lesson\ntitle = \"Paper\"\n```\n\n````visitor\nWords.\n\n![What it is](figure:a)\n\n"+
		"```screen\nTurn it.\n\n![What it is](figure:b)\n\n![What it is](sound:c)\n```\n\n```screen\n![What it is](motion:d)\n```\n````\n"))
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	blocks := l.Story()[0]
	var said func(blocks []*Node) string
	said = func(blocks []*Node) (s string) {
		for _, n := range blocks {
			switch n.Kind {
			case Embed:
				s += n.EmbedKind + ":" + n.Name + " "
			case ScreenBlock:
				s += "screen( " + said(n.Children) + ") "
			case Paragraph:
				s += "words "
			}
		}
		return s
	}
	before := said(blocks)
	if got, want := said(OnPaper(blocks)), "words figure:a screen( words sound:c ) "; got != want {
		t.Errorf("on paper there is %q, want %q", got, want)
	}
	if got, want := said(blocks), "words figure:a screen( words figure:b sound:c ) screen( motion:d ) "; got != want || before != want {
		t.Errorf("the panel holds %q, then %q, want %q", before, got, want)
	}
}
