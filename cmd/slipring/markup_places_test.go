package main

import (
	"bytes"
	"fmt"
	"html"
	"image"
	"image/png"
	"path/filepath"
	"reflect"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/rogpeppe/go-internal/txtar"

	"slipring/engine/card"
	"slipring/engine/circuit"
	"slipring/engine/cutting"
	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/tell"
)

// markupFolder is the lessons folder of TestMarkupStaysText.
var markupFolder = filepath.Join(root, "cmd", "slipring", "testdata", "markup.txtar")

var markupToken = regexp.MustCompile(`@@([a-z]+):([a-z-]+)@@`)

// cardChanges puts tokens for the words of the card that the project ships.
var cardChanges = map[string]string{
	`"bell-current-set"`:               "@@card:card-name@@",
	`"No. 4 bell-current set"`:         "@@toml:card-title@@",
	"\"Groupe de sonnerie n°\u00a04\"": "@@toml:fr-card-title@@",
	`"24 lead cells"`:                  "@@toml:card-note@@",
	`"24 éléments au plomb"`:           "@@toml:fr-card-note@@",
}

// markupFiles gives the files of the folder with their tokens.
func markupFiles(t *testing.T) map[string]string {
	t.Helper()
	a := must(txtar.ParseFile(markupFolder))
	files := map[string]string{}
	for _, f := range a.Files {
		files[f.Name] = string(f.Data)
	}
	card := must(readTree(filepath.Join(root, "lessons", "cards")))["bell-current-set.toml"]
	for was, is := range cardChanges {
		if strings.Count(card, was) != 1 {
			t.Fatalf("%s stands %d times on the card", was, strings.Count(card, was))
		}
		card = strings.Replace(card, was, is, 1)
	}
	var dot bytes.Buffer
	if err := png.Encode(&dot, image.NewGray(image.Rect(0, 0, 1, 1))); err != nil {
		t.Fatal(err)
	}
	files["logbook/dot.png"] = dot.String()
	files["cards/.toml"] = card // its name is made of words too
	return files
}

// markupPlaces gives the forms in which the words of each place are written.
func markupPlaces(t *testing.T) map[string][]string {
	t.Helper()
	places := map[string][]string{}
	for _, content := range markupFiles(t) {
		for _, m := range markupToken.FindAllStringSubmatch(content, -1) {
			places[m[2]] = append(places[m[2]], m[1])
		}
	}
	if len(places) < 100 {
		t.Fatalf("there are %d places; some are missing", len(places))
	}
	return places
}

// at gives the words of one place, which name it. What a cell tells has no
// separators of lines, and a card is called like its file.
func at(place, words string) string {
	if !strings.HasPrefix(place, "fr-") || place == "fr-formula" {
		words = strings.ReplaceAll(words, " \u2028", "")
	}
	switch place {
	case "card-name":
		words = strings.NewReplacer("/", "|", `"`, `'`).Replace(words)
		if runtime.GOOS == "windows" { // which has no such files
			words = harmless(words)
		}
	case "formula", "fr-formula":
		words = strings.Map(func(r rune) rune {
			if strings.ContainsRune(`{}&$#%_\|`, r) {
				return -1
			}
			return r
		}, words)
	}
	return words + " " + place + "·" // which ends it: some places begin like others
}

// read gives what a page shows of the words of a place.
func read(place, words string) string {
	words = at(place, words)
	if place == "raw" || place == "fr-raw" || place == "entry-raw" {
		return html.UnescapeString(words)
	}
	return words
}

