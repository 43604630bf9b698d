package site

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/dop251/goja"
)

// scripts runs scripts that need no page.
func scripts(t *testing.T, names ...string) *goja.Runtime {
	t.Helper()
	vm := goja.New()
	for _, name := range names {
		source, err := web.ReadFile("web/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := vm.RunScript(name, string(source)); err != nil {
			t.Fatal(err)
		}
	}
	return vm
}

// TestProgress runs progress.js, which needs no page, and asks it.
func TestProgress(t *testing.T) {
	vm := scripts(t, "days.js", "progress.js")
	const facts = `{lesson: "a", revised: "2026-11-25", cautions: ["c1", "c2"], questions: ["q1"]}`
	state := func(read, begun string) string {
		return `{` + read + `,"again":false,"cautions":0,"ofCautions":2,"first":0,"later":0,"shown":0,"ofQuestions":1,"due":0,` + begun + `,"right":false,"through":false}`
	}
	// answered gives how a lesson's state counts the answers to three questions.
	answered := func(answers string) string {
		return `(s => [s.first, s.later, s.shown, s.answered, s.begun, s.right, s.through].join(" "))(progress.state({a: {read: "r", cautions: [], due: {}, answers: ` +
			answers + `}}, {lesson: "a", revised: "r", cautions: [], questions: ["q1", "q2", "q3"]}))`
	}
	const three = `{lesson: "a", revised: "r", cautions: [], questions: ["q1", "q2", "q3"]}`
	const due = `{a: {read: "r", cautions: [], answers: {}, due: {q1: "2026-12-28", q2: "2027-05-01", old: "2020-01-01"}}}`
	// dated gives the days of what is kept of a lesson's three questions.
	dated := func(kept string) string {
		return `(k => progress.date(k, ` + three + `, "2026-11-30") + " " + JSON.stringify(k.a.due) + " " + progress.next(k, ` + three + `))({a: {` + kept + `}})`
	}
	for _, c := range []struct{ ask, want string }{
		// What is damaged, or of another making, counts as never kept.
		{`JSON.stringify(progress.read(null))`, `{}`},
		{`JSON.stringify(progress.read("{"))`, `{}`},
		{`JSON.stringify(progress.read("[1]"))`, `{}`},
		{`JSON.stringify(progress.read('{"a": null, "b": 3, "c": {"cautions": [1, "c1"], "answers": "q"}}'))`, `{"c":{"read":null,"cautions":["c1"],"answers":{},"due":{}}}`},
		{`JSON.stringify(progress.read('{"a": {"answers": {"q1": "first", "q2": "right", "q3": 3, "q4": "shown"}}}'))`, `{"a":{"read":null,"cautions":[],"answers":{"q1":"first","q4":"shown"},"due":{}}}`},
		{`JSON.stringify(progress.read('{"a": {"answers": ["first"]}, "b": {"answers": null}}'))`, `{"a":{"read":null,"cautions":[],"answers":{},"due":{}},"b":{"read":null,"cautions":[],"answers":{},"due":{}}}`},
		// Earlier pages kept which questions were answered right, not at which try.
		{`JSON.stringify(progress.read('{"a": {"read": "2026-11-25", "cautions": ["c1"], "right": ["q1", 2, "q2"]}}'))`,
			`{"a":{"read":"2026-11-25","cautions":["c1"],"answers":{"q1":"tried","q2":"tried"},"due":{}}}`},
		{`JSON.stringify(progress.read('{"a": {"right": ["q1", "q2"], "answers": {"q1": "later"}}}').a.answers)`, `{"q1":"later","q2":"tried"}`},
		{`JSON.stringify(progress.caution({}, "a", "c1", true))`, `{"a":{"read":null,"cautions":["c1"],"answers":{},"due":{}}}`},
		{`JSON.stringify(progress.caution(progress.caution({}, "a", "c1", true), "a", "c1", true).a.cautions)`, `["c1"]`},
		{`JSON.stringify(progress.caution(progress.caution({}, "a", "c1", true), "a", "c1", false).a.cautions)`, `[]`},
		{`JSON.stringify(progress.answer({}, "constructor", "q1", "first"))`, `{"constructor":{"read":null,"cautions":[],"answers":{"q1":"first"},"due":{}}}`},
		{`JSON.stringify(progress.answer(progress.answer({}, "a", "q1", "tried"), "a", "q1", "later").a.answers)`, `{"q1":"later"}`},
		{`JSON.stringify(progress.answer({}, "a", "q1", "").a.answers)`, `{}`},
		{`progress.stands(progress.answer({}, "a", "q1", "shown"), "a", "q1")`, `shown`},
		{`progress.stands({}, "a", "q1") + progress.stands(progress.answer({}, "a", "q1", "shown"), "a", "constructor")`, ``},
		{`JSON.stringify(progress.state({}, ` + facts + `))`, state(`"read":false`, `"answered":false,"begun":false`)},
		{`JSON.stringify(progress.state(progress.end({}, "a", "2026-11-25", true), ` + facts + `))`, state(`"read":true`, `"answered":false,"begun":true`)},
		{`progress.state(progress.end(progress.end({}, "a", "2026-11-25", true), "a", "2026-11-25", false), ` + facts + `).begun`, `false`},
		// A lesson that was revised since wants to be read anew, and a caution
		// that has changed has another name.
		{`JSON.stringify(progress.state(progress.caution(progress.end({}, "a", "2026-01-01", true), "a", "old", true), ` + facts + `))`,
			strings.Replace(state(`"read":false`, `"answered":false,"begun":true`), `"again":false`, `"again":true`, 1)},
		// Only what was answered right counts, at the first try or later; a
		// question that has changed does not.
		{answered(`{}`), `0 0 0 false true false false`},
		{answered(`{q1: "tried"}`), `0 0 0 true true false false`},
		{answered(`{q1: "first", q2: "later", q3: "shown"}`), `1 1 1 true true false false`},
		{answered(`{q1: "first", q2: "later", q3: "first"}`), `2 1 0 true true true true`},
		{answered(`{q1: "first", q2: "later", old: "first"}`), `1 1 0 true true false false`},
		// Days that were kept, and damage.
		{`JSON.stringify(progress.read('{"a": {"due": {"q1": "2026-12-28", "q2": "soon", "q3": 3}}, "b": {"due": ["q1"]}, "c": {"due": "q"}}'))`,
			`{"a":{"read":null,"cautions":[],"answers":{},"due":{"q1":"2026-12-28"}},"b":{"read":null,"cautions":[],"answers":{},"due":{}},"c":{"read":null,"cautions":[],"answers":{},"due":{}}}`},
		// Four weeks after an answer that was right, a week after one that was
		// shown; what was only tried is not asked again before it was answered.
		{dated(`read: null, cautions: [], answers: {q1: "first", q2: "shown", q3: "tried"}, due: {}`), `true {"q1":"2026-12-28","q2":"2026-12-07"} 2026-12-07`},
		{dated(`read: null, cautions: [], answers: {q1: "later"}, due: {q1: "2026-12-01", old: "2020-01-01"}`), `false {"q1":"2026-12-01","old":"2020-01-01"} 2026-12-01`},
		// Who reads a lesson to its end is asked all of it, until it is not read any
		// more.
		{dated(`read: "r", cautions: [], answers: {}, due: {q2: "2026-12-01"}`), `true {"q2":"2026-12-01","q1":"2026-12-28","q3":"2026-12-28"} 2026-12-01`},
		{dated(`read: null, cautions: [], answers: {q1: "first"}, due: {q1: "2026-12-01", q2: "2026-12-01"}`), `true {"q1":"2026-12-01"} 2026-12-01`},
		{`progress.date({}, ` + three + `, "2026-11-30") + progress.next({}, ` + three + `)`, `false`},
		{`days.after("2026-11-30", 28) + days.after("2028-02-01", 28) + days.after("2026-12-25", 7)`, `2026-12-282028-02-292027-01-01`},
		{`days.is("2026-11-30") + " " + days.is("30 November") + " " + days.is(3) + " " + days.is(null)`, `true false false false`},
		// On that day it is due, and not before; a question that has changed is not.
		{`progress.due(` + due + `, ` + three + `, "2026-12-27").join()`, ``},
		{`progress.due(` + due + `, ` + three + `, "2026-12-28").join()`, `q1`},
		{`progress.due(` + due + `, ` + three + `, "2027-06-01").join()`, `q1,q2`},
		{`progress.state(` + due + `, ` + three + `, "2027-06-01").due`, `2`},
		// Right again: after twelve weeks. Wrong or shown: after one, whatever
		// follows on that day. What was not due is left alone.
		{`progress.again(` + due + `, ` + three + `, "q1", "right", "2026-12-30").a.due.q1`, `2027-03-24`},
		{`progress.again(` + due + `, ` + three + `, "q1", "wrong", "2026-12-30").a.due.q1`, `2027-01-06`},
		{`progress.again(` + due + `, ` + three + `, "q1", "shown", "2026-12-30").a.due.q1`, `2027-01-06`},
		{`progress.again(progress.again(` + due + `, ` + three + `, "q1", "wrong", "2026-12-30"), ` + three + `, "q1", "right", "2026-12-30").a.due.q1`, `2027-01-06`},
		{`progress.again(` + due + `, ` + three + `, "q1", "write", "2026-12-30").a.due.q1`, `2026-12-28`},
		{`progress.again(` + due + `, ` + three + `, "q2", "right", "2026-12-30").a.due.q2`, `2027-05-01`},
		{`JSON.stringify(progress.again({}, ` + three + `, "q1", "right", "2026-12-30"))`, `{}`},
		{`progress.fill("cautions read: {n} of {of}", 1, 2)`, `cautions read: 1 of 2`},
	} {
		got, err := vm.RunString(c.ask)
		if err != nil {
			t.Fatalf("%s: %v", c.ask, err)
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("%s is\n%v, want\n%s", c.ask, got, c.want)
		}
	}
}

