package site

import (
	"context"
	"fmt"
	"regexp"
	"testing"

	"github.com/chromedp/chromedp"

	"slipring/engine/sweeptest"
)

func TestInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	v := openVisit(t)
	v.run("from a disk", v.fromDisk)
	v.run("narrow and enlarged", v.narrow)
	v.run("kiosk 1920x1080", func() { v.kiosk(1920, 1080) })
	v.run("kiosk 1080x1920", func() { v.kiosk(1080, 1920) })
	v.run("kiosk left alone", v.leftAlone)
	v.run("kiosk without scripts", v.withoutScripts)
	v.run("printed", v.printed)
}

var samplePages = []string{
	"index.html", "course/index.html", "course/first/index.html", "handout/index.html", "handout/first.html",
	"handout/first-guide.html", "logbook/index.html", "kiosk/index.html", "kiosk/first.html",
}

// fromDisk: style sheets and fonts load through file://, and the policy blocks
// nothing of ours.
func (v *visit) fromDisk() {
	for _, page := range samplePages {
		v.open(page, 1280, 900)
		v.want("true", `document.styleSheets.length >= 2 && document.styleSheets.length === document.querySelectorAll("link[rel=stylesheet]").length`)
		v.want("true", `document.fonts.ready.then(() => [...document.fonts].some(f => f.family === "Go" && f.status === "loaded"))`)
		v.want("0", `[...document.fonts].filter(f => !f.family.startsWith("Near") && f.status === "error").length`)
		v.silence(page)
	}
	v.open("course/first/index.html", 1280, 900)
	v.want("8", `[...document.fonts].filter(f => !f.family.startsWith("Near")).length`) // which are the machine's, where it has them
	v.want("11", `[...document.fonts].filter(f => f.family.startsWith("Near")).length`)
	v.want("rgb(247, 243, 234)", `getComputedStyle(document.documentElement).backgroundColor`)
	v.media("prefers-color-scheme", "dark")
	v.want("rgb(23, 32, 40)", `getComputedStyle(document.documentElement).backgroundColor`)
	v.media("prefers-color-scheme", "light")
	// the number aligned, and the cell folded until it is asked for
	v.want("false", `document.querySelector("details.cell").open`)
	v.want("right", `getComputedStyle(document.querySelector("td.number")).textAlign`)
}

// narrow: no page has to be scrolled sideways at 320 px (WCAG 2.2, success
// criterion 1.4.10, which is a window of 1280 px enlarged four times) or on a
// kiosk whose text is enlarged to twice its size (1.4.4).
func (v *visit) narrow() {
	for _, page := range samplePages {
		v.open(page, 320, 256)
		if got := v.value(`document.documentElement.scrollWidth`); got != "320" {
			v.t.Errorf("%s is %s px wide at 320 px", page, got)
		}
		v.open(page, 960, 540)
		if got := v.value(`document.documentElement.scrollWidth`); got != "960" {
			v.t.Errorf("%s is %s px wide at 960 px", page, got)
		}
	}
}

