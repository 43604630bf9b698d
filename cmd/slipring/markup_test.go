package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// TestMarkupStaysText publishes the same lesson twice: with plain words, and
// with markup and script in their place, wherever an author can write. The
// pages must have the same elements with the same attributes, so that nothing
// of it is live, and the words must stand in them to be read.
func TestMarkupStaysText(t *testing.T) {
	const hostile = `</title></script></style><script>alert(1)</script><img src=x onerror=alert(1)><svg onload=alert(1)>&amp;'`
	plain := publishWith(t, "harmless")
	live := publishWith(t, hostile)
	seen := 0
	for name, content := range plain {
		if filepath.Ext(name) != ".html" {
			continue
		}
		other, ok := live[name]
		if !ok {
			t.Errorf("%s is missing", name)
			continue
		}
		if a, b := skeleton(t, content), skeleton(t, other); a != b {
			at := 0
			for at < min(len(a), len(b)) && a[at] == b[at] {
				at++
			}
			t.Errorf("%s has other elements: %.200q became %.200q", name, a[max(at-60, 0):], b[max(at-60, 0):])
		}
		if strings.Contains(other, "&lt;script&gt;alert(1)") {
			seen++
		}
	}
	if seen < 3 {
		t.Errorf("the words stand on %d pages only", seen)
	}
}

// publishWith publishes a lesson that has words in every place for words.
func publishWith(t *testing.T, words string) map[string]string {
	t.Helper()
	dir := t.TempDir()
	lessons := filepath.Join(dir, "lessons")
	startFolder(t, lessons)
	writeFolder(t, lessons, map[string]string{
		"house.toml":          strings.NewReplacer(`"in a test"`, fmt.Sprintf("%q", words), "Invented.", strings.ReplaceAll(words, `"`, `\"`)).Replace(house),
		"01-a/readings.csv":   "# " + words + "\nload (A),who\n1," + words + "\n",
		"01-a/words/.nothing": "",
		"01-a/lesson.md": "```lesson\ntitle = '''A " + words + "'''\ndata = [\"readings.csv\"]\n```\n\n# Of " + words + "\n\nIn prose `" + words + "`.\n\n" +
			"```text\n" + words + "\n```\n\n```go\nw := " + fmt.Sprintf("%q", words) + "\nx := []float64{0, 1}\n" +
			"tell.Figure(tell.Figure{Name: \"f\", X: tell.Axis{Label: w}, Panes: []tell.Pane{{Y: tell.Axis{Label: w}, Lines: []tell.Line{{Label: w, X: x, Y: x}}}}})\n" +
			"tell.Table(tell.Table{Name: \"t\", Columns: []tell.Column{{Head: w}, {Head: \"n\"}}, Rows: [][]tell.Entry{{tell.Text(w), tell.Number(1)}}})\n" +
			"fmt.Println(w)\n```\n\n![a line](figure:f)\n\n![a table](table:t)\n\n![readings](table:readings)\n\n```docent\nSay `" + words + "`.\n```\n",
	})
	out := filepath.Join(dir, "visit")
	if r := command(t, dir, "publish", "-out", out); r.code != exitClean {
		t.Fatalf("exit %d\n%s", r.code, r.stderr)
	}
	tree, err := readTree(out)
	if err != nil {
		t.Fatal(err)
	}
	return tree
}

// skeleton gives the elements of a page with the names of their attributes.
// Spans are left out: they break long labels and colour code by its words.
func skeleton(t *testing.T, page string) string {
	t.Helper()
	root, err := html.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for n := range root.Descendants() {
		if n.Type != html.ElementNode || n.Data == "span" || n.Data == "tspan" {
			continue
		}
		b.WriteString("<" + n.Data)
		for _, a := range n.Attr {
			b.WriteString(" " + a.Key)
		}
		b.WriteString(">\n")
	}
	return b.String()
}