// The names of cautions and questions are those of the lesson as written, so
// that who changes the language keeps the progress.
func TestMarks(t *testing.T) {
	pages := documents(t, treeOf(t, frenchInput(t)))
	marks := func(name, class string) []string {
		var list []string
		for _, n := range pages[name].class(class) {
			list = append(list, attr(n, "data-mark"))
		}
		return list
	}
	type facts struct {
		Lesson, Revised     string
		Cautions, Questions []string
	}
	read := func(s string) (f facts) {
		t.Helper()
		if err := json.Unmarshal([]byte(s), &f); err != nil {
			t.Fatalf("%q: %v", s, err)
		}
		return f
	}
	english := read(attr(pages["course/asked/index.html"].tags("article")[0], "data-lesson"))
	if english.Lesson != "asked" || english.Revised != "2026-11-01" || len(english.Cautions) != 1 || len(english.Questions) != 3 {
		t.Fatalf("the page knows %+v", english)
	}
	for _, name := range []string{"course/asked/index.html", "course/asked/fr.html"} {
		if got := marks(name, "notice"); !slices.Equal(got, english.Cautions) {
			t.Errorf("%s marks the cautions %q, want %q", name, got, english.Cautions)
		}
		if got := marks(name, "question"); !slices.Equal(got, english.Questions) {
			t.Errorf("%s marks the questions %q, want %q", name, got, english.Questions)
		}
	}
	for _, name := range []string{"course/index.html", "course/fr.html", "course/sign-off.html", "course/sign-off.fr.html"} {
		found := 0
		for n := range pages[name].root.Descendants() {
			if s := attr(n, "data-lesson"); s != "" {
				found++
				if f := read(s); f.Lesson == "asked" && fmt.Sprint(f) != fmt.Sprint(english) {
					t.Errorf("%s knows %+v, want %+v", name, f, english)
				}
			}
		}
		want := 2
		if name == "course/sign-off.fr.html" {
			want = 1 // what is not in French is explained in person
		}
		if found != want {
			t.Errorf("%s names %d lessons", name, found)
		}
	}
	for _, name := range []string{"handout/asked.html", "kiosk/asked.html"} {
		if got := strings.Join(marks(name, "notice"), ""); got != "" {
			t.Errorf("%s marks cautions %q, where nobody keeps progress", name, got)
		}
	}
}

