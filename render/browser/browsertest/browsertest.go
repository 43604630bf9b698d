// Package browsertest starts a browser for tests that open pages.
//
//	func TestMain(m *testing.M) { browsertest.Main(m) }
//
//	ctx := browsertest.Start(t)
//	err := chromedp.Run(ctx, chromedp.Navigate(url))
//
// Nothing but tests imports it.
package browsertest

import (
	"context"
	"os"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"

	"slipring/engine/sweeptest"
	"slipring/render/browser"
)

// shared is the browser of all tests of a package that has Main.
var shared struct {
	lock sync.Mutex
	main bool
	ctx  context.Context
	stop func()
}

// Main runs the tests of a package, which share one browser, and exits. Without
// it each test has one of its own, whose start takes longer than most tests.
func Main(m *testing.M) {
	shared.main = true
	code := m.Run()
	if shared.stop != nil {
		shared.stop()
	}
	os.Exit(code)
}

// Start gives a tab of a browser without a window, for one test and its parts.
// Nothing that the test sets or stores reaches another test. Flags are further
// switches of the browser, such as "force-prefers-reduced-motion", which then is
// one of its own. Where no browser is installed the test is skipped, or fails
// when it is required.
func Start(t testing.TB, flags ...string) context.Context {
	t.Helper()
	program, ok := browser.Find()
	if !ok {
		sweeptest.Missing(t, "browser", "no browser of the Chromium family was found")
	}
	if !shared.main || len(flags) > 0 {
		ctx, stop := start(t, program, flags)
		t.Cleanup(stop)
		return ctx
	}
	shared.lock.Lock()
	defer shared.lock.Unlock()
	if shared.ctx == nil || shared.ctx.Err() != nil { // one that crashed fails its test alone
		shared.ctx, shared.stop = start(t, program, nil)
	}
	ctx, closeTab := chromedp.NewContext(shared.ctx, chromedp.WithNewBrowserContext())
	t.Cleanup(closeTab)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("%s opens no tab: %v", program, err)
	}
	return ctx
}

// start starts a browser, and gives what stops it.
func start(t testing.TB, program string, flags []string) (context.Context, func()) {
	t.Helper()
	options := []chromedp.ExecAllocatorOption{chromedp.NoSandbox, chromedp.WindowSize(1000, 800)}
	for _, f := range flags {
		options = append(options, chromedp.Flag(f, true))
	}
	tab, stop, err := browser.Start(context.Background(), program, options...)
	if err != nil {
		t.Fatalf("%s does not start: %v", program, err)
	}
	return tab, stop
}