// written gives the words of a place in a form.
func written(form, place, words string) string {
	words = at(place, words)
	field := func(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }
	switch form {
	case "go", "toml", "card", "gocard":
		return strconv.Quote(words)
	case "within":
		return strconv.Quote("0.1 " + words)
	case "md":
		return escapedMarkdown(words)
	case "tomlmd":
		return strconv.Quote(escapedMarkdown(words))
	case "entity":
		var b strings.Builder
		for _, r := range words {
			if strings.ContainsRune(" -", r) || unicode.IsLetter(r) {
				b.WriteRune(r)
			} else {
				fmt.Fprintf(&b, "&#x%x;", r)
			}
		}
		return b.String()
	case "csv":
		return field(words)
	case "unit":
		return field("volts (" + words + ")")
	case "code", "raw", "plain", "tex":
		return words
	}
	panic("no such form: " + form)
}

// escapedMarkdown puts a backslash before every sign (CommonMark 0.31.2,
// section 2.4).
func escapedMarkdown(words string) string {
	var b strings.Builder
	for _, r := range words {
		if r < unicode.MaxASCII && (unicode.IsPunct(r) || unicode.IsSymbol(r)) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// publishWith publishes the lessons with words in every place for words, by
// the command as its users start it.
func publishWith(t *testing.T, words string) map[string]string {
	t.Helper()
	dir := t.TempDir()
	files := map[string]string{}
	for name, content := range markupFiles(t) {
		if name == "cards/.toml" {
			name = "cards/" + at("card-name", words) + ".toml"
		}
		files[name] = markupToken.ReplaceAllStringFunc(content, func(token string) string {
			m := markupToken.FindStringSubmatch(token)
			return written(m[1], m[2], words)
		})
	}
	writeFolder(t, filepath.Join(dir, "lessons"), files)
	out := filepath.Join(dir, "visit")
	r := command(t, dir, "publish", "-out", out)
	if r.code != exitClean {
		t.Fatalf("exit %d\n%s", r.code, r.stderr)
	}
	return must(readTree(out))
}

// bare leaves out blanks, at which pages break words into lines, and writes
// all in small letters, since some words begin with a capital on pages.
func bare(s string) string {
	return strings.ToLower(strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return r
	}, s))
}

