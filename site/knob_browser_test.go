package site

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"slipring/engine/sweeptest"
)

// TestKnobsInBrowser turns knobs as readers do.
func TestKnobsInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	v := openVisit(t)
	mustWrite(t, knobbedTree(t), v.dir)
	v.run("course", v.courseKnobs)
	v.run("kiosk 1920x1080", func() { v.kioskKnobs(1920, 1080) })
	v.run("kiosk 1080x1920", func() { v.kioskKnobs(1080, 1920) })
	v.run("printed", v.printedKnobs)
	v.run("without scripts", v.knobsWithoutScripts)
	v.run("narrow and enlarged", v.narrowKnobs)
	if sweeptest.All() {
		v.run("time", v.knobTime)
	}
	v.run("false claim", v.falseClaim)
}

// Scripts that look at the page. Spaces that do not break are written as
// plain ones.
const (
	plain      = `(e => e.textContent.replace(/\s/g, " "))`
	firstKnob  = `document.querySelector("[data-knob='0'] input")`
	settings   = `[...document.querySelectorAll(".setting")].map(` + plain + `).join()`
	quotes     = `[...document.querySelectorAll("data.quote")].map(` + plain + `).join()`
	entries    = `[...document.querySelectorAll("td")].map(` + plain + `).join()`
	outputPath = `document.querySelector("#figure\\.turned [data-moves='1']").getAttribute("d")`
	described  = `document.querySelector("#figure\\.turned desc").textContent`

	// The browser itself counts what is touched: how many nodes of the page,
	// and what of them.
	observe = `window.seen = [], window.observer = new MutationObserver(list => seen.push(...list)),
		observer.observe(document, {subtree: true, childList: true, attributes: true, characterData: true})`
	touched = `(list => {
		const kinds = {};
		list.forEach(m => { const kind = m.type === "attributes" ? m.attributeName : m.type; kinds[kind] = (kinds[kind] || 0) + 1; });
		return new Set(list.map(m => m.target)).size + " nodes, " + Object.keys(kinds).sort().map(k => k + " " + kinds[k]).join(", ");
	})(seen.splice(0))`
)

// turned moves a slider as the browser reports it.
func turned(control string, to int) string {
	return fmt.Sprintf(`(k => { k.value = %d; k.dispatchEvent(new Event("input", {bubbles: true})); })(%s)`, to, control)
}

func (v *visit) courseKnobs() {
	v.open("course/third/index.html", 1280, 900)
	v.want("false", firstKnob+`.hidden`)
	v.want("19.90 Hz,19.90 Hz,19.90 Hz", quotes)
	v.want("0.50 N m,40 °C,0.75,0.50 N m", settings)
	before, description := v.value(outputPath), v.value(described)
	v.value(observe)
	v.value(turned(firstKnob, 40))
	// Data of 7 paths: contact, output, the computed and the measured current,
	// the thin lines to the names of these two, and the sample of the line
	// before its name. The places of both names. 8 texts: 2 settings, 3
	// quotes, 2 entries, 1 description. The value of 2 settings, 3 quotes and 2
	// entries; what 2 controls say, and the pointers and scales of their dials.
	// A setting and its text are two nodes.
	v.want("30 nodes, aria-valuetext 2, characterData 8, d 7, stroke-dasharray 2, transform 2, value 7, x 2, y 2", touched)
	v.want("19.60 Hz,19.60 Hz,19.60 Hz", quotes)
	v.want("2.00 N m,40 °C,0.75,2.00 N m", settings)
	v.want("19.60,<heavy>", entries)
	v.want("40 40", `[...document.querySelectorAll("[data-knob='0'] input")].map(k => k.value).join(" ")`)
	v.want("2.00 N m", firstKnob+`.getAttribute("aria-valuetext").replace(/\s/g, " ")`)
	if v.value(outputPath) == before || v.value(described) == description {
		v.t.Error("the figure, or what is said of it, stays as it was")
	}
	v.value(turned(firstKnob, 10))
	v.want(before, outputPath)
	v.want(description, described)
	v.value(touched)
	v.value(turned(firstKnob, 10))
	v.want("0 nodes, ", touched)

	// By keyboard.
	v.do(chromedp.Focus("#knob\\.load"), chromedp.KeyEvent(kb.ArrowRight))
	v.want("0.55 N m,40 °C,0.75,0.55 N m", settings)
	v.do(chromedp.KeyEvent(kb.PageUp), chromedp.KeyEvent(kb.ArrowDown))
	v.want("0.70 N m,40 °C,0.75,0.70 N m", settings)
	v.do(chromedp.KeyEvent(kb.End))
	v.want("19.60 Hz,19.60 Hz,19.60 Hz", quotes)

	// By mouse, pressed at the left of the dial, a sixth of the way round, and
	// drawn over its top.
	v.value(firstKnob + `.scrollIntoView({block: "center"})`)
	x, y, r := v.dial(firstKnob)
	v.do(chromedp.MouseEvent(chromedp.MousePressed, x-r, y, chromedp.ButtonLeft))
	v.want("0.35 N m,40 °C,0.75,0.35 N m", settings)
	v.do(chromedp.MouseEvent(chromedp.MouseMoved, x-0.7*r, y-0.7*r, chromedp.ButtonLeft),
		chromedp.MouseEvent(chromedp.MouseMoved, x, y-1.5*r, chromedp.ButtonLeft),
		chromedp.MouseEvent(chromedp.MouseReleased, x, y-1.5*r, chromedp.ButtonLeft),
		chromedp.MouseEvent(chromedp.MouseMoved, x+r, y, chromedp.ButtonLeft))
	v.want("1.00 N m,40 °C,0.75,1.00 N m", settings)
	v.want("knob.load", `document.activeElement.id`)

	// A figure under two knobs.
	v.value(turned(`document.querySelector("[data-knob='1'] input")`, 2))
	v.value(turned(`document.querySelector("[data-knob='2'] input")`, 4))
	v.want("1.00 N m,60 °C,0.00,1.00 N m", settings)
	v.want("true", `document.querySelector("#figure\\.two desc").textContent.includes("A: between 0 and 60.")`)
	v.want("19.80 Hz,19.80 Hz,19.80 Hz", quotes)
}

