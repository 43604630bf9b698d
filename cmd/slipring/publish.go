package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/site"
	"slipring/site/publish"
)

// publishSite is the command publish: it runs all lessons and swaps the new site
// in, or leaves the old one as it was.
func publishSite(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	began := time.Now()
	flags := flag.NewFlagSet("publish", flag.ContinueOnError)
	var o options
	out := flags.String("out", "visit", "write the pages into `DIR`")
	if code := o.parse(flags, args, stdout, stderr); code >= 0 {
		return code
	}
	if among(o.lessons, *out) {
		fmt.Fprintf(stderr, "slipring publish: %s: the pages would stand among the lessons\n    name a folder elsewhere, such as -out %s\nnothing was published\n", *out, filepath.Join(o.lessons, "..", "visit"))
		return exitWrong
	}
	target, err := publish.Take(ctx, *out, func() {
		fmt.Fprintf(stderr, "another run of slipring is publishing into %s; waiting for it to end\n", *out)
	})
	if err != nil {
		fmt.Fprintf(stderr, "slipring publish: %v\nnothing was published\n", err)
		return exitWrong
	}
	defer target.Release()
	known := o.cache()
	in := folder.Open(o.lessons)
	defer in.Close()
	if p, ok := known.unchanged(o, in, target); ok {
		p.print(stdout, stderr, *out, began)
		return exitClean
	}
	w, tree, messages := buildSite(ctx, o, in, known, stderr)
	if ctx.Err() != nil {
		fmt.Fprintln(stderr, "slipring publish: stopped; nothing was published")
		return exitWrong
	}
	if diag.HasError(messages) {
		fmt.Fprintf(stderr, "%s\nnothing was published; %s is as it was\n", w.summary(), *out)
		return exitWrong
	}
	if err := target.Write(tree); err != nil {
		fmt.Fprintf(stderr, "slipring publish: %v\nnothing was published\n", err)
		return exitWrong
	}
	known.rememberPublished(o, in, w, messages, tree)
	w.printExceptions(stdout)
	sayPublished(stdout, w.summary(), began, len(tree), *out, "")
	return exitClean
}

// among says whether a path, of which the end may not be there yet, is the
// lessons folder or leads into it.
func among(lessons, path string) bool {
	folder, err := os.Stat(lessons)
	at, failed := filepath.Abs(path)
	if path == "" || err != nil || failed != nil {
		return false // which others report
	}
	for {
		if info, err := os.Stat(at); err == nil && os.SameFile(info, folder) {
			return true
		}
		above := filepath.Dir(at)
		if above == at {
			return false
		}
		at = above
	}
}

// buildSite runs all lessons, makes the pages in memory, and says what it found
// on the way. One of the messages is an error where there are no pages, and
// where the lessons are no longer what they were when the folder was opened.
func buildSite(ctx context.Context, o options, in *folder.Folder, known cache, stderr io.Writer) (workshop, publish.Tree, []diag.Message) {
	bar := newProgress(stderr)
	w := runLessons(ctx, o, in, known, bar.show)
	known.close()
	bar.end()
	messages := w.messages
	var tree publish.Tree
	if !diag.HasError(messages) {
		in := w.input()
		in.Drawings, in.Kept = known.drawings(), known.file
		built, more := site.Build(in)
		tree = built
		messages = diag.Sort(append(messages, more...))
	}
	messages = diag.Sort(append(messages, in.Changed()...))
	for _, m := range messages {
		fmt.Fprintln(stderr, m)
	}
	return w, tree, messages
}

// sayPublished ends what a publish says. What is said of the files may be "".
func sayPublished(stdout io.Writer, summary string, began time.Time, files int, out, of string) {
	fmt.Fprintf(stdout, "%s, %.1f s\n", summary, time.Since(began).Seconds())
	fmt.Fprintf(stdout, "%d files in %s%s; open %s\n", files, out, of, filepath.Join(out, "index.html"))
}

// input is what the site is built from.
func (w workshop) input() site.Input {
	in := site.Input{House: w.house, Languages: w.languages, Cards: w.cards, Glossary: w.glossary, Scene: w.scene, Sheets: w.sheets, History: w.history, Measured: w.measured, ToCut: w.cuts(), Logbook: w.entries}
	if w.board != nil {
		in.Tests = w.board.Next(site.TestsOnSheet)
	}
	for _, f := range w.lessons {
		in.Lessons = append(in.Lessons, f.Checked)
	}
	return in
}

// printExceptions lists what lessons excuse, each with the author's reason, so
// that nobody has to take the word "clean" on trust.
func (w workshop) printExceptions(out io.Writer) {
	for _, f := range w.lessons {
		for _, one := range f.texts() {
			for _, x := range one.Report.Exceptions {
				for _, m := range x.Findings {
					fmt.Fprintf(out, "%s: excused: %s\n    because %s\n", m.At(), m.Text, x.Because)
				}
			}
		}
	}
}

// summary counts what was checked, in one line.
func (w workshop) summary() string {
	ran, quotes, claims, warnings, errs := 0, 0, 0, 0, 0
	translations, exceptions := 0, 0
	for _, f := range w.lessons {
		if f.ran {
			ran++
		}
		translations += len(f.Translations)
		for _, one := range f.texts() {
			quotes += one.Report.Quotes
			claims += one.Report.Claims
			exceptions += len(one.Report.Exceptions)
		}
	}
	for _, m := range w.messages {
		if m.Level == diag.Warning {
			warnings++
		} else {
			errs++
		}
	}
	verdict := "held" // without an error every claim did
	if errs > 0 {
		verdict = "checked"
	}
	s := fmt.Sprintf("%s (%d run anew), %s checked, %s %s, %s",
		count(len(w.lessons), "lesson"), ran, count(quotes, "quote"), count(claims, "claim"), verdict, count(warnings, "warning"))
	if translations > 0 {
		s += ", " + count(translations, "translation")
	}
	if exceptions > 0 {
		s += ", " + count(exceptions, "exception")
	}
	if errs > 0 {
		s += ", " + count(errs, "error")
	}
	return s
}

func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
