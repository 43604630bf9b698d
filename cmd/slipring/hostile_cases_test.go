package main

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// made is a hostile folder that is made rather than written down, because it is
// large, or because it holds something that a file of tests cannot.
type made struct {
	flags []string
	files map[string]string
	more  func(t *testing.T, lessons string)
}

const facts = "```lesson\ntitle = \"A broken lesson\"\nminutes = 1\n```\n\n# A broken lesson\n\n"

// one is a folder with one lesson.
func one(text string) made {
	return made{files: map[string]string{"01-broken/lesson.md": text}}
}

func prose(text string) made { return one(facts + text + "\n") }

func cells(code string) made { return prose("```go\n" + code + "\n```") }

// wrapped puts n openings before a text and n closings behind it.
func wrapped(n int, before, text, after string) string {
	return strings.Repeat(before, n) + text + strings.Repeat(after, n)
}

// wideHead begins a PNG that says it is 60,000 pixels wide and high (W3C, PNG
// third edition, 11.2.1).
var wideHead = func() string {
	chunk := append([]byte("IHDR"), 0, 0, 0xea, 0x60, 0, 0, 0xea, 0x60, 8, 0, 0, 0, 0)
	return "\x89PNG\r\n\x1a\n" + string(binary.BigEndian.AppendUint32(append([]byte{0, 0, 0, 13}, chunk...), crc32.ChecksumIEEE(chunk)))
}()

