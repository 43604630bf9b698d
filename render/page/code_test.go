package page

import (
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"slipring/engine/lesson"
	"slipring/engine/proof"
)

func somewhere(name string) string {
	if name == "machine.Load" || name == "machine.Governor.OpenFraction" || name == "bench.Set" || name == "bench.Run" {
		return "there.html#" + name
	}
	return ""
}

// What a cell calls becomes a link, all else of it text, and it reads as it
// was written.
func TestCodeOfCells(t *testing.T) {
	const source = "a := b.Load{} // <b> & machine.Load\nif a < 1 { c(\"</code>\") }\n\n"
	l := &lesson.Lesson{Cells: []lesson.Cell{{}, {Source: source}}}
	at := strings.Index(source, "b.Load")
	calls := []lesson.Call{
		{Cell: 0, From: 0, To: 4, Name: "machine.Load"},
		{Cell: 1, From: at, To: at + 6, Name: "machine.Load"},
		{Cell: 1, From: at + 2, To: at + 6, Name: "machine.Load"}, // inside the one before
		{Cell: 1, From: 40, To: 41, Name: "nobody.Knows"},
		{Cell: 1, From: 50, To: 5000, Name: "machine.Load"},
	}
	r := newPrinter(Input{Checked: proof.Checked{Lesson: l, Calls: calls}}, Links{Code: somewhere})
	got := r.code(&lesson.Node{Kind: lesson.CellBlock, Cell: 1})
	const want = `a := <a href="there.html#machine.Load">b.Load</a>{} // &lt;b&gt; &amp; machine.Load` + "\n" +
		`if a &lt; 1 { c(&quot;&lt;/code&gt;&quot;) }`
	if got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
	root, err := html.Parse(strings.NewReader("<pre><code>" + got + "</code></pre>"))
	if err != nil {
		t.Fatal(err)
	}
	var read strings.Builder
	for n := range root.Descendants() {
		if n.Type == html.TextNode {
			read.WriteString(n.Data)
		}
	}
	if read.String() != strings.TrimRight(source, "\n") {
		t.Errorf("the cell reads %q", read.String())
	}
	r.links.Code = nil
	if got := r.code(&lesson.Node{Kind: lesson.CellBlock, Cell: 1}); strings.Contains(got, "<a") {
		t.Errorf("without a place to lead to it has links: %s", got)
	}
}

func TestComment(t *testing.T) {
	const text = "Held lets <it> go, as machine.Load.Torque and machine.Governor.OpenFraction say:\n\n" +
		"\td = 1 - arccos(-S/A)/pi < 1\n\n# On loads\n\nSee fmt.Print, bench.Open.\n\n  - one\n  - two & three\n"
	got := string(Comment(text, 4, somewhere))
	for _, want := range []string{
		`<p>Held lets &lt;it&gt; go, as <a href="there.html#machine.Load">machine.Load</a>.Torque and <a href="there.html#machine.Governor.OpenFraction">machine.Governor.OpenFraction</a> say:</p>`,
		"<code>d = 1 - arccos(-S/A)/pi &lt; 1\n</code></pre>",
		"<h4>On loads</h4>",
		"<p>See fmt.Print, bench.Open.</p>",
		"<li>one</li>\n<li>two &amp; three</li>\n</ul>",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("%s\nlacks\n%s", got, want)
		}
	}
	if got, want := Names(text, somewhere), []string{"machine.Load", "machine.Governor.OpenFraction"}; !slices.Equal(got, want) {
		t.Errorf("names %q, want %q", got, want)
	}
}

func TestSignature(t *testing.T) {
	const text = "func (*Set) Steady(load machine.Load, then func(x map[string]<-chan Run)) *Run"
	const want = `func (*<a href="there.html#bench.Set">Set</a>) Steady(load <a href="there.html#machine.Load">machine.Load</a>, then func(x map[string]&lt;-chan <a href="there.html#bench.Run">Run</a>)) *<a href="there.html#bench.Run">Run</a>`
	if got := Signature(text, "bench", "bench.Set.Steady", somewhere); string(got) != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
	if got := Signature("type Run struct", "bench", "bench.Run", somewhere); got != "type Run struct" {
		t.Errorf("it leads to itself: %s", got)
	}
	if got, want := TypeNames(text, "bench", somewhere), []string{"bench.Set", "machine.Load", "bench.Run", "bench.Run"}; !slices.Equal(got, want) {
		t.Errorf("types %q, want %q", got, want)
	}
}
