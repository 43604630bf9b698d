package cell

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"testing"

	"slipring/engine/card"
	"slipring/engine/cutting"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/reading"
	"slipring/engine/reconcile"
	"slipring/engine/sweeptest"
	"slipring/engine/tell"
)

// TestLessons runs the cells of the project's lessons twice: interpreted as for
// their pages, and compiled by the Go compiler. Both must tell and print the
// same, to the last bit.
func TestLessons(t *testing.T) {
	root := filepath.Join("..", "..")
	in := folder.Open(filepath.Join(root, "lessons"))
	defer in.Close()
	lessons, messages := lesson.ReadAll(in)
	if len(lessons) == 0 {
		t.Fatal("there are no lessons")
	}
	cards := readCards(t, filepath.Join(root, "lessons", "cards"))
	for _, m := range messages {
		if m.Level == diag.Error {
			t.Error(m)
		}
	}
	entered, messages := reading.ReadAll(in)
	for _, m := range messages {
		t.Error(m)
	}
	both(t, root, sweeptest.Sample(t, lessons, 3), cards, entered)
}

// Lessons that tell something of every kind, and use the language as far as
// cells may.
func TestLessonsOfTestdata(t *testing.T) {
	lessons, messages := lesson.ReadAll(folder.Open(filepath.Join("testdata", "lessons")))
	if len(lessons) == 0 {
		t.Fatal("there are no lessons")
	}
	for _, m := range messages {
		t.Error(m)
	}
	root := filepath.Join("..", "..")
	both(t, root, lessons, readCards(t, filepath.Join(root, "lessons", "cards")), nil)
}

func both(t *testing.T, root string, lessons []*lesson.Lesson, cards []machine.Card, entered []reading.Reading) {
	t.Helper()
	wiring, plan, papers := readWiring(t, filepath.Join(root, "lessons"))
	var programs []*Program
	var results []tell.Result
	for _, l := range lessons {
		p, messages := Assemble(l)
		for _, m := range messages {
			t.Error(m)
		}
		if p == nil {
			continue
		}
		p.Enter(l.ForCells(entered))
		p.Wire(&wiring.Wiring)
		p.Plan(&plan)
		p.Draw(papers)
		r, messages := p.Run(context.Background(), cards, Limits{Time: sweeptest.Patience})
		for _, m := range messages {
			t.Error(m)
		}
		if len(messages) == 0 {
			programs, results = append(programs, p), append(results, r)
		}
	}
	compiled, err := Compiled(root, programs, cards, 0)
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range programs {
		if compiled[i].Failed {
			t.Errorf("%s fails when it is compiled: %s", p.File, compiled[i].Reason)
			continue
		}
		want := compiled[i].Result
		want.Cards, want.Printed = results[i].Cards, compiled[i].Printed
		if what := difference(reflect.ValueOf(results[i]), reflect.ValueOf(want), "result"); what != "" {
			t.Errorf("%s: interpreted and compiled differ: %s", p.File, what)
		}
	}
}

func readCards(t *testing.T, dir string) []machine.Card {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*.toml"))
	if err != nil || len(files) == 0 {
		t.Fatal("there are no cards: ", err)
	}
	var cards []machine.Card
	for _, name := range files {
		source, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		c, messages := card.Read(name, source)
		for _, m := range messages {
			t.Error(m)
		}
		cards = append(cards, c)
	}
	return cards
}

func readWiring(t *testing.T, dir string) (card.Wiring, cutting.Plan, reconcile.Papers) {
	t.Helper()
	var sources [4][]byte
	for i, name := range []string{"parts.toml", "wires.csv", "cutting.toml", "places.csv"} {
		var err error
		if sources[i], err = os.ReadFile(filepath.Join(dir, "wiring", name)); err != nil {
			t.Fatal(err)
		}
	}
	w, messages := card.ReadWiring("parts.toml", sources[0], "wires.csv", sources[1])
	plan, found := card.ReadCutting("cutting.toml", sources[2], "places.csv", sources[3], w)
	in := folder.Open(dir)
	defer in.Close()
	sheets, readings, more := reconcile.ReadAll(in, w.Wiring)
	for _, m := range slices.Concat(messages, found, more) {
		t.Error(m)
	}
	return w, plan.Plan, reconcile.Papers{Sheets: sheets, Readings: readings}
}

