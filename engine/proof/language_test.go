package proof

import (
	"fmt"
	"math/big"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/text/feature/plural"
	textlanguage "golang.org/x/text/language"
	"golang.org/x/text/message"
	textnumber "golang.org/x/text/number"

	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// What is said about translations into French, one archive a matter.
func TestFrench(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("testdata", "french", "*.txtar"))
	if err != nil || len(files) < 4 {
		t.Fatalf("found %d archives, %v", len(files), err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			a := readArchive(t, file)
			_, _, messages := proofread(t, a)
			var b strings.Builder
			for _, m := range messages {
				if m.File != "fr.md" {
					t.Errorf("the lesson itself is not clean: %v", m)
				}
				if m.Level != level(m.Rule) || m.Hint == "" {
					t.Errorf("%+v", m)
				}
				fmt.Fprintf(&b, "%s\n", m)
			}
			a.golden(t, b.String())
		})
	}
}

// The decimal sign and the minus of each language are those of CLDR, the
// Common Locale Data Repository, as golang.org/x/text has them.
func TestNumberSigns(t *testing.T) {
	for _, tag := range lesson.Languages() {
		p := message.NewPrinter(textlanguage.MustParse(tag))
		for _, c := range []struct {
			x        float64
			decimals int
		}{{19.9468, 2}, {0.5, 1}, {0, 1}, {-0.25, 2}, {48, 0}, {999.95, 2}} {
			// CLDR writes the minus of both languages as a hyphen, for which we
			// have U+2212.
			want := strings.Replace(p.Sprint(textnumber.Decimal(c.x, textnumber.Scale(c.decimals))), "-", minus, 1)
			if got := Number(tag, c.x, c.decimals); got != want {
				t.Errorf("%s: Number(%v, %d) = %q, want %q", tag, c.x, c.decimals, got, want)
			}
		}
	}
}

