package page

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/proof"
	"slipring/engine/tell"
	ui "slipring/render/words"
)

// The lesson of these tests; all numbers in it are invented.
const sample = "```lesson\ntitle = \"A test of pages\"\nhazards = [\"rotating\", \"voltage\"]\n```\n\n" +
	"# A *test* of pages\n\n" +
	"```caution rotating\nKeep your hands off.\n\n- Sleeves too.\n```\n\n" +
	"At rest it makes [19.95 Hz][idle.speed], and [never more than 21 Hz][fast]. <b>Raw</b> & [48 V][card.battery.voltage] from\nthe [next one][lesson.other], [itself](#the-rule), [outside](https://example.org/?a=1&b=2 \"out\").\n\n" +
	"<script>alert(1)</script>\n\n" +
	"## The rule\n\n```go\nif a < b {\n}\n```\n\n" +
	"![Idle & *busy*](figure:contact)\n\n![Readings](table:readings)\n\n" +
	"### With [19.95 Hz][idle.speed]\n\n```text\nd <= 1\n```\n\n" +
	"```caution voltage\n```\n\n" +
	"```visitor\n## First panel\n\nIt makes [20.0 Hz][idle.speed]. See [this](https://example.org).\n\n![One turn](figure:contact)\n```\n\n" +
	"```visitor\nNo heading here.\n\n![One turn](figure:contact)\n```\n\n" +
	"```docent\nAsk them. It [never runs away][fast].\n```\n"

// house describes the hazards of the sample.
var house = card.House{Hazards: card.Hazards{
	{Name: "rotating", Signal: "warning", HazardWords: card.HazardWords{Hazard: "Turning <shaft>", Harm: "It grips.", Avoid: "Keep away.", Accident: "Stop it.", Language: "en"},
		In: map[string]card.HazardWords{"fr": {Hazard: "Arbre tournant", Harm: "Il happe.", Avoid: "Restez loin.", Accident: "Arrêtez-le.", Language: "fr"}}},
	{Name: "voltage", Signal: "danger", HazardWords: card.HazardWords{Hazard: "Shock", Harm: "It kills.", Avoid: "Touch nothing.", Accident: "Switch off.", Language: "en"}},
}}

func source(t *testing.T) Input {
	t.Helper()
	l, messages := lesson.Parse("lesson.md", []byte(sample))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	var s tell.Sheet
	s.Value("idle.speed", 19.950000000000003, "Hz")
	s.Below("fast", 20, 21, "Hz")
	s.Figure(tell.Figure{Name: "contact", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{{
		Y: tell.Axis{Label: "speed", Unit: "Hz"}, Lines: []tell.Line{{Label: "speed", X: []float64{0, 1}, Y: []float64{20, 19}}}}}})
	s.Table(tell.Table{Name: "readings",
		Columns: []tell.Column{{Head: "who"}, {Head: "speed", Unit: "Hz", Decimals: 2}, {Head: "<note>"}},
		Rows: [][]tell.Entry{
			{tell.Text("first & last"), tell.Number(-1.005), tell.Text("<i>")},
			{tell.Text("second"), tell.Number(-0.001), tell.Text("a")},
			{tell.Text("third"), tell.Text("none"), tell.Text("b")},
		}})
	result := s.Result()
	result.Cards = []string{"set"}
	set := machine.Card{Name: "set"}
	set.Fit("battery")
	set.Put("battery", "voltage", machine.Given{Value: 48, Unit: "V", Origin: machine.Nameplate})
	other := &lesson.Lesson{Slug: "other", Title: "The other"}
	folder := proof.Folder{House: house, Cards: []machine.Card{set}, Lessons: []*lesson.Lesson{l, other}}
	report, messages := folder.Check(l, result)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	return Input{Checked: proof.Checked{Lesson: l, Result: result, Report: report}, Cards: []machine.Card{set}, Hazards: house.Hazards}
}

func links() Links {
	return Links{
		Lesson: func(l *lesson.Lesson) string { return "../" + l.Slug + "/" },
		Card:   func(card string, c machine.Constant) string { return "log#" + card + "." + c.Name() },
		File:   func(kind, name string) string { return kind + "-" + name + ".csv" },
	}
}

// parsed reads a piece of a page as a browser does.
func parsed(t *testing.T, piece string) *html.Node {
	t.Helper()
	root, err := html.Parse(strings.NewReader(piece))
	if err != nil {
		t.Fatal(err)
	}
	return root
}

