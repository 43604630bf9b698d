package site

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/dop251/goja"
	"golang.org/x/net/html"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
)

// drawnStrips is three parts with wires of every verdict on two drawings; the first
// part has most open questions.
func drawnStrips() tell.Strips {
	s := tell.Strips{
		Sheets: []tell.StripSheet{{Name: "a", Date: "1911"}, {Name: "b"}},
		Parts: []tell.StripPart{
			{Name: "TS1", Marks: []string{"1", "2", "3"}},
			{Name: "K2", Text: "second", Marks: []string{"A1", "A2"}},
			{Name: "K10", Marks: []string{"A1", "A2"}},
		},
	}
	for _, w := range []struct {
		from, to, verdict string
		on                []int
	}{
		{"TS1.1", "K2.A1", tell.WireFound, []int{0, 1}},
		{"TS1.2", "K2.A2", tell.WireQuestion, []int{0}},
		{"TS1.3", "K2.A2", tell.WireNotThere, []int{1}},
		{"TS1.2", "K10.A1", tell.WireQuestion, []int{1}},
		{"TS1.1", "TS1.3", tell.WireLikely, []int{0, 1}},
		{"K10.A2", "K2.A1", tell.WireLikely, nil},
	} {
		s.Wires = append(s.Wires, tell.StripWire{From: w.from, To: w.to, Verdict: w.verdict, Chance: 0.5, Drawn: w.on})
	}
	return s
}

// withStrips is the sample with a lesson more, which places strips.
func withStrips(t *testing.T) Input {
	t.Helper()
	in := inputOf(t, nil)
	l, messages := lesson.Parse("strips/lesson.md", []byte("```lesson\ntitle = \"The wires\"\n```\n\nIt is small.\n\n![The wires](strips:wires)\n"))
	l.Slug, l.Folder = "strips", "01-strips"
	var s tell.Sheet
	s.Strips("wires", drawnStrips())
	result := s.Result()
	report, more := proof.Folder{House: in.House, Cards: in.Cards, Lessons: []*lesson.Lesson{l}}.Check(l, result)
	if messages = append(messages, more...); diag.HasError(messages) {
		t.Fatal(messages)
	}
	in.Lessons = append(in.Lessons, proof.Checked{Lesson: l, Result: result, Report: report})
	return in
}

// Without a script all parts, all wires and what each drawing has are there.
func TestStripsOnPage(t *testing.T) {
	files := treeOf(t, withStrips(t))
	page, err := html.ParseWithOptions(strings.NewReader(string(files["course/strips/index.html"])), html.ParseOptionEnableScripting(false))
	if err != nil {
		t.Fatal(err)
	}
	var parts, rows, options []string
	for n := range page.Descendants() {
		if part := attr(n, "data-part"); part != "" {
			parts = append(parts, part)
		}
		if n.Data == "tr" && attr(n, "data-wire") != "" {
			rows = append(rows, attr(n, "data-on"))
		}
		if n.Data == "option" {
			options = append(options, attr(n, "value"))
		}
	}
	if want := []string{"TS1", "K2", "K10"}; !slices.Equal(parts, want) {
		t.Errorf("the parts are %q, want %q", parts, want)
	}
	// Wires at the first part, then the others.
	if want := []string{"0 1", "0", "1", "1", "0 1", ""}; !slices.Equal(rows, want) {
		t.Errorf("the wires are on %q, want %q", rows, want)
	}
	if want := []string{"K2", "K10", "TS1", ""}; !slices.Equal(options, want) {
		t.Errorf("the parts to choose are %q, want %q", options, want)
	}
	text := string(files["course/strips/index.html"])
	for _, want := range []string{
		`<th scope="row">a, 1911</th><td class="number">3</td><td class="number">0</td><td class="number">1</td><td class="number">0</td>`,
		`<th scope="row">b, undated</th><td class="number">4</td><td class="number">1</td><td class="number">1</td><td class="number">0</td>`,
		`<option value="TS1" selected>TS1: 2 of 5 in question</option>`, `<p class="called">K2 (second)</p>`,
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not hold %q", want)
		}
	}
	if csv := string(files["course/strips/strips-wires.csv"]); strings.Count(csv, "\n") != 7 || !strings.Contains(csv, "TS1.2,K2.A2,none,open question,0.5,a,the drawings alone") {
		t.Errorf("the file holds %q", csv)
	}
}

