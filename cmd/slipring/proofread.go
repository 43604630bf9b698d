package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/replace"
	"slipring/site"
)

// proofread is the command proof: it checks all and writes no page.
func proofread(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("proof", flag.ContinueOnError)
	var o options
	amend := flags.Bool("amend", false, "rewrite the quotes that have drifted from the model, and nothing else")
	keep := flags.String("keep", "", "write each lesson's assembled Go file into `DIR`")
	asJSON := flags.Bool("json", false, "print the findings as JSON")
	only := flags.String("lesson", "", "look at this lesson alone, `NAME` being that of its folder without the number")
	if code := o.parse(flags, args, stdout, stderr); code >= 0 {
		return code
	}
	known := o.cache()
	in := folder.Open(o.lessons)
	defer in.Close()
	w := runLessons(ctx, o, in, known, nil)
	known.close()
	if !*amend && !diag.HasError(w.messages) {
		// What keeps pages from being made is wrong with the lessons too. Drift,
		// which amending is for, is an error and comes first.
		_, messages := site.Build(w.input())
		w.messages = diag.Sort(append(w.messages, messages...))
	}
	if *only != "" {
		if err := w.narrow(*only); err != nil {
			fmt.Fprintf(stderr, "slipring proof: %v\n", err)
			return exitUsage
		}
	}
	if *keep != "" {
		if err := keepPrograms(*keep, w); err != nil {
			fmt.Fprintf(stderr, "slipring proof: %v\n    name a folder that you may write to\n", err)
			return exitWrong
		}
	}
	if *amend {
		return amendLessons(w, stdout, stderr)
	}
	if *asJSON {
		if err := printJSON(stdout, w.messages); err != nil {
			fmt.Fprintf(stderr, "slipring proof: %v\n", err)
			return exitWrong
		}
	} else {
		for _, m := range w.messages {
			fmt.Fprintln(stdout, m)
		}
		w.printExceptions(stdout)
		printNotes(stdout, w.printed())
		fmt.Fprintln(stdout, w.summary())
	}
	if diag.HasError(w.messages) {
		return exitWrong
	}
	return exitClean
}

// narrow leaves one lesson of the work, with its translations, what is said about
// them, and what is wrong with the files that all lessons share: it breaks this one
// too.
func (w *workshop) narrow(slug string) error {
	var slugs []string
	for _, f := range w.lessons {
		slugs = append(slugs, f.Lesson.Slug)
	}
	i := slices.Index(slugs, slug)
	if i < 0 {
		next := "the lessons are: " + strings.Join(slugs, ", ")
		if near := diag.Nearest(slug, slugs); near != "" {
			next = fmt.Sprintf("did you mean %q?", near)
		}
		return fmt.Errorf("there is no lesson %q\n    %s", slug, next)
	}
	w.lessons = w.lessons[i : i+1]
	own := filepath.Dir(w.lessons[0].Lesson.File)
	root := filepath.Dir(own) + string(filepath.Separator)
	w.messages = slices.DeleteFunc(w.messages, func(m diag.Message) bool {
		if strings.HasPrefix(m.File, own+string(filepath.Separator)) {
			return false
		}
		folder, _, _ := strings.Cut(filepath.ToSlash(strings.TrimPrefix(m.File, root)), "/")
		return m.Level != diag.Error || lesson.IsFolder(folder)
	})
	return nil
}

// amendLessons rewrites drifted quotes. It refuses while anything else is
// wrong, since a number that was computed from a mistake is one too.
func amendLessons(w workshop, stdout, stderr io.Writer) int {
	var other []diag.Message
	for _, m := range w.messages {
		if m.Level == diag.Error && m.Rule != proof.RuleDrift {
			other = append(other, m)
		}
	}
	if len(other) > 0 {
		for _, m := range other {
			fmt.Fprintln(stdout, m)
		}
		fmt.Fprintln(stdout, "nothing was amended: first mend what is listed above")
		return exitWrong
	}
	count := 0
	for _, f := range w.lessons {
		for _, f := range f.texts() {
			if len(f.Report.Drifts) == 0 {
				continue
			}
			if err := rewrite(f.Lesson.File, f.Lesson.Source, proof.Amend(f.Lesson, f.Report.Drifts)); err != nil {
				rest := "nothing was amended"
				if count > 0 {
					rest = "nothing in this file was changed; what is listed above was amended"
				}
				fmt.Fprintf(stderr, "slipring proof: %s: %v\n    %s\n", f.Lesson.File, err, rest)
				return exitWrong
			}
			for _, d := range f.Report.Drifts {
				fmt.Fprintf(stdout, "%s: %s -> %s\n", f.Lesson.Message(d.Node.Offset, diag.Error, "", "", "").At(), d.Written, d.Computed)
			}
			count += len(f.Report.Drifts)
		}
	}
	switch count {
	case 0:
		fmt.Fprintln(stdout, "no quote has drifted; nothing was changed")
	case 1:
		fmt.Fprintln(stdout, "1 quote amended")
	default:
		fmt.Fprintf(stdout, "%d quotes amended\n", count)
	}
	return exitClean
}

// rewrite gives a lesson's file new content. It refuses when the file is no
// longer what was proofread, or may not be written. A link stays one.
func rewrite(name string, old, content []byte) error {
	name, err := filepath.EvalSymlinks(name)
	if err != nil {
		return err
	}
	f, err := os.OpenFile(name, os.O_RDWR, 0) // a rename would also replace what is not ours to write
	if err != nil {
		return err
	}
	defer f.Close()
	now, err := io.ReadAll(f)
	if err != nil {
		return err
	}
	if !bytes.Equal(now, old) {
		return fmt.Errorf("the file changed while it was proofread")
	}
	info, err := f.Stat()
	if err != nil {
		return err
	}
	f.Close() // Windows renames nothing over an open file
	return replace.File(name, content, info.Mode().Perm(), replace.Lasting)
}

func keepPrograms(dir string, w workshop) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for _, f := range w.lessons {
		if f.program == nil {
			continue
		}
		if err := os.WriteFile(filepath.Join(dir, f.Lesson.Folder+".go"), f.program.Source, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// finding is a message as -json prints it.
type finding struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Level  string `json:"level"`
	Rule   string `json:"rule"`
	Text   string `json:"text"`
	Hint   string `json:"hint"`
}

func printJSON(out io.Writer, messages []diag.Message) error {
	findings := make([]finding, 0, len(messages))
	for _, m := range messages {
		level := "error"
		if m.Level == diag.Warning {
			level = "warning"
		}
		findings = append(findings, finding{m.File, m.Line, m.Column, level, m.Rule, m.Text, m.Hint})
	}
	enc := json.NewEncoder(out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(findings)
}