// find lists the elements of a tag and, unless it is "", a class.
func find(n *html.Node, tag, class string) []*html.Node {
	var out []*html.Node
	for d := range n.Descendants() {
		if d.Type == html.ElementNode && d.Data == tag && (class == "" || slices.Contains(strings.Fields(attr(d, "class")), class)) {
			out = append(out, d)
		}
	}
	return out
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func text(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return oneLine(b.String())
}

func course(t *testing.T) (Course, *html.Node) {
	t.Helper()
	c, messages := NewCourse(source(t), links())
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	return c, parsed(t, string(c.Body))
}

func TestCourse(t *testing.T) {
	c, root := course(t)
	var heads []string
	for _, h := range c.Headings {
		heads = append(heads, fmt.Sprintf("%d %s %s", h.Level, h.ID, h.Text))
	}
	want := []string{
		"2 the-rule The rule",
		`3 with-idle-speed With <data class="quote" value="19.950000000000003">19.95 Hz</data>`,
	}
	if !slices.Equal(heads, want) {
		t.Errorf("headings are %q, want %q", heads, want)
	}
	if len(find(root, "h1", "")) > 0 {
		t.Error("the title is printed with the text")
	}
	quote := find(root, "data", "quote")[0]
	if text(quote) != "19.95 Hz" || attr(quote, "value") != "19.950000000000003" {
		t.Errorf("the quote reads %q with value %q", text(quote), attr(quote, "value"))
	}
	if claim := find(root, "span", "claim"); len(claim) != 1 || text(claim[0]) != "never more than 21 Hz" {
		t.Errorf("%d claims", len(claim))
	}
	var to []string
	for _, a := range find(root, "a", "") {
		to = append(to, attr(a, "href")+" "+text(a))
	}
	want = []string{
		"#story.idle.speed 19.95 Hz", "#story.fast never more than 21 Hz", "#story.card.battery.voltage 48 V", "../other/ next one", "#the-rule itself", "https://example.org/?a=1&b=2 outside",
		"figure-contact.csv numbers as CSV", "table-readings.csv numbers as CSV",
	}
	if !slices.Equal(to, want) {
		t.Errorf("links are %q, want %q", to, want)
	}
	body := string(c.Body)
	for _, gone := range []string{"<script", "<b>", "First panel", "Ask them", `class="language-`} {
		if strings.Contains(body, gone) {
			t.Errorf("the course holds %q", gone)
		}
	}
	for _, there := range []string{"&lt;script&gt;alert(1)&lt;/script&gt;", "&lt;b&gt;Raw&lt;/b&gt; &amp;", "d &lt;= 1"} {
		if !strings.Contains(body, there) {
			t.Errorf("the course lacks %q", there)
		}
	}
	cells := find(root, "details", "")
	if len(cells) != 1 || text(find(cells[0], "code", "")[0]) != "if a < b { }" || text(find(cells[0], "summary", "")[0]) != "How this was computed" {
		t.Error("the cell is not folded as it should be")
	}
}

func TestFigure(t *testing.T) {
	_, root := course(t)
	figures := find(root, "figure", "drawing")
	if len(figures) != 1 {
		t.Fatalf("%d figures", len(figures))
	}
	svg := find(figures[0], "svg", "plot")[0]
	if attr(svg, "id") != "figure.contact" || text(find(svg, "title", "")[0]) != "Idle & busy" {
		t.Errorf("the drawing is called %q and %q", attr(svg, "id"), text(find(svg, "title", "")[0]))
	}
	if caption := find(figures[0], "figcaption", "")[0]; text(caption) != "Idle & busy numbers as CSV" || len(find(caption, "em", "")) != 1 {
		t.Errorf("the caption is %q", text(caption))
	}
}

func TestTable(t *testing.T) {
	_, root := course(t)
	table := find(root, "table", "")[0]
	var cells []string
	for _, row := range find(table, "tr", "") {
		for c := range row.ChildNodes() {
			cells = append(cells, c.Data+attr(c, "scope")+" "+attr(c, "class")+" "+text(c))
		}
	}
	want := []string{
		"thcol  who", "thcol number speed, Hz", "thcol  <note>",
		"throw  first & last", "td number \u22121.00", "td  <i>", // -1.005 is a little less than that in binary
		"throw  second", "td number 0.00", "td  a",
		"throw  third", "td number none", "td  b",
	}
	if !slices.Equal(cells, want) {
		t.Errorf("the table holds\n%q, want\n%q", cells, want)
	}
	if d := find(table, "data", ""); attr(d[0], "value") != "-1.005" {
		t.Errorf("the first number's value is %q", attr(d[0], "value"))
	}
}

// A caution has its signal word, its hazard and its text for every reader, and
// stands in nothing that folds.
func TestCautionsEverywhere(t *testing.T) {
	s := source(t)
	c, _ := NewCourse(s, links())
	k, _ := NewKiosk(s, links())
	h, _ := NewHandout(s, Visitors)
	g, _ := NewHandout(s, Guide)
	join := func(pieces []string) string { return strings.Join(pieces, "") }
	strs := func(list any) []string { return strings.Split(fmt.Sprint(list), "\x00") }
	full := ""
	for _, c := range k.Cautions {
		full += string(c.Full)
	}
	for reader, piece := range map[string]string{
		"course": string(c.Body), "kiosk": full, "handout": join(strs(h.Cautions)), "guide": join(strs(g.Cautions)),
	} {
		root := parsed(t, piece)
		var got []string
		for _, n := range find(root, "div", "notice") {
			got = append(got, attr(n, "role")+" "+attr(n, "class")+": "+text(n))
			for p := n.Parent; p != nil; p = p.Parent {
				if p.Data == "details" {
					t.Errorf("%s: a caution can be folded away", reader)
				}
			}
		}
		want := []string{
			"note notice warning: Warning Turning <shaft> It grips. Keep away. Keep your hands off. Sleeves too.",
			"note notice danger: Danger Shock It kills. Touch nothing.",
		}
		if reader == "kiosk" { // the gravest first
			slices.Reverse(want)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s has the notices %q, want %q", reader, got, want)
		}
	}
	if k.Cautions[0].Glance != "Touch nothing." || k.Cautions[1].Glance != "Keep away." {
		t.Errorf("visitors read %q and %q", k.Cautions[0].Glance, k.Cautions[1].Glance)
	}
	if got := lines(s, "en"); got != "Warning: Turning &lt;shaft&gt;|Danger: Shock" {
		t.Errorf("in short: %s", got)
	}
}

// lines are the notices of a lesson in short.
func lines(in Input, language string) string {
	w, err := ui.In(language)
	if err != nil {
		panic(err)
	}
	var all []string
	for _, n := range Notices(in.Lesson, in.Hazards, w) {
		all = append(all, string(n.Line))
	}
	return strings.Join(all, "|")
}

// What the house says of a hazard is in the page's language, or marked where it
// is not.
func TestCautionsInFrench(t *testing.T) {
	s := source(t)
	s.Lesson.Language = "fr"
	h, _ := NewHandout(s, Visitors)
	if got := text(parsed(t, string(h.Cautions[0]))); got != "Avertissement Arbre tournant Il happe. Restez loin. Keep your hands off. Sleeves too." {
		t.Errorf("the translated caution reads %q", got)
	}
	if got := string(h.Cautions[1]); !strings.Contains(got, `<span lang="en">Shock</span>`) || !strings.Contains(got, `<p lang="en"><strong class="harm">It kills.`) {
		t.Errorf("the caution that is not translated is %s", got)
	}
	if got := lines(s, "fr"); got != "Avertissement\u00a0: Arbre tournant|Danger\u00a0: <span lang=\"en\">Shock</span>" {
		t.Errorf("in short: %s", got)
	}
}

// A caution that changes is another one to who has read it, whoever changed it:
// the lesson or the house.
func TestMarksFollowTheHouse(t *testing.T) {
	s := source(t)
	marks := func() []string { c, _ := NewCourse(s, links()); return c.Marks.Cautions }
	before := marks()
	s.Hazards = slices.Clone(house.Hazards)
	s.Hazards[1].Avoid = "Touch nothing at all."
	after := marks()
	if len(before) != 2 || before[0] != after[0] || before[1] == after[1] {
		t.Errorf("the cautions were %q and are %q", before, after)
	}
}

func TestKiosk(t *testing.T) {
	k, messages := NewKiosk(source(t), links())
	if len(messages) > 0 || len(k.Panels) != 2 {
		t.Fatal(len(k.Panels), messages)
	}
	if k.Panels[0].Title != "First panel" || k.Panels[1].Title != "" {
		t.Errorf("titles are %q and %q", k.Panels[0].Title, k.Panels[1].Title)
	}
	if got := text(parsed(t, string(k.Panels[0].Text))); got != "It makes 20.0 Hz. See this." {
		t.Errorf("the first panel says %q", got)
	}
	all := fmt.Sprint(k)
	if strings.Contains(all, "<a ") {
		t.Error("a panel leads away from the kiosk")
	}
	ids := map[string]bool{}
	for _, p := range k.Panels {
		svg := find(parsed(t, string(p.Figures)), "svg", "plot")
		if len(svg) != 1 || ids[attr(svg[0], "id")] {
			t.Errorf("a panel has %d drawings, or its identifier is used twice", len(svg))
			continue
		}
		ids[attr(svg[0], "id")] = true
	}
}

func TestHandout(t *testing.T) {
	s := source(t)
	visitor, _ := NewHandout(s, Visitors)
	guide, messages := NewHandout(s, Guide)
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	if len(visitor.Points) != 0 || len(guide.Points[""]) != 1 {
		t.Fatalf("talking points: %d for visitors, %d for guides", len(visitor.Points), len(guide.Points[""]))
	}
	if got := text(parsed(t, string(guide.Points[""][0]))); got != "Ask them. It never runs away." {
		t.Errorf("the talking point is %q", got)
	}
	for _, c := range []struct {
		h     Handout
		tag   string
		plots int // a guide's visitors hold the figures in their hands
	}{{visitor, "h2", 1}, {guide, "h3", 0}} {
		var words, figures string
		for _, s := range c.h.Story {
			words += string(s.Text)
			figures += string(s.Figures)
		}
		root := parsed(t, words)
		if len(c.h.Story) != 2 || len(find(root, c.tag, "")) != 1 || len(find(root, "svg", "plot")) != 0 || !strings.Contains(text(root), "No heading here.") {
			t.Errorf("the story says %s", words)
		}
		if len(find(parsed(t, figures), "svg", "plot")) != c.plots {
			t.Errorf("the story shows %s", figures)
		}
	}
}

// A lesson without panels still has a story: its beginning.
func TestStoryWithoutPanels(t *testing.T) {
	l, _ := lesson.Parse("l.md", []byte("```lesson\ntitle = \"T\"\n```\n\n# T\n\nFirst.\n\n```caution dust\nNo.\n```\n\nSecond.\n\n## More\n\nThird.\n"))
	h, messages := NewHandout(Input{Checked: proof.Checked{Lesson: l}}, Visitors)
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	if got := string(h.Story[0].Text); len(h.Story) != 1 || got != "<p>First.</p>\n<p>Second.</p>\n" {
		t.Errorf("the story is %q", got)
	}
}

// What cannot be printed is an error at its place.
func TestMessages(t *testing.T) {
	for _, c := range []struct{ body, want string }{
		{"[1 V][no.such]", `5:2: "no.such" has no computed value to print`},
		{"![a](figure:no)", `5:1: no cell tells a figure "no"`},
		{"![a](table:no)", `5:1: no cell tells a table "no"`},
		{"![a](sound:no)", `5:1: no cell tells a sound "no"`},
		{"[a](#no)", `5:1: the lesson has no heading "#no"`},
		{"[a](no.html)", `5:1: a link cannot lead to the file "no.html"`},
		{"[a](//example.org)", `5:1: a link cannot lead to the file "//example.org"`},
	} {
		l, _ := lesson.Parse("l.md", []byte("```lesson\ntitle = \"T\"\n```\n\n"+c.body+"\n"))
		_, messages := NewCourse(Input{Checked: proof.Checked{Lesson: l}}, Links{})
		if len(messages) != 1 || !strings.HasPrefix(messages[0].String(), "l.md:"+c.want) || messages[0].Hint == "" {
			t.Errorf("%s gives %v, want %s", c.body, messages, c.want)
		}
	}
}

func FuzzHTML(f *testing.F) {
	f.Add("# a\n\n- b <i>\n\n[c](javascript:d \"e\")")
	f.Add("```x\"y\n<\n```\n![a\"](b\"c)")
	f.Fuzz(func(t *testing.T, markdown string) {
		// What the author writes never becomes a tag of its own.
		for _, n := range find(parsed(t, HTML(lesson.Markdown([]byte(markdown)))), "script", "") {
			t.Errorf("a script got through: %s", text(n))
		}
	})
}
