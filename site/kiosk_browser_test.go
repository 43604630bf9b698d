package site

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"slipring/engine/sweeptest"
)

// command runs one command of the browser.
func command[P, R any](v *visit, c cdp.Command[P, R], params P) R {
	v.t.Helper()
	var result R
	v.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) (err error) {
		result, err = cdp.Call(ctx, t, c, params)
		return err
	}))
	return result
}

// kioskVisit is a house whose kiosk is full, and which asks after 40 s whether
// somebody is there. The pages' clock stands, so that nobody takes too long.
func kioskVisit(t *testing.T) *visit {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	v := visitOf(t, filepath.Join(t.TempDir(), "visit"))
	mustWrite(t, fullKioskTree(t), v.dir)
	v.stopClock()
	return v
}

// Scripts that look at the kiosk.
const (
	onScreen = `[...document.querySelectorAll(".screen")].filter(s => s.offsetHeight > 0).map(s => s.id).join()`
	whole    = `document.documentElement.scrollHeight <= innerHeight && document.documentElement.scrollWidth <= innerWidth`
	// The numbers in the map's drawing lead where its tiles do (WCAG 2.2, 2.5.8: an
	// equivalent).
	seen = `[...document.querySelectorAll("a, button, input")].filter(e => e.getBoundingClientRect().height > 0 && !(e.ownerSVGElement && [...document.querySelectorAll(".choices a")].some(a => a.getAttribute("href") === e.getAttribute("href"))))`
	// What is read, with its size as it is seen, drawings with their scale.
	smaller = `((least, leastMoving) => [...document.querySelectorAll(".screen *")]
		.filter(e => e.getClientRects().length > 0 && [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim() !== "") && !e.closest("desc, title, script"))
		.filter(e => parseFloat(getComputedStyle(e).fontSize) * (e.ownerSVGElement ? e.getScreenCTM().a : 1) < (e.closest(".motion-drawing, .front") ? leastMoving : least))
		.map(e => e.textContent.trim().slice(0, 20) + " " + Math.round(10 * parseFloat(getComputedStyle(e).fontSize) * (e.ownerSVGElement ? e.getScreenCTM().a : 1)) / 10 + " px").join("; "))`
	loaded = `document.readyState === "complete" && location.pathname.split("/").pop() + location.hash`
)

// Every screen of a full kiosk fits, either way up and in both languages; text
// is at least 28 px high at 1080 px, that of figures and dials too, and 24 px in the
// line of origin and in what moves, be it a mechanism or a board; targets are at least 72.3 px, which are 20 mm on a screen of 24
// inches (Colle and Hiszem, Ergonomics 47, 2004); held upright nothing to touch is above the upper
// quarter; and nothing is smaller or stands elsewhere than screens are reckoned with.
func TestKioskScreens(t *testing.T) {
	v := kioskVisit(t)
	for _, name := range []string{"index.html", "fr.html", "lesson-12.html", "lesson-12.fr.html"} {
		want := map[bool]string{true: "8", false: "3"}[strings.HasPrefix(name, "lesson")]
		v.open("kiosk/"+name, 1920, 1080)
		v.want(want, `document.querySelectorAll(".screen").length`)
	}
	v.fit([]string{"kiosk/index.html", "kiosk/fr.html", "kiosk/lesson-12.html", "kiosk/lesson-12.fr.html"}, 3)
}

// checkKiosk: every screen of the shipped lessons' kiosk fits, either way up.
func checkKiosk(t *testing.T, dir string, pages []string) {
	pages = slices.DeleteFunc(slices.Clone(pages), func(page string) bool { return !strings.HasPrefix(page, "kiosk/") })
	visitOf(t, dir).fit(pages, 4)
}

// fit looks at pages, either way up, or at n of these views of them.
func (v *visit) fit(pages []string, n int) {
	v.t.Helper()
	type view struct {
		page string
		size [2]int64
	}
	var views []view
	for _, page := range pages {
		views = append(views, view{page, [2]int64{1920, 1080}}, view{page, [2]int64{1080, 1920}})
	}
	for _, w := range sweeptest.Sample(v.t, views, n) {
		v.run(fmt.Sprintf("%s %dx%d", w.page, w.size[0], w.size[1]), func() {
			v.open(w.page, w.size[0], w.size[1])
			v.fits(w.size)
		})
	}
}

