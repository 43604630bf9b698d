package proof

import (
	"bytes"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"slipring/engine/language"
	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// Amending changes numbers and no other byte, whatever the line ends, and what
// comes out proofs clean.
func TestAmend(t *testing.T) {
	a := readArchive(t, filepath.Join("testdata", "rules", RuleDrift+".txtar"))
	l, report, messages := proofread(t, a)
	if len(report.Drifts) < 10 || len(report.Drifts) != len(messages) {
		t.Fatalf("%d drifts, %d findings", len(report.Drifts), len(messages))
	}
	told, _ := a.get("told")
	r, cards, all := readTold(t, told)
	amended := Amend(l, report.Drifts)

	// By hand, in the order of the file.
	want := string(l.Source)
	for _, pair := range [][2]string{
		{"[19.8 Hz][idle.speed]\n", "[19.9 Hz][idle.speed]\n"},
		{"[19.94 Hz]", "[19.95 Hz]"},
		{"[19.8 turns\na second]", "[19.9 turns\na second]"},
		{"[1190 r/min]", "[1197 r/min]"},
		{"[19.8Hz]", "[19.9Hz]"},
		{"[19.8][", "[19.9]["},
		{"[19.8\u00a0Hz]", "[19.9\u00a0Hz]"},
		{"[19.8&nbsp;Hz]", "[19.9&nbsp;Hz]"},
		{"[−0.3 mA]", "[−0.4 mA]"},
		{"[0.01 A]", "[0.00 A]"},
		{"[-2.4 V]", "[-2.5 V]"},
		{"[−2.4 V]", "[−2.5 V]"},
		{" [2.4 V]", " [-2.5 V]"},
		{"[-3 V]", "[-2 V]"},
		{"[47 V]", "[48 V]"},
		{"{idle.speed 19.97 Hz}", "{idle.speed 19.95 Hz}"},
		{"{card.battery.voltage 46 V}", "{card.battery.voltage 48 V}"},
		{"{idle.speed 19.96 Hz}", "{idle.speed 19.95 Hz}"},
		{"{idle.speed 19 turns a second}", "{idle.speed 20 turns a second}"},
		{"[19.96 Hz]", "[19.95 Hz]"},
		{"{small −0.3 mA}", "{small −0.4 mA}"},
		{"No: [-0.3 mA]", "No: [-0.4 mA]"},
	} {
		if strings.Count(want, pair[0]) != 1 {
			t.Fatalf("%q stands %d times in the lesson", pair[0], strings.Count(want, pair[0]))
		}
		want = strings.Replace(want, pair[0], pair[1], 1)
	}
	if string(amended) != want {
		t.Errorf("amended:\n%s\nwant:\n%s", amended, want)
	}

	for _, form := range []struct {
		name string
		make func(string) string
	}{
		{"plain", func(s string) string { return s }},
		{"carriage returns", func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") }},
		{"byte order mark", func(s string) string { return "\ufeff" + s }},
	} {
		source := []byte(form.make(string(l.Source)))
		other, messages := lesson.Parse("lesson.md", source)
		if len(messages) > 0 {
			t.Fatalf("%s: %v", form.name, messages)
		}
		report, _ := Check(other, r, cards, all)
		got := Amend(other, report.Drifts)
		if string(got) != form.make(want) {
			t.Errorf("%s: amended:\n%q\nwant:\n%q", form.name, got, form.make(want))
		}
		again, _ := lesson.Parse("lesson.md", got)
		if report, messages := Check(again, r, cards, all); len(messages) > 0 || len(report.Drifts) > 0 {
			t.Errorf("%s: the amended lesson is not clean: %v", form.name, messages)
		}
		if !bytes.Equal(source, []byte(form.make(string(l.Source)))) {
			t.Errorf("%s: amending changed its input", form.name)
		}
	}
}

func TestAmendNothing(t *testing.T) {
	l, _ := lesson.Parse("lesson.md", []byte("# Nothing\n"))
	if got := Amend(l, nil); !bytes.Equal(got, l.Source) {
		t.Errorf("got %q", got)
	}
}

// Whatever the lesson: after amending it parses to the same tree but for the
// amended texts, nothing has drifted any more, and only numbers changed.
func FuzzAmend(f *testing.F) {
	files, _ := filepath.Glob(filepath.Join("testdata", "rules", "*.txtar"))
	for _, file := range files {
		for _, b := range mustArchive(f, file) {
			f.Add(b, 19.9468)
			f.Add(strings.ReplaceAll(b, "\n", "\r\n"), -0.004)
		}
	}
	for _, tag := range []string{"quote-drift", "quote-form", "claim", "unbound-number", "question"} {
		a, err := readFile(filepath.Join("testdata", "french", tag+".txtar"))
		if err != nil {
			f.Fatal(err)
		}
		words, _ := a.get("fr.md")
		f.Add(words, -19.9468)
	}
	f.Add("> - [1 A][a]\n>   [2\n> A][b] `[3 A][c]`\n\n# [4 A][a]\n\n[5 A][d]\n\n[d]: /x\n", 12.5)
	f.Fuzz(func(t *testing.T, source string, x float64) {
		if math.Abs(x) > 1e9 {
			return
		}
		for _, tag := range language.Tags() {
			amends(t, tag, source, x)
		}
	})
}

// amends checks one lesson whose words are in a language.
func amends(t *testing.T, tag, source string, x float64) {
	t.Helper()
	l, _ := lesson.Parse("lesson.md", []byte(source))
	l.Language = tag
	var r tell.Result
	i := 0
	l.Body.Walk(func(n *lesson.Node) bool {
		if (n.Kind == lesson.Bound || n.Kind == lesson.Insert) && !slices.ContainsFunc(r.Values, func(v tell.Value) bool { return v.Name == n.Name }) {
			i++
			q, _, _, _ := readQuote(language.Of(tag), n)
			r.Values = append(r.Values, tell.Value{Name: n.Name, Number: x * float64(i), Unit: q.unit})
		}
		return true
	})
	report, messages := Check(l, r, nil, nil)
	drifts := 0
	for _, m := range messages {
		if m.Rule == RuleDrift {
			drifts++
		}
	}
	if drifts > len(report.Drifts) {
		t.Errorf("%d findings of %d drifts", drifts, len(report.Drifts))
	}
	got := Amend(l, report.Drifts)
	again, _ := lesson.Parse("lesson.md", got)
	again.Language = tag
	changed := map[int]bool{}
	for _, d := range report.Drifts {
		changed[d.Node.Offset] = true
		if form := string(l.Source[d.Offset:d.End]); language.Of(tag).Plain.FindString(form) != form {
			t.Errorf("%q is to be amended", form)
		}
	}
	sameTree(t, l.Body, again.Body, changed)
	after, messages := Check(again, r, nil, nil)
	if len(after.Drifts) > 0 {
		t.Errorf("still drifted: %v", messages)
	}
	if after.Quotes != report.Quotes {
		t.Errorf("%d quotes before, %d after", report.Quotes, after.Quotes)
	}
	if len(report.Drifts) == 0 && string(got) != source {
		t.Errorf("nothing has drifted, but %q became %q", source, got)
	}
}

func mustArchive(f *testing.F, file string) []string {
	a, err := readFile(file)
	if err != nil {
		f.Fatal(err)
	}
	lesson, _ := a.get("lesson.md")
	return []string{lesson}
}

func sameTree(t *testing.T, a, b *lesson.Node, changed map[int]bool) {
	t.Helper()
	if changed[a.Offset] && (a.Kind == lesson.Bound || a.Kind == lesson.Insert) {
		if b.Kind != a.Kind || a.Name != b.Name {
			t.Errorf("the quote %q of %q is gone", a.Text, a.Name)
		}
		return
	}
	flat := func(n *lesson.Node) string {
		copied := *n
		copied.Children, copied.Question, copied.Step, copied.Offset, copied.End = nil, nil, nil, 0, 0
		return fmt.Sprintf("%+v", copied)
	}
	if flat(a) != flat(b) || len(a.Children) != len(b.Children) {
		t.Errorf("the tree changed: %s with %d children became %s with %d", flat(a), len(a.Children), flat(b), len(b.Children))
		return
	}
	for i := range a.Children {
		sameTree(t, a.Children[i], b.Children[i], changed)
	}
}
