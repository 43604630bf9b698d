package proof

import (
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/tell"
)

var update = flag.Bool("update", false, "write the expected findings anew, to be read before they are committed")

// A test lesson is a text archive with the files lesson.md, told (what its
// cells gave, one item a line, see readTold) and want (the findings). With a
// file fr.md, that is its translation, which is proofed too. What house.toml
// says stands below the names of a house; without it the house describes all
// hazards.
type archive struct {
	txtar *txtar.Archive
	file  string
}

func readArchive(t *testing.T, file string) archive {
	t.Helper()
	a, err := readFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func readFile(file string) (archive, error) {
	a, err := txtar.ParseFile(file)
	return archive{a, file}, err
}

func (a archive) get(name string) (string, bool) {
	for _, f := range a.txtar.Files {
		if f.Name == name {
			return string(f.Data), true
		}
	}
	return "", false
}

// golden compares got with the archive's file want, which must be there.
func (a archive) golden(t *testing.T, got string) {
	t.Helper()
	want, ok := a.get("want")
	if *update {
		files := a.txtar.Files[:0:0]
		for _, f := range a.txtar.Files {
			if f.Name != "want" {
				files = append(files, f)
			}
		}
		a.txtar.Files = append(files, txtar.File{Name: "want", Data: []byte(got)})
		if err := os.WriteFile(a.file, txtar.Format(a.txtar), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !ok {
		t.Fatalf("%s has no file want (go test ./engine/proof -update writes it)", a.file)
	}
	if got != want {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
}

// readTold makes a result and cards out of lines such as
//
//	value idle.speed 19.9468 Hz
//	claim holds true 1.5 % and 20 for 19.85
//	figure contact
//	figure duty labelled shaft speed
//	figure angle in turns           (along its horizontal axis)
//	knob load on angle in per cent
//	table readings
//	card bell-current-set 48 V      (its battery voltage)
//	motion governor
//	finder board voltage            (the hazard of its first look)
//	lesson field-weakening needs starting
func readTold(t *testing.T, text string) (r tell.Result, cards []machine.Card, all []*lesson.Lesson) {
	t.Helper()
	number := func(s string) float64 {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	for line := range strings.Lines(text) {
		f := strings.Fields(line)
		switch {
		case len(f) >= 3 && f[0] == "value":
			v := tell.Value{Name: f[1], Number: number(f[2])}
			unit, u, doubtful := strings.Cut(" "+strings.Join(f[3:], " "), " give or take ")
			if v.Unit = strings.TrimSpace(unit); doubtful {
				v.Uncertainty = number(u)
			}
			r.Values = append(r.Values, v)
		case len(f) >= 3 && f[0] == "claim":
			c := tell.Claim{Name: f[1], Holds: f[2] == "true"}
			if !c.Holds {
				c.Found = "the model gives something else"
			}
			limits, of, ok := strings.Cut(strings.Join(f[3:], " "), " for ")
			if ok {
				c.Number = number(of)
			}
			for l := range strings.SplitSeq(limits, " and ") {
				if x, unit, _ := strings.Cut(l, " "); x != "" {
					c.Limits = append(c.Limits, tell.Limit{Number: number(x), Unit: unit})
				}
			}
			r.Claims = append(r.Claims, c)
		case len(f) == 2 && f[0] == "figure":
			r.Figures = append(r.Figures, tell.Figure{Name: f[1]})
		case len(f) > 3 && f[0] == "figure" && f[2] == "labelled":
			label := strings.Join(f[3:], " ")
			r.Figures = append(r.Figures, tell.Figure{Name: f[1], X: tell.Axis{Label: label},
				Panes: []tell.Pane{{Y: tell.Axis{Label: label}, Lines: []tell.Line{{Label: "A 3"}}}}})
		case len(f) > 3 && f[0] == "figure" && f[2] == "in":
			r.Figures = append(r.Figures, tell.Figure{Name: f[1], X: tell.Axis{Label: "A 3", Unit: strings.Join(f[3:], " ")}})
		case len(f) > 5 && f[0] == "knob" && f[2] == "on" && f[4] == "in":
			r.Knobs = append(r.Knobs, tell.Knob{Name: f[1], Label: f[1], Unit: strings.Join(f[5:], " ")})
			for i := range r.Figures {
				if r.Figures[i].Name == f[3] {
					r.Figures[i].Knobs = append(r.Figures[i].Knobs, f[1])
				}
			}
		case len(f) == 2 && f[0] == "table":
			r.Tables = append(r.Tables, tell.Table{Name: f[1]})
		case (len(f) == 4 || len(f) == 6 && f[4] == "±") && f[0] == "card":
			given := machine.Given{Value: number(f[2]), Unit: f[3]}
			if len(f) == 6 {
				given.Uncertainty = number(f[5])
			}
			r.Cards = append(r.Cards, f[1])
			cards = append(cards, machine.Card{Name: f[1], Parts: []machine.Part{{Name: "battery",
				Given: map[string]machine.Given{"voltage": given}}}})
		case len(f) == 2 && f[0] == "sound":
			r.Sounds = append(r.Sounds, tell.Sound{Name: f[1]})
		case len(f) == 3 && f[0] == "finder":
			cause := "The fuse."
			if f[1] == "dead" {
				cause = "It is proved dead."
			}
			r.Finders = append(r.Finders, tell.Finder{Name: f[1], Root: tell.Look{Ask: "Does the lamp glow now?", How: strings.TrimSpace(strings.Repeat("Look up. ", 30)), Hazard: f[2], Answers: []tell.Answer{
				{Says: "yes", Then: &tell.Look{Hazard: f[2], Causes: []tell.Cause{{Says: cause}}}},
				{Says: "no", Then: &tell.Look{Causes: []tell.Cause{{Says: "The lamp."}}}}}}})
		case len(f) == 2 && f[0] == "motion":
			r.Motions = append(r.Motions, tell.Motion{Name: f[1]})
		case len(f) == 2 && f[0] == "lesson", len(f) > 3 && f[0] == "lesson" && f[2] == "needs":
			l := &lesson.Lesson{File: f[1] + "/lesson.md", Slug: f[1], Title: f[1]}
			if len(f) > 3 {
				l.Facts.Needs, l.Facts.NeedsAt = f[3:], make([]int, len(f)-3)
			}
			all = append(all, l)
		default:
			t.Fatalf("cannot read %q", line)
		}
	}
	return r, cards, all
}

func proofread(t *testing.T, a archive) (*lesson.Lesson, Report, []diag.Message) {
	t.Helper()
	if entry, ok := a.get("entry.md"); ok {
		return proofEntry(t, a, entry)
	}
	source, ok := a.get("lesson.md")
	if !ok {
		t.Fatalf("%s has no lesson.md", a.file)
	}
	told, ok := a.get("told")
	if !ok {
		t.Fatalf("%s has no file told", a.file)
	}
	l, messages := lesson.Parse("lesson.md", []byte(source))
	if slices.ContainsFunc(messages, func(m diag.Message) bool { return m.Rule != "html" }) { // which is proofed as text
		t.Fatalf("%s does not parse cleanly: %v", a.file, messages)
	}
	messages = l.ReadData(func(name string) ([]byte, error) {
		if content, ok := a.get(name); ok {
			return []byte(content), nil
		}
		return nil, fs.ErrNotExist
	})
	if len(messages) > 0 {
		t.Fatalf("the data in %s cannot be read: %v", a.file, messages)
	}
	r, cards, all := readTold(t, told)
	folder := a.folder(t, cards, all)
	report, messages := folder.Check(l, r)
	whole := folder
	whole.Lessons = append(slices.Clone(all), l)
	messages = append(messages, whole.CheckAll()...)
	messages = append(messages, whole.CheckAnswers(append(make([]Report, len(all)), report))...)
	translated, ok := a.get("fr.md")
	if !ok {
		return l, report, messages
	}
	tr, found := lesson.ParseTranslation("fr.md", "fr", []byte(translated), l)
	if len(found) > 0 {
		t.Fatalf("the translation in %s does not parse cleanly: %v", a.file, found)
	}
	report, found = folder.Check(tr, r)
	return tr, report, append(found, messages...)
}

// proofEntry proofs an entry of the logbook. What is told under a name that
// begins with "lesson." is the model's; the card has changed since where it
// begins with "lesson.moved.".
func proofEntry(t *testing.T, a archive, source string) (*lesson.Lesson, Report, []diag.Message) {
	t.Helper()
	told, _ := a.get("told")
	l, messages := lesson.ParseEntry("entry.md", []byte(source))
	if len(messages) > 0 {
		t.Fatalf("%s does not parse cleanly: %v", a.file, messages)
	}
	r, cards, all := readTold(t, told)
	var facts []Fact
	for _, v := range r.Values {
		facts = append(facts, Fact{Value: v, From: "the reading", Model: strings.HasPrefix(v.Name, "lesson."), Moved: strings.HasPrefix(v.Name, "lesson.moved.")})
	}
	report, messages := a.folder(t, cards, all).CheckEntry(l, facts)
	return l, report, messages
}

// folder makes a folder with the archive's house, sources and glossary.
func (a archive) folder(t *testing.T, cards []machine.Card, all []*lesson.Lesson) Folder {
	t.Helper()
	f := Folder{Cards: cards, Lessons: all}
	house, ok := a.get("house.toml")
	if !ok {
		house = hazardous()
	}
	var messages, more []diag.Message
	f.House, messages = card.ReadHouse("house.toml", []byte("name = \"A\"\nplace = \"here\"\nnote = \"invented\"\ncontact = \"desk\"\nlanguages = [\"en\", \"fr\"]\n"+house), lesson.Hazards())
	messages = slices.DeleteFunc(messages, func(m diag.Message) bool { return m.Level == diag.Warning }) // of what is not translated
	if content, ok := a.get("sources.toml"); ok {
		f.Sources, more = card.ReadSources("sources.toml", []byte(content))
		messages = append(messages, more...)
	}
	if content, ok := a.get("glossary.toml"); ok {
		f.Glossary, more = card.ReadGlossary("glossary.toml", []byte(content))
		messages = append(messages, more...)
	}
	if len(messages) > 0 {
		t.Fatalf("house, sources or glossary in %s cannot be read: %v", a.file, messages)
	}
	return f
}

// hazardous describes every hazard in the least words.
func hazardous() string {
	var b strings.Builder
	for _, name := range lesson.Hazards() {
		fmt.Fprintf(&b, "[%s]\nword = \"warning\"\nhazard = \"Something\"\nharm = \"It hurts.\"\navoid = \"Keep away.\"\naccident = \"Get help.\"\n", name)
	}
	return b.String()
}

// TestRules runs for each rule the lesson that breaks it. A rule without a
// lesson fails, and so does a lesson without a rule.
func TestRules(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("testdata", "rules", "*.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	missing := map[string]bool{}
	for _, r := range Rules() {
		missing[r.Name] = true
		if r.About == "" {
			t.Errorf("rule %s does not say what it asks for", r.Name)
		}
	}
	for _, file := range files {
		rule := strings.TrimSuffix(filepath.Base(file), ".txtar")
		t.Run(rule, func(t *testing.T) {
			if !missing[rule] {
				t.Fatalf("there is no rule %q", rule)
			}
			delete(missing, rule)
			a := readArchive(t, file)
			_, _, messages := proofread(t, a)
			var b strings.Builder
			found := false
			for _, m := range messages {
				found = found || m.Rule == rule
				if m.Level != level(m.Rule) {
					t.Errorf("level of %v is %v", m, m.Level)
				}
				fmt.Fprintf(&b, "%s\n", m)
			}
			if !found {
				t.Errorf("the lesson does not break %s", rule)
			}
			a.golden(t, b.String())
		})
	}
	for rule := range missing {
		t.Errorf("no lesson in testdata/rules breaks %s", rule)
	}
}

// What pages are given to print.
func TestPrinted(t *testing.T) {
	a := archive{txtar.Parse([]byte(`-- lesson.md --
` + "```lesson\ntitle = \"A\"\n```" + `

[19 Hz][idle.speed], [19.0
turns a second][idle.speed], [1 %][open], [−0.0 mA][small], [holds *well* within 2 %][holds],
[47.0 V][card.battery.voltage], [the *next* one][lesson.hunting], [what][nothing].
-- told --
value idle.speed 19.9468 Hz
value open 0.773
value small -0.0123 A
claim holds true 2 %
card bell 48 V
lesson hunting
`)), "printed"}
	l, report, _ := proofread(t, a)
	got := map[string][]string{}
	links := 0
	l.Body.Walk(func(n *lesson.Node) bool {
		if text, ok := report.Printed[n]; ok {
			got[n.Name] = append(got[n.Name], text)
		}
		if report.Links[n] != nil {
			links++
		}
		if form, ok := report.Forms[n]; ok && n.Name == "small" && form.Print(0.00004) != "0.0 mA" {
			t.Errorf("another frame prints %q", form.Print(0.00004))
		}
		if form, ok := report.Forms[n]; ok && n.Name == "small" && form.Print(-1) != "−1000.0 mA" {
			t.Errorf("another frame prints %q", form.Print(-1))
		}
		return true
	})
	want := map[string][]string{
		"idle.speed": {"20 Hz", "19.9 turns a second"}, "open": {"77 %"}, "small": {"−12.3 mA"}, "holds": {"holds well within 2 %"},
		"card.battery.voltage": {"48.0 V"}, "lesson.hunting": {"the next one"},
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	if report.Quotes != 5 || report.Claims != 1 || links != 1 || len(report.Drifts) != 5 || len(report.Forms) != 5 {
		t.Errorf("%d quotes, %d claims, %d links, %d drifts, %d forms", report.Quotes, report.Claims, links, len(report.Drifts), len(report.Forms))
	}
}
