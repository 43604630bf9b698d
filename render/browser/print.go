package browser

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// DefaultPatience is how long one page may take.
const DefaultPatience = time.Minute

// Printer prints pages with a browser. Each page has a browser of its own with
// a fresh profile, so that nothing of the user's is read or written and pages
// may be printed side by side.
type Printer struct {
	Program  string        // path of the browser
	Patience time.Duration // for one page; DefaultPatience when 0
}

// Print gives a page on disk as PDF: tagged, with its headings as an outline,
// with its fonts, and without the browser's own lines at top and bottom. The
// page's style sheet says how large the paper is. A browser that crashes is
// started once more: seldom one does, on a machine that is busy.
func (p Printer) Print(ctx context.Context, page string) ([]byte, error) {
	pdf, err := p.once(ctx, page)
	var exit *exec.ExitError
	if errors.As(err, &exit) && !exit.Exited() && ctx.Err() == nil {
		return p.once(ctx, page)
	}
	return pdf, err
}

func (p Printer) once(ctx context.Context, page string) ([]byte, error) {
	full, err := filepath.Abs(page)
	if err != nil {
		return nil, err
	}
	if _, err := os.Stat(full); err != nil {
		return nil, err // or the browser would print its page about the error
	}
	dir, err := os.MkdirTemp("", "slipring-print-")
	if err != nil {
		return nil, err
	}
	// The browser's last processes may still write; what they leave is in the
	// system's folder for temporary files.
	defer os.RemoveAll(dir)
	patience := p.Patience
	if patience == 0 {
		patience = DefaultPatience
	}
	ctx, cancel := context.WithTimeoutCause(ctx, patience, errPatience)
	defer cancel()
	out := filepath.Join(dir, "page.pdf")
	cmd := exec.CommandContext(ctx, p.Program, arguments(filepath.Join(dir, "profile"), out, address(full), os.Geteuid() == 0)...)
	cmd.WaitDelay = 5 * time.Second
	var said bytes.Buffer
	cmd.Stderr = &said
	err = cmd.Run()
	if cause := context.Cause(ctx); errors.Is(cause, errPatience) {
		return nil, fmt.Errorf("%w after %v", errPatience, patience)
	} else if cause != nil {
		return nil, cause
	}
	pdf, reading := os.ReadFile(out)
	switch {
	case err != nil:
		return nil, fmt.Errorf("the browser fails: %w%s", err, lastLine(said.String()))
	case reading != nil:
		return nil, fmt.Errorf("the browser wrote no PDF%s", lastLine(said.String()))
	case !whole(pdf):
		return nil, errors.New("the browser wrote a PDF that is not whole")
	}
	return pdf, nil
}

var errPatience = errors.New("the browser was not done")

// arguments are the switches of the browser. It needs no sandbox switch but
// for root, for whom it refuses to start with one.
func arguments(profile, out, page string, root bool) []string {
	list := []string{
		"--headless", "--disable-gpu", "--user-data-dir=" + profile,
		"--no-first-run", "--no-default-browser-check", "--disable-extensions", "--disable-sync",
		"--disable-background-networking", "--disable-component-update", "--disable-domain-reliability", "--no-pings",
		// No name leads to a host, should a page or the browser ask for one.
		"--host-resolver-rules=MAP * ~NOTFOUND",
		"--export-tagged-pdf", "--generate-pdf-document-outline", "--no-pdf-header-footer",
		"--print-to-pdf=" + out,
	}
	if root {
		list = append(list, "--no-sandbox")
	}
	return append(list, page)
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