// TestDrawn runs drawn.js, which needs no page, and asks it which wires are seen: at
// each part and on each drawing those that the list has.
func TestDrawn(t *testing.T) {
	vm := goja.New()
	source, err := web.ReadFile("web/drawn.js")
	if err != nil {
		t.Fatal(err)
	}
	run(t, vm, string(source))
	s := drawnStrips()
	for _, part := range []string{"", "TS1", "K2", "K10", "K1"} {
		for sheet := -1; sheet < len(s.Sheets); sheet++ {
			asked := "null"
			if sheet >= 0 {
				asked = strconv.Itoa(sheet)
			}
			n, all := 0, 0
			for _, w := range s.Wires {
				var on []string
				for _, k := range w.Drawn {
					on = append(on, strconv.Itoa(k))
				}
				at := part == "" || w.At(part)
				want := at && (sheet < 0 || slices.Contains(w.Drawn, sheet))
				if at {
					all++
				}
				if want {
					n++
				}
				wire := "drawn.wire(" + strconv.Quote(w.From) + "," + strconv.Quote(w.To) + "," + strconv.Quote(strings.Join(on, " ")) + ")"
				run(t, vm, "var wires = (this.wires || []).concat("+wire+")")
				if got := run(t, vm, "drawn.seen("+wire+","+strconv.Quote(part)+","+asked+")").ToBoolean(); got != want {
					t.Errorf("%s to %s at %q on %s is seen: %v", w.From, w.To, part, asked, got)
				}
			}
			want := "Of " + strconv.Itoa(all) + " there are " + strconv.Itoa(n)
			if got := run(t, vm, `drawn.said("Of @ there are #", drawn.count(wires, `+strconv.Quote(part)+","+asked+"))").String(); got != want {
				t.Errorf("at %q on %s it says %q, want %q", part, asked, got, want)
			}
			run(t, vm, "wires = []")
		}
	}
}

// TestStripsInBrowser picks parts and drawings as a reader does.
func TestStripsInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	v := openVisit(t)
	mustWrite(t, treeOf(t, withStrips(t)), v.dir)
	const parts = `[...document.querySelectorAll(".part")].filter(p => p.checkVisibility()).map(p => p.dataset.part).join(" ")`
	const lines = `[...document.querySelectorAll(".part g[data-wire]")].filter(g => g.getBoundingClientRect().width > 0).map(g => g.dataset.wire).sort().join(" ")`
	const rows = `[...document.querySelectorAll("tr[data-wire]")].filter(r => r.checkVisibility()).map(r => r.dataset.wire).sort().join(" ")`
	v.open("course/strips/index.html", 390, 844)
	v.want("TS1", parts)
	v.want("1", `String(document.querySelectorAll(".part").length)`) // the others weigh nothing yet
	v.want("0 1 2 3 4", lines)
	v.want("0 1 2 3 4", rows)
	v.want("Wires shown: 5 of 5.", `document.querySelector(".strips .shown").textContent`)
	v.value(`document.querySelector(".strips input[value='1']").click(), ""`)
	v.want("0 2 3 4", lines)
	v.want("0 2 3 4", rows)
	v.want("Wires shown: 4 of 5.", `document.querySelector(".strips .shown").textContent`)
	choose := func(part string) {
		v.value(`(s => { s.value = "` + part + `"; s.dispatchEvent(new Event("change")); return ""; })(document.querySelector(".strips select"))`)
	}
	choose("K2")
	v.want("K2", parts)
	v.want("0 2", rows)
	choose("")
	v.want("TS1 K2 K10", parts)
	v.want("0 2 3 4", rows)
	v.value(`document.querySelector(".strips input[value='']").click(), ""`)
	v.want("0 0 1 1 2 2 3 3 4 5 5", lines)
	v.want("0 1 2 3 4 5", rows)
	// Fingers meet what is to be touched, and all words can be read.
	v.want("true", `[...document.querySelectorAll(".strips select, .strips .sheets label")].every(e => e.getBoundingClientRect().height >= 44)`)
	v.want("true", `[...document.querySelectorAll(".strips-drawing text")].filter(e => e.checkVisibility()).every(e => parseFloat(getComputedStyle(e).fontSize) * e.ownerSVGElement.getBoundingClientRect().width / e.ownerSVGElement.viewBox.baseVal.width >= 11.99)`)
	v.want("true", `document.documentElement.scrollWidth <= innerWidth`)
	v.silence("strips")
	v.scripts(false)
	defer v.scripts(true)
	v.open("course/strips/index.html", 390, 844)
	if got, want := v.still(parts+` + " + " + `+lines+` + " + " + `+rows), "TS1 K2 K10 + 0 0 1 1 2 2 3 3 4 5 5 + 0 1 2 3 4 5"; got != want {
		t.Errorf("without scripts there is %q, want %q", got, want)
	}
	if got := v.still(`String(document.querySelector(".strips .choices").checkVisibility())`); got != "false" {
		t.Error("without scripts there are controls that do nothing")
	}
}
