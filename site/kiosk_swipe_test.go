package site

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
)

// swipe draws a finger over the glass, in four moves.
func swipe(v *visit, x, y, dx, dy float64) {
	v.t.Helper()
	touch := func(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
		command(v, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
	}
	touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: x, Y: y})
	for i := 1.0; i <= 4; i++ {
		touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: x + dx*i/4, Y: y + dy*i/4})
	}
	touch(input.DispatchTouchEventTypeTouchEnd)
}

// touching makes the browser one with a touch screen.
func touching(v *visit) {
	v.t.Helper()
	command(v, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true, MaxTouchPoints: 5})
}

// A finger that moves across turns to the next screen; one that moves down, or
// little, or begins on a dial or a slider does not. A swipe touches nothing.
func TestKioskSwipe(t *testing.T) {
	v := kioskVisit(t)
	touching(v)
	for _, size := range [][2]int64{{1920, 1080}, {1080, 1920}} {
		v.open("kiosk/lesson-1.html", size[0], size[1])
		x, y := float64(size[0])/2, float64(size[1])/3
		for _, c := range []struct {
			dx, dy float64
			want   string
		}{
			{-300, 20, "screen.2"}, {-300, -90, "screen.3"}, {-60, 0, "screen.3"}, {-150, 200, "screen.3"}, {0, -300, "screen.3"},
			{300, 30, "screen.2"}, {300, 0, "screen.1"}, {300, 0, "screen.1"},
			{-300, 0, "screen.2"}, {-300, 0, "screen.3"}, {-300, 0, "screen.4"}, {-300, 0, "screen.5"}, {-300, 0, "screen.5"},
		} {
			swipe(v, x, y, c.dx, c.dy)
			v.until(c.want, onScreen)
		}
		// On a link: it is not followed.
		at := v.numbers(`(r => [r.x + r.width / 2, r.y + r.height / 2].join(" "))(document.querySelector(".shown .home").getBoundingClientRect())`, 2)
		swipe(v, at[0], at[1], 300, 0)
		v.until("screen.4", onScreen)
		v.want("true", `location.pathname.endsWith("/lesson-1.html")`)
		// On a dial, and on the slider of a motion.
		at = v.numbers(`(r => [r.x, r.y + r.height / 3, r.width].join(" "))(document.querySelector(".shown .dial").getBoundingClientRect())`, 3)
		swipe(v, at[0]+at[2]/2, at[1], 300, 0)
		v.want("screen.4", onScreen)
		v.value(`location.hash = "screen.2", new Promise(requestAnimationFrame)`)
		v.until("screen.2", onScreen)
		at = v.numbers(`(r => [r.x + r.width / 2, r.y + r.height / 2].join(" "))(document.querySelector(".shown .motion-slider").getBoundingClientRect())`, 2)
		swipe(v, at[0], at[1], -300, 0)
		v.want("screen.2", onScreen)
		// From behind a sign it leads back to where the visitor was.
		v.value(`document.querySelector(".shown .strip a").click(), document.querySelector(".shown .signs a").click()`)
		v.want("notice.voltage", onScreen)
		swipe(v, x, y, -300, 0)
		v.until("screen.1", onScreen)
	}
	// From the map back to the start, and on again.
	v.open("kiosk/index.html#kiosk.map", 1920, 1080)
	swipe(v, 960, 300, 300, 0)
	v.until("kiosk.attract", onScreen)
	swipe(v, 960, 300, -300, 0)
	v.until("kiosk.map", onScreen)
	v.silence("swipe")
}

// Larger text is half as large again where the house states no screen, on all pages that follow, until the next
// visitor; all can be reached, by scrolling down alone, but for figures that are
// wider than an upright screen, which move under the finger.
func TestKioskLargerText(t *testing.T) {
	v := kioskVisit(t)
	const size = `parseFloat(getComputedStyle(document.querySelector(".shown :is(.words p, .title, .panels span)")).fontSize)`
	for _, window := range [][2]int64{{1920, 1080}, {1080, 1920}} {
		v.open("kiosk/lesson-3.html#screen.3", window[0], window[1])
		v.want("false", `document.querySelector(".shown button.larger").getAttribute("aria-pressed")`)
		v.value(`window.small = ` + size)
		v.value(`document.querySelector(".shown button.larger").click()`)
		v.want("true", `document.querySelector(".shown button.larger").getAttribute("aria-pressed")`)
		v.want("1.50", `(`+size+` / small).toFixed(2)`)
		// The text of figures as well.
		v.want("", smaller+`(41.8, 36)`)
		for _, id := range strings.Split(v.value(`[...document.querySelectorAll(".screen")].map(s => s.id).join()`), ",") {
			v.value(`location.hash = "` + id + `", new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))`)
			v.want("0", `document.documentElement.scrollWidth - innerWidth`)
			v.want("0", seen+`.filter(e => e.getBoundingClientRect().bottom + scrollY > document.documentElement.scrollHeight + 1 || e.getBoundingClientRect().right > innerWidth).length`)
			v.want("", `[...document.querySelectorAll(".shown *")].filter(e => e.getClientRects().length && !e.closest("svg, script") && e.scrollWidth > e.clientWidth + 2 && e.clientWidth > 0 && !/inline|contents/.test(getComputedStyle(e).display) && getComputedStyle(e).overflowX !== "auto" && getComputedStyle(e.parentElement).overflowX !== "auto").map(e => e.tagName + "." + e.className).join()`)
		}
	}
	v.value(`document.querySelector(".shown .home").click()`)
	v.until("index.html#kiosk.map", loaded)
	v.want("true", `document.documentElement.classList.contains("larger") && document.querySelector(".shown .larger").getAttribute("aria-pressed") === "true"`)
	v.value(`document.querySelectorAll(".choices a")[1].click()`)
	v.until("lesson-2.html", loaded)
	v.want("true", `document.documentElement.classList.contains("larger")`)
	v.value(`document.querySelector(".shown .languages a").click()`)
	v.until("lesson-2.fr.html#screen.1~10~1~1", loaded)
	v.want("true", `document.documentElement.classList.contains("larger")`)
	// The next visitor begins with the usual size: after the start screen, and
	// when nobody was there.
	v.open("kiosk/index.html#kiosk.map", 1920, 1080)
	v.value(`document.querySelector(".shown button.larger").click()`)
	v.want("true", `document.documentElement.classList.contains("larger")`)
	v.value(`document.querySelector(".shown .home").click()`)
	v.want("false", `document.documentElement.classList.contains("larger")`)
	v.open("kiosk/lesson-2.html", 1920, 1080)
	v.value(`document.querySelector(".shown button.larger").click()`)
	v.late(41)
	v.value(`document.querySelector(".ask .again").click()`)
	v.until("index.html", loaded)
	v.want("false", `document.documentElement.classList.contains("larger")`)
	v.silence("larger")
}
