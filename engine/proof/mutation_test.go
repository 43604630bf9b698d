package proof

import (
	"bytes"
	"context"
	"fmt"
	"math/big"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/cell"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/language"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/reading"
	"slipring/engine/reconcile"
	"slipring/engine/sweeptest"
	"slipring/engine/tell"
)

func TestMain(m *testing.M) {
	cell.ChildMain()
	os.Exit(m.Run())
}

// shipped is a lesson of the project, or a translation of one, with what its
// cells tell.
type shipped struct {
	lesson *lesson.Lesson
	result tell.Result
}

// damage is one change for the worse. It says whether there was anything to
// notice, and fails the test when proof does not.
type damage struct {
	kind string
	do   func() bool
}

// TestMutations damages the lessons that the project ships in one place at a
// time, and expects proof to notice each time.
func TestMutations(t *testing.T) {
	folder, all := readShipped(t)
	for _, s := range all {
		if _, messages := folder.Check(s.lesson, s.result); diag.HasError(messages) {
			t.Fatalf("%s is not clean: %v", s.lesson.File, messages)
		}
	}
	if messages := folder.CheckAll(); diag.HasError(messages) {
		t.Fatalf("the lessons are not clean: %v", messages)
	}
	var list []damage
	for _, s := range all {
		list = slices.Concat(list, s.alterNumbers(t, folder), s.alterClaims(t, folder), s.removeCautions(t, folder), s.removeAlternatives(t, folder))
	}
	for kind, labels := range map[string][]string{sourcePrefix: labelsOf(folder.Sources.List, func(s card.Source) string { return s.Label }), termPrefix: labelsOf(folder.Glossary.List, func(t card.Term) string { return t.Label })} {
		for _, label := range labels {
			list = append(list, damage{kind, func() bool { return removeEntry(t, folder, all, kind, label) }},
				damage{kind, func() bool { return removeUses(t, folder, kind, label) }})
		}
	}
	count := map[string]int{}
	for _, d := range sweeptest.SampleEach(t, list, 25, func(d damage) string { return d.kind }) {
		if d.do() {
			count[d.kind]++
		}
	}
	for _, what := range []string{"numbers", "numbers of claims", "cautions", "alternative texts", sourcePrefix, termPrefix} {
		if count[what] == 0 {
			t.Errorf("there was nothing to damage: %s", what)
		}
	}
	t.Logf("damaged and noticed, in %d lessons and translations: %v", len(all), count)
}

func labelsOf[T any](list []T, label func(T) string) []string {
	var labels []string
	for _, x := range list {
		labels = append(labels, label(x))
	}
	return labels
}

// readShipped reads and runs all lessons of the project.
func readShipped(t *testing.T) (Folder, []shipped) {
	t.Helper()
	dir := filepath.Join("..", "..", "lessons")
	read := func(name string) []byte {
		content, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		return content
	}
	in := folder.Open(dir)
	t.Cleanup(in.Close)
	lessons, messages := lesson.ReadAll(in)
	f := Folder{Lessons: lessons}
	var more []diag.Message
	f.House, more = card.ReadHouse("house.toml", read("house.toml"), lesson.Hazards())
	messages = append(messages, more...)
	f.Sources, more = card.ReadSources("sources.toml", read("sources.toml"))
	messages = append(messages, more...)
	f.Glossary, more = card.ReadGlossary("glossary.toml", read("glossary.toml"))
	messages = append(messages, more...)
	files, err := filepath.Glob(filepath.Join(dir, "cards", "*.toml"))
	if err != nil || len(files) == 0 {
		t.Fatal("no cards", err)
	}
	for _, file := range files {
		c, more := card.Read(file, read(filepath.Join("cards", filepath.Base(file))))
		messages = append(messages, more...)
		f.Cards = append(f.Cards, c)
	}
	if len(lessons) == 0 || diag.HasError(messages) {
		t.Fatalf("%d lessons: %v", len(lessons), messages)
	}
	wiring, more := card.ReadWiring("parts.toml", read("wiring/parts.toml"), "wires.csv", read("wiring/wires.csv"))
	if len(more) > 0 {
		t.Fatal(more)
	}
	plan, more := card.ReadCutting("cutting.toml", read("wiring/cutting.toml"), "places.csv", read("wiring/places.csv"), wiring)
	if len(more) > 0 {
		t.Fatal(more)
	}
	sheets, taken, more := reconcile.ReadAll(in, wiring.Wiring)
	if len(more) > 0 {
		t.Fatal(more)
	}
	entered, more := reading.ReadAll(in)
	if len(more) > 0 {
		t.Fatal(more)
	}
	var all []shipped
	for _, l := range lessons {
		r := runCells(t, l, f.Cards, func(p *cell.Program) {
			p.Wire(&wiring.Wiring)
			p.Plan(&plan.Plan)
			p.Draw(reconcile.Papers{Sheets: sheets, Readings: taken})
			p.Enter(l.ForCells(entered))
		})
		all = append(all, shipped{l, r})
		for _, tr := range translationsOf(t, dir, l) {
			all = append(all, shipped{tr, r})
		}
	}
	return f, all
}

