package chart

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/tell"
)

func settings() Settings {
	return Settings{
		ID: "c", Title: "What is <wrong> & why",
		Told:  func(s string) string { return s },
		Share: func(chance float64) string { return fmt.Sprintf("%.0f\u00a0%%", 100*chance) },
		GoOn: func(sheet, question int) string {
			return fmt.Sprintf("Go on at question %d, sheet %d", question, sheet)
		},
		Of: func(sheet, of int) string { return fmt.Sprintf("Sheet %d of %d", sheet, of) },
		From: func(sheet, question int, answer string) string {
			return fmt.Sprintf("From sheet %d, question %d: %s", sheet, question, answer)
		},
		OnPage: func(question int) string { return fmt.Sprintf("See page, question %d", question) },
		More:   func(causes int) string { return fmt.Sprintf("More: %d causes", causes) },
		Says:   func(sheet, of int) string { return fmt.Sprintf("chart %d of %d", sheet, of) },
		Stop:   "Stop and isolate. " + strings.Repeat("Then wait for the one who may. ", 6),
		Hazard: func(name string) (string, string, string) {
			return "<svg viewBox=\"0 0 24 22\"></svg>", "danger", "Danger: " + name
		},
	}
}

// bush is a finder so deep, in which each question has so many answers, with
// words that are told apart by their numbers, and as long as asked for.
func bush(deep, answers, causes int, long bool) *tell.Look {
	n := 0
	words := func(what string, most int) string {
		n++
		s := fmt.Sprintf("%s%d", what, n)
		for long && len(s)+6 < most {
			s += " words"
		}
		return s
	}
	var grow func(left int) *tell.Look
	grow = func(left int) *tell.Look {
		l := &tell.Look{How: words("how", 400)}
		if left == 0 {
			for i := range causes {
				l.Causes = append(l.Causes, tell.Cause{Says: words("cause", 200), Stop: i == 1, Chance: 1 / float64(causes)})
			}
			return l
		}
		l.Ask, l.Hazard = words("ask", 160), "voltage"
		for i := range answers {
			below := left - 1
			if i%2 == 1 {
				below = min(below, 1)
			}
			l.Answers = append(l.Answers, tell.Answer{Says: words("answer", 80), Then: grow(below)})
		}
		return l
	}
	return grow(deep)
}

// lines gives all lines of text of a sheet, and the least size of them.
func linesOf(t *testing.T, svg string) (lines []string, least float64) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	least = math.Inf(1)
	in := false
	for {
		token, err := d.Token()
		if err == io.EOF {
			return lines, least
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			in = token.Name.Local == "text"
			for _, a := range token.Attr {
				if in && a.Name.Local == "font-size" {
					size, _ := strconv.ParseFloat(a.Value, 64)
					least = min(least, size)
				}
			}
		case xml.CharData:
			if in {
				lines = append(lines, string(token))
			}
		case xml.EndElement:
			in = false
		}
	}
}

