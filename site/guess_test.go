package site

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/dop251/goja"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
)

// TestGuesses runs guesses.js, which needs no page, and asks it.
func TestGuesses(t *testing.T) {
	vm := goja.New()
	source, err := web.ReadFile("web/guesses.js")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := vm.RunScript("guesses.js", string(source)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ ask, want string }{
		{`guesses.after("open", "2")`, "2"},
		{`guesses.after("open", "skip")`, "shown"},
		{`guesses.after("2", "0")`, "2"}, // the first choice stays
		{`guesses.after("2", "skip")`, "2"},
		{`guesses.after("shown", "0")`, "shown"},
		{`["open", "0", "shown"].map(s => guesses.after(s, "leave")).join()`, "open,open,open"},
		{`guesses.among("ArrowDown", 0, 3)`, "1"},
		{`guesses.among("ArrowDown", 2, 3)`, "2"},
		{`guesses.among("ArrowUp", 0, 3)`, "0"},
		{`guesses.among("ArrowUp", 2, 3)`, "1"},
		// These lead from screen to screen.
		{`["ArrowRight", "ArrowLeft", "Escape", "Home", "Enter", " "].map(k => guesses.among(k, 1, 3)).join()`, ",,,,,"},
	} {
		got, err := vm.RunString(c.ask)
		if err != nil {
			t.Fatalf("%s: %v", c.ask, err)
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("%s is %v, want %s", c.ask, got, c.want)
		}
	}
}

// guessedPanel has as many words as a panel with a guess may have: 75 before
// the choice, 100 after a wrong one.
func guessedPanel(heading, text, ask, option, but, place string) string {
	return fmt.Sprintf("```visitor\n## %s\n\n%s\n\n~~~guess\nask = %q\n\n[[option]]\ntext = %q\nwhen = \"not slower\"\nbut = %q\n\n[[option]]\ntext = %q\nwhen = \"slower\"\n\n[[option]]\ntext = %q\nwhen = \"not slower\"\n~~~\n\n%s\n\n%s\n```\n\n",
		heading, wordsOf(text, 32), ask, "One: "+option, but, "Two: "+option, "Three: "+option, wordsOf(text, 23), place)
}

// guessInput is a house with a lesson whose panels ask for guesses: one shows a
// motion after it, one a figure under a knob, one words alone, and one has its
// figure above.
func guessInput(t *testing.T) Input {
	t.Helper()
	in := sampleInput(t)
	in.House.Idle, in.House.Ask = 60, 20
	in.House.Languages = []string{"en", "fr"}
	result := fullResult()
	var s tell.Sheet
	s.Claim("slower", true)
	result.Claims = append(result.Claims, s.Result().Claims...)
	panels := func(heading, text, ask, option, but string) string {
		out := ""
		for i, place := range []string{"![A motion.](motion:governor)", "![A figure.](figure:turned)", ""} {
			out += guessedPanel(fmt.Sprint(heading, ", ", i+1), text, ask, option, but, place)
		}
		return out
	}
	caution := "```caution rotating\n```\n\n```caution voltage\n```\n\n"
	l := parsed(t, "guessed/lesson.md", "```lesson\ntitle = \"Guessed\"\nhazards = [\"rotating\", \"voltage\"]\n```\n\n"+caution+
		panels("What happens when the shaft turns", panelWords, "What does the shaft of this machine do when bells ring?", "it turns on at the old speed.", "Many would say so, and they have reasons for it."))
	l.Slug, l.Folder, l.Language = "guessed", "01-guessed", "en"
	f, messages := lesson.ParseTranslation("guessed/words/fr.md", "fr", []byte("```lesson\ntitle = \"Devin\u00e9\"\n```\n\n"+caution+
		panels("Que se passe-t-il quand l\u2019arbre tourne", panneau, "Que fait l\u2019arbre de cette machine quand les cloches sonnent toutes ?", "il garde bien la m\u00eame vitesse.", "Beaucoup le diraient, et ils ont leurs raisons pour cela.")), l)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	l.Translations = []*lesson.Lesson{f}
	check := func(one *lesson.Lesson) proof.Report {
		report, messages := proof.Folder{House: in.House, Cards: in.Cards, Lessons: []*lesson.Lesson{l}}.Check(one, result)
		if diag.HasError(messages) {
			t.Fatal(messages)
		}
		if len(report.Guesses) != 3 {
			t.Fatalf("%d guesses have an answer", len(report.Guesses))
		}
		return report
	}
	in.Lessons = []proof.Checked{{Lesson: l, Result: result, Report: check(l), Translations: []proof.Checked{{Lesson: f, Result: result, Report: check(f)}}}}
	return in
}