// Singular or plural of a French unit, against CLDR's plural rules.
func TestFrenchAgreement(t *testing.T) {
	int := func(digits string) int {
		x, err := strconv.Atoi("0" + digits)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	for thousandths := range 2500 {
		for decimals := range 4 {
			n := number{decimals: decimals, language: &french}.inForm(float64(thousandths)/1000, big.NewRat(1, 1))
			whole, part, _ := strings.Cut(n.digits, ".")
			short := strings.TrimRight(part, "0")
			want := "tours"
			if plural.Cardinal.MatchPlural(textlanguage.French, int(whole), len(part), len(short), int(part), int(short)) == plural.One {
				want = "tour"
			}
			for _, written := range []string{"tour", "tours"} {
				if got := french.agree(written, n); got != want {
					t.Fatalf("with %s, %s becomes %s, want %s", n, written, got, want)
				}
			}
		}
	}
	if got := french.agree("Hz", number{digits: "1"}); got != "Hz" {
		t.Errorf("Hz became %q", got)
	}
}

// Every unit of every language has a factor and a base in the table, and no
// unit stands twice.
func TestUnitsOfLanguages(t *testing.T) {
	for _, tag := range lesson.Languages() {
		seen := map[string]bool{}
		for _, u := range languageOf(tag).units {
			if _, base := findUnit(symbols[:], u.quantity); seen[u.written] || u.num < 1 || u.den < 1 || !base && u.quantity != "1" && u.quantity != "turn" && u.quantity != "degree" {
				t.Errorf("%s: %+v", tag, u)
			}
			seen[u.written] = true
		}
	}
	for _, c := range []struct {
		told, written string
		x             float64
		decimals      int
		want          string
	}{
		{"Hz", "tours par minute", 20, 0, "1200"},
		{"Hz", "tr/s", 19.95, 2, "19,95"},
		{"turns", "tours", 4.3, 1, "4,3"},
		{"", "pour cent", 0.773, 1, "77,3"},
		{"A", "milliampères", 0.35, 0, "350"},
		{"furlong", "furlong", 1, 0, "1"},
	} {
		f, ok := french.factor(c.told, c.written)
		if got := (number{decimals: c.decimals, language: &french}).inForm(c.x, f).String(); !ok || got != c.want {
			t.Errorf("%v %s is %s %s, want %s", c.x, c.told, got, c.written, c.want)
		}
	}
	for _, c := range []struct{ told, written string }{{"turns", "turns"}, {"Hz", "turns a second"}, {"V", "ampères"}, {"turns", "tours par seconde"}} {
		if _, ok := french.factor(c.told, c.written); ok {
			t.Errorf("%q may be written for %q", c.written, c.told)
		}
	}
}

// What pages are given to print in French, and amending.
func TestFrenchPrinted(t *testing.T) {
	a := readArchive(t, filepath.Join("testdata", "french", "quote-drift.txtar"))
	l, report, messages := proofread(t, a)
	var printed []string
	l.Body.Walk(func(n *lesson.Node) bool {
		if text, ok := report.Printed[n]; ok {
			printed = append(printed, text)
		}
		return true
	})
	want := []string{"19,95\u00a0Hz", "19,9\u00a0tours par seconde", "2,1\u00a0tours", "\u22122,5\u00a0V", "\u22122,5\u00a0V",
		"\u22122,5\u00a0V", "\u22122,5\u00a0V", "77\u00a0%", "1000,0\u00a0mA"}
	if !slices.Equal(printed, want) {
		t.Errorf("got  %q\nwant %q", printed, want)
	}
	if len(report.Drifts) != len(messages) || len(messages) != 8 {
		t.Fatalf("%d drifts, %d findings", len(report.Drifts), len(messages))
	}

	// By hand, in the order of the file. A unit's ending is not a number, and
	// stays; pages print the right one.
	text := string(l.Source)
	for _, pair := range [][2]string{
		{"[19,94 Hz]", "[19,95 Hz]"}, {"[19,8 tours\npar seconde]", "[19,9 tours\npar seconde]"}, {"[1,9 tour]", "[2,1 tour]"},
		{" [2,4 V]", " [\u22122,5 V]"}, {"[-2,4 V]", "[\u22122,5 V]"}, {"[\u22122,4 V]", "[\u22122,5 V]"},
		{"[76 %]", "[77 %]"}, {"[999,9\u00a0mA]", "[1000,0\u00a0mA]"},
	} {
		if strings.Count(text, pair[0]) != 1 {
			t.Fatalf("%q stands %d times in the translation", pair[0], strings.Count(text, pair[0]))
		}
		text = strings.Replace(text, pair[0], pair[1], 1)
	}
	if got := string(Amend(l, report.Drifts)); got != text {
		t.Errorf("amended:\n%s\nwant:\n%s", got, text)
	}
	told, _ := a.get("told")
	r, cards, all := readTold(t, told)
	again, _ := lesson.ParseTranslation("fr.md", "fr", []byte(text), l.Base)
	if report, messages := Check(again, r, cards, all); len(messages) > 0 || len(report.Drifts) > 0 {
		t.Errorf("the amended translation is not clean: %v", messages)
	}
}

// Labels of a translation that no cell tells.
func TestToldLabels(t *testing.T) {
	l, _ := lesson.Parse("lesson.md", []byte("```lesson\ntitle = \"A\"\n```\n\nWords.\n"))
	tr, messages := lesson.ParseTranslation("fr.md", "fr", []byte("```lesson\ntitle = \"B\"\n\n[[label]]\ntold = \"speed\"\nreads = \"vitesse\"\n\n"+
		"[[label]]\ntold = \"tim\"\nreads = \"temps\"\n\n[[label]]\ntold = \"idle\"\nreads = \"à vide\"\n```\n\nDes mots.\n"), l)
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	var s tell.Sheet
	s.Figure(tell.Figure{Name: "f", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{{Y: tell.Axis{Label: "speed"}, Lines: []tell.Line{{X: []float64{0, 1}, Y: []float64{0, 1}}}}}})
	s.Table(tell.Table{Name: "t", Columns: []tell.Column{{Head: "who"}}, Rows: [][]tell.Entry{{tell.Text("idle")}}})
	_, messages = Check(tr, s.Result(), nil, []*lesson.Lesson{l})
	if len(messages) != 1 || messages[0].String() != "fr.md:8:3: warning: no cell tells the label \"tim\"\n    did you mean \"time\"?" {
		t.Error(messages)
	}
}