func runCells(t *testing.T, l *lesson.Lesson, cards []machine.Card, lay func(*cell.Program)) tell.Result {
	t.Helper()
	program, messages := cell.Assemble(l)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	lay(program)
	r, messages := program.Run(context.Background(), cards, cell.Limits{Time: sweeptest.Patience})
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	return r
}

// translationsOf reads all translations, also into languages that the house
// does not show.
func translationsOf(t *testing.T, dir string, l *lesson.Lesson) []*lesson.Lesson {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, l.Folder, "words", "*.md"))
	if err != nil {
		t.Fatal(err)
	}
	var list []*lesson.Lesson
	for _, file := range files {
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		tr, messages := lesson.ParseTranslation(file, strings.TrimSuffix(filepath.Base(file), ".md"), content, l)
		if diag.HasError(messages) {
			t.Fatal(messages)
		}
		list = append(list, tr)
	}
	return list
}

// with reads the lesson with another content.
func (s shipped) with(t *testing.T, source []byte) *lesson.Lesson {
	t.Helper()
	old := s.lesson
	if old.Base != nil {
		l, messages := lesson.ParseTranslation(old.File, old.Language, source, old.Base)
		if diag.HasError(messages) {
			t.Fatal(messages)
		}
		return l
	}
	l, messages := lesson.Parse(old.File, source)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	l.Folder, l.Number, l.Slug, l.Language, l.Data = old.Folder, old.Number, old.Slug, old.Language, old.Data
	return l
}

func replaced(source []byte, from, to int, with string) []byte {
	return slices.Concat(source[:from], []byte(with), source[to:])
}

// nextTo gives the numbers that differ from a written one by one unit in its
// last digit.
func nextTo(written string) []string {
	digits := strings.NewReplacer(".", "", ",", "").Replace(written)
	at := strings.IndexAny(written, ".,")
	x, ok := new(big.Int).SetString(digits, 10)
	if !ok {
		return nil
	}
	var list []string
	for _, step := range []int64{1, -1} {
		y := new(big.Int).Add(x, big.NewInt(step))
		if y.Sign() < 0 {
			continue
		}
		s := y.String()
		if at >= 0 {
			decimals := len(written) - at - 1
			s = strings.Repeat("0", max(decimals+1-len(s), 0)) + s
			s = s[:len(s)-decimals] + written[at:at+1] + s[len(s)-decimals:]
		}
		list = append(list, s)
	}
	return list
}

func TestNextTo(t *testing.T) {
	for written, want := range map[string]string{"19.95": "[19.96 19.94]", "9": "[10 8]", "0,10": "[0,11 0,09]", "0.0": "[0.1]", "9.99": "[10.00 9.98]"} {
		if got := fmt.Sprint(nextTo(written)); got != want {
			t.Errorf("next to %s are %s, want %s", written, got, want)
		}
	}
}

// alterNumbers alters each number that is bound to a value. Proof must notice
// and amending must bring the very file back.
func (s shipped) alterNumbers(t *testing.T, folder Folder) (list []damage) {
	report, _ := folder.Check(s.lesson, s.result)
	g := language.Of(s.lesson.Language)
	s.lesson.Body.Walk(func(n *lesson.Node) bool {
		if _, bound := report.Forms[n]; !bound || len(n.Children) == 0 {
			return true
		}
		q, at, _, _ := readQuote(g, n)
		from := n.Offset + at + len(q.number.Sign)
		to := n.Offset + at + len(q.number.String())
		for _, other := range nextTo(string(s.lesson.Source[from:to])) {
			list = append(list, damage{"numbers", func() bool {
				changed := s.with(t, replaced(s.lesson.Source, from, to, other))
				report, messages := folder.Check(changed, s.result)
				if len(report.Drifts) != 1 || !slices.ContainsFunc(messages, func(m diag.Message) bool { return m.Rule == RuleDrift && m.Level == diag.Error }) {
					t.Errorf("%s: %q instead of %q (%s) goes unnoticed: %v", s.lesson.File, other, n.Text, n.Name, messages)
				} else if got := Amend(changed, report.Drifts); !bytes.Equal(got, s.lesson.Source) {
					t.Errorf("%s: amending %q (%s) does not bring the lesson back", s.lesson.File, other, n.Name)
				}
				return true
			}})
		}
		return true
	})
	return list
}

