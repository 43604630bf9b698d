package main

import (
	"flag"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"slipring/engine/bench"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/language"
	"slipring/engine/replace"
	"slipring/engine/tell"
	"slipring/site"
)

// cut makes the list of wire to cut. The currents that it takes from the circuit
// model are kept, as the machine's other runs are.
func (w *workshop) cut(known cache) []diag.Message {
	shelf := bench.New(w.cards)
	shelf.Recall(known.machineRuns())
	shelf.Wire(w.wiring.Wiring)
	shelf.Plan(w.cutting.Plan)
	list, flaws, err := shelf.ToCut()
	known.addRuns(shelf.Kept())
	if err != nil {
		m := diag.Message{File: w.cutting.File, Line: 1, Column: 1, Rule: "cutting", Text: "the currents of its states cannot be worked out: " + err.Error(), Hint: "check what each state presses and fails"}
		if misuse, ok := err.(tell.Misuse); ok && misuse.Hint != "" {
			m.Hint = misuse.Hint
		}
		return []diag.Message{m}
	}
	w.toCut = list
	return w.cutting.Flaws(*w.wiring, flaws)
}

// cuts gives the list and its plan; none where the house says nothing of it.
func (w *workshop) cuts() site.ToCut {
	if w.cutting == nil {
		return site.ToCut{}
	}
	return site.ToCut{List: w.toCut, Plan: w.cutting.Plan}
}

// cutWire is the command cut: it says what wire there is to buy, and writes the
// list of wire to cut where it is asked to.
func cutWire(args []string, stdout, stderr io.Writer) int {
	var o options
	flags := flag.NewFlagSet("cut", flag.ContinueOnError)
	out := flags.String("out", "", "write the list of wire to cut as CSV into `FILE`")
	separator := flags.String("separator", ",", "what stands between fields: , or ; (for spreadsheets with a decimal comma, which the numbers then have too)")
	language := flags.String("language", "", "`LANGUAGE` of the list, such as fr; the house's first when left out")
	if code := o.parse(flags, args, stdout, stderr); code >= 0 {
		return code
	}
	wrong := func(text, hint string) int {
		fmt.Fprintf(stderr, "slipring cut: %s\n    %s\n", text, hint)
		return exitUsage
	}
	if *separator != "," && *separator != ";" {
		return wrong(fmt.Sprintf("fields cannot be separated with %q", *separator), "-separator is , or ;")
	}
	if *out != "" && (among(o.lessons, *out) || isPublished(*out)) {
		return wrong(fmt.Sprintf("%q is in the lessons folder, or among published pages", *out), "name a file elsewhere")
	}
	in := folder.Open(o.lessons)
	defer in.Close()
	w, messages := readToCut(o, in)
	if *language == "" && len(w.house.Languages) > 0 {
		*language = w.house.Languages[0]
	}
	if !diag.HasError(messages) && !slices.Contains(w.house.Languages, *language) {
		return wrong(fmt.Sprintf("the house has no pages in %q", *language), "its languages are "+strings.Join(w.house.Languages, ", "))
	}
	said, known := w.languages.Find(*language)
	if !diag.HasError(messages) && !known {
		return wrong(fmt.Sprintf("there are no words in %q", *language), "the languages that there are: "+strings.Join(w.languages.Tags(), ", "))
	}
	for _, m := range diag.Sort(messages) {
		fmt.Fprintln(stderr, m)
	}
	if diag.HasError(messages) {
		fmt.Fprintf(stderr, "nothing was cut\n")
		return exitWrong
	}
	s := site.CuttingSheet(w.cuts(), said)
	var err error
	if *out != "" {
		err = replace.File(*out, s.CSV(rune((*separator)[0])), 0o644, replace.Lasting)
	}
	if err != nil {
		fmt.Fprintf(stderr, "slipring cut: %v\n    check the folder and its rights\n", err)
		return exitWrong
	}
	fmt.Fprint(stdout, s.Text())
	if *out != "" {
		fmt.Fprintf(stdout, "%s in %s\n", count(len(w.toCut.Wires), "wire"), filepath.Clean(*out))
	}
	return exitClean
}

// readToCut reads what cutting takes, and no lesson.
func readToCut(o options, in *folder.Folder) (w workshop, messages []diag.Message) {
	w.house, messages = readHouse(in)
	var more []diag.Message
	w.languages, more = language.Read(in, w.house.Languages)
	messages = append(messages, more...)
	sheets, more := readCards(in)
	messages = append(messages, more...)
	for _, s := range sheets {
		w.cards = append(w.cards, s.Card)
	}
	w.wiring, more = readWiring(in, w.cards)
	messages = append(messages, more...)
	if diag.HasError(messages) {
		return w, messages
	}
	if w.wiring != nil {
		w.cutting, more = readCutting(in, *w.wiring)
		messages = append(messages, more...)
	}
	if diag.HasError(messages) {
		return w, messages
	}
	if w.cutting == nil {
		return w, append(messages, diag.Message{File: in.Path("wiring/cutting.toml"), Text: "the house says nothing of the wire that it cuts",
			Hint: "describe the board in wiring/parts.toml and wiring/wires.csv, where its parts stand in wiring/places.csv, and the wire in wiring/cutting.toml"})
	}
	known := o.cache()
	messages = append(messages, w.cut(known)...)
	known.close()
	return w, messages
}
