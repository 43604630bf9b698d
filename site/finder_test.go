package site

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
)

const finderLesson = "```lesson\ntitle = \"Faults\"\nhazards = [\"rotating\", \"voltage\"]\n```\n\n```caution rotating\n```\n\n```caution voltage\n```\n\nIt asks.\n\n" +
	"![What is <wrong>](finder:board)\n\n" +
	"```visitor\n## Find it\n\nTouch an answer.\n\n![What is wrong](finder:board)\n```\n"

// finderInput is the sample with a lesson that asks. All in it is invented.
func finderInput(t *testing.T) Input {
	t.Helper()
	in := inputOf(t, [][2]string{{"first", firstLesson}, {"second", secondLesson}})
	l, messages := lesson.Parse("faults/lesson.md", []byte(finderLesson))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	l.Slug, l.Folder = "faults", "04-faults"
	var s tell.Sheet
	s.Finder("board", tell.Look{Ask: "Does the <red> lamp glow?", How: "From the rail.", Answers: []tell.Answer{
		{Says: "yes", Then: &tell.Look{Ask: "Is the meterht?", Hazard: "voltage", Answers: []tell.Answer{
			{Says: "at nought", Then: &tell.Look{How: "Write it down.", Causes: []tell.Cause{{Says: "The first cause.", Chance: 0.75, Stop: true}, {Says: "The second cause.", Chance: 0.25}}}},
			{Says: "above", Then: &tell.Look{Causes: []tell.Cause{{Says: "The third cause."}}}},
		}}},
		{Says: "no", Then: &tell.Look{Causes: []tell.Cause{{Says: "The fourth cause."}}}},
	}})
	report, messages := proof.Folder{House: in.House, Cards: in.Cards}.Check(l, s.Result())
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	in.Lessons = append(in.Lessons, proof.Checked{Lesson: l, Result: s.Result(), Report: report})
	return in
}

// A finder folds out on screens, is a list on paper, and has a chart; a lesson
// without one has no chart.
func TestFinderOnPages(t *testing.T) {
	tree := treeOf(t, finderInput(t))
	count := func(page, what string, want int) {
		t.Helper()
		if n := strings.Count(string(tree[page]), what); n != want {
			t.Errorf("%s has %q %d times, want %d", page, what, n, want)
		}
	}
	for page, c := range map[string]struct{ folded, listed int }{"course/faults/index.html": {1, 1}, "kiosk/faults.html": {1, 0}, "handout/faults.html": {0, 1}} {
		count(page, `<div class="asks">`, c.folded)
		count(page, `<div class="listed">`, c.listed)
		count(page, `<details name="finder.board.1">`, 2*c.folded)
		count(page, `<details name="finder.board.2">`, 2*c.folded)
		count(page, "The first cause.", c.folded+c.listed)
		count(page, "Does the &lt;red&gt; lamp glow?", c.folded+c.listed)
		count(page, "tried on a known source before and after", c.folded+c.listed)
		count(page, `<p class="hazard danger">`, c.folded+c.listed)
	}
	count("handout/index.html", `href="faults.chart.html"`, 1)
	count("handout/faults.chart.html", `<svg class="chart"`, 1)
	count("handout/faults.chart.html", "It can kill.", 1)
	count("handout/faults.chart.html", "It winds in sleeves", 1) // no look has that hazard, but the lesson
	count("handout/faults.chart.html", ">The fourth cause.<", 1)
	if tree["handout/first.chart.html"] != nil {
		t.Error("a lesson without a finder has a chart")
	}
	if !strings.HasPrefix(string(tree["course/faults/finder-board.csv"]), "question,ask,") {
		t.Error("its questions are in no file")
	}
	charts := 0
	for _, s := range Sheets(finderInput(t)) {
		if s.Edition == chartSheet {
			charts++
		}
	}
	if charts != 1 {
		t.Errorf("%d charts are printed", charts)
	}
}

// visible lists what of the finder can be seen: questions, answers, causes.
const visible = `[...document.querySelectorAll(".shown .asks :is(.asked, .says, .causes li, .stop), .course .asks :is(.asked, .says, .causes li, .stop)")]
	.filter(e => e.checkVisibility({ contentVisibilityAuto: true }) && e.getClientRects().length > 0).map(e => e.textContent.trim().slice(0, 12)).join(" | ")`

func TestFinderInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	v := openVisit(t)
	mustWrite(t, treeOf(t, finderInput(t)), v.dir)
	targets := func(least int) string {
		return fmt.Sprintf(`[...document.querySelectorAll(".asks summary")].filter(e => e.getClientRects().length && e.checkVisibility()).every(e => e.offsetHeight >= %d && e.offsetWidth >= %d && e.getBoundingClientRect().right <= innerWidth)`, least, least)
	}
	v.run("on a telephone, by keyboard", func() {
		v.open("course/faults/index.html", 390, 800)
		v.want("Does the <re | yes | no", visible)
		v.want("true", targets(44))
		v.value(`document.querySelector(".asks summary").focus()`)
		v.do(chromedp.KeyEvent(kb.Enter))
		v.want("Does the <re | yes | Is the meter | at nought | above", visible)
		v.do(chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(" "))
		v.want("Does the <re | yes | Is the meter | at nought | Stop. Switch | The first ca | The second c", visible)
		v.want("true", targets(44))
		v.do(chromedp.KeyEvent(" ")) // back to the other answers
		v.want("Does the <re | yes | Is the meter | at nought | above", visible)
		v.want("true", `document.documentElement.scrollWidth <= innerWidth`)
	})
	for _, size := range [][2]int64{{1920, 1080}, {1080, 1920}} {
		v.run(fmt.Sprint("on the kiosk ", size), func() {
			v.open("kiosk/faults.html#screen.2", size[0], size[1])
			v.want("Does the <re | yes | no", visible)
			v.want("true", targets(60))
			v.value(`document.querySelector(".asks summary").click()`)
			v.want("yes | Is the meter | at nought | above", visible) // one question at a time
			v.value(`document.querySelectorAll(".asks summary")[1].click()`)
			v.want("at nought | Stop. Switch | The first ca | The second c", visible)
			v.want("true", targets(60))
			v.want("true", `document.documentElement.scrollHeight <= innerHeight`)
			v.value(`document.querySelectorAll(".asks summary")[1].click()`)
			v.value(`document.querySelector(".asks summary").click()`)
			v.want("Does the <re | yes | no", visible)
		})
	}
}