// dial gives where the dial of a control is: the middle of its knob, and the
// radius of its scale.
func (v *visit) dial(control string) (x, y, r float64) {
	v.t.Helper()
	n := v.numbers(`(r => [r.x + r.width / 2, r.y + r.height * 104 / 216, r.width * 92 / 240].join(" "))(`+control+`.getBoundingClientRect())`, 3)
	return n[0], n[1], n[2]
}

// numbers gives so many numbers that a script writes with spaces between.
func (v *visit) numbers(script string, many int) []float64 {
	v.t.Helper()
	var out []float64
	for _, s := range strings.Fields(v.value(script)) {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			v.t.Fatal(err)
		}
		out = append(out, x)
	}
	if len(out) != many {
		v.t.Fatalf("%s gives %v", script, out)
	}
	return out
}

// kioskKnobs: each panel has the knob of its figure, all of it to be seen, of
// 60 px at least, and a finger moves it. Its keys do not turn the panel.
func (v *visit) kioskKnobs(width, height int64) {
	const shown = `[...document.querySelectorAll(".screen")].filter(s => s.offsetHeight > 0).map(s => s.id).join()`
	const fits = `document.documentElement.scrollHeight <= innerHeight && document.documentElement.scrollWidth <= innerWidth`
	for screen, knobs := range map[int]string{2: "0", 3: "1,2"} {
		v.open(fmt.Sprintf("kiosk/third.html#screen.%d", screen), width, height)
		v.value(`document.fonts.ready`)
		v.want(knobs, `[...document.querySelectorAll(".knob")].filter(k => k.offsetHeight > 0).map(k => k.dataset.knob).join()`)
		v.want("true", fits)
		v.want("0", `[...document.querySelectorAll(".shown input")].filter(k => k.offsetHeight < 160 || k.offsetWidth < 160).length`)
		v.want("0", `[...document.querySelectorAll(".shown .knob label, .shown .setting")].filter(e => parseFloat(getComputedStyle(e).fontSize) < 28).length`)
	}
	defer v.stopClock()()
	v.open("kiosk/third.html#screen.2", width, height)
	x, y, r := v.dial(`document.querySelector(".shown input")`)
	touch := func(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
		v.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
			return err
		}))
	}
	touch("touchStart", &input.TouchPoint{X: x - r, Y: y})
	touch("touchMove", &input.TouchPoint{X: x - 0.7*r, Y: y - 0.7*r})
	touch("touchMove", &input.TouchPoint{X: x, Y: y - 1.2*r})
	touch("touchEnd")
	v.want("1.00 N m", `document.querySelector(".shown .setting").textContent.replace(/\s/g, " ")`)
	v.want("19.8 times a second", quotes)
	// Round to the end, and over the gap: it stays at the end. It is no swipe.
	touch("touchStart", &input.TouchPoint{X: x, Y: y - r})
	touch("touchMove", &input.TouchPoint{X: x + r, Y: y})
	touch("touchMove", &input.TouchPoint{X: x + 0.7*r, Y: y + 0.8*r})
	touch("touchMove", &input.TouchPoint{X: x - 0.7*r, Y: y + 0.8*r})
	touch("touchEnd")
	v.want("2.00 N m", `document.querySelector(".shown .setting").textContent.replace(/\s/g, " ")`)
	v.want("screen.2", shown)
	tap(v, x-r, y) // on the scale
	v.want("0.35 N m", `document.querySelector(".shown .setting").textContent.replace(/\s/g, " ")`)
	v.do(chromedp.Focus(".shown input"), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.Home))
	v.want("screen.2", shown)
	v.want("20.0 times a second", quotes)

	// Who turns a knob is there, by keys and by a finger that stays down.
	for i, move := range []string{`document.querySelector(".ask .stay").click()`,
		turned(`document.querySelector(".shown input")`, 5)} {
		v.late(76 * (i + 1))
		v.want("true", `document.querySelector(".ask").open`)
		v.value(move)
		v.want("false", `document.querySelector(".ask").open`)
	}
	v.want("screen.2", shown)

	// The next visitor finds the start.
	v.open("kiosk/third.html#screen.2", width, height)
	v.want("19.9 times a second", quotes)
}