func hostileFolders() map[string]made {
	const sound = "```lesson\ntitle = \"A lesson\"\n```\n\n# A lesson\n\nIt turns.\n"
	const oiled = "```entry\ntitle = \"An entry\"\nby = \"the drum keeper\"\ncard = \"bell-current-set\"\nparts = []\n```\n\n```done\n![The oil can](picture:can.png)\n```\n"
	folders := map[string]made{
		// Deep.
		"deep-brackets":     cells("x := " + wrapped(4000, "(", "1", ")")),
		"deep-blocks":       cells(wrapped(4000, "{\n", "", "}\n")),
		"deep-sum":          cells("x := 1" + strings.Repeat(" +\n1", 9000)),
		"deep-minus":        cells("x := 1\ny := " + strings.Repeat("-\n", 9000) + "x"),
		"deep-if":           cells("x := 1\n" + strings.Repeat("if x > 0 {\n} else ", 3000) + "{}"),
		"deep-types":        cells("var x " + strings.Repeat("[]\n", 9000) + "int"),
		"deep-pointers":     cells("var x " + strings.Repeat("*", 9000) + "int"),
		"deep-functions":    cells("x := " + wrapped(2000, "func() {\n", "", "\n}")),
		"deep-selectors":    cells("x := bench" + strings.Repeat(".\na", 9000)),
		"deep-calls":        cells("x := math.Abs" + wrapped(90, "(math.Abs", "(1)", ")") + strings.Repeat("()", 4000)),
		"deep-struct-type":  cells("type t " + wrapped(2000, "struct {\na ", "int", "\n}")),
		"deep-quotations":   prose(strings.Repeat(">", 5000) + " It turns."),
		"deep-lists":        prose(strings.Repeat("- ", 4000) + "It turns."),
		"deep-emphasis":     prose(wrapped(2000, "*a\n", "It turns.", "\nb*")),
		"deep-links":        prose(wrapped(2000, "[a\n", "It turns.", "](b)\n")),
		"deep-images":       prose(wrapped(2000, "![a\n", "It turns.", "](figure:b)\n")),
		"deep-formula":      prose("`tex " + wrapped(150, `\frac{`, "a", "}{b}") + "`"),
		"deep-formula-left": prose("`tex " + wrapped(150, `\left(`, "a", `\right)`) + "`"),
		"deep-facts":        one("```lesson\ntitle = \"A\"\nneeds = " + wrapped(9000, "[\n", "", "]\n") + "\n```\n\nIt turns.\n"),
		"deep-facts-tables": one("```lesson\ntitle = \"A\"\n" + strings.Repeat("a.", 4000) + "b = 1\n```\n\nIt turns.\n"),
		"deep-question":     prose("```question\nask = " + wrapped(1500, "{a = ", "1", "}") + "\n```"),
		"large-picture":     {files: map[string]string{"01-broken/lesson.md": sound, "logbook/2026-05-12-oil.md": oiled, "logbook/can.png": strings.Repeat("x", 3<<20)}},
		"huge-picture":      {files: map[string]string{"01-broken/lesson.md": sound, "logbook/2026-05-12-oil.md": oiled, "logbook/can.png": wideHead}},
		"deep-house":        {files: map[string]string{"house.toml": "name = " + wrapped(200000, "[", "", "]") + "\n", "01-broken/lesson.md": sound}},
		"deep-card":         {files: map[string]string{"cards/bell-current-set.toml": "a" + strings.Repeat(".a", 100000) + " = 1\n", "01-broken/lesson.md": sound}},
		"deep-named-types":  cells(chain(200)),

		// Large.
		"large-cell":         cells(strings.Repeat("x := 1\n", 1_000_000)[:5<<20]),
		"large-cell-of-100k": cells(strings.Repeat("fmt.Print(1)\n", 8000)),
		"large-line":         prose(strings.Repeat("It turns. ", 2000)),
		"large-paragraph":    prose(strings.Repeat("It turns.\n", 10000)),
		"large-data":         {files: map[string]string{"01-broken/lesson.md": "```lesson\ntitle = \"A\"\ndata = [\"readings.csv\"]\n```\n\nIt turns.\n", "01-broken/readings.csv": "# Invented.\nload (A)\n" + strings.Repeat("1\n", 3<<20)}},
		"large-data-columns": {files: map[string]string{"01-broken/lesson.md": "```lesson\ntitle = \"A\"\ndata = [\"readings.csv\"]\n```\n\nIt turns.\n", "01-broken/readings.csv": "# Invented.\n" + strings.Repeat("a,", 100000) + "b\n"}},
		"large-card":         {files: map[string]string{"cards/bell-current-set.toml": strings.Repeat("# nothing\n", 1<<20), "01-broken/lesson.md": sound}},
		"large-number":       cells("x := 1e" + strings.Repeat("9", 5000) + "\ntell.Value(\"x\", x, \"\")"),
		"large-constant":     cells("const a = 1 << 500\nconst b = a * a * a * a\nconst c = b * b * b * b\ntell.Value(\"x\", c, \"\")"),
		"large-quote":        prose("```go\ntell.Value(\"x\", 1.7e308, \"m\")\n```\n\nIt gives [1.0 m][x]."),
		"large-name":         cells("x" + strings.Repeat("y", 4000) + " := zz" + strings.Repeat("y", 4000)),
		"large-cells":        prose(strings.Repeat("```go\n"+strings.Repeat("fmt.Print(1)\n", 4000)+"```\n\n", 3)),
		"many-names":         cells(lines(2000, "a%d := 1")),
		"many-functions":     cells(lines(300, "func f%d() {}")),
		"many-keys":          {files: map[string]string{"house.toml": house + lines(90000, "k%d = 1"), "01-broken/lesson.md": sound}},
		"many-headings":      {files: map[string]string{"glossary.toml": lines(90000, "[k%d]"), "01-broken/lesson.md": sound}},
		"many-types":         cells("var x struct {\n" + lines(900, "a%d struct { b func(int, float64) []int }") + "}\n" + lines(900, "x = %d")),
		"many-findings":      prose(strings.Repeat("[a][b] 20 Hz\n\n", 30)),
		"many-values":        cells("for i := 0; i < 100000; i++ {\n\ttell.Value(fmt.Sprint(\"v\", i), float64(i), \"V\")\n}\ntell.Value(\"v1\", 1, \"\")"),

		// Bytes.
		"bytes-latin":         prose("caf\xe9"),
		"bytes-latin-cell":    cells("x := \"caf\xe9\""),
		"bytes-nul":           prose("a\x00b"),
		"bytes-escape":        prose("a\x1b]0;title\x07b"),
		"bytes-utf-16":        one("\xff\xfe`\x00`\x00`\x00"),
		"bytes-return-alone":  one(strings.ReplaceAll(sound, "\n", "\r")),
		"bytes-latin-data":    {files: map[string]string{"01-broken/lesson.md": "```lesson\ntitle = \"A\"\ndata = [\"readings.csv\"]\n```\n\nIt turns.\n", "01-broken/readings.csv": "# mesur\xe9.\nload (A)\n1\n"}},
		"bytes-bidi-data":     {files: map[string]string{"01-broken/lesson.md": "```lesson\ntitle = \"A\"\ndata = [\"readings.csv\"]\n```\n\nIt turns.\n", "01-broken/readings.csv": "# Invented.\nload (A),who\n1,\u202egnorw\n"}},
		"bytes-latin-house":   {files: map[string]string{"house.toml": strings.Replace(house, "Invented", "Invent\xe9", 1), "01-broken/lesson.md": sound}},
		"bytes-bidi-house":    {files: map[string]string{"house.toml": strings.Replace(house, "Invented", "\u202edetnevnI", 1), "01-broken/lesson.md": sound}},
		"bytes-escape-house":  {files: map[string]string{"house.toml": strings.Replace(house, "Invented", `\u0000\u202eInvented`, 1), "01-broken/lesson.md": sound}},
		"bytes-bidi-glossary": {files: map[string]string{"glossary.toml": "[hunting]\nword = \"hunting\u2067\"\nmeaning = \"it swings\"\n", "01-broken/lesson.md": sound}},
		"bytes-none":          one(""),
		"bytes-mark-alone":    one("\xef\xbb\xbf"),

		// Files that work all the same.
		"fine-returns": one(strings.ReplaceAll(facts+"```go\ntell.Value(\"x\", 1.5, \"V\")\n```\n\nIt gives [1.5 V][x].\n", "\n", "\r\n")),
		"fine-mark":    one("\xef\xbb\xbf" + facts + "```go\ntell.Value(\"x\", 1.5, \"V\")\n```\n\nIt gives [1.5 V][x].\n"),
		"told-extremes": prose("```go\nx := []float64{-1.7e308, 1.7e308}\ny := []float64{5e-324, -5e-324}\n" +
			"tell.Figure(tell.Figure{Name: \"f\", Panes: []tell.Pane{{Lines: []tell.Line{{Label: \"a\", X: x, Y: x}}}, {Lines: []tell.Line{{Label: \"b\", X: x, Y: y}}}}})\n```\n\n![two lines that leave any paper](figure:f)"),

		// As much as the limits allow.
		"fine-points": prose("```go\nx := make([]float64, 250000)\ny := make([]float64, 250000)\nfor i := range x {\n\tx[i], y[i] = float64(i), math.Sqrt(float64(i+2))\n}\n" +
			"for _, name := range []string{\"a\", \"b\"} {\n\ttell.Figure(tell.Figure{Name: name, Panes: []tell.Pane{{Lines: []tell.Line{{Label: \"a\", X: x, Y: y}}}}})\n}\n```\n\n![a line](figure:a)\n\n![another](figure:b)"),

		"fine-blocks": prose(strings.Repeat(strings.Repeat("~~~\n", 10_000)+"\n", 8) + strings.Repeat("- a\n\n", 60_000)),

		// Files that are not what they should be.
		"file-folder":      {more: makeFolder("01-broken/lesson.md")},
		"file-pipe":        {more: makePipeAt("01-broken/lesson.md")},
		"file-pipe-house":  {files: map[string]string{"01-broken/lesson.md": sound}, more: makePipeAt("house.toml")},
		"file-pipe-data":   {files: map[string]string{"01-broken/lesson.md": "```lesson\ntitle = \"A\"\ndata = [\"readings.csv\"]\n```\n\nIt turns.\n"}, more: makePipeAt("01-broken/readings.csv")},
		"file-folder-card": {files: map[string]string{"01-broken/lesson.md": sound}, more: makeFolder("cards/other.toml")},
		"file-missing":     {more: makeFolder("01-broken")},
		"file-none":        {},
		"link-out":         {files: map[string]string{"01-broken/lesson.md": "-> /etc/passwd", "02-out": "-> /etc", "03-self": "-> 03-self"}},
		"link-out-words":   {files: map[string]string{"house.toml": strings.Replace(house, `["en"]`, `["en", "fr"]`, 1), "01-broken/lesson.md": sound, "01-broken/words/fr.md": "-> ../../../../../etc/passwd"}},
		"link-out-data":    {files: map[string]string{"01-broken/lesson.md": "```lesson\ntitle = \"A\"\ndata = [\"readings.csv\"]\n```\n\nIt turns.\n", "01-broken/readings.csv": "-> /etc/passwd"}},
		"link-out-house":   {files: map[string]string{"01-broken/lesson.md": sound}, more: linkOver("house.toml", "/etc/passwd")},
		"link-nowhere":     {files: map[string]string{"01-broken/lesson.md": "-> nowhere.md"}},
	}
	return folders
}