// difference finds the first place at which two values of one type differ, or
// "". Numbers must have the same bits, save that negative zero is zero. On
// processors other than amd64 the compiler may fuse a multiplication and an
// addition, and they may differ by 1e-9 of their size.
func difference(a, b reflect.Value, at string) string {
	switch a.Kind() {
	case reflect.Float64:
		x, y := a.Float(), b.Float()
		equal := x == y || math.Float64bits(x) == math.Float64bits(y)
		if runtime.GOARCH != "amd64" {
			equal = equal || math.Abs(x-y) <= 1e-9*max(math.Abs(x), math.Abs(y))
		}
		if !equal {
			return fmt.Sprintf("%s is %v and %v", at, x, y)
		}
		return ""
	case reflect.Struct:
		for i := range a.NumField() {
			if d := difference(a.Field(i), b.Field(i), at+"."+a.Type().Field(i).Name); d != "" {
				return d
			}
		}
		return ""
	case reflect.Pointer:
		if !a.IsNil() && !b.IsNil() {
			return difference(a.Elem(), b.Elem(), at)
		}
	case reflect.Slice:
		if a.Len() != b.Len() {
			return fmt.Sprintf("%s has length %d and %d", at, a.Len(), b.Len())
		}
		for i := range a.Len() {
			if d := difference(a.Index(i), b.Index(i), fmt.Sprintf("%s[%d]", at, i)); d != "" {
				return d
			}
		}
		return ""
	case reflect.Map:
		if a.Len() != b.Len() {
			return fmt.Sprintf("%s has %d entries and %d", at, a.Len(), b.Len())
		}
		for _, key := range a.MapKeys() {
			here := fmt.Sprintf("%s[%v]", at, key)
			if !b.MapIndex(key).IsValid() {
				return here + " is there and is not"
			}
			if d := difference(a.MapIndex(key), b.MapIndex(key), here); d != "" {
				return d
			}
		}
		return ""
	}
	if !a.Comparable() || !a.Equal(b) {
		return fmt.Sprintf("%s is %v and %v", at, a, b)
	}
	return ""
}

// told is a result with what TestDifference changes.
func told() tell.Result {
	return tell.Result{
		Values:  []tell.Value{{Name: "a", Number: 1.5, Unit: "V"}, {Name: "v", Framed: tell.Framed{Knobs: []string{"k"}}, Frames: []float64{1, 2, 3, 4}}},
		Claims:  []tell.Claim{{Name: "c", Holds: true}},
		Figures: []tell.Figure{{Name: "f", Panes: []tell.Pane{{Lines: []tell.Line{{X: []float64{1, 2}, Y: []float64{3, 4}}}}}}},
		Tables:  []tell.Table{{Name: "t", Rows: [][]tell.Entry{{{Number: 2}}, {{Text: "x"}}}}},
		Motions: []tell.Motion{{Name: "m", Sizes: []tell.Size{{Name: "teeth", Number: 8}}}},
		Finders: []tell.Finder{{Name: "n", Root: tell.Look{Answers: []tell.Answer{{Says: "yes", Then: &tell.Look{Chance: 0.5}}, {Says: "no", Then: nil}}}}},
		Boards:  []tell.Board{{Name: "b", Parts: []tell.BoardPart{{Name: "K1", Texts: map[string]string{"fr": "relais"}}}}},
		Printed: "text\n",
	}
}

// The comparison itself sees what it should.
func TestDifference(t *testing.T) {
	for _, edit := range []func(*tell.Result){
		func(r *tell.Result) { r.Values[0].Number = math.Nextafter(r.Values[0].Number, 2) },
		func(r *tell.Result) { r.Values[1].Frames[3] *= 2 },
		func(r *tell.Result) { r.Values = r.Values[1:] },
		func(r *tell.Result) { r.Boards[0].Parts[0].Texts = map[string]string{"fr": "voyant"} },
		func(r *tell.Result) { r.Boards[0].Parts[0].Texts = map[string]string{"de": "relais"} },
		func(r *tell.Result) { r.Boards[0].Parts[0].Texts["de"] = "Relais" },
		func(r *tell.Result) { r.Claims[0].Holds = !r.Claims[0].Holds },
		func(r *tell.Result) { r.Claims[0].Found += " " },
		func(r *tell.Result) { r.Figures[0].Panes[0].Lines[0].Y[1] = -4 },
		func(r *tell.Result) { r.Tables[0].Rows[1][0].Text = "y" },
		func(r *tell.Result) { r.Motions[0].Sizes[0].Number++ },
		func(r *tell.Result) { r.Finders[0].Root.Answers[0].Then.Chance = 0.25 },
		func(r *tell.Result) { r.Finders[0].Root.Answers[0].Then = nil },
		func(r *tell.Result) { r.Finders[0].Root.Answers[1].Then = &tell.Look{} },
		func(r *tell.Result) { r.Printed = "" },
	} {
		r := told()
		edit(&r)
		if runtime.GOARCH != "amd64" && r.Values[0].Number != 1.5 {
			continue // within the tolerance there
		}
		if difference(reflect.ValueOf(r), reflect.ValueOf(told()), "result") == "" {
			t.Errorf("no difference was seen in %+v", r)
		}
	}
	if d := difference(reflect.ValueOf(told()), reflect.ValueOf(told()), "result"); d != "" {
		t.Error(d)
	}
	zero, minus := told(), told()
	zero.Values[0].Number, minus.Values[0].Number = 0, math.Copysign(0, -1)
	if d := difference(reflect.ValueOf(zero), reflect.ValueOf(minus), "result"); d != "" {
		t.Error(d)
	}
}
