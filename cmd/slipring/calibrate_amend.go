package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode"

	"slipring/engine/calibrate"
	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/machine"
	"slipring/engine/reading"
	"slipring/engine/replace"
	"slipring/engine/tell"
)

const historyFile = "history.toml"

// amendment is what the command is told of writing a fit into the card.
type amendment struct {
	on            bool
	by, why, date string
}

func amendFlags(flags *flag.FlagSet, today string) *amendment {
	a := &amendment{}
	flags.BoolVar(&a.on, "amend", false, "write what was fitted into the card, and an entry about it into "+historyFile+", and nothing else")
	flags.StringVar(&a.by, "by", "", "with -amend: in which `ROLE` somebody does that, never a person's name")
	flags.StringVar(&a.why, "why", "", "with -amend: `WHY` the card is fitted anew, in a sentence or two")
	flags.StringVar(&a.date, "date", today, "with -amend: the `DAY` of the entry, as 2026-05-12")
	return a
}

// check says what is wrong with how the command was called.
func (a *amendment) check(flags *flag.FlagSet, today string) error {
	var given []string
	flags.Visit(func(f *flag.Flag) {
		if slices.Contains([]string{"by", "why", "date"}, f.Name) {
			given = append(given, "-"+f.Name)
		}
	})
	misuse := func(text, hint string) error { return tell.Misuse{Text: text, Hint: hint} }
	if !a.on {
		if len(given) > 0 {
			return misuse(strings.Join(given, " and ")+" go with -amend", "add -amend, or leave them out: without it nothing is written")
		}
		return nil
	}
	if json := flags.Lookup("json"); json != nil && json.Value.String() == "true" {
		return misuse("-json and -amend do not go together", "first look at what is found with -json, then amend without it")
	}
	for _, f := range []struct{ flag, text, hint string }{
		{"-by", a.by, `say in which role you do it, for the history: -by "the Tuesday volunteer"; never a person's name`},
		{"-why", a.why, `say why, for the history: -why "The contact was cleaned, and the set read anew."`},
	} {
		switch {
		case strings.TrimSpace(f.text) == "":
			return misuse("-amend needs "+f.flag, f.hint)
		case strings.ContainsFunc(f.text, unicode.IsControl):
			return misuse(f.flag+" holds what is no text of one line", f.hint)
		}
		if at, what := diag.Hidden([]byte(f.text)); at >= 0 {
			return misuse(f.flag+": "+what, "write what a page is to show")
		}
	}
	switch _, err := time.Parse(time.DateOnly, a.date); {
	case err != nil:
		return misuse(fmt.Sprintf("-date: %q is no day", a.date), "write year, month and day, such as 2026-05-12")
	case a.date > today:
		return misuse(fmt.Sprintf("-date: %s is after today, %s", a.date, today), "give the day on which the card is changed, or leave -date out for today")
	}
	return nil
}

// later reports readings of days to come, and before a card is amended those of
// days after the entry as errors.
func (a *amendment) later(readings []reading.Reading, today string) []diag.Message {
	if !a.on {
		return reading.Later(readings, today)
	}
	messages := reading.Later(readings, a.date)
	for i := range messages {
		messages[i].Level = diag.Error
	}
	return messages
}

// history reads the history of a card that is to be amended, which has to be
// sound.
func (a *amendment) history(in *folder.Folder, sheets []card.Sheet) (card.History, []diag.Message) {
	if !a.on {
		return card.History{}, nil
	}
	h, messages := readList(in, historyFile, card.ReadHistory)
	if !diag.HasError(messages) {
		messages = append(messages, h.Against(sheets)...)
	}
	return h, slices.DeleteFunc(messages, func(m diag.Message) bool { return m.Level != diag.Error })
}

// write amends the card and its history, both or neither.
func (a *amendment) write(stdout io.Writer, in *folder.Folder, sheet card.Sheet, sheets []card.Sheet, history card.History, o *calibrate.Outcome) error {
	found, together, err := o.Amendment(sheet.Card)
	if err != nil {
		var m tell.Misuse
		if errors.As(err, &m) {
			return diag.Message{File: in.Path("readings"), Rule: reading.Rule, Text: m.Text, Hint: m.Hint}
		}
		return err
	}
	var list []card.Fitted
	for _, f := range found {
		list = append(list, card.Fitted(f))
	}
	if err := a.inOrder(sheet, history, list); err != nil {
		return err
	}
	entry := card.Revision{Label: a.label(history), Date: a.date, Card: sheet.Name, By: strings.TrimSpace(a.by), Why: strings.TrimSpace(a.why)}
	for _, f := range list {
		c, _ := sheet.Constant(f.Constant)
		entry.Changed = append(entry.Changed, card.Change{Constant: f.Constant, Was: c.Value, Is: f.Value, Unit: c.Unit,
			WasUncertainty: c.Uncertainty, IsUncertainty: f.Uncertainty, WasFrom: c.Origin, IsFrom: machine.Fitted,
			WasNote: c.Note, WasNoteIn: sheet.NotesIn(c)})
	}
	name, _ := filepath.Rel(in.Path(""), sheet.File)
	oldCard, _ := in.Read(filepath.ToSlash(name))
	oldHistory, _ := in.Read(historyFile)
	newCard, newHistory := sheet.Amend(list, together, a.date), card.Add(oldHistory, entry)
	if err := a.sound(in, sheet, sheets, newCard, newHistory); err != nil {
		return err
	}
	first, err := place(in.Path(historyFile), oldHistory, newHistory)
	if err != nil {
		return unwritten(in.Path(historyFile), err)
	}
	second, err := place(sheet.File, oldCard, newCard)
	if err != nil {
		return unwritten(sheet.File, err)
	}
	// A kill between the two leaves a history of what the card does not say yet,
	// which proof reports.
	if err := replace.Files([]replace.New{first, second}, replace.Lasting); err != nil {
		return unwritten(sheet.File, err)
	}
	return a.say(stdout, in, sheet, list, entry)
}