// alterClaims alters each number in the words of a claim.
func (s shipped) alterClaims(t *testing.T, folder Folder) (list []damage) {
	claims := map[string]bool{}
	for _, c := range s.result.Claims {
		claims[c.Name] = true
	}
	s.lesson.Body.Walk(func(n *lesson.Node) bool {
		if n.Kind != lesson.Bound || !claims[n.Name] {
			return true
		}
		for _, at := range numeral.FindAllStringIndex(n.Text, -1) {
			for _, other := range nextTo(n.Text[at[0]:at[1]]) {
				list = append(list, damage{"numbers of claims", func() bool {
					changed := s.with(t, replaced(s.lesson.Source, n.Offset+at[0], n.Offset+at[1], other))
					_, messages := folder.Check(changed, s.result)
					if !slices.ContainsFunc(messages, func(m diag.Message) bool { return m.Rule == ruleNumeral && m.Level == diag.Error }) {
						t.Errorf("%s: %q in %q (%s) goes unnoticed: %v", s.lesson.File, other, n.Text, n.Name, messages)
					}
					return true
				}})
			}
		}
		return true
	})
	return list
}

// removeCautions takes each caution out, together with others about the same
// hazard.
func (s shipped) removeCautions(t *testing.T, folder Folder) (list []damage) {
	for _, hazard := range s.lesson.Facts.Hazards {
		list = append(list, damage{"cautions", func() bool {
			source, there := s.lesson.Source, false
			for _, n := range slices.Backward(blocksOf(s.lesson, lesson.Caution)) {
				if n.Hazard == hazard {
					there = true
					source = replaced(source, n.Offset, n.End+bytes.IndexByte(s.lesson.Source[n.End:], '\n'), "")
				}
			}
			changed := s.with(t, source)
			if slices.ContainsFunc(blocksOf(changed, lesson.Caution), func(n *lesson.Node) bool { return n.Hazard == hazard }) {
				t.Fatalf("%s: the caution about %s is still there", s.lesson.File, hazard)
			}
			if _, messages := folder.Check(changed, s.result); !diag.HasError(messages) {
				t.Errorf("%s: without a caution about %s nothing is found", s.lesson.File, hazard)
			}
			return there
		}})
	}
	return list
}

// removeAlternatives takes each alternative text out.
func (s shipped) removeAlternatives(t *testing.T, folder Folder) (list []damage) {
	s.lesson.Body.Walk(func(n *lesson.Node) bool {
		if n.Kind != lesson.Embed {
			return true
		}
		list = append(list, damage{"alternative texts", func() bool {
			to := n.Offset + strings.LastIndex(string(s.lesson.Source[n.Offset:n.End]), "](")
			_, messages := folder.Check(s.with(t, replaced(s.lesson.Source, n.Offset+len("!["), to, "")), s.result)
			if !slices.ContainsFunc(messages, func(m diag.Message) bool { return m.Rule == ruleAlternative && m.Level == diag.Error }) {
				t.Errorf("%s: without alternative text of %q nothing is found: %v", s.lesson.File, n.Name, messages)
			}
			return true
		}})
		return true
	})
	return list
}

// removeEntry takes a source or a term out of its file.
func removeEntry(t *testing.T, folder Folder, all []shipped, prefix, label string) bool {
	folder.Sources.List = slices.DeleteFunc(slices.Clone(folder.Sources.List), func(s card.Source) bool { return sourcePrefix+s.Label == prefix+label })
	folder.Glossary.List = slices.DeleteFunc(slices.Clone(folder.Glossary.List), func(x card.Term) bool { return termPrefix+x.Label == prefix+label })
	for _, s := range all {
		if _, messages := folder.Check(s.lesson, s.result); slices.ContainsFunc(messages, func(m diag.Message) bool { return m.Rule == ruleUnknown && m.Level == diag.Error }) {
			return true
		}
	}
	if prefix == termPrefix && slices.ContainsFunc(folder.Glossary.List, func(x card.Term) bool { return slices.Contains(x.See, label) }) {
		return false // only pointed to from other terms, which reading the glossary notices
	}
	t.Errorf("without %s%s nothing is found", prefix, label)
	return true
}

// removeUses takes the brackets off all words that are bound to a source or a
// term.
func removeUses(t *testing.T, folder Folder, prefix, label string) bool {
	var lessons []*lesson.Lesson
	for _, l := range folder.Lessons {
		source := l.Source
		var uses []*lesson.Node
		l.Body.Walk(func(n *lesson.Node) bool {
			if n.Kind == lesson.Bound && n.Name == prefix+label {
				uses = append(uses, n)
			}
			return true
		})
		for _, n := range slices.Backward(uses) {
			source = replaced(source, n.Offset-1, n.End+bytes.IndexByte(l.Source[n.End+1:], ']')+2, n.Text)
		}
		lessons = append(lessons, shipped{lesson: l}.with(t, source))
	}
	folder.Lessons = lessons
	messages := folder.CheckAll()
	rule := map[string]string{sourcePrefix: ruleSourceUnused, termPrefix: ruleTermUnused}[prefix]
	seen := prefix == termPrefix && slices.ContainsFunc(folder.Glossary.List, func(x card.Term) bool { return slices.Contains(x.See, label) })
	if seen {
		return false
	}
	if !slices.ContainsFunc(messages, func(m diag.Message) bool { return m.Rule == rule }) {
		t.Errorf("nobody uses %s%s, and nothing is found: %v", prefix, label, messages)
	}
	return true
}
