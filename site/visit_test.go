package site

import (
	"context"
	"fmt"
	"net/url"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"slipring/engine/sweeptest"
	"slipring/render/browser/browsertest"
	"slipring/site/publish"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// visit is a site on disk, in a browser.
type visit struct {
	t    *testing.T
	ctx  context.Context
	dir  string
	lock sync.Mutex
	said []string // what the browser complained about
	sent []string // addresses that it asked for
}

// openVisit opens the sample site.
func openVisit(t *testing.T) *visit {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "visit")
	v := visitOf(t, dir)
	mustWrite(t, sampleTree(t), v.dir)
	return v
}

// visitOf opens a browser for the site in a folder. Tests with a browser run side
// by side.
func visitOf(t *testing.T, dir string) *visit {
	t.Helper()
	t.Parallel()
	v := &visit{t: t, dir: dir, ctx: browsertest.Start(t)}
	err := chromedp.Listen(v.ctx, func(event any) {
		v.lock.Lock()
		defer v.lock.Unlock()
		switch e := event.(type) {
		case *log.EventEntryAdded:
			v.said = append(v.said, e.Entry.Text+" "+e.Entry.URL)
		case *runtime.EventConsoleAPICalled:
			if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
				v.said = append(v.said, fmt.Sprint(e.Type, " in the console: ", len(e.Args), " values"))
			}
		case *runtime.EventExceptionThrown:
			v.said = append(v.said, fmt.Sprint(e.ExceptionDetails.Text, e.ExceptionDetails.Exception))
		case *network.EventRequestWillBeSent:
			v.sent = append(v.sent, e.Request.URL)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	v.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, network.Enable, network.EnableParams{})
		return err
	}))
	return v
}

// run runs one part of a test, in which the browser must not complain.
func (v *visit) run(name string, f func()) {
	whole := v.t
	defer func() { v.t = whole }()
	whole.Run(name, func(t *testing.T) {
		v.t = t
		f()
		v.silence(name)
	})
}

// do runs steps.
func (v *visit) do(steps ...chromedp.Action[chromedp.Void]) {
	v.t.Helper()
	ctx, cancel := context.WithTimeout(v.ctx, sweeptest.Patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		v.t.Fatal(err)
	}
}

// address gives the address of a page, with its fragment.
func (v *visit) address(page string) string {
	path, fragment, _ := strings.Cut(page, "#")
	u := url.URL{Scheme: "file", Path: filepath.ToSlash(filepath.Join(v.dir, filepath.FromSlash(path))), Fragment: fragment}
	return u.String()
}

// open opens a page at a size, in px.
func (v *visit) open(page string, width, height int64) {
	v.t.Helper()
	v.do(chromedp.EmulateViewport(width, height), chromedp.Navigate("about:blank"), chromedp.Navigate(v.address(page)))
}

// size changes the window's size, in px.
func (v *visit) size(width, height int64) {
	v.t.Helper()
	v.do(chromedp.EmulateViewport(width, height))
}

// value gives the value of a script in the page, as text.
func (v *visit) value(script string) string {
	v.t.Helper()
	got, err := v.evaluate(script)
	if err != nil {
		v.t.Fatalf("%s: %v", script, err)
	}
	return got
}

func (v *visit) evaluate(script string) (string, error) {
	ctx, cancel := context.WithTimeout(v.ctx, sweeptest.Patience)
	defer cancel()
	return chromedp.Run(ctx, chromedp.Evaluate[string]("(async () => String(await ("+script+")))()", chromedp.EvalAwaitPromise))
}

// still gives the value of a script in a page whose own scripts are off, where
// nothing can be waited for.
func (v *visit) still(script string) string {
	v.t.Helper()
	ctx, cancel := context.WithTimeout(v.ctx, sweeptest.Patience)
	defer cancel()
	got, err := chromedp.Run(ctx, chromedp.Evaluate[string](script))
	if err != nil {
		v.t.Fatalf("%s: %v", script, err)
	}
	return got
}

func (v *visit) want(want, script string) {
	v.t.Helper()
	if got := v.value(script); got != want {
		v.t.Errorf("%s is %q, want %q", script, got, want)
	}
}

// until waits until a script gives a value. A page that is just being left
// gives none.
func (v *visit) until(want, script string) {
	v.t.Helper()
	got, err := "", error(nil)
	for end := time.Now().Add(sweeptest.Patience); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if got, err = v.evaluate(script); err == nil && got == want {
			return
		}
	}
	v.t.Fatalf("%s: waited for %q, have %q (%v)", script, want, got, err)
}

// stopClock makes the clock of pages that are opened from now on stand still,
// until clock moves it; now() is their true one. It gives what lets it run.
func (v *visit) stopClock() func() {
	v.t.Helper()
	script := command(v, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
		Source: `window.now = performance.now.bind(performance), window.late = 0, performance.now = () => 1000 * late`,
	})
	return func() {
		command(v, page.RemoveScriptToEvaluateOnNewDocument, page.RemoveScriptToEvaluateOnNewDocumentParams(script))
	}
}

// clock puts the page's clock to so many seconds after it was opened.
func (v *visit) clock(seconds int) {
	v.t.Helper()
	v.value(fmt.Sprintf(`window.late = %d`, seconds))
}

// late does so and waits until the kiosk has looked at it, every 250 ms.
func (v *visit) late(seconds int) {
	v.t.Helper()
	v.clock(seconds)
	v.value(`new Promise(done => setTimeout(done, 600))`)
}

// complaints gives what the browser has complained about since the last time.
func (v *visit) complaints() []string {
	v.lock.Lock()
	defer v.lock.Unlock()
	said := v.said
	v.said = nil
	return said
}

// asked gives the addresses that the browser has asked for since the last time.
func (v *visit) asked() []string {
	v.lock.Lock()
	defer v.lock.Unlock()
	sent := v.sent
	v.sent = nil
	return sent
}

// silence fails when the browser has complained.
func (v *visit) silence(where string) {
	v.t.Helper()
	for _, s := range v.complaints() {
		v.t.Errorf("%s: the browser says: %s", where, s)
	}
}

// media sets features of the reader's screen, such as "prefers-color-scheme"
// to "dark": names and values by turns. What is not named is as usual.
func (v *visit) media(features ...string) {
	v.t.Helper()
	p := emulation.SetEmulatedMediaParams{}
	for i := 0; i+1 < len(features); i += 2 {
		if features[i] == "media" {
			p.Media = features[i+1]
			continue
		}
		p.Features = append(p.Features, &emulation.MediaFeature{Name: features[i], Value: features[i+1]})
	}
	v.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, p)
		return err
	}))
}

// scripts turns the scripts of pages on or off.
func (v *visit) scripts(on bool) {
	v.t.Helper()
	v.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !on})
		return err
	}))
}

func mustWrite(t *testing.T, tree publish.Tree, out string) {
	t.Helper()
	if err := publish.Write(tree, out); err != nil {
		t.Fatal(err)
	}
}
