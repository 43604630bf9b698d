package main

import (
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
	"slipring/engine/proof"
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

// narrow leaves one lesson of the work, with its translations and what is said
// about them.
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
	folder := filepath.Dir(w.lessons[0].Lesson.File) + string(filepath.Separator)
	w.messages = slices.DeleteFunc(w.messages, func(m diag.Message) bool { return !strings.HasPrefix(m.File, folder) })
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
	var files []proof.Checked
	for _, f := range w.lessons {
		files = append(files, f.texts()...)
	}
	for _, f := range files {
		for _, d := range f.Report.Drifts {
			line, column := diag.Place(f.Lesson.Source, d.Node.Offset)
			fmt.Fprintf(stdout, "%s:%d:%d: %s -> %s\n", f.Lesson.File, line, column, d.Written, d.Computed)
			count++
		}
	}
	for _, f := range files {
		if len(f.Report.Drifts) == 0 {
			continue
		}
		if err := replaceFile(f.Lesson.File, f.Lesson.Source, proof.Amend(f.Lesson, f.Report.Drifts)); err != nil {
			fmt.Fprintf(stderr, "slipring proof: %s: %v\n    nothing in this lesson was changed\n", f.Lesson.File, err)
			return exitWrong
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

// replaceFile puts new content in a file's place by a rename, so that a crash
// leaves either the old or the new. It refuses when the file is no longer what
// was proofread.
func replaceFile(name string, old, content []byte) error {
	now, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	if string(now) != string(old) {
		return fmt.Errorf("the file changed while it was proofread")
	}
	info, err := os.Stat(name)
	if err != nil {
		return err
	}
	temp, err := os.CreateTemp(filepath.Dir(name), ".amend-*")
	if err != nil {
		return err
	}
	defer os.Remove(temp.Name()) // fails, as it should, once renamed
	_, err = temp.Write(content)
	if err == nil {
		err = temp.Chmod(info.Mode().Perm())
	}
	if err == nil {
		err = temp.Sync()
	}
	if closing := temp.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return err
	}
	return os.Rename(temp.Name(), name)
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