// fits looks at every screen of the page that is open at a size.
func (v *visit) fits(size [2]int64) {
	v.t.Helper()
	v.value(`document.fonts.ready`)
	ids := strings.Split(v.value(`[...document.querySelectorAll(".screen")].map(s => s.id).join()`), ",")
	for _, id := range ids {
		v.value(`location.hash = "` + id + `", new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))`)
		v.want(id, onScreen)
		if got := v.value(whole); got != "true" {
			v.t.Errorf("%s: it does not fit on the screen", id)
		}
		if got := v.value(seen + `.map(e => [e.textContent.trim() || e.id, e.getBoundingClientRect()]).filter(([_, r]) => r.width < 72.2 || r.height < 72.2).map(([t, r]) => t + " " + r.width + "x" + r.height).join("; ")`); got != "" {
			v.t.Errorf("%s: too small to touch: %s", id, got)
		}
		if got := v.value(seen + `.filter(e => e.getBoundingClientRect().bottom > innerHeight + 1 || e.getBoundingClientRect().right > innerWidth + 1).length`); got != "0" {
			v.t.Errorf("%s: %s targets are out of sight", id, got)
		}
		if got := v.value(smaller + `(28, 24)`); got != "" {
			v.t.Errorf("%s: too small to read: %s", id, got)
		}
		v.want("true", `parseFloat(getComputedStyle(document.querySelector(".source")).fontSize) >= 24`)
		v.want("", `[...document.querySelectorAll(".shown :is(p, li, figcaption, label, data, a, button, h1, h2, caption, td, th)")].filter(e => e.offsetHeight > 0 && parseFloat(getComputedStyle(e).fontSize) < 28).map(e => e.textContent.trim().slice(0, 20)).join()`)
		if size[1] > size[0] {
			v.want("0", seen+`.filter(e => e.getBoundingClientRect().top < innerHeight / 4).length`)
		}
		v.sizes(id, size)
		// What shows after the choice that says most.
		if v.value(guessLongest) == "true" {
			if got := v.value(whole); got != "true" {
				v.t.Errorf("%s: it does not fit on the screen after a guess", id)
			}
			if got := v.value(smaller + `(24)`); got != "" {
				v.t.Errorf("%s: too small to read after a guess: %s", id, got)
			}
		}
	}
}

// The screen that calls visitors turns what a lesson told, and a touch
// anywhere begins, in either language.
func TestKioskAttracts(t *testing.T) {
	v := kioskVisit(t)
	const angle = `document.querySelector(".attract [data-part='rotor']").getAttribute("transform")`
	const moved = `(async () => { const from = ` + angle + `; await new Promise(done => setTimeout(done, 300)); return from !== ` + angle + `; })()`
	v.open("kiosk/index.html", 1920, 1080)
	v.want("kiosk.attract", onScreen)
	v.want("What keeps it in time?", `document.querySelector(".attract h1").textContent`)
	v.until("true", moved)
	// The data are those of the first lesson that tells a governor.
	told := v.value(`document.querySelector(".attract .motion-data").textContent`)
	v.value(`document.querySelector(".attract .motion-button").click()`)
	v.want("kiosk.attract", onScreen) // the button is no way in
	v.want("false", moved)
	v.value(`document.querySelector(".attract .motion-button").click()`)
	v.until("true", moved)
	x, y := 960.0, 40.0
	tap(v, x, y)
	v.until("kiosk.map", onScreen)
	v.want("12", `document.querySelectorAll(".choices a").length`)
	v.want("kiosk.choose", `document.activeElement.id`)
	v.value(`document.querySelector(".map .home").click()`)
	v.want("kiosk.attract", onScreen)
	v.value(`document.querySelector(".begin a[hreflang=fr]").click()`)
	v.until("fr.html#kiosk.map", loaded)
	v.want("fr", `document.documentElement.lang`)
	v.want("kiosk.map", onScreen)
	v.open("kiosk/lesson-1.html", 1920, 1080)
	v.want("true", `(a => a.channels.angle.join() === JSON.parse(document.querySelector(".motion-data").textContent).channels.angle.join())(`+told+`)`)

	// Who asks for less motion sees a still, and can play it.
	v.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}},
		})
		return err
	}))
	v.open("kiosk/index.html", 1080, 1920)
	v.want("false", moved)
	v.value(`document.querySelector(".attract .motion-button").click()`)
	v.until("true", moved)
	v.silence("attract")

	// Without any motion the screen has its line and its way in.
	plain := documents(t, sampleTree(t))["kiosk/index.html"]
	if got := text(plain.class("attract")[0]); got != "The Test House How does it work? Touch to begin" {
		t.Errorf("without a motion it says %q", got)
	}
}

