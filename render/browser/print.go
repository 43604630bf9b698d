package browser

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// DefaultPatience is how long one page may take.
const DefaultPatience = time.Minute

// Printer prints one page after the other with one browser, which it starts at
// the first. Several may work side by side.
type Printer struct {
	program  string
	patience time.Duration

	tab  context.Context // of the browser that runs; nil when none does
	stop func()
}

// NewPrinter gives a printer that uses the browser at a path. A page that takes
// longer than the patience is an error; 0 means DefaultPatience. Close ends the
// browser.
func NewPrinter(program string, patience time.Duration) *Printer {
	if patience == 0 {
		patience = DefaultPatience
	}
	return &Printer{program: program, patience: patience}
}

// Close ends the browser, if one runs.
func (p *Printer) Close() {
	if p.tab != nil {
		p.stop()
		p.tab = nil
	}
}

// Print gives a page on disk as PDF: tagged, with its headings as an outline,
// with its fonts, and without the browser's own lines at top and bottom. The
// page's style sheet says how large the paper is. A browser that fails is started
// once more: seldom one crashes, on a machine that is busy.
func (p *Printer) Print(ctx context.Context, file string) ([]byte, error) {
	full, err := filepath.Abs(file)
	if err != nil {
		return nil, err
	}
	if _, err := os.Stat(full); err != nil {
		return nil, err // or the browser would print its page about the error
	}
	pdf, err := p.once(ctx, address(full))
	if err != nil && !errors.Is(err, errPatience) && ctx.Err() == nil {
		return p.once(ctx, address(full))
	}
	return pdf, err
}

// once prints with the browser that runs, or with a new one. After an error none
// runs: what it still does is not known.
func (p *Printer) once(ctx context.Context, address string) (pdf []byte, err error) {
	ctx, cancel := context.WithTimeoutCause(ctx, p.patience, errPatience)
	defer cancel()
	defer func() {
		if err == nil {
			return
		}
		p.Close()
		if cause := context.Cause(ctx); errors.Is(cause, errPatience) {
			err = fmt.Errorf("%w after %v", errPatience, p.patience)
		} else if cause != nil {
			err = cause
		}
	}()
	if p.tab == nil {
		if p.tab, p.stop, err = Start(ctx, p.program); err != nil {
			return nil, fmt.Errorf("the browser fails: %w", err)
		}
	}
	tab, leave := context.WithCancel(p.tab)
	defer leave()
	defer context.AfterFunc(ctx, leave)()
	pdf, err = printed(tab, address)
	switch {
	case err != nil:
		return nil, fmt.Errorf("the browser fails: %w", err)
	case !whole(pdf):
		return nil, errors.New("the browser wrote a PDF that is not whole")
	}
	return pdf, nil
}

// printed opens a page, waits for its typefaces, and prints it.
func printed(tab context.Context, address string) ([]byte, error) {
	if err := chromedp.Do(tab, chromedp.Navigate(address)); err != nil {
		return nil, err
	}
	const typefacesCame = `document.fonts.ready.then(() => true)`
	if _, err := chromedp.Run(tab, chromedp.Evaluate[bool](typefacesCame, chromedp.EvalAwaitPromise)); err != nil {
		return nil, err
	}
	return chromedp.Run(tab, chromedp.PrintToPDF(func(how *page.PrintToPDFParams) {
		yes := true
		how.GenerateTaggedPDF, how.GenerateDocumentOutline, how.PreferCSSPageSize, how.PrintBackground = &yes, &yes, &yes, &yes
	}))
}

var errPatience = errors.New("the browser was not done")

// Start starts a browser without a window and with a fresh profile, so that
// nothing of the user's is read or written, and gives its first tab, and what
// ends it and removes the profile. More are further switches. The browser
// outlives the context, which may stop its start alone.
func Start(ctx context.Context, program string, more ...chromedp.ExecAllocatorOption) (tab context.Context, stop func(), err error) {
	var said bytes.Buffer
	options := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(program), chromedp.Headless, chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck,
		chromedp.CombinedOutput(&said),
		// No name leads to another host, should a page or the browser ask for one.
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"),
	}
	for _, name := range []string{
		"disable-extensions", "disable-sync", "disable-background-networking", "disable-component-update",
		"disable-domain-reliability", "no-pings", "disable-dev-shm-usage",
	} {
		options = append(options, chromedp.Flag(name, true))
	}
	base, end := context.WithCancel(context.WithoutCancel(ctx))
	allocator, free := chromedp.NewExecAllocator(base, append(options, more...)...)
	quiet := chromedp.WithErrorf(func(string, ...any) {}) // what fails is an error that we are given
	tab, wait := chromedp.NewContext(allocator, quiet)    // to be ended once: the second time waits for ever
	stop = sync.OnceFunc(func() {
		end()
		wait()
		free()
	})
	leave := context.AfterFunc(ctx, end)
	if err := chromedp.Do(tab); err != nil {
		stop()
		return nil, nil, fmt.Errorf("%w%s", err, lastLine(said.String()))
	}
	leave()
	return tab, stop, nil
}

// address gives the address of a file, on Windows too.
func address(full string) string {
	path := filepath.ToSlash(full)
	if !strings.HasPrefix(path, "/") {
		path = "/" + path
	}
	return (&url.URL{Scheme: "file", Path: path}).String()
}

// whole says whether a PDF has its beginning and its end (ISO 32000-1, 7.5.2
// and 7.5.5).
func whole(pdf []byte) bool {
	return bytes.HasPrefix(pdf, []byte("%PDF-")) && bytes.HasSuffix(bytes.TrimRight(pdf, "\r\n"), []byte("%%EOF"))
}

// lastLine gives what a program said last, in brackets.
func lastLine(said string) string {
	lines := strings.Split(strings.TrimSpace(said), "\n")
	last := strings.TrimSpace(lines[len(lines)-1])
	if last == "" {
		return ""
	}
	return " (" + last + ")"
}