// kiosk: each screen by itself, all of it to be seen, text of at least 28 px,
// targets of at least 60 px, by touch and by keys.
func (v *visit) kiosk(width, height int64) {
	const shown = `[...document.querySelectorAll(".screen")].filter(s => s.offsetHeight > 0).map(s => s.id).join()`
	const fits = `document.documentElement.scrollHeight <= innerHeight && document.documentElement.scrollWidth <= innerWidth`
	const smallTargets = `[...document.querySelectorAll("a, button")].filter(e => e.offsetHeight > 0).map(e => e.getBoundingClientRect())
		.filter(r => r.width < 60 || r.height < 60).length`
	const smallText = `[...document.querySelectorAll(".words p, .notice p:not(.signal), .bar a, .choices a")].filter(e => e.offsetHeight > 0)
		.map(e => parseFloat(getComputedStyle(e).fontSize)).filter(px => px < 28).length`
	const smallLabels = `[...document.querySelectorAll(".plot text")].map(e => e.getBoundingClientRect().height / 1.17).filter(px => px > 0 && px < 20).length`
	v.open("kiosk/index.html", width, height)
	v.want("true", fits)
	v.want("0", smallTargets)
	v.want("0", smallText)
	v.open("kiosk/first.html", width, height)
	v.value(`document.fonts.ready`)
	for i := 1; ; i++ {
		v.want(fmt.Sprintf("screen.%d", i), shown)
		v.want("true", fits)
		v.want("0", smallTargets)
		v.want("0", smallText)
		v.want("0", smallLabels)
		if i == 3 {
			break
		}
		v.value(`document.querySelector(".shown .next").click()`)
		v.want(fmt.Sprintf("screen.%d.title", i+1), `document.activeElement.id`)
	}
	before := v.value(`history.length`)
	for range 20 {
		v.value(`document.querySelector(".shown .back").click()`)
		v.value(`document.querySelector(".shown .next").click()`)
	}
	v.want("screen.3", shown)
	v.want(before, `history.length`)
	press := func(key string) {
		v.value(fmt.Sprintf(`document.body.dispatchEvent(new KeyboardEvent("keydown", {key: %q, bubbles: true}))`, key))
	}
	press("ArrowLeft")
	v.want("screen.2", shown)
	press("Home")
	press("ArrowLeft")
	v.want("screen.1", shown)
	press("End")
	press("ArrowRight")
	v.want("screen.3", shown)
	v.value(`document.querySelector(".shown .strip a").click()`)
	v.want("screen.1", shown)
	v.want("pan-y", `getComputedStyle(document.documentElement).touchAction`)
	v.open("kiosk/first.html#screen.2", width, height)
	v.want("screen.2", shown)
	press("Escape")
	v.until("true", `location.pathname.endsWith("/kiosk/index.html") && document.readyState === "complete"`)
}

// leftAlone: after 70 s it asks, 20 s before it goes back to the map, as WCAG 2.2,
// 2.2.1, wants. The page's clock is put forward instead of waited for.
func (v *visit) leftAlone() {
	const asks = `document.querySelector(".ask").open`
	defer v.stopClock()()
	v.open("kiosk/first.html#screen.2", 1920, 1080)
	v.late(69)
	v.want("false", asks)
	v.late(71)
	v.want("true", asks)
	v.value(`document.querySelector(".ask .stay").click()`)
	v.want("false", asks)
	v.late(71 + 71)
	v.want("true", asks)
	v.clock(71 + 91)
	v.until("true", `location.pathname.endsWith("/kiosk/index.html") && document.readyState === "complete"`)
}

// withoutScripts: the screens follow each other, and all can be read.
func (v *visit) withoutScripts() {
	v.scripts(false)
	defer v.scripts(true)
	v.open("kiosk/first.html", 1920, 1080)
	got := v.still(`document.documentElement.className + " " + [...document.querySelectorAll(".screen:not(.beside)")].filter(s => s.getBoundingClientRect().height >= 500).length`)
	if got != "kiosk 3" {
		v.t.Errorf("without scripts there is %q, want all 3 screens", got)
	}
}

// printed: handouts take one or two pages of A4 or Letter, and the plate at
// their top is for screens only.
func (v *visit) printed() {
	pages := regexp.MustCompile(`/Type\s*/Page[^s]`)
	for _, page := range []string{"handout/first.html", "handout/first-guide.html"} {
		v.open(page, 1280, 900)
		for _, paper := range []chromedp.PaperSize{chromedp.PaperA4, chromedp.PaperLetter} {
			ctx, cancel := context.WithTimeout(v.ctx, sweeptest.Patience)
			pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPaper(paper)))
			cancel()
			if err != nil {
				v.t.Fatal(err)
			}
			if n := len(pages.FindAll(pdf, -1)); n < 1 || n > 2 {
				v.t.Errorf("%s takes %d pages of %v", page, n, paper)
			}
		}
	}
}
