package preview

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"slipring/engine/sweeptest"
)

// tab is one open page.
type tab struct {
	t   testing.TB
	ctx context.Context
}

// open opens a page in a tab of its own. What the page complains of in the
// console, such as a violated policy, fails the test, but for lines that hold
// one of the words in expected.
func open(t testing.TB, browser context.Context, url string, expected ...string) tab {
	t.Helper()
	ctx, cancel := chromedp.NewContext(browser)
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("opening a tab: %v", err)
	}
	var mu sync.Mutex
	var complaints []string
	complain := func(text string) {
		mu.Lock()
		defer mu.Unlock()
		complaints = append(complaints, text)
	}
	err := chromedp.Listen(ctx, func(event any) {
		switch e := event.(type) {
		case *log.EventEntryAdded:
			complain(e.Entry.Text + " " + e.Entry.URL)
		case *runtime.EventExceptionThrown:
			complain(fmt.Sprint(e.ExceptionDetails.Text, e.ExceptionDetails.Exception))
		case *runtime.EventConsoleAPICalled:
			complain(fmt.Sprint("console ", e.Type, len(e.Args)))
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		mu.Lock()
		defer mu.Unlock()
		for _, text := range complaints {
			known := strings.Contains(text, "favicon.ico")
			for _, word := range expected {
				known = known || strings.Contains(text, word)
			}
			if !known {
				t.Errorf("the page complains: %s", text)
			}
		}
	})
	p := tab{t, ctx}
	if err := p.limited(chromedp.Navigate(url)); err != nil {
		t.Fatalf("opening %s: %v", url, err)
	}
	return p
}

// limited runs steps, for a limited time.
func (p tab) limited(steps ...chromedp.Action[chromedp.Void]) error {
	ctx, cancel := context.WithTimeout(p.ctx, sweeptest.Patience)
	defer cancel()
	return chromedp.Do(ctx, steps...)
}

// do runs a script in the page and gives its value as text.
func (p tab) do(script string, args ...any) string {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, sweeptest.Patience)
	defer cancel()
	value, err := chromedp.Run(ctx, chromedp.Evaluate[string]("(async () => String(await ("+fmt.Sprintf(script, args...)+")))()", chromedp.EvalAwaitPromise))
	if err != nil {
		p.t.Fatalf("%s: %v", script, err)
	}
	return value
}

// until waits until a script gives a value.
func (p tab) until(want, script string) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, sweeptest.Patience)
	defer cancel()
	got := ""
	for ctx.Err() == nil {
		// While a page is being loaded there is nothing to ask; ask again.
		value, err := chromedp.Run(ctx, chromedp.Evaluate[string]("String("+script+")"))
		if err == nil && value == want {
			return
		}
		got = fmt.Sprint(value, " ", err)
		time.Sleep(5 * time.Millisecond)
	}
	p.t.Fatalf("%s: waited for %q, have %q", script, want, got)
}

// want compares a script's value.
func (p tab) want(want, script string) {
	p.t.Helper()
	if got := p.do("%s", script); got != want {
		p.t.Errorf("%s: %q, want %q", script, got, want)
	}
}
