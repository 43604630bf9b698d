package main

import (
	"fmt"
	"io"
	"os"
	"strings"
)

// progress shows how far a run has come: a bar that redraws itself on a
// terminal, one plain line a lesson elsewhere.
type progress struct {
	out      io.Writer
	terminal bool
	drawn    bool
}

func newProgress(out io.Writer) *progress {
	p := &progress{out: out}
	if o, ok := out.(output); ok {
		info, err := o.file.Stat()
		if err == nil && info.Mode()&os.ModeCharDevice != 0 {
			p.out, p.terminal = o.file, true
		}
	}
	return p
}

func (p *progress) show(done, all int, slug string) {
	if !p.terminal {
		fmt.Fprintf(p.out, "ran %d of %d: %s\n", done, all, slug)
		return
	}
	const width = 24
	filled := width * done / max(all, 1)
	fmt.Fprintf(p.out, "\r\x1b[K[%s%s] %d of %d  %s", strings.Repeat("=", filled), strings.Repeat(".", width-filled), done, all, slug)
	p.drawn = true
}

// end clears the bar, so that what follows starts on a clean line.
func (p *progress) end() {
	if p.drawn {
		fmt.Fprint(p.out, "\r\x1b[K")
	}
}