// inOrder says why an entry of that day cannot stand above the others.
func (a *amendment) inOrder(sheet card.Sheet, history card.History, list []card.Fitted) error {
	if len(history.List) > 0 && history.List[0].Date > a.date {
		x := history.List[0]
		return diag.Message{File: history.File, Line: x.Line, Column: x.Column, Rule: "history-order",
			Text: fmt.Sprintf("the newest entry is of %s, which is after %s", x.Date, a.date), Hint: "give a later day: -date " + x.Date}
	}
	if sheet.Revised > a.date {
		line, column := sheet.Place("", "revised")
		return diag.Message{File: sheet.File, Line: line, Column: column, Rule: "history-order",
			Text: fmt.Sprintf("the card is of %s, which is after %s", sheet.Revised, a.date), Hint: "give a later day: -date " + sheet.Revised}
	}
	for _, f := range list {
		if c, _ := sheet.Constant(f.Constant); history.Behind(sheet, c) {
			for _, m := range history.Against([]card.Sheet{sheet}) {
				if line, column := sheet.Place(c.Part, c.Key); m.Rule == "history-missing" && m.Line == line && m.Column == column {
					m.Level = diag.Error
					return m
				}
			}
		}
	}
	return nil
}

// label gives an entry a name that no other has.
func (a *amendment) label(history card.History) string {
	for n := 1; ; n++ {
		label := "fit-of-" + a.date
		if n > 1 {
			label = fmt.Sprintf("%s-%d", label, n)
		}
		if !slices.ContainsFunc(history.List, func(x card.Revision) bool { return x.Label == label }) {
			return label
		}
	}
}

// sound reads both files as they are to be.
func (a *amendment) sound(in *folder.Folder, sheet card.Sheet, sheets []card.Sheet, newCard, newHistory []byte) error {
	amended, messages := card.ReadSheet(sheet.File, newCard)
	h, more := card.ReadHistory(in.Path(historyFile), newHistory)
	if messages = append(messages, more...); !diag.HasError(messages) {
		all := slices.Clone(sheets)
		all[slices.IndexFunc(all, func(s card.Sheet) bool { return s.Name == sheet.Name })] = amended
		messages = h.Against(all)
	}
	for _, m := range messages {
		if m.Level == diag.Error {
			m.Text = "what was fitted cannot stand there: " + m.Text
			return m
		}
	}
	return nil
}

// place says where new content goes. A file that is no longer what was read, or
// that may not be written, is refused; a link stays one.
func place(name string, old, content []byte) (replace.New, error) {
	none := replace.New{}
	real, err := filepath.EvalSymlinks(name)
	if errors.Is(err, fs.ErrNotExist) && old == nil {
		return replace.New{Name: name, Content: content, Perm: 0o644}, nil
	}
	if err != nil {
		return none, err
	}
	f, err := os.OpenFile(real, os.O_RDWR, 0) // a rename would also replace what is not ours to write
	if err != nil {
		return none, err
	}
	defer f.Close()
	now, err := io.ReadAll(f)
	if err != nil {
		return none, err
	}
	if !bytes.Equal(now, old) {
		return none, errors.New("the file changed meanwhile")
	}
	info, err := f.Stat()
	if err != nil {
		return none, err
	}
	return replace.New{Name: real, Content: content, Perm: info.Mode().Perm()}, nil
}

func unwritten(file string, err error) error {
	return diag.Message{File: file, Text: fmt.Sprintf("nothing was amended: %v", err), Hint: "see that the file may be written, and amend again"}
}

// say prints what was written, and what is left to do by hand.
func (a *amendment) say(stdout io.Writer, in *folder.Folder, sheet card.Sheet, list []card.Fitted, entry card.Revision) error {
	var b strings.Builder
	for _, f := range list {
		c, _ := sheet.Constant(f.Constant)
		line, column := sheet.Place(c.Part, c.Key)
		value, u := rounded(f.Value, f.Uncertainty)
		was := fmt.Sprint(c.Value)
		if c.Uncertainty > 0 {
			was += fmt.Sprintf(" ± %v", c.Uncertainty)
		}
		fmt.Fprintf(&b, "%s:%d:%d: %s: %s %s (%s) -> %s ± %s %s (fitted)\n", sheet.File, line, column, f.Constant, was, c.Unit, c.Origin, value, u, c.Unit)
		if c.Note != "" {
			fmt.Fprintf(&b, "    its note was about the value before, and goes into the history with that: %s\n", c.Note)
		}
	}
	fmt.Fprintf(&b, "%s: the entry %q\n    its words in other languages are yours to write; slipring proof tells which, and which sentences of lessons no longer hold\n", in.Path(historyFile), entry.Label)
	_, err := io.WriteString(stdout, b.String())
	return err
}