// tap touches a place with a finger.
func tap(v *visit, x, y float64) {
	v.t.Helper()
	command(v, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: input.DispatchTouchEventTypeTouchStart, TouchPoints: []*input.TouchPoint{{X: x, Y: y}}})
	command(v, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: input.DispatchTouchEventTypeTouchEnd, TouchPoints: []*input.TouchPoint{}})
}

// tapOn touches the middle of what a selector finds.
func tapOn(v *visit, selector string) {
	v.t.Helper()
	at := strings.Fields(v.value(`(r => (r.x + r.width / 2) + " " + (r.y + r.height / 2))(document.querySelector("` + selector + `").getBoundingClientRect())`))
	var n [2]float64
	for i, s := range at {
		n[i], _ = strconv.ParseFloat(s, 64)
	}
	tap(v, n[0], n[1])
}

// A kiosk that nobody touches asks, and then starts again in the house's first
// language, with nothing left of what the last visitor chose.
func TestKioskLeftAlone(t *testing.T) {
	v := kioskVisit(t)
	const asks = `document.querySelector(".ask").open`
	const settings = `[...document.querySelectorAll(".setting")].map(e => e.textContent.replace(/\s/g, " ")).join()`
	v.open("kiosk/lesson-2.fr.html#screen.3", 1080, 1920)
	start := v.value(settings)
	v.value(turned(`document.querySelector(".shown .knob input")`, 7))
	if v.value(settings) == start {
		t.Fatal("the knob turns nothing")
	}
	v.late(39)
	v.want("false", asks)
	v.late(41)
	v.want("true", asks)
	v.want("Toujours l\u00e0\u202f?", `document.querySelector(".still").textContent`)
	v.want("true", whole)
	v.want("19", `document.querySelector(".ask .left").textContent`)
	// A finger that answers reaches nothing below.
	tapOn(v, ".ask .stay")
	v.until("false", asks)
	v.want("screen.3", onScreen)
	v.late(41 + 39)
	v.want("false", asks)
	v.late(41 + 41)
	v.want("true", asks)
	v.clock(41 + 61)
	v.until("index.html", loaded)
	v.want("en", `document.documentElement.lang`)
	v.want("kiosk.attract", onScreen)
	v.late(41) // the first screen asks nobody
	v.want("false", asks)
	v.late(200)
	v.want("index.html", loaded)
	v.want("false", asks)
	v.want("0", `localStorage.length + sessionStorage.length`)
	v.open("kiosk/lesson-2.html#screen.3", 1080, 1920)
	v.want("0.50 N m,40 \u00b0C,0.75", settings)
	v.late(41)
	v.want("true", asks)
	v.value(`document.querySelector(".ask .again").click()`)
	v.until("index.html", loaded)
	// The map asks as well.
	v.open("kiosk/index.html#kiosk.map", 1920, 1080)
	v.late(41)
	v.want("true", asks)
	v.clock(61)
	v.until("index.html", loaded)
	v.silence("left alone")
}

// The language is switched where the visitor is: same screen, same knobs.
func TestKioskKeepsPlace(t *testing.T) {
	v := kioskVisit(t)
	v.open("kiosk/lesson-3.html", 1920, 1080)
	v.value(`document.querySelector(".panels a[href='#screen.4']").click()`)
	v.want("screen.4", onScreen)
	v.value(turned(`document.querySelector(".shown [data-knob='1'] input")`, 2))
	v.value(turned(`document.querySelector(".shown [data-knob='2'] input")`, 3))
	v.value(`document.querySelector(".shown .languages a[hreflang=fr]").click()`)
	v.until("lesson-3.fr.html#screen.4~10~2~3", loaded)
	v.want("screen.4", onScreen)
	v.want("2 3", `[...document.querySelectorAll(".shown .knob input")].map(k => k.value).join(" ")`)
	v.want("60 \u00b0C,0,25", `[...document.querySelectorAll(".shown .setting")].map(e => e.textContent.replace(/\s/g, " ")).join()`)
	v.value(`document.querySelector(".shown .languages a[hreflang=en]").click()`)
	v.until("lesson-3.html#screen.4~10~2~3", loaded)
	v.want("2 3", `[...document.querySelectorAll(".shown .knob input")].map(k => k.value).join(" ")`)
	v.silence("language")
}