// chain defines types that hold each other twice, so that the whole would have
// 2 to the n parts.
func chain(n int) string {
	var b strings.Builder
	b.WriteString("type t0 struct{ a, b float64 }\n")
	for i := 1; i <= n; i++ {
		fmt.Fprintf(&b, "type t%d struct{ a, b t%d }\n", i, i-1)
	}
	fmt.Fprintf(&b, "var x t%d\nfmt.Println(len(x.a.a.a.z))", n)
	return b.String()
}

// lines writes a line n times, with its number in it.
func lines(n int, format string) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, format+"\n", i)
	}
	return b.String()
}

func makeFolder(name string) func(t *testing.T, lessons string) {
	return func(t *testing.T, lessons string) {
		if err := os.MkdirAll(filepath.Join(lessons, filepath.FromSlash(name)), 0o755); err != nil {
			t.Fatal(err)
		}
	}
}

func makePipeAt(name string) func(t *testing.T, lessons string) {
	return func(t *testing.T, lessons string) {
		file := filepath.Join(lessons, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		os.Remove(file) // the house of startFolder
		if err := makePipe(file); err != nil {
			t.Skip("this system makes no named pipes: ", err)
		}
	}
}

// linkOver puts a link in a file's place.
func linkOver(name, to string) func(t *testing.T, lessons string) {
	return func(t *testing.T, lessons string) {
		file := filepath.Join(lessons, name)
		if err := os.Remove(file); err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(to, file); err != nil {
			t.Skip("this system makes no links: ", err)
		}
	}
}
