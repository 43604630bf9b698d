// Package browsertest starts a browser for tests that open pages.
//
//	ctx := browsertest.Start(t)
//	err := chromedp.Run(ctx, chromedp.Navigate(url))
//
// Nothing but tests imports it.
package browsertest

import (
	"context"
	"os"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"slipring/engine/sweeptest"
	"slipring/render/browser"
)

// Start starts a browser without a window, for one test and its parts; flags
// are further switches of it, such as "force-prefers-reduced-motion". Where no
// browser is installed the test is skipped, or fails when it is required.
func Start(t testing.TB, flags ...string) context.Context {
	t.Helper()
	program, ok := browser.Find()
	if !ok {
		sweeptest.Missing(t, "browser", "no browser of the Chromium family was found")
	}
	// The browser's last processes may still write when the test is over, so
	// its folder is not one that the test insists on emptying.
	folder, err := os.MkdirTemp("", "browser-")
	if err != nil {
		t.Fatal(err)
	}
	options := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(program), chromedp.UserDataDir(folder), chromedp.NoFirstRun, chromedp.Headless,
		chromedp.WSURLReadTimeout(time.Minute), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.WindowSize(1000, 800),
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true), chromedp.Flag("disable-dev-shm-usage", true),
	}
	for _, f := range flags {
		options = append(options, chromedp.Flag(f, true))
	}
	allocator, free := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(allocator)
	t.Cleanup(func() {
		cancel()
		free()
		os.RemoveAll(folder)
	})
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("%s does not start: %v", program, err)
	}
	return ctx
}