// The whole kiosk works by keyboard alone.
func TestKioskByKeyboard(t *testing.T) {
	v := kioskVisit(t)
	v.open("kiosk/index.html", 1920, 1080)
	press := func(keys ...string) {
		for _, key := range keys {
			v.do(chromedp.KeyEvent(key))
		}
	}
	press(kb.Enter)
	v.want("kiosk.map", onScreen)
	press(kb.ArrowRight, kb.ArrowRight, kb.ArrowDown)
	v.want("6", `[...document.querySelectorAll(".choices a")].indexOf(document.activeElement) + 1`)
	press(kb.Escape)
	v.want("kiosk.attract", onScreen)
	press(kb.ArrowRight, kb.Tab, kb.Tab)
	v.want("2", `[...document.querySelectorAll(".choices a")].indexOf(document.activeElement) + 1`)
	press(kb.Enter)
	v.until("lesson-2.html", loaded)
	press(kb.ArrowRight, kb.ArrowRight)
	v.want("screen.3", onScreen)
	press(kb.Tab)
	v.want("0", `document.activeElement.closest(".knob").dataset.knob`)
	before := v.value(`document.activeElement.value`)
	press(kb.ArrowRight)
	v.want("screen.3", onScreen)
	if v.value(`document.activeElement.value`) == before {
		t.Error("the arrow key does not turn the knob")
	}
	// Whatever has the focus can be seen to have it.
	v.want("0", `[...document.querySelectorAll(".shown :is(a, button, input)")].filter(e => { e.focus(); return document.activeElement !== e || getComputedStyle(e).outlineStyle === "none"; }).length`)
	v.value(`document.querySelector(".shown .studs a").focus()`)
	press(kb.Enter)
	v.want("screen.1", onScreen)
	press(kb.Escape)
	v.until("index.html#kiosk.map", loaded)
	v.want("kiosk.map", onScreen)
	v.silence("keyboard")
}

// Touches do what they should and nothing else: no menu, no selection, no
// dragging, no zoom by a double tap, and no growing history.
func TestKioskTouch(t *testing.T) {
	v := kioskVisit(t)
	command(v, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true, MaxTouchPoints: 5})
	v.open("kiosk/lesson-1.html#screen.2", 1080, 1920)
	before := v.value(`history.length`)
	tapOn(v, ".shown .next")
	v.until("screen.3", onScreen)
	tapOn(v, ".shown .studs a:nth-child(5)")
	v.until("screen.5", onScreen)
	tapOn(v, ".shown .back")
	v.until("screen.4", onScreen)
	tapOn(v, ".shown .strip a")
	v.until("screen.1", onScreen)
	tapOn(v, ".shown .signs li:nth-child(1) a")
	v.until("notice.voltage", onScreen)
	tapOn(v, ".shown .back")
	v.until("screen.1", onScreen)
	tapOn(v, ".shown .panels li:nth-child(1) a")
	v.until("screen.2", onScreen)
	tapOn(v, ".shown .motion-button")
	v.until("Play", `document.querySelector(".shown .motion-button").textContent`)
	tapOn(v, ".shown .home")
	v.until("index.html#kiosk.map", loaded)
	v.want(before, `history.length`)

	v.open("kiosk/lesson-1.html#screen.2", 1920, 1080)
	for _, name := range []string{"contextmenu", "selectstart", "dragstart", "auxclick"} {
		v.want("true", `(e => { document.querySelector(".shown .words p").dispatchEvent(e); return e.defaultPrevented; })(new Event("`+name+`", {bubbles: true, cancelable: true}))`)
	}
	at := strings.Fields(v.value(`(r => r.x + 60 + " " + (r.y + 20))(document.querySelector(".shown .words p").getBoundingClientRect())`))
	x, _ := strconv.ParseFloat(at[0], 64)
	y, _ := strconv.ParseFloat(at[1], 64)
	for range 2 {
		v.do(chromedp.MouseEvent(chromedp.MousePressed, x, y, chromedp.ButtonLeft),
			chromedp.MouseEvent(chromedp.MouseMoved, x+300, y+40, chromedp.ButtonLeft),
			chromedp.MouseEvent(chromedp.MouseReleased, x+300, y+40, chromedp.ButtonLeft))
	}
	v.want("", `getSelection().toString()`)
	tap(v, x, y)
	tap(v, x, y)
	v.want("1", `visualViewport.scale`)
	v.want("pan-y", `getComputedStyle(document.documentElement).touchAction`)
	v.want("true", `!/maximum-scale|user-scalable/.test(document.querySelector("meta[name=viewport]").content)`)
	// Every file that was asked for is one of the site's own.
	own := v.address("")
	if len(v.sent) < 10 {
		t.Errorf("the browser asked for %d files only", len(v.sent))
	}
	for _, address := range v.sent {
		if !strings.HasPrefix(address, strings.TrimSuffix(own, "/")+"/") && address != "about:blank" {
			t.Errorf("the browser asked for %s", address)
		}
	}
	v.silence("touch")
}