// TestMarkupPlaces holds the places of TestMarkupStaysText against the strings
// that lessons folders are read into. Whoever adds one has to find out where
// its words go, and add a place for it, or say why it can hold none.
func TestMarkupPlaces(t *testing.T) {
	const (
		name  = "-" // of a form of its own: letters, digits, dashes and dots
		known = "-" // one of a list
		date  = "-"
		path  = "-" // of a file
	)
	places := markupPlaces(t)
	for _, c := range []struct {
		of    reflect.Type
		holds map[string]string // the place, or "-"
	}{
		{reflect.TypeFor[tell.Result](), map[string]string{
			"Values.Name": name, "Values.Unit": "value-unit turned-unit", "Values.Framed.Knobs": name,
			"Claims.Name": name, "Claims.Limits.Unit": "claim-unit", "Claims.Found": "claim-unit", "Claims.Framed.Knobs": name,
			"Figures.Name": name, "Figures.X.Label": "x-label", "Figures.X.Unit": "x-unit", "Figures.Framed.Knobs": name,
			"Figures.Panes.Y.Label": "y-label signal", "Figures.Panes.Y.Unit": "y-unit signal-unit", "Figures.Panes.Lines.Label": "line-label marks-label signal",
			"Figures.Frames.Y.Label": "turned-y", "Figures.Frames.Y.Unit": "turned-y-unit", "Figures.Frames.Lines.Label": "turned-line",
			"Tables.Name": name, "Tables.Columns.Head": "head", "Tables.Columns.Unit": "head-unit", "Tables.Rows.Text": "row-head entry",
			"Tables.Framed.Knobs": name, "Tables.Frames.Text": "turned-entry",
			"Motions.Name": name, "Motions.Mechanism": known, "Motions.Signals.Signals.Name": known, "Motions.Signals.Signals.Unit": known,
			"Motions.Sizes.Name": known, "Motions.Sizes.Unit": known,
			"Boards.Name": name, "Boards.Parts.Name": "board-part", "Boards.Parts.Kind": "board-kind", "Boards.Parts.Text": "board-text", "Boards.Parts.Texts": "board-text-fr",
			"Boards.Parts.Colour": "board-colour", "Boards.Parts.Unit": "board-unit", "Boards.States.Name": name, "Boards.States.Act": "board-act", "Boards.States.Says": "board-says",
			"Boards.States.From": name, "Boards.States.Undo": "board-undo", "Boards.States.Leads": name, "Boards.States.Changes.Part": "board-part",
			"Boards.States.Changes.Is": known, "Boards.States.Meters.Part": "board-part",
			"Sounds.Name": name, "Sounds.Heard.Signal.Name": "heard", "Sounds.Heard.Signal.Unit": "heard-unit", "Sounds.Framed.Knobs": name,
			"Sounds.Frames.Signal.Name": "heard", "Sounds.Frames.Signal.Unit": "heard-unit",
			"Finders.Name": name, "Finders.Root.Ask": "finder-ask", "Finders.Root.How": "finder-how", "Finders.Root.Hazard": known,
			"Finders.Root.Answers.Says": "finder-answer", "Finders.Root.Causes.Says": "finder-cause",
			"Schematics.Name": name, "Schematics.Parts.Kind": known, "Schematics.Parts.Name": name, "Schematics.Parts.Words": "drawn", "Schematics.Parts.Ends": name, "Schematics.Joins.Through": name,
			"Strips.Name": name, "Strips.Sheets.Name": "strips-sheet", "Strips.Sheets.Date": date, "Strips.Parts.Name": name, "Strips.Parts.Text": "strips-text", "Strips.Parts.Texts": "strips-text-fr",
			"Strips.Parts.Marks": name, "Strips.Wires.From": name, "Strips.Wires.To": name, "Strips.Wires.Wire": "strips-wire", "Strips.Wires.Verdict": known,
			"Strips.Wires.Why.Kind": known, "Strips.Wires.Why.From": name, "Strips.Wires.Why.To": name, "Strips.Wires.Why.Wire": "strips-other", "Strips.Wires.Why.With": "strips-with", "Strips.Wires.Why.When": date,
			"Knobs.Name": name, "Knobs.Label": "knob", "Knobs.Unit": "knob-unit",
			"Cards": "card-name", "Printed": "printed",
		}},
		{reflect.TypeFor[lesson.Facts](), map[string]string{
			"Title": "title needed-title fr-title entry-title fr-entry-title", "Know": "know fr-know", "Needs": name, "Hazards": known, "Revised": date, "Data": name,
			"By": "entry-by fr-entry-by", "Card": "card-name", "Parts": known,
			"Captures.File": name, "Captures.Screen.Traces.Name": "line-label", "Captures.Screen.Zeros.Trace": "line-label", // which a cell tells
			"Exceptions.Rule": known, "Exceptions.At": "-", // which stands in the lesson
			"Exceptions.Because": "because fr-because", "Labels.Told": "x-label", "Labels.Reads": "fr-x-label fr-knob fr-head fr-entry",
		}},
		{reflect.TypeFor[lesson.Data](), map[string]string{
			"Name": name, "File": path, "Note": "readings-note", "Columns.Head": "readings-head", "Columns.Unit": "readings-unit", "Rows.Text": "readings-entry",
			"Readings.Date": date, "Readings.Role": "act-role", "Readings.Set": name, "Readings.Quantity": known, "Readings.Expect": name, "Readings.Where": "read-where", "Readings.Note": "read-note",
			"Readings.SIUnit": known, "Readings.Written": "-", "Readings.Unit": "value-unit", "Readings.Instrument": "act-instrument", // written as a number
			"Readings.Load": known, "Readings.Setting": known, "Readings.File": path,
		}},
		{reflect.TypeFor[card.House](), map[string]string{
			"Name": "house", "Place": "place", "Note": "house-note", "Contact": "contact", "Address": "address", "Open": "open", "Web": known, "Languages": known, "Kiosk": name, "Hall": known,
			"In.Name": "fr-house", "In.Place": "fr-place", "In.Note": "fr-house-note", "In.Contact": "fr-contact", "In.Address": "fr-address", "In.Open": "fr-open", "In.Web": known, "File": path, "Screens.Name": "screen",
			"Hazards.Name": known, "Hazards.Signal": known, "Hazards.HazardWords.Language": known, "Hazards.In.Language": known,
			"Hazards.HazardWords.Hazard": "hazard", "Hazards.HazardWords.Harm": "harm", "Hazards.HazardWords.Avoid": "avoid", "Hazards.HazardWords.Accident": "accident", "Hazards.HazardWords.Visitors": "visitors",
			"Hazards.In.Hazard": "fr-hazard", "Hazards.In.Harm": "fr-harm", "Hazards.In.Avoid": "fr-avoid", "Hazards.In.Accident": "fr-accident", "Hazards.In.Visitors": "fr-visitors",
		}},
		{reflect.TypeFor[card.Source](), map[string]string{
			"Label": name, "Kind": known, "Title": "source-title", "Author": "source-author", "Publisher": "publisher", "Section": "section",
			"Supports": "supports practice-supports", "In": "fr-supports fr-practice-supports", "Note": "source-note",
		}},
		{reflect.TypeFor[card.Term](), map[string]string{
			"Label": name, "Wording.Word": "word other-word", "Wording.Meaning": "meaning other-meaning", "See": name,
			"In.Word": "fr-word", "In.Meaning": "fr-meaning",
		}},
		{reflect.TypeFor[card.Scene](), map[string]string{
			"File": path, "Title": "scene-title", "In": "fr-scene-title", "Whole.Slug": name, "Parts.Label": name, "Parts.Draws": known, "Parts.Of": known,
			"Parts.Name": "scene-name", "Parts.Names": "fr-scene-name", "Parts.Lessons.Slug": name,
		}},
		{reflect.TypeFor[card.Revision](), map[string]string{
			"Label": name, "Date": date, "Card": "card-name", "By": "by", "Why": "why", "Changed.Constant": known, "Changed.Unit": known, "Changed.WasFrom": known, "Changed.IsFrom": known, "Changed.WasNote": "was-note", "Changed.WasNoteIn": "fr-was-note",
			"In.By": "fr-by", "In.Why": "fr-why",
		}},
		{reflect.TypeFor[machine.Constant](), map[string]string{
			"Part": known, "Description.Key": known, "Description.SIUnit": known, "Description.Doc": known, "Description.Columns.Name": known, "Description.Columns.SIUnit": known, "Unused": known,
			"Given.Unit": known, "Given.Units": known, "Given.Origin": known, "Given.Note": "card-note fr-card-note", "Given.Date": date,
		}},
		{reflect.TypeFor[circuit.Wiring](), map[string]string{
			"Parts.Name": name, "Parts.Kind": known, "Parts.Values.Unit": known, "Parts.Values.From": known, "Parts.Values.Note": "wired-note", "Parts.Contacts": name, "Parts.Card": "card-name",
			"Parts.Text": "wired-text", "Parts.Texts": "fr-wired-text", "Parts.Colour": known, "Parts.Place": "wired-place",
			"Wires.Name": "wired-wire", "Wires.From": name, "Wires.To": name, "Wires.Evidence": "wired-evidence", "Wires.Note": "wired-wire-note",
		}},
		{reflect.TypeFor[cutting.Plan](), map[string]string{
			"Stock.Gauge": known, "Stock.From": known, "Ends": known, "Runs.Between": "cut-frame", "Places.Part": name, "Places.Frame": "cut-frame",
			"Groups.Name": name, "Groups.Text": "cut-group", "Groups.Texts": "fr-cut-group", "Groups.Wires": "wired-wire", "Groups.Colour": known, "Groups.Fuses": name, "Groups.From": known,
			"States.Name": name, "States.Text": "cut-state", "States.Texts": "fr-cut-state", "States.Fail": known, "States.Press": name,
		}},
	} {
		found := map[string]bool{}
		stringsIn(c.of, "", func(path string) {
			found[path] = true
			holds, listed := c.holds[path]
			if !listed {
				t.Errorf("%v.%s is new: find out where its words go, and add a place for them", c.of, path)
			}
			for place := range strings.FieldsSeq(holds) {
				if place != "-" && places[place] == nil {
					t.Errorf("%v.%s: there is no place %q", c.of, path, place)
				}
			}
		})
		for path := range c.holds {
			if !found[path] {
				t.Errorf("there is no %v.%s", c.of, path)
			}
		}
	}
	for _, place := range []string{"card-title", "fr-card-title"} { // a sheet's fields are its own
		if places[place] == nil {
			t.Errorf("there is no place %q", place)
		}
	}
}

