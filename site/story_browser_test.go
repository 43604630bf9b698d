package site

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestStoriesInBrowser opens where numbers come from, as readers do.
func TestStoriesInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	v := openVisit(t)
	mustWrite(t, sampleTree(t), v.dir)
	const number = `document.querySelector(".text a.told[href='#story.card.battery.voltage']")`
	const open = `[...document.querySelectorAll(".opened .whole data")].map(e => e.textContent).join(" | ")`
	const expanded = number + `.getAttribute("aria-expanded")`
	v.run("by touch", func() {
		v.open("course/first/index.html", 1000, 900)
		v.want("button false", number+`.getAttribute("role") + " " + `+expanded)
		v.want("true", `String(document.querySelector(".stories").hidden)`)
		v.value(number + `.click()`)
		v.want("48", open)
		v.want("true", expanded)
		v.value(number + `.click()`)
		v.want("", open)
	})
	v.run("by keyboard", func() {
		v.open("course/first/index.html", 1000, 900)
		v.value(number + `.focus()`)
		v.do(chromedp.KeyEvent(kb.Enter))
		v.want("48", open)
		v.do(chromedp.KeyEvent(kb.Escape))
		v.want("", open)
		v.want("true", `String(document.activeElement === `+number+`)`)
		v.do(chromedp.KeyEvent(" "))
		v.want("48", open)
		v.value(`document.querySelector(".opened .close").click()`)
		v.want(" false", open+` + " " + `+expanded)
	})
	v.run("one at a time", func() {
		v.open("course/first/index.html", 1000, 900)
		v.value(`document.querySelectorAll(".text a.told").forEach(a => a.click())`)
		v.want("1", `document.querySelectorAll(".opened").length`)
		v.want("1", `document.querySelectorAll("[aria-expanded=true]").length`)
	})
	v.run("without scripts", func() {
		v.scripts(false)
		defer v.scripts(true)
		v.open("course/first/index.html", 1000, 900)
		v.want("true", `String(document.getElementById(`+number+`.getAttribute("href").slice(1)).offsetHeight > 0)`)
	})
	v.run("from elsewhere", func() {
		v.open("course/first/index.html#story.card.battery.voltage", 1000, 900)
		v.want("48", open)
	})
}