// Whatever a finder asks, all its words stand on the chart once, or the page is
// named that has them; six sheets suffice, in type of 12 pt at least (numbers in
// their circles aside), boxes lie on the sheet and apart, and who is sent on finds
// the question there.
func TestNothingIsLost(t *testing.T) {
	for name, root := range map[string]*tell.Look{
		"small":       bush(1, 2, 1, false),
		"usual":       bush(3, 3, 2, false),
		"deep":        bush(14, 2, 1, false),
		"wide":        bush(2, 10, 3, false),
		"long":        bush(3, 3, 2, true),
		"many causes": bush(1, 2, 40, true),
		"huge":        bush(5, 3, 7, true),
	} {
		if err := try(t, name, tell.Finder{Name: "f", Root: *root}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func try(t *testing.T, name string, f tell.Finder) error {
	var s tell.Sheet
	s.Finder("f", f.Root) // which refuses what no finder can be
	set := settings()
	sheets, err := Draw(f, set)
	if err != nil {
		return err
	}
	again, _ := Draw(f, set)
	var all []string
	at := map[string]int{} // the sheet of each word of the finder
	for i, one := range sheets {
		if one.SVG != again[i].SVG {
			t.Errorf("%s: drawn twice, sheet %d is another", name, i+1)
		}
		if !strings.Contains(one.SVG, fmt.Sprintf(`viewBox="0 0 %s %s"`, num(Width), num(Height))) {
			t.Errorf("%s: sheet %d is drawn smaller", name, i+1)
		}
		lines, least := linesOf(t, one.SVG)
		if least < 0.75*smallest || one.Size < smallest {
			t.Errorf("%s: sheet %d has type of %v pt", name, i+1, least)
		}
		for _, line := range lines {
			for word := range strings.FieldsSeq(line) {
				at[word] = i + 1
			}
		}
		all = append(all, strings.Join(lines, " "))
		for _, m := range regexp.MustCompile(`<rect class="box[^>]* x="([^"]*)" y="([^"]*)" width="([^"]*)" height="([^"]*)"`).FindAllStringSubmatch(one.SVG, -1) {
			number := func(s string) float64 { x, _ := strconv.ParseFloat(s, 64); return x }
			if number(m[1]) < 0 || number(m[2]) < 0 || number(m[1])+number(m[3]) > Width+0.1 || number(m[2])+number(m[4]) > Height {
				t.Errorf("%s: sheet %d: a box runs off: %s", name, i+1, m[0])
			}
		}
	}
	words := strings.Join(all, " ")
	numbers := f.Root.Numbers()
	count := func(word string, want int) {
		if n := len(regexp.MustCompile(`\b`+regexp.QuoteMeta(word)+`\b`).FindAllString(words, -1)); n != want {
			t.Errorf("%s: %q stands %d times on the chart, want %d", name, word, n, want)
		}
	}
	first := func(s string) string { return strings.Fields(s)[0] }
	if len(sheets) > mostHung {
		t.Errorf("%s: %d sheets", name, len(sheets))
	}
	onPage := map[*tell.Look]bool{} // all below a question that the page has
	f.Root.Walk(func(l *tell.Look, _ int) {
		if onPage[l] {
			for _, a := range l.Answers {
				onPage[a.Then] = true
				count(first(a.Says), 0)
			}
			return
		}
		if n := numbers[l]; n > 0 && slices.Contains(regexp.MustCompile(`See page, question \d+`).FindAllString(words, -1), fmt.Sprintf("See page, question %d", n)) {
			count(first(l.Ask), 0)
			for _, a := range l.Answers {
				onPage[a.Then] = true
			}
			return
		}
		if l.Ask != "" {
			count(first(l.Ask), 1)
		}
		count(first(l.How), 1)
		hidden := 0
		for i, c := range l.Causes {
			if stands := regexp.MustCompile(`\b` + first(c.Says) + `\b`).MatchString(words); i < fewCauses || stands || c.Stop {
				count(first(c.Says), 1)
			} else {
				hidden++
			}
		}
		if hidden > 0 && !strings.Contains(words, fmt.Sprintf("More: %d causes", hidden)) {
			t.Errorf("%s: %d causes are missing, and nothing says so", name, hidden)
		}
		for _, a := range l.Answers {
			if !strings.Contains(words, first(a.Says)) {
				t.Errorf("%s: %q is on no sheet", name, a.Says)
			}
		}
		if n := numbers[l]; n > 0 {
			for _, m := range regexp.MustCompile(fmt.Sprintf(`Go on at question %d, sheet (\d+)`, n)).FindAllStringSubmatch(words, -1) {
				if m[1] != fmt.Sprint(at[first(l.Ask)]) {
					t.Errorf("%s: %s, but it stands on sheet %d", name, m[0], at[first(l.Ask)])
				}
			}
		}
	})
	if len(onPage) > 0 && len(sheets) < mostHung-1 {
		t.Errorf("%s: questions are left to the page, and there are but %d sheets", name, len(sheets))
	}
	return nil
}

// No box lies over another, and no line of words is wider than its box.
func TestApart(t *testing.T) {
	letters, err := newLetters()
	if err != nil {
		t.Fatal(err)
	}
	for _, root := range []*tell.Look{bush(3, 3, 2, false), bush(3, 3, 2, true), bush(9, 2, 1, false)} {
		for _, size := range sizes {
			l := layout{letters: letters, set: settings(), size: size, columns: mostColumns(size), numbers: root.Numbers()}
			for _, s := range l.pack(l.trees(root)) {
				var boxes []*box
				var below []float64
				for _, tree := range s.trees {
					tree.each(func(b *box) { boxes, below = append(boxes, b), append(below, tree.y+b.y) })
				}
				for i, b := range boxes {
					for j, c := range boxes[:i] {
						if b.x < c.x+c.w && c.x < b.x+b.w && below[i] < below[j]+c.tall-0.01 && below[j] < below[i]+b.tall-0.01 {
							t.Errorf("at %v pt two boxes lie over each other", size)
						}
					}
					for _, p := range b.parts {
						for _, line := range p.lines {
							if w := letters.width(line, p.size, p.bold); w > b.w-p.indent-2*padding*size {
								t.Errorf("%q is %.0f pt wide in a box of %.0f", line, w, b.w)
							}
						}
					}
				}
			}
		}
	}
}

// A line is broken where it is too wide, and nowhere else.
func TestWrap(t *testing.T) {
	l, err := newLetters()
	if err != nil {
		t.Fatal(err)
	}
	if a, i := l.width("A", 10, false), l.width("i", 10, false); !(a > i && i > 0) || l.width("AA", 10, false) != 2*a || l.width("A", 20, false) != 2*a {
		t.Errorf("A is %v wide, i %v", a, i)
	}
	if l.width("moment", 10, true) <= l.width("moment", 10, false) {
		t.Error("bold is no wider")
	}
	got := l.wrap("a bb\u00a0cc "+strings.Repeat("m", 30), 60, 10, false)
	if got[0] != "a bb\u00a0cc" || len(got) < 4 || strings.Join(got[1:], "") != strings.Repeat("m", 30) {
		t.Errorf("wrapped to %q", got)
	}
	if slices.ContainsFunc(got, func(line string) bool { return l.width(line, 10, false) > 60 }) {
		t.Errorf("too wide: %q", got)
	}
}

// Few questions get the largest type, and many the smallest.
func TestTypeSize(t *testing.T) {
	for _, c := range []struct {
		root *tell.Look
		want float64
	}{{bush(1, 2, 1, false), 21}, {bush(6, 3, 3, true), 12}} {
		sheets, err := Draw(tell.Finder{Name: "f", Root: *c.root}, settings())
		if err != nil {
			t.Fatal(err)
		}
		if got := sheets[0].Size; got != c.want {
			t.Errorf("%d sheets in %v pt, want %v", len(sheets), got, c.want)
		}
	}
}
