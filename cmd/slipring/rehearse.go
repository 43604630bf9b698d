package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"path/filepath"
	"time"

	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/proof"
	"slipring/render/plot"
	"slipring/site"
	"slipring/site/preview"
)

// rehearse is the command rehearse: it shows the pages as they would be
// published, and anew after every change, until it is interrupted.
func rehearse(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("rehearse", flag.ContinueOnError)
	var o options
	address := flags.String("at", "", "listen at `HOST:PORT` of this computer; a free port when left out")
	if code := o.parse(flags, args, stdout, stderr); code >= 0 {
		return code
	}
	known := o.cache()
	drawings := known.drawings()
	err := preview.Run(ctx, preview.Config{
		Watch:   []string{o.lessons},
		Address: *address,
		Rebuild: func(ctx context.Context, changed []string) preview.Build {
			return rebuild(ctx, o, known, drawings, changed, stdout)
		},
	}, func(url string) {
		fmt.Fprintf(stdout, "open %s; the pages follow the lessons in %s until you press Ctrl+C\n", url, o.lessons)
	})
	var message diag.Message
	switch {
	case errors.As(err, &message):
		fmt.Fprintf(stderr, "slipring rehearse: %s\n", message)
		return exitWrong
	case err != nil:
		fmt.Fprintf(stderr, "slipring rehearse: %v\n", err)
		return exitWrong
	}
	return exitClean
}

// rebuild makes the site in memory. A quote that has drifted does not stop a
// rehearsal: its page shows the computed number, marked, and the author is
// told.
func rebuild(ctx context.Context, o options, known cache, drawings *plot.Drawings, changed []string, stdout io.Writer) preview.Build {
	began := time.Now()
	lessons := folder.Open(o.lessons)
	defer lessons.Close()
	w := runLessons(ctx, o, lessons, known, nil)
	known.close()
	drifts := 0
	for i, m := range w.messages {
		if m.Rule == proof.RuleDrift {
			w.messages[i].Level = diag.Warning
			drifts++
		}
	}
	b := preview.Build{Messages: w.messages, Notes: w.printed(), Source: func(file string, line int) string { return sourceLine(o, lessons, file, line) }}
	if !diag.HasError(w.messages) {
		in := w.input()
		in.Drawings, in.Kept = drawings, known.file
		tree, messages := site.Build(in)
		drawings.Turn()
		b.Messages = diag.Sort(append(b.Messages, messages...))
		b.Files = tree
	}
	if ctx.Err() != nil {
		return b
	}
	if len(changed) > 0 {
		fmt.Fprintf(stdout, "%s changed: ", changed[0])
	}
	fmt.Fprintf(stdout, "%s, %.2f s\n", w.summary(), time.Since(began).Seconds())
	for _, m := range b.Messages {
		fmt.Fprintln(stdout, m)
	}
	printNotes(stdout, b.Notes)
	return b
}

// sourceLine gives one line of a file that was read, counted from 1, or "".
func sourceLine(o options, in *folder.Folder, file string, line int) string {
	name, err := filepath.Rel(o.lessons, file)
	content, read := in.Read(filepath.ToSlash(name))
	if err != nil || !read {
		return ""
	}
	lines := bytes.Split(content, []byte("\n"))
	if line < 1 || line > len(lines) {
		return ""
	}
	return string(bytes.TrimRight(lines[line-1], "\r"))
}
