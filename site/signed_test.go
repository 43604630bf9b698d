package site

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"slipring/engine/lesson"
	"slipring/engine/machine"
)

// TestSigned runs signed.js, which needs no page, and asks it.
func TestSigned(t *testing.T) {
	vm := scripts(t, "days.js", "signed.js")
	const items = `[{name: "a", title: "A", digest: "1"}, {name: "b", title: "B", digest: "2"}]`
	const kept = `signed.read(JSON.stringify(signed.note(` + items + `, "2026-11-30")))`
	for _, c := range []struct{ ask, want string }{
		{`signed.read(null)`, `null`},
		{`signed.read("{")`, `null`},
		{`signed.read("[1]")`, `null`},
		{`signed.read('{"on": "yesterday", "digests": {}}')`, `null`},
		{`JSON.stringify(signed.read('{"on": "2026-11-30", "digests": null}'))`, `{"on":"2026-11-30","digests":{}}`},
		{`JSON.stringify(` + kept + `)`, `{"on":"2026-11-30","digests":{"a":"1","b":"2"}}`},
		{`JSON.stringify(signed.changed(` + kept + `, ` + items + `))`, `[]`},
		{`JSON.stringify(signed.changed(` + kept + `, [{name: "a", title: "A", digest: "9"}, {name: "c", title: "C", digest: "2"}, {name: "toString", title: "D", digest: "2"}]))`, `["A","C","D"]`},
		{`signed.expired("2026-11-30", "2029-11-30")`, `false`},
		{`signed.expired("2026-11-30", "2029-12-01")`, `true`},
		{`signed.expired("2024-02-29", "2027-03-01")`, `true`},
		{`days.of(new Date(2027, 0, 5))`, `2027-01-05`},
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

// signedOn gives what a page lets its reader sign for.
func signedOn(t *testing.T, pages map[string]*document, name string) (names, titles, digests []string) {
	t.Helper()
	var items []signedItem
	if err := json.Unmarshal([]byte(attr(pages[name].class("signed")[0], "data-items")), &items); err != nil {
		t.Fatal(name, err)
	}
	for _, i := range items {
		names, titles, digests = append(names, i.Name), append(titles, i.Title), append(digests, i.Digest)
	}
	return names, titles, digests
}

// What is signed for is the same on all pages and in all languages, and changes
// with the card, the house, a lesson on safety and the cautions of the others,
// and with nothing else.
func TestSignedFor(t *testing.T) {
	const sheet, french = "course/sign-off.html", "course/sign-off.fr.html"
	input := func() Input {
		in := frenchInput(t)
		in.Lessons[1].Lesson.Facts.Safety = true
		return in
	}
	pages := documents(t, treeOf(t, input()))
	names, titles, digests := signedOn(t, pages, sheet)
	if want := []string{"card.set", "hazard.rotating", "hazard.voltage", "cautions.asked", "lesson.second"}; !slices.Equal(names, want) {
		t.Fatalf("signed for are %q, want %q", names, want)
	}
	if want := []string{"Machine card set", "Warning: Rotating shaft", "Danger: Electric shock", "Cautions of the lesson “Asked”", "The other"}; !slices.Equal(titles, want) {
		t.Errorf("they are called %q, want %q", titles, want)
	}
	for _, name := range []string{french, "course/index.html", "course/fr.html"} {
		if n, _, d := signedOn(t, pages, name); !slices.Equal(n, names) || !slices.Equal(d, digests) {
			t.Errorf("%s has %q %q", name, n, d)
		}
	}
	if _, got, _ := signedOn(t, pages, french); got[1] != "Avertissement\u00a0: Arbre en rotation" || got[3] != "Mises en garde de la leçon «\u00a0Demandé\u00a0»" {
		t.Errorf("in French they are called %q", got)
	}
	onPaper := text(pages[sheet].class("rule")[0])
	replace := func(l *lesson.Lesson, old, new string) {
		if !strings.Contains(string(l.Source), old) || len(old) != len(new) {
			t.Fatalf("%q cannot be put for %q", new, old)
		}
		l.Source = []byte(strings.Replace(string(l.Source), old, new, 1))
	}
	for what, c := range map[string]struct {
		change func(in *Input)
		want   []int
	}{
		"nothing": {func(in *Input) {}, nil},
		"a constant": {func(in *Input) {
			in.Cards[0].Put("battery", "voltage", machine.Given{Value: 50, Unit: "V", Origin: machine.Nameplate})
		}, []int{0}},
		"a note": {func(in *Input) {
			in.Cards[0].Put("battery", "voltage", machine.Given{Value: 48, Unit: "V", Origin: machine.Nameplate, Note: "more"})
		}, nil},
		"the house":        {func(in *Input) { in.House.Hazards[0].Accident = "Run." }, []int{1}},
		"a signal word":    {func(in *Input) { in.House.Hazards[1].Signal = "warning" }, []int{2}},
		"the house's note": {func(in *Input) { in.House.Note = "All invented." }, nil},
		"a caution":        {func(in *Input) { replace(in.Lessons[0].Lesson, "Keep off.", "Keep out.") }, []int{3}},
		"its translation": {func(in *Input) {
			replace(in.Lessons[0].Translations[0].Lesson, "N’approchez pas.", "N’approchez rien")
		}, []int{3}},
		"its prose":      {func(in *Input) { replace(in.Lessons[0].Lesson, "See [the other]", "Try [the other]") }, nil},
		"safety's prose": {func(in *Input) { replace(in.Lessons[1].Lesson, "Only words", "Some words") }, []int{4}},
	} {
		in := input()
		c.change(&in)
		changed := documents(t, treeOf(t, in))
		_, _, got := signedOn(t, changed, sheet)
		var differ []int
		for i := range digests {
			if got[i] != digests[i] {
				differ = append(differ, i)
			}
		}
		if !slices.Equal(differ, c.want) {
			t.Errorf("with another %s, %v differ, want %v", what, differ, c.want)
		}
		if differs := text(changed[sheet].class("rule")[0]) != onPaper; differs != (len(c.want) > 0) {
			t.Errorf("with another %s, the digest on paper differs: %v", what, differs)
		}
	}
}

// TestSignedInBrowser signs, and comes back after something has changed.
func TestSignedInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	v := openVisit(t)
	in := frenchInput(t)
	mustWrite(t, treeOf(t, in), v.dir)
	const said = `[...document.querySelectorAll(".signed :is(p, li)")].filter(e => e.offsetHeight > 0 && !e.querySelector("button")).map(e => e.textContent).join(" | ").replace(/\d+ \S+ \d{4}/, "DAY")`
	const seen = `document.querySelector(".signed").offsetHeight > 0`

	v.open("course/index.html", 1000, 900)
	v.want("false", seen)
	v.open("course/sign-off.html", 1000, 900)
	v.want("", said)
	v.value(`document.querySelector(".noting").click()`)
	v.want("Signed on DAY. Nothing that was signed for has changed since.", said)
	v.open("course/fr.html", 1000, 900)
	v.want("Signée le DAY. Rien de ce qui a été signé n’a changé depuis.", said)

	in.House.Hazards[0].Avoid = "Keep away from all that turns."
	mustWrite(t, treeOf(t, in), v.dir)
	v.open("course/index.html", 1000, 900)
	v.want("Sign again: this has changed since you signed on DAY. | Warning: Rotating shaft", said)
	v.open("course/sign-off.html", 1000, 900)
	v.value(`document.querySelector(".noting").click()`)
	v.want("Signed on DAY. Nothing that was signed for has changed since.", said)

	key := `"slipring.signed.The Test House"`
	v.value(`localStorage.setItem(` + key + `, localStorage.getItem(` + key + `).replace(/\d{4}-\d\d-\d\d/, "2001-02-03"))`)
	v.open("course/index.html", 1000, 900)
	v.want("Sign again: you signed on 3 February 2001, more than three years ago.", strings.Replace(said, `.replace(/\d+ \S+ \d{4}/, "DAY")`, "", 1))
	v.value(`document.querySelector(".clearing .ask").click()`)
	v.value(`document.querySelector(".clearing .yes").click()`)
	v.want("false", seen)
	v.want("0", `Object.keys(localStorage).length`)
	v.silence("signed")
}