// stringsIn gives the paths of all strings below a type that others can see.
func stringsIn(of reflect.Type, path string, each func(path string)) {
	switch of.Kind() {
	case reflect.String:
		each(path)
	case reflect.Slice, reflect.Array, reflect.Map:
		stringsIn(of.Elem(), path, each)
	case reflect.Struct:
		for i := range of.NumField() {
			if f := of.Field(i); f.IsExported() {
				stringsIn(f.Type, strings.TrimPrefix(path+"."+f.Name, "."), each)
			}
		}
	}
}

// TestMarkupKinds holds the lessons of TestMarkupStaysText against the elements
// that a lesson can have.
func TestMarkupKinds(t *testing.T) {
	files := markupFiles(t)
	filled := func(name string) []byte {
		return []byte(markupToken.ReplaceAllStringFunc(files[name], func(token string) string {
			m := markupToken.FindStringSubmatch(token)
			return written(m[1], m[2], hostileWords()["elements"])
		}))
	}
	l, messages := lesson.Parse("lesson.md", filled("01-a/lesson.md"))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	entry, messages := lesson.ParseEntry("entry.md", filled("logbook/2026-11-24-asked.md"))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	kinds, embeds := map[lesson.Kind]bool{}, map[string]bool{}
	for _, body := range []*lesson.Node{l.Body, entry.Body} {
		body.Walk(func(n *lesson.Node) bool {
			kinds[n.Kind] = true
			embeds[n.EmbedKind] = true
			return true
		})
	}
	for kind := lesson.Document; kind <= lesson.Formula; kind++ {
		if kind != lesson.Image && !kinds[kind] { // of which lessons have none
			t.Errorf("no lesson has an element of kind %d", kind)
		}
	}
	for _, kind := range append(lesson.EmbedKinds(), lesson.Picture) {
		if !embeds[kind] {
			t.Errorf("no lesson places a %s", kind)
		}
	}
}

// TestToldAndWrittenAlike holds what cells may tell against what files may
// hold: but for what ends a line, the same characters are refused.
func TestToldAndWrittenAlike(t *testing.T) {
	refused := 0
	for c := rune(0); c <= unicode.MaxRune; c++ {
		words := "a" + string(c) + "b"
		at, _ := diag.Hidden([]byte(words))
		written := at < 0 && !strings.ContainsRune("\t\n\r\u2028\u2029", c)
		if told := tellable(words); told != written {
			t.Errorf("U+%04X: told %v, written %v", c, told, written)
		}
		if !written {
			refused++
		}
	}
	if refused < 200 {
		t.Errorf("only %d characters are refused", refused)
	}
}

// tellable says whether a sheet takes words.
func tellable(words string) (ok bool) {
	defer func() {
		if p := recover(); p != nil {
			_ = p.(tell.Misuse)
			ok = false
		}
	}()
	var s tell.Sheet
	s.Value("v", 1, words)
	return true
}
