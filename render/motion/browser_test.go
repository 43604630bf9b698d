package motion

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"slipring/engine/sweeptest"
	"slipring/render/browser/browsertest"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"slipring/render/markup"
)

type tab struct {
	t   testing.TB
	ctx context.Context
}

// open opens a page from a file. Whatever the page complains of, such as a
// violated policy, fails the test.
func open(t testing.TB, in context.Context, html string) tab {
	t.Helper()
	file := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(file, []byte(html), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := chromedp.NewContext(in)
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatal(err)
	}
	var mu sync.Mutex
	err := chromedp.Listen(ctx, func(event any) {
		mu.Lock()
		defer mu.Unlock()
		switch e := event.(type) {
		case *log.EventEntryAdded:
			t.Errorf("the page complains: %s", e.Entry.Text)
		case *runtime.EventExceptionThrown:
			t.Errorf("the page fails: %v %v", e.ExceptionDetails.Text, e.ExceptionDetails.Exception)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	slashed := filepath.ToSlash(file)
	if !strings.HasPrefix(slashed, "/") {
		slashed = "/" + slashed
	}
	p := tab{t, ctx}
	if err := p.limited(chromedp.Navigate((&url.URL{Scheme: "file", Path: slashed}).String())); err != nil {
		t.Fatal(err)
	}
	return p
}

func (p tab) limited(steps ...chromedp.Action[chromedp.Void]) error {
	ctx, cancel := context.WithTimeout(p.ctx, sweeptest.Patience)
	defer cancel()
	return chromedp.Do(ctx, steps...)
}

// do runs a script in the page and gives its value as text.
func (p tab) do(script string) string {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, sweeptest.Patience)
	defer cancel()
	value, err := chromedp.Run(ctx, chromedp.Evaluate[string]("(async () => String(await ("+script+")))()", chromedp.EvalAwaitPromise))
	if err != nil {
		p.t.Fatalf("%s: %v", script, err)
	}
	return value
}

func (p tab) want(want, script string) {
	p.t.Helper()
	if got := p.do(script); got != want {
		p.t.Errorf("%s: %q, want %q", script, got, want)
	}
}

func (p tab) number(script string) float64 {
	p.t.Helper()
	x, err := strconv.ParseFloat(p.do(script), 64)
	if err != nil {
		p.t.Fatalf("%s: %v", script, err)
	}
	return x
}

// Lines of script that ask the page.
const (
	angle  = `+document.querySelector('[data-part=rotor]').getAttribute('transform').slice(7).split(' ')[0]`
	slider = `+document.querySelector('.motion-slider').value`
	button = `document.querySelector('.motion-button').textContent`
	press  = `document.querySelector('.motion-button').click()`
	cursor = `document.querySelector('.cursor').getAttribute('x1')`
	// two frames later
	frames = `new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 50))))`
)

// page puts a drawing beside a plot into a page with a strict policy.
func page(t testing.TB, d Drawing, attributes string) string {
	t.Helper()
	code := ""
	for _, file := range []string{"films.js", "motion.js"} {
		b, err := os.ReadFile("../../site/web/" + file)
		if err != nil {
			t.Fatal(err)
		}
		code += string(b)
	}
	sum := sha256.Sum256([]byte(code))
	return fmt.Sprintf(`<!doctype html><html lang="en"><meta charset="utf-8"><title>test</title>
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src 'sha256-%s'">
<body><figure class="motion" data-plot="beside"%s>%s<script type="application/json" class="motion-data">%s</script></figure>
<svg id="beside" width="300" height="100" data-x-from="0" data-x-to="0.1" data-left="50" data-right="250" data-top="10" data-bottom="90"></svg>
<script>%s</script>`, base64.StdEncoding.EncodeToString(sum[:]), attributes, d.SVG, d.Data, code)
}

func TestPageMoves(t *testing.T) {
	in := browsertest.Start(t)
	m := drawn(t)[0] // a governor over 1 turn of 50 ms
	f := filmOf(t, m)
	still := markup.Tenths(f.value("angle", f.Still))

	p := open(t, in, page(t, m.drawing, ""))
	p.want("Play", button)
	p.want(still, angle)
	p.do(frames)
	p.want(still, angle) // nothing moves by itself

	// the slider shows any instant, and the drawing and the plot follow
	p.do(`(() => { const s = document.querySelector('.motion-slider'); s.value = 500; s.dispatchEvent(new Event('input')) })()`)
	p.want("180", angle)
	p.want("180°, contact open, motor runs free", `document.querySelector('.motion-slider').getAttribute('aria-valuetext')`)
	p.want("none", `document.querySelector('[data-part=closed]').getAttribute('display')`)
	p.want("null", `document.querySelector('[data-part=open]').getAttribute('display')`)
	p.want("100.0", cursor) // 25 ms of an axis from 0 to 100 ms, from 50 to 250 px

	// play plays, pause pauses
	p.do(press)
	p.want("Pause", button)
	p.do(frames)
	first := p.number(angle)
	p.do(frames)
	second := p.number(angle)
	if !(first > 180 && second > first) {
		t.Errorf("after play the drawing stands at %v° and then at %v°", first, second)
	}
	p.do(press)
	p.want("Play", button)
	stopped := p.number(angle)
	if at := p.number(slider) * 360 / 1000; at < stopped-1 || at > stopped+1 {
		t.Errorf("the slider stands at %v°, the drawing at %v°", at, stopped)
	}
	p.do(frames)
	if now := p.number(angle); now != stopped {
		t.Errorf("after pause the drawing goes on from %v° to %v°", stopped, now)
	}

	// out of sight nothing is drawn; in sight again it goes on
	p.do(press)
	p.do(`document.querySelector('figure').hidden = true`)
	p.do(frames)
	hidden := p.number(angle)
	p.do(frames)
	if now := p.number(angle); now != hidden {
		t.Errorf("out of sight the drawing goes on from %v° to %v°", hidden, now)
	}
	p.do(`document.querySelector('figure').hidden = false`)
	p.do(frames)
	if now := p.number(angle); now == hidden {
		t.Error("in sight again the drawing stands still")
	}

	// keys of the slider stay with it
	p.do(`document.addEventListener('keydown', () => { window.heard = true })`)
	p.do(`document.querySelector('.motion-slider').dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true }))`)
	p.want("undefined", `window.heard`)

	// as on the first day
	p.do(`motion.reset(document)`)
	p.want("Play", button)
	p.want(still, angle)

	// started twice, a drawing has its controls once
	p.do(`motion.start(document)`)
	p.want("1", `document.querySelectorAll('.motion-controls').length`)
}

func TestPagePlaysByItself(t *testing.T) {
	m := drawn(t)[0]
	p := open(t, browsertest.Start(t), page(t, m.drawing, " data-autoplay"))
	p.want("Pause", button)
	p.do(frames)
	first := p.number(angle)
	p.do(frames)
	if p.number(angle) == first {
		t.Error("the drawing does not play by itself")
	}
}

// WCAG 2.2, 2.3.3, and the reader's own setting: nothing moves by itself then,
// but play still plays.
func TestPageKeepsStillWhenAsked(t *testing.T) {
	m := drawn(t)[0]
	f := filmOf(t, m)
	p := open(t, browsertest.Start(t, "force-prefers-reduced-motion"), page(t, m.drawing, " data-autoplay"))
	p.want("true", `matchMedia('(prefers-reduced-motion: reduce)').matches`)
	p.want("Play", button)
	p.do(frames)
	p.want(markup.Tenths(f.value("angle", f.Still)), angle)
	p.do(press)
	p.do(frames)
	if p.number(angle) == f.value("angle", f.Still) {
		t.Error("play does not play")
	}
}

// A motion that does not come back to where it began holds its end and says
// that it begins again; then it does. One that comes back says nothing.
func TestPageHoldsTheEnd(t *testing.T) {
	const again = `(e => e ? e.textContent + ' ' + getComputedStyle(e).visibility : 'none')(document.querySelector('.motion-again'))`
	const waits = `new Promise(done => { const look = () => %s ? done('now') : requestAnimationFrame(look); look() })`
	seen := `!document.querySelector('.motion-again').hidden`
	in := browsertest.Start(t)
	p := open(t, in, page(t, drawn(t)[0].drawing, ""))
	p.want("none", again)
	m := drawn(t)[1] // a governor that hunts
	f := filmOf(t, m)
	css, err := os.ReadFile("../../site/web/motion.css")
	if err != nil {
		t.Fatal(err)
	}
	p = open(t, in, strings.Replace(page(t, m.drawing, ""), "script-src", "style-src 'unsafe-inline'; script-src", 1)+"<style>"+string(css)+"</style>")
	p.want("Again from the start hidden", again)
	before := p.do(`document.querySelector('.motion-slider').getBoundingClientRect().width`)
	p.do(fmt.Sprintf(`motion.show(document.querySelector('figure'), %v)`, 0.998*f.Span))
	p.do(press)
	p.want("now", fmt.Sprintf(waits, seen))
	p.want("Again from the start visible", again)
	p.want(markup.Tenths(f.value("angle", f.From+f.Span)), angle)
	p.want("1000", slider)
	p.want(before, `document.querySelector('.motion-slider').getBoundingClientRect().width`)
	p.want("now", fmt.Sprintf(waits, "!("+seen+")"))
	if at := p.number(slider); at > 500 {
		t.Errorf("after the end the slider stands at %v", at)
	}
}

// Every mechanism runs through in the page without a complaint, and lands where
// it would land in Go.
func TestPageOfEveryMechanism(t *testing.T) {
	in := browsertest.Start(t)
	for _, m := range drawn(t) {
		f := filmOf(t, m)
		p := open(t, in, page(t, m.drawing, ""))
		for _, part := range []float64{0, 0.137, 0.501, 0.871} {
			p.do(fmt.Sprintf(`motion.show(document.querySelector('figure'), %v)`, part*f.Span))
			for name, attributes := range f.at(f.From + part*f.Span) {
				for _, a := range attributes {
					got := p.do(fmt.Sprintf(`document.querySelector('[data-part="%s"]').getAttribute('%s')`, name, a.name))
					if !near(a.value, got) {
						t.Errorf("%s at %v: %s has %s=%q in the page, %q here", m.motion.Name, part, name, a.name, got, a.value)
					}
				}
			}
		}
	}
}