// Scripts that look at the guess of the screen that shows.
const (
	offered  = `[...document.querySelectorAll(".shown .offers button")].filter(b => b.getClientRects().length > 0).length`
	revealed = `[...document.querySelectorAll(".shown .after")].filter(e => [...e.children].some(c => c.getClientRects().length > 0)).length`
	toldNow  = `[...document.querySelectorAll(".shown .told, .shown .guess .right")].filter(e => e.getClientRects().length > 0).map(e => [...e.children].filter(c => c.localName === "p").map(c => c.textContent).join(" | ") || e.textContent).join()`
	wrongOne = `.shown .offers [data-option='0']`
	rightOne = `.shown .offers [data-option='1']`
	passing  = `.shown .pass button`

	// guesses what is answered by most words, and says whether there was a guess.
	guessLongest = `(told => !!told && (document.querySelector(".shown .offers [data-option='" + told.dataset.option + "']").click(),
		new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))))([...document.querySelectorAll(".shown .told")].sort((a, b) => b.textContent.length - a.textContent.length)[0])`
)

func guessVisit(t *testing.T) *visit {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	v := openVisit(t)
	mustWrite(t, treeOf(t, guessInput(t)), v.dir)
	return v
}

// Before and after the choice all fits on the screen, either way up, in both
// languages; answers are as wide as the words and 75 px high, and held upright
// within reach.
func TestGuessFits(t *testing.T) {
	v := guessVisit(t)
	for _, name := range []string{"kiosk/guessed.html", "kiosk/guessed.fr.html"} {
		for _, size := range [][2]int64{{1920, 1080}, {1080, 1920}} {
			v.run(fmt.Sprint(name, size), func() {
				v.open(name, size[0], size[1])
				v.fits(size)
				for _, id := range []string{"screen.2", "screen.3", "screen.4"} {
					v.value(`location.hash = "` + id + `", new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))`)
					v.want("3", offered)
					v.want("0", `Math.max(0, document.documentElement.scrollHeight - innerHeight)`)
					v.want("0", revealed)
					v.want("", `[...document.querySelectorAll(".shown .offers button")].map(b => b.getBoundingClientRect()).filter(r => r.height < 75 || r.width < document.querySelector(".shown .offers").clientWidth - 1).map(r => r.width + "x" + r.height).join()`)
					v.value(`document.querySelector("` + wrongOne + `").click(), new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))`)
					v.want("0", offered)
					v.want("0", `Math.max(0, document.documentElement.scrollHeight - innerHeight)`)
					v.want("true", `!!document.querySelector(".shown .bar") && document.querySelector(".shown .bar").getBoundingClientRect().bottom <= innerHeight`)
					v.want("", `[...document.querySelectorAll(".shown :is(p, li, figcaption, label, data, button)")].filter(e => e.offsetHeight > 0 && parseFloat(getComputedStyle(e).fontSize) < 28).map(e => e.textContent.trim().slice(0, 20)).join()`)
				}
			})
		}
	}
}