// printedKnobs: paper shows the start, and the page stays where it was.
func (v *visit) printedKnobs() {
	v.open("course/third/index.html", 1280, 900)
	v.value(turned(firstKnob, 40))
	v.value(`window.printed = [], matchMedia("print").addEventListener("change", e => { if (e.matches) printed.push(` + settings + `); })`)
	v.value(`window.addEventListener("beforeprint", () => printed.push(` + quotes + `))`)
	ctx, cancel := context.WithTimeout(v.ctx, sweeptest.Patience)
	defer cancel()
	if _, err := chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPaper(chromedp.PaperA4))); err != nil {
		v.t.Fatal(err)
	}
	v.want("true", `printed.includes("19.90 Hz,19.90 Hz,19.90 Hz")`)
	v.want("19.60 Hz,19.60 Hz,19.60 Hz", quotes)
	v.want("40", firstKnob+`.value`)
}

func (v *visit) knobsWithoutScripts() {
	v.scripts(false)
	defer v.scripts(true)
	v.open("course/third/index.html", 1280, 900)
	got := v.still(`[...document.querySelectorAll("input")].filter(k => k.offsetHeight > 0).length + " " + ` + settings + ` + " " + ` + quotes)
	if want := "0 0.50 N m,40 °C,0.75,0.50 N m 19.90 Hz,19.90 Hz,19.90 Hz"; got != want {
		v.t.Errorf("without scripts there is %q, want %q", got, want)
	}
}

// narrowKnobs: as the other pages, those with knobs need no scrolling sideways.
func (v *visit) narrowKnobs() {
	for _, page := range []string{"course/third/index.html", "kiosk/third.html#screen.2", "kiosk/third.html#screen.3"} {
		for _, size := range [][2]int64{{320, 256}, {960, 540}} {
			v.open(page, size[0], size[1])
			v.want(strconv.FormatInt(size[0], 10), `document.documentElement.scrollWidth`)
		}
	}
}

// falseClaim: where a claim does not hold, which no published page has, its
// author sees at which positions.
func (v *visit) falseClaim() {
	in := inputOf(v.t, [][2]string{{"third", thirdLesson}})
	in.Lessons[0].Result.Claims[0].Frames[40] = false
	mustWrite(v.t, treeOf(v.t, in), v.dir)
	v.open("course/third/index.html", 1280, 900)
	for _, c := range []struct {
		at   int
		want string
	}{{39, "claim"}, {40, "claim false"}, {10, "claim"}} {
		v.value(turned(firstKnob, c.at))
		v.want(c.want, `document.querySelector("span.claim[data-bound]").className`)
	}
}

// knobTime reports how long a turn takes until the page is laid out, on a
// processor four times slower. Nothing is asserted of it.
func (v *visit) knobTime() {
	slow := func(rate float64) {
		v.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: rate})
			return err
		}))
	}
	slow(4)
	defer slow(1)
	for _, page := range []string{"course/third/index.html", "kiosk/third.html#screen.2"} {
		v.open(page, 1920, 1080)
		v.t.Logf("%s, at a quarter of the speed: %s", page, v.value(`(async () => {
			const k = document.querySelector("[data-knob='0'] input"), times = [];
			for (let round = 0; round < 2; round++) for (let i = 0; i <= 40; i++) {
				await new Promise(requestAnimationFrame);
				const from = performance.now();
				k.value = i;
				k.dispatchEvent(new Event("input", {bubbles: true}));
				document.querySelector("#figure\\.turned").getBoundingClientRect();
				times.push(performance.now() - from);
			}
			const sorted = list => list.slice().sort((a, b) => a - b);
			const first = sorted(times.slice(0, 41)), again = sorted(times.slice(41));
			return "first time " + first[20].toFixed(1) + " ms, at most " + first[40].toFixed(1) + " ms; again " + again[20].toFixed(1) + " ms, at most " + again[40].toFixed(1) + " ms";
		})()`))
	}
}
