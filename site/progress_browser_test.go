package site

import (
	"context"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestProgressInBrowser reads, answers, signs off and clears, as volunteers do,
// from a disk.
func TestProgressInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	v := openVisit(t)
	mustWrite(t, treeOf(t, frenchInput(t)), v.dir)
	const ticks = `[...document.querySelectorAll(".tick")].filter(e => e.offsetHeight > 0).length`
	const far = `[...document.querySelectorAll(".far")].filter(e => e.offsetHeight > 0).map(e => e.textContent).join(" | ")`
	const on = `[...document.querySelectorAll("tr[data-lesson] .box")].map(e => e.classList.contains("on") ? 1 : 0).join("")`
	const counts = `[...document.querySelectorAll("tr[data-lesson] .count")].map(e => e.textContent).join(",")`
	const second = `document.querySelector("[aria-labelledby='question.2']")`
	const verdict = `document.querySelector("[aria-labelledby='question.2'] .words").textContent`
	answer := func(number string) {
		v.value(`document.getElementById("question.1.field").value = ""`)
		v.do(chromedp.Focus("#question\\.1\\.field"), chromedp.KeyEvent(number), chromedp.KeyEvent(kb.Enter))
	}
	choose := func(option string) {
		v.value(`document.getElementById("question.2.option.` + option + `").click(), ` + second + `.querySelector("[type=submit]").click()`)
	}

	v.open("course/index.html", 1000, 900)
	v.want("", far)
	v.open("course/sign-off.html", 1000, 900)
	v.want("0000", on)

	v.open("course/asked/index.html", 1000, 900)
	v.want("2", ticks)
	v.value(`document.querySelectorAll(".tick input")[0].click()`)
	answer("9")
	v.want("1", `Object.keys(localStorage).length`)
	v.open("course/index.html", 1000, 900)
	v.want("cautions read: 1 of 1; questions right at first try: 0 of 3", far)

	// In the other language the same is known, and answers count there too.
	v.open("course/asked/fr.html", 1000, 900)
	v.want("true false", `[...document.querySelectorAll(".tick input")].map(e => e.checked).join(" ")`)
	answer("0,1")
	v.value(`document.querySelectorAll(".tick input")[1].click()`)
	v.open("course/index.html", 1000, 900)
	v.want("Read to the end; cautions read: 1 of 1; questions right at first try: 0 of 3; right at a later try: 1", far)

	// What was shown does not count, nor when the page is opened again.
	v.open("course/asked/index.html", 1000, 900)
	choose("1")
	v.value(second + `.querySelector(".show").click()`)
	choose("2")
	v.want("Right, as it was shown.", verdict)
	v.open("course/asked/index.html", 1000, 900)
	choose("2")
	v.want("Right, as it was shown.", verdict)
	v.open("course/index.html", 1000, 900)
	v.want("Read to the end; cautions read: 1 of 1; questions right at first try: 0 of 3; right at a later try: 1; answer shown: 1", far)
	v.open("course/sign-off.html", 1000, 900)
	v.want("1100", on)
	v.want("1,0,1,1", counts)
	v.want("done", `document.querySelector("tr[data-lesson] .unseen").textContent`)

	// Cleared only when it was asked twice.
	v.open("course/index.html", 1000, 900)
	v.value(`document.querySelector(".clearing .ask").click()`)
	v.value(`document.querySelector(".clearing .no").click()`)
	v.want("1", `Object.keys(localStorage).length`)
	v.value(`document.querySelector(".clearing .ask").click()`)
	v.value(`document.querySelector(".clearing .yes").click()`)
	v.want("0", `Object.keys(localStorage).length`)
	v.want("", far)
	v.silence("progress")

	// Right at the first try, until the end.
	v.open("course/asked/index.html", 1000, 900)
	answer("0.1")
	answer("9")
	choose("2")
	v.value(`[0, 1].forEach(i => document.querySelectorAll("[aria-labelledby='question.3'] select")[i].value =
		String(1 - document.querySelectorAll("[aria-labelledby='question.3'] select")[i].dataset.option))`)
	v.value(`document.querySelector("[aria-labelledby='question.3'] [type=submit]").click()`)
	v.open("course/sign-off.html", 1000, 900)
	v.want("0010", on)
	v.want(",3,0,0", counts)

	// What an earlier page kept: the answers were right, but not known how.
	v.value(`localStorage.setItem("slipring.course.The Test House", JSON.stringify({asked: {read: "2026-11-01", cautions: [],
		right: JSON.parse(document.querySelector("tr[data-lesson]").dataset.lesson).questions}}))`)
	v.open("course/index.html", 1000, 900)
	v.want("Read to the end; cautions read: 0 of 1; questions right at first try: 0 of 3", far)
	v.open("course/asked/index.html", 1000, 900)
	choose("2")
	v.want("Right, at a later try.", verdict)

	// A browser that keeps nothing: the pages are as without the script, and
	// nothing is said.
	v.value(`localStorage.setItem("slipring.course.The Test House", "{damaged")`)
	v.open("course/index.html", 1000, 900)
	v.want("", far)
	v.do(forbidStorage())
	for _, name := range []string{"course/asked/index.html", "course/index.html", "course/sign-off.html"} {
		v.open(name, 1000, 900)
		v.want("SecurityError", `(() => { try { return typeof localStorage } catch (e) { return e.name } })()`)
		v.want("0", ticks)
		v.want("0", `[...document.querySelectorAll(".clearing, .end")].filter(e => e.offsetHeight > 0).length`)
		v.silence(name + " without storage")
	}

	// About 70 characters a line.
	v.open("course/asked/index.html", 1440, 900)
	v.want("true", `(() => { const p = document.createElement("p"); document.querySelector(".text").prepend(p);
		p.textContent = "the shaft turns and the weight swings out once in each turn as it goes round ".repeat(40);
		const lines = Math.round(p.getBoundingClientRect().height / parseFloat(getComputedStyle(p).lineHeight));
		const n = p.textContent.length / lines; return n > 62 && n < 76 ? true : n })()`)
}

// forbidStorage makes pages that are opened from now on throw when they ask for
// storage, as browsers do that are set to keep nothing.
func forbidStorage() chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
			Source: `Object.defineProperty(window, "localStorage", {get() { throw new DOMException("no", "SecurityError"); }})`,
		})
		return err
	})
}