// By touch, by mouse and by keyboard; and whoever comes next guesses anew.
func TestGuessInBrowser(t *testing.T) {
	v := guessVisit(t)
	v.stopClock()
	const wrong = "Not this time: One: it turns on at the old speed. | The answer: Two: it turns on at the old speed. | Many would say so, and they have reasons for it."
	const angle = `document.querySelector(".shown [data-part='rotor']").getAttribute("transform")`
	const moved = `(async () => { const from = ` + angle + `; await new Promise(done => setTimeout(done, 300)); return from !== ` + angle + `; })()`
	v.run("touch", func() {
		command(v, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true, MaxTouchPoints: 5})
		v.open("kiosk/guessed.html#screen.2", 1080, 1920)
		v.want("false", moved)
		tapOn(v, wrongOne)
		v.until(wrong, toldNow)
		v.want("2", revealed)
		v.want("true", `document.activeElement.classList.contains("told")`)
		v.until("true", moved)
		tapOn(v, ".shown .next")
		v.until("screen.3", onScreen)
		tapOn(v, passing)
		v.until("The answer: Two: it turns on at the old speed.", `document.querySelector(".shown .guess .right").textContent`)
		v.want("2", revealed)
		v.want("true", `document.activeElement.classList.contains("right")`)
		tapOn(v, ".shown .back")
		v.until("screen.2", onScreen)
		v.until("3", offered)
		v.want("0", revealed)
		command(v, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{})
	})
	v.run("mouse", func() {
		v.open("kiosk/guessed.html#screen.4", 1920, 1080)
		v.do(chromedp.Click(rightOne))
		v.until("Right: Two: it turns on at the old speed.", toldNow)
		v.want("1", revealed)
	})
	v.run("keyboard", func() {
		v.open("kiosk/guessed.html#screen.2", 1920, 1080)
		v.do(chromedp.KeyEvent(kb.ArrowRight)) // it leads to the next screen, and to its heading
		v.want("screen.3", onScreen)
		v.do(chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.ArrowUp))
		v.want("1", `[...document.querySelectorAll(".shown .offers button")].indexOf(document.activeElement)`)
		chosen := v.value(`document.activeElement.textContent`)
		v.do(chromedp.KeyEvent(kb.Enter))
		v.want("true", `document.activeElement.textContent.includes("`+chosen+`")`)
		v.want("true", `getComputedStyle(document.activeElement).outlineStyle !== "none"`)
		v.do(chromedp.KeyEvent(kb.Tab)) // to the knob, which shows since
		v.want("0", `document.activeElement.closest(".knob").dataset.knob`)
		v.do(chromedp.KeyEvent(kb.ArrowRight))
		v.want("screen.3", onScreen)
		v.value(`document.activeElement.blur()`)
		v.do(chromedp.KeyEvent(kb.ArrowLeft))
		v.want("screen.2", onScreen)
		v.do(chromedp.KeyEvent(kb.ArrowRight))
		v.until("3", offered)
	})
	v.run("left alone", func() {
		v.open("kiosk/guessed.html#screen.4", 1080, 1920)
		v.do(chromedp.Click(wrongOne))
		v.until("1", revealed)
		v.clock(61)
		v.until("index.html", loaded)
		v.do(chromedp.NavigateBack())
		v.open("kiosk/guessed.html#screen.4", 1080, 1920)
		v.until("3", offered)
		v.want("0", revealed)
	})
}

// Without scripts the question, its answers, the right one and the rest stand
// below each other, and nothing waits for a touch.
func TestGuessWithoutScripts(t *testing.T) {
	v := guessVisit(t)
	v.scripts(false)
	v.open("kiosk/guessed.html", 1080, 1920)
	got := v.still(`[...document.querySelectorAll(".panel")].map(s => {
		const y = q => { const e = s.querySelector(q); return e && e.getClientRects().length ? e.getBoundingClientRect().top : -1; };
		const order = [y(".words > p"), y(".asked"), y(".offers li"), y(".guess .right"), y(".words > .after p")];
		return order.every((at, i) => at > (i ? order[i - 1] : 0)) + " " + [y(".pass"), y(".told"), y(".waits")].join();
	}).join("; ")`)
	if want := strings.TrimSuffix(strings.Repeat("true -1,-1,-1; ", 3), "; "); got != want {
		t.Errorf("without scripts it is %q, want %q", got, want)
	}
}

// Sheets have the question with its answers, and no button.
func TestGuessOnPaper(t *testing.T) {
	tree := documents(t, treeOf(t, guessInput(t)))
	for _, name := range []string{"handout/guessed.html", "handout/guessed-guide.html", "handout/guessed.large.html"} {
		guesses := tree[name].class("guess")
		if len(guesses) != 3 {
			t.Fatalf("%s has %d guesses", name, len(guesses))
		}
		got := text(guesses[0])
		if !strings.HasPrefix(got, "Guess: What does the shaft of this machine do when bells ring?") || !strings.HasSuffix(got, "The answer: Two: it turns on at the old speed.") {
			t.Errorf("%s: %q", name, got)
		}
		if n := len(tree[name].class("waits")) + len(tree[name].class("pass")) + len(tree[name].class("chosen")); n > 0 {
			t.Errorf("%s has %d parts that only a touch would show", name, n)
		}
	}
}
