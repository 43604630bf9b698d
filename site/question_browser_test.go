package site

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestQuestionsInBrowser answers questions, and changes the language, as
// readers do.
func TestQuestionsInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	v := openVisit(t)
	mustWrite(t, treeOf(t, frenchInput(t)), v.dir)
	v.run("number", v.answerNumber)
	v.run("choice", v.answerChoice)
	v.run("order", v.answerOrder)
	v.run("without scripts", v.questionsWithoutScripts)
	v.run("course in another language", v.courseInFrench)
	v.run("kiosk in another language", v.kioskInFrench)
}

// shown gives what a question says after it was answered.
func shown(number string) string {
	return `[...document.querySelectorAll("[aria-labelledby='question.` + number + `'] .verdict > *")]
		.filter(e => e.offsetHeight > 0).map(e => e.textContent.trim().replace(/\s+/g, " ")).join(" | ")`
}

func (v *visit) answerNumber() {
	v.open("course/asked/fr.html", 1000, 900)
	v.want("", shown("1"))
	v.want("0", `[...document.querySelectorAll("details.answer")].length`)
	type step struct{ write, want string }
	for _, s := range []step{
		{"vite", "Écrivez un nombre, comme 12,5."},
		{"0,2", "Pas tout à fait. Essayez encore ; une réponse montrée ne compte pas."},
		{"0,098 Hz", "C’est juste, à un autre essai. | La réponse : 0,100 Hz | De 19,95 Hz, par 0,10 Hz."},
		{"0.1", "C’est juste, à un autre essai. | La réponse : 0,100 Hz | De 19,95 Hz, par 0,10 Hz."},
	} {
		v.value(`document.getElementById("question.1.field").value = ""`)
		v.do(chromedp.Focus("#question\\.1\\.field"), chromedp.KeyEvent(s.write), chromedp.KeyEvent(kb.Enter))
		v.want(s.want, shown("1"))
	}
	v.want("status", `document.querySelector(".verdict").getAttribute("role")`)

	// In English a comma is no decimal sign, and what is no number is no try.
	v.open("course/asked/index.html", 1000, 900)
	v.do(chromedp.Focus("#question\\.1\\.field"), chromedp.KeyEvent("0,1"), chromedp.KeyEvent(kb.Enter))
	v.want("Write a number, such as 12.5.", shown("1"))
	v.want("question.1.field true", `document.activeElement.id + " " + document.activeElement.getAttribute("aria-invalid")`)
	v.value(`localStorage.clear()`)
	v.open("course/asked/index.html", 1000, 900)
	v.do(chromedp.Focus("#question\\.1\\.field"), chromedp.KeyEvent("fast"), chromedp.KeyEvent(kb.Enter))
	v.value(`document.getElementById("question.1.field").value = ""`)
	v.do(chromedp.Focus("#question\\.1\\.field"), chromedp.KeyEvent("0.1"), chromedp.KeyEvent(kb.Enter))
	v.want("Right. | The answer: 0.100 Hz | From 19.95 Hz, by 0.10 Hz.", shown("1"))
}

func (v *visit) answerChoice() {
	v.open("course/asked/index.html", 1000, 900)
	const check = `document.querySelector("[aria-labelledby='question.2'] button").click()`
	v.value(check)
	v.want("Choose an answer first.", shown("2"))
	v.do(chromedp.Focus("#question\\.2\\.option\\.1"), chromedp.KeyEvent(" "), chromedp.KeyEvent(kb.Enter))
	v.want("Not quite. Try again; an answer that was shown does not count. | Gravity tugs once a turn.", shown("2"))
	v.value(`document.querySelector("[aria-labelledby='question.2'] .show").click()`)
	v.want("The answer: It opens for longer. | It has to speed up.", shown("2"))
	v.do(chromedp.Focus("#question\\.2\\.option\\.1"), chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.Enter))
	v.want("Right, as it was shown. | The answer: It opens for longer. | It has to speed up.", shown("2"))
}

func (v *visit) answerOrder() {
	v.open("course/asked/index.html", 1000, 900)
	place := func(item, at string) {
		v.value(`document.querySelector("[aria-labelledby='question.3'] [data-option='` + item + `']").value = "` + at + `"`)
	}
	const check = `document.querySelector("[aria-labelledby='question.3'] button").click()`
	place("0", "0")
	v.value(check)
	v.want("Give each its own place first.", shown("3"))
	place("1", "1")
	v.value(check)
	v.want("Not quite. Try again; an answer that was shown does not count.", shown("3"))
	place("0", "1")
	place("1", "0")
	v.value(check)
	v.want("Right, at a later try. | The answer: The drop; The speed | The drop is small.", shown("3"))
}

func (v *visit) questionsWithoutScripts() {
	v.scripts(false)
	defer v.scripts(true)
	v.open("course/asked/index.html", 1000, 900)
	got := v.still(`[...document.querySelectorAll(".question input, .question select, .question button")].filter(e => e.offsetHeight > 0).length + " " +
		[...document.querySelectorAll(".question summary")].filter(e => e.offsetHeight > 0).length + " " +
		[...document.querySelectorAll(".question label")].filter(e => e.offsetHeight > 0).length`)
	if want := "0 3 4"; got != want {
		v.t.Errorf("without scripts, controls, answers and options are %q, want %q", got, want)
	}
}

func (v *visit) courseInFrench() {
	v.open("course/asked/index.html", 600, 300)
	v.value(`document.getElementById("contact").scrollIntoView()`)
	v.until("fr.html#contact-et-poids", `document.querySelector("a[data-sections]").getAttribute("href")`)
	v.do(chromedp.Navigate(v.value(`document.querySelector("a[data-sections]").href`)))
	v.want("fr #contact-et-poids", `document.documentElement.lang + " " + location.hash`)
	v.until("true", `Math.abs(document.getElementById("contact-et-poids").getBoundingClientRect().top) < 100`)
}

func (v *visit) kioskInFrench() {
	v.open("kiosk/asked.html#screen.2", 1920, 1080)
	v.do(chromedp.Navigate(v.value(`document.querySelector(".screen.shown .languages a").href`)))
	v.want("fr #screen.2 Un poids", `document.documentElement.lang + " " + location.hash + " " + document.querySelector(".screen.shown h2").textContent`)
	v.want("Toujours là ?", `document.querySelector(".ask p").textContent.replace(/\s/g, " ")`)
}
