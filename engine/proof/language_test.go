package proof

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

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
