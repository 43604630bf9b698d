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

	v.open("course/index.html", 1000, 900)
	v.want("", far)
	v.open("course/sign-off.html", 1000, 900)
	v.want("0000", on)

	v.open("course/asked/index.html", 1000, 900)
	v.want("2", ticks)
	v.value(`document.querySelectorAll(".tick input")[0].click()`)
	v.do(chromedp.Focus("#question\\.1\\.field"), chromedp.KeyEvent("9"), chromedp.KeyEvent(kb.Enter))
	v.want("1", `Object.keys(localStorage).length`)
	v.open("course/index.html", 1000, 900)
	v.want("cautions read: 1 of 1; questions answered right: 0 of 3", far)

	// In the other language the same is known, and answers count there too.
	v.open("course/asked/fr.html", 1000, 900)
	v.want("true false", `[...document.querySelectorAll(".tick input")].map(e => e.checked).join(" ")`)
	v.do(chromedp.Focus("#question\\.1\\.field"), chromedp.KeyEvent("0,1"), chromedp.KeyEvent(kb.Enter))
	v.value(`document.querySelectorAll(".tick input")[1].click()`)
	v.open("course/index.html", 1000, 900)
	v.want("Read to the end; cautions read: 1 of 1; questions answered right: 1 of 3", far)
	v.open("course/sign-off.html", 1000, 900)
	v.want("1100", on)
	v.want("1,1", counts)
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
