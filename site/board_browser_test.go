package site

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
)

// TestBoardInBrowser tries the board as a reader does: each act is pressed, and
// the lamps that the page then shows lit are the model's.
func TestBoardInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	b, all := triedBoard(t)
	in := inputOf(t, nil)
	l, messages := lesson.Parse("tried/lesson.md", []byte("```lesson\ntitle = \"The board\"\n```\n\nIt is small.\n\n![The board](board:board)\n"))
	l.Slug, l.Folder = "tried", "01-tried"
	result := tell.Result{Boards: []tell.Board{b}}
	report, more := proof.Folder{House: in.House, Cards: in.Cards, Lessons: []*lesson.Lesson{l}}.Check(l, result)
	if messages = append(messages, more...); diag.HasError(messages) {
		t.Fatal(messages)
	}
	in.Lessons = append(in.Lessons, proof.Checked{Lesson: l, Result: result, Report: report})
	v := openVisit(t)
	mustWrite(t, treeOf(t, in), v.dir)

	var lit [7]string // what each state shows
	for i, w := range all {
		var parts []string
		for _, p := range b.Parts {
			if p.Kind == "lamp" && slices.Contains(w.Lit(), p.Text) {
				parts = append(parts, p.Name)
			}
		}
		slices.Sort(parts)
		lit[i] = strings.Join(parts, " ")
	}
	const shown = `[...document.querySelectorAll(".front [data-part$='.lit']")].filter(e => e.getAttribute("display") !== "none").map(e => e.getAttribute("data-part").slice(0, -4)).sort().join(" ")`
	button := func(act string) string {
		return fmt.Sprintf(`[...document.querySelectorAll(".acts button")].find(b => b.textContent === %q)`, act)
	}
	try := func(name string, press func(act string)) {
		v.run(name, func() {
			v.want(lit[0], shown)
			for _, step := range []struct {
				act   string
				state int
			}{{"Press start", 1}, {"Pull a fuse", 2}, {"Press silence", 3}, {"Put it right", 1}, {"Cut a wire", 4}, {"Put it right", 1}, {"Turn the key", 5}, {"Put it right", 1}, {"Press stop", 6}} {
				v.want("false", button(step.act)+`.getAttribute("aria-disabled")`)
				press(step.act)
				v.until("true", fmt.Sprintf(`document.querySelector(".says .what").textContent.startsWith(%q)`, b.States[step.state].Says))
				v.want(lit[step.state], shown)
			}
			v.want("true", button("Press stop")+`.getAttribute("aria-disabled")`)
			press("Press stop") // which does nothing now
			v.want(lit[6], shown)
		})
	}
	v.media("prefers-reduced-motion", "reduce") // a state is there at once
	v.open("course/tried/index.html", 1000, 900)
	try("clicked", func(act string) { v.value(button(act) + ".click(), ''") })
	v.silence("the board")

	// A board taller than a telephone's screen keeps its buttons at hand.
	v.open("course/tried/index.html", 390, 844)
	v.want("true", `document.querySelector(".front").scrollIntoView(), document.querySelector(".front").getBoundingClientRect().height > innerHeight`)
	v.want("true", `[...document.querySelectorAll(".acts button")].every(b => { const r = b.getBoundingClientRect(); return r.height >= 44 && r.top >= 0 && r.bottom <= innerHeight && b.contains(document.elementFromPoint(r.left + 8, r.top + 8)); })`)

	v.media("prefers-reduced-motion", "no-preference")
	v.open("course/tried/index.html", 1000, 900)
	v.value(button("Press start") + ".click(), ''")
	v.until("true", `document.querySelector("figure.board").classList.contains("playing")`)
	v.want("off true", `document.querySelector(".says").getAttribute("aria-live") + " " + [...document.querySelectorAll(".acts button")].every(b => b.getAttribute("aria-disabled") === "true")`)
}