// Without scripts the sign-off sheet is a form: who signs, each lesson, what
// there is to do in it, each hazard, a place for two to sign, and until when.
func TestSignOff(t *testing.T) {
	pages := documents(t, treeOf(t, frenchInput(t)))
	for name, want := range map[string][]string{
		"course/sign-off.html":    {"Asked not yet done not yet done of 1 not yet done at first try, later, shown, of 3", "The other", "Warning: Rotating shaft not yet done not yet done not yet done Danger: Electric shock", "The one who signs not yet done works on the machine", "Told in own words Shown at the machine Tested", "Volunteer Name Date Signature", "Supervisor Name Date Signature Valid until Date"},
		"course/sign-off.fr.html": {"Demandé pas encore fait pas encore fait sur 1 pas encore fait d’emblée, ensuite, montrées, sur 3", "Avertissement : Arbre en rotation", "Danger : Electric shock", "Bénévole Nom Date Signature", "Responsable Nom Date Signature Valable jusqu’au Date", "The other pas encore fait En anglais seulement : à expliquer de vive voix"},
	} {
		got := strings.ReplaceAll(text(pages[name].root), "\u00a0", " ")
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%s does not say %q:\n%s", name, w, got)
			}
		}
	}
	m := text(documents(t, sampleTree(t))["course/index.html"].root)
	if !strings.Contains(m, "Read first: What holds <the> speed & why") {
		t.Errorf("the contents do not say what comes first:\n%s", m)
	}
}

// Each sheet is a page of the tree, and no two have a file's name in common.
func TestSheets(t *testing.T) {
	in := frenchInput(t)
	tree, names := treeOf(t, in), map[string]bool{}
	sheets := Sheets(in)
	for _, s := range sheets {
		if tree[s.Path] == nil {
			t.Errorf("%s is not in the tree", s.Path)
		}
		if names[s.Name()] || !slices.Contains(SheetEditions(), s.Edition) {
			t.Errorf("%+v has no name or edition of its own", s)
		}
		names[s.Name()] = true
	}
	// Two lessons of which one is translated make three, with three sheets each,
	// two to sign, and two of what the kiosk says.
	if len(sheets) != 3*3+2+2 {
		t.Errorf("there are %d sheets", len(sheets))
	}
}