// Without scripts all panels stand below each other, and every way leads on.
func TestKioskWithoutScripts(t *testing.T) {
	v := kioskVisit(t)
	command(v, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
	v.open("kiosk/lesson-1.html", 1080, 1920)
	got := v.still(`(tops => tops.length + " " + tops.every((y, i) => i === 0 || y > tops[i - 1] + 500))([...document.querySelectorAll(".screen:not(.beside)")].map(s => s.getBoundingClientRect().top))`)
	if got != "5 true" {
		t.Errorf("without scripts there are %s screens", got)
	}
	got = v.still(`[...document.querySelectorAll(".words p, .notice p, .motion-drawing, .plot")].filter(e => e.getBoundingClientRect().height < 20).length + " " + [...document.querySelectorAll(".words p")].length + " " + document.documentElement.scrollWidth`)
	if got != "0 4 1080" {
		t.Errorf("without scripts what can be seen is %s", got)
	}
	v.open("kiosk/index.html", 1920, 1080)
	got = v.still(`[...document.querySelectorAll(".screen:not(.beside)")].filter(s => s.getBoundingClientRect().height > 500).length + " " + document.querySelectorAll(".choices a").length`)
	if got != "2 12" {
		t.Errorf("without scripts the first page has %s", got)
	}
	v.silence("without scripts")
}

// Text of twice its size: either of the browser's own enlargements. Nothing is
// cut off or needs scrolling sideways (WCAG 2.2, success criteria 1.4.4 and
// 1.4.10).
func TestKioskEnlarged(t *testing.T) {
	v := kioskVisit(t)
	check := func(name string) {
		v.value(`document.fonts.ready`)
		for _, id := range strings.Split(v.value(`[...document.querySelectorAll(".screen")].map(s => s.id).join()`), ",") {
			v.value(`location.hash = "` + id + `", new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))`)
			if got := v.value(`document.documentElement.scrollWidth - innerWidth`); got != "0" {
				v.t.Errorf("%s#%s is %s px too wide", name, id, got)
			}
			if got := v.value(`[...document.querySelectorAll(".shown *")].filter(e => e.getClientRects().length && !e.closest("svg, script") && e.scrollWidth > e.clientWidth + 2 && e.clientWidth > 0 && getComputedStyle(e).display !== "inline").map(e => e.tagName + "." + e.className).join()`); got != "" {
				v.t.Errorf("%s#%s cuts off %s", name, id, got)
			}
			if got := v.value(seen + `.filter(e => e.getBoundingClientRect().bottom + scrollY > document.documentElement.scrollHeight + 1).length`); got != "0" {
				v.t.Errorf("%s#%s: %s targets cannot be reached", name, id, got)
			}
		}
	}
	for _, name := range []string{"kiosk/index.html", "kiosk/lesson-12.fr.html"} {
		v.run("zoomed "+name, func() {
			v.open(name, 960, 540)
			check(name)
			v.open(name, 540, 960)
			check(name)
		})
	}
	command(v, page.SetFontSizes, page.SetFontSizesParams{FontSizes: &page.FontSizes{Standard: 32, Fixed: 26}})
	for _, name := range []string{"kiosk/index.html", "kiosk/lesson-12.fr.html"} {
		v.run("larger text "+name, func() {
			for _, size := range [][2]int64{{1920, 1080}, {1080, 1920}} {
				v.open(name, size[0], size[1])
				v.want("56", `parseFloat(getComputedStyle(document.documentElement).fontSize)`)
				check(name)
			}
		})
	}
}
