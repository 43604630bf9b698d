package card_test

import (
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/machine"
)

const demo = "../machine/testdata/governed-motor.toml"

func source(t testing.TB) string {
	t.Helper()
	b, err := os.ReadFile(demo)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestRead(t *testing.T) {
	c, messages := card.Read(demo, []byte(source(t)))
	for _, m := range messages {
		t.Error(m)
	}
	if c.Name != "governed-motor" || !c.Invented || c.Revised == "" || c.Title == "" {
		t.Errorf("head of the card: %q %v %q %q", c.Name, c.Invented, c.Revised, c.Title)
	}
	if !c.Has("motor") || !c.Has("governor") {
		t.Fatal("parts are missing")
	}
	want := machine.Given{Value: 0.45, Unit: "ohm", Origin: machine.Measured, Date: "2026-05-12",
		Note: "volt-ampere method, warm, mean of four brush positions"}
	if got, _ := c.Constant("motor.armature-resistance"); !reflect.DeepEqual(got.Given, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	weight, _ := c.Constant("governor.weight")
	if got := weight.SI(); got != 0.012 {
		t.Errorf("the weight is %g kg", got)
	}
}

func TestDemonstrationCards(t *testing.T) {
	files, err := filepath.Glob("../../lessons/cards/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatal("no cards found", err)
	}
	for _, file := range files {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		c, messages := card.Read(file, b)
		for _, m := range messages {
			t.Error(m)
		}
		if !c.Invented {
			t.Errorf("%s does not say that it is invented", file)
		}
		if c.Name+".toml" != filepath.Base(file) {
			t.Errorf("%s is named %q", file, c.Name)
		}
	}
}

// Each case changes the demonstration card in one place. The position is that
// of mark, an extract of the changed file that stands in it once.
func TestReadRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		old, new string
		mark     string
		text     string
		hint     string
	}{
		"unknown key":          {"brush-drop-current", "brush-drop-curent", "brush-drop-curent", `no constant "brush-drop-curent"`, `did you mean "brush-drop-current"?`},
		"unknown part":         {"[governor]", "[govenor]", "govenor", `unknown part "govenor"`, `did you mean "governor"?`},
		"a part of nowhere":    {"[governor]", "[steam-engine]", "steam-engine", "unknown part", "known parts are: battery"},
		"unknown top key":      {`title = "Gov`, `titel = "Gov`, `titel`, `unknown key "titel"`, `did you mean "title"?`},
		"unknown field":        {`3.5, unit = "mH", from`, `3.5, unit = "mH", form`, "form ", `unknown key "form"`, `did you mean "from"?`},
		"missing unit":         {`3.5, unit = "mH", `, `3.5, `, "armature-inductance", "has no unit", `unit = "H"`},
		"missing origin":       {`3.5, unit = "mH", from = "assumed"`, `3.5, unit = "mH"`, "armature-inductance", "has no from", `from = "assumed"`},
		"missing value":        {`value = 3.5, `, ``, "armature-inductance", "has no value", "value = ..."},
		"wrong unit":           {`3.5, unit = "mH"`, `3.5, unit = "mm"`, `"mm", from = "assumed" }` + "\nbrush-drop ", `"mm" is no unit for armature-inductance`, "H or mH"},
		"unknown origin":       {`13.263, unit = "mm", from = "assumed"`, `13.263, unit = "mm", from = "asumed"`, `"asumed"`, `"asumed" is no origin`, `did you mean "assumed"?`},
		"bare number":          {`{ value = 3.5, unit = "mH", from = "assumed" }`, `3.5`, "3.5\n", "without unit and origin", "value = ..."},
		"text for number":      {`value = 3.5`, `value = "3.5"`, `"3.5"`, "value is text in quotes, where a number belongs", "value = 1.5"},
		"impossible value":     {`value = 3.5`, `value = -3.5`, `{ value = -3.5`, "armature-inductance of the motor: -3.5 mH is impossible", "above zero"},
		"no uncertainty":       {`3.5, unit = "mH"`, `3.5, uncertainty = 0, unit = "mH"`, `0, unit = "mH"`, "the uncertainty of armature-inductance is 0", "counts as exact"},
		"below no uncertainty": {`3.5, unit = "mH"`, `3.5, uncertainty = -1, unit = "mH"`, `{ value = 3.5, unc`, "-1 is not an uncertainty", "above zero"},
		"endless uncertainty":  {`3.5, unit = "mH"`, `3.5, uncertainty = inf, unit = "mH"`, `{ value = 3.5, unc`, "Inf is not an uncertainty", "above zero"},
		"uncertain to zero":    {`3.5, unit = "mH"`, `3.5, uncertainty = 3.5, unit = "mH"`, `{ value = 3.5, unc`, "with an uncertainty of 3.5 mH it could be 0 mH, which is impossible", "one standard deviation"},
		"uncertain in words":   {`3.5, unit = "mH"`, `3.5, uncertainty = "some", unit = "mH"`, `"some"`, "where a number belongs", "1.5"},
		"an uncertain count":   {`cells = { value = 24`, `cells = { uncertainty = 1, value = 24`, `{ uncertainty = 1`, "a number of them has no uncertainty", "exact"},
		"not a number":         {`value = 3.5`, `value = nan`, `{ value = nan`, "NaN", "finite"},
		"infinite":             {`value = 3.5`, `value = inf`, `{ value = inf`, "Inf", "finite"},
		"soft governor":        {`value = 60, unit = "Hz"`, `value = 25, unit = "Hz"`, `{ value = 25`, "sqrt(2)", "contact-speed"},
		"duplicate key":        {"iron-eddy =", "iron-reference =", "iron-reference = { value = 0.37", `the key "iron-reference" stands twice, first on line 27`, "remove one"},
		"duplicate field":      {`3.5, unit = "mH"`, `3.5, value = 3`, "value = 3,", `the key "value" stands twice`, "remove one"},
		"duplicate part":       {"[shaft]", "[motor]", "", "stands twice", "join"},
		"dotted key":           {"[shaft]", "shaft.inertia = 1\n[shaft]", "shaft.inertia", "has a dot", "heading"},
		"nested part":          {"[shaft]", "[shaft.one.two]", "", "not the name of one part", "[PART]"},
		"notes of no part":     {"[shaft]", "[axle.fr]\n[shaft]", "axle.fr", `"axle" is not above this translation`, "[axle] first"},
		"notes in a word":      {"[shaft]", "[motor.French]\n[shaft]", "motor.French", `"French" is no language`, "such as fr"},
		"note of no constant":  {"[shaft]", "[motor.fr]\nbrush-dorp = \"a\"\n[shaft]", "brush-dorp", `the motor in "fr" has no key "brush-dorp"`, `did you mean "brush-drop"?`},
		"note of no note":      {"[shaft]", "[motor.fr]\narmature-inductance = \"a\"\n[shaft]", "armature-inductance = \"a\"", "has no note above", "leave this out"},
		"note in a number":     {"[shaft]", "[motor.fr]\narmature-resistance = 1\n[shaft]", "1\n[shaft]", "where text in quotes belongs", "..."},
		"name in French":       {"[shaft]", "[fr]\nname = \"a\"\n[shaft]", "name = \"a\"", `the card in "fr" has no key "name"`, "title"},
		"array of parts":       {"[shaft]", "[[shaft]]", "", "not the name of one part", "single brackets"},
		"missing constant":     {`damping = { value = 0.1, unit = "1", from = "assumed" }`, ``, "governor]", `the governor has no "damping"`, `unit = "1"`},
		"missing name":         {`name = "governed-motor"`, ``, "", `the key "name" is missing`, `name = "..."`},
		"empty title":          {`title = "Governed motor alone"`, `title = " "`, "title", "title is empty", "quotes"},
		"no revision":          {`revised = 2026-11-20`, ``, "", `"revised" is missing`, "2026-05-12"},
		"no such date":         {`revised = 2026-11-20`, `revised = 2026-11-31`, "2026-11-31", "no date 2026-11-31", "year-month-day"},
		"date in quotes":       {`revised = 2026-11-20`, `revised = "2026-11-20"`, `"2026-11-20"`, "where a date belongs", "revised = 2026-05-12"},
		"invented in words":    {`invented = true`, `invented = "yes"`, `"yes"`, "where true or false belongs", "invented = true"},
		"wrong part":           {"[shaft]\ninertia", "[output]\ninertia", "inertia", `the output has no constant "inertia"`, "known here are: frequency"},
		"syntax":               {`value = 48,`, `value = 48 48,`, "48,", "this is not TOML", "KEY = {"},
		"not UTF-8":            {"24 lead cells", "24 lead c\xffells", "\xff", "not UTF-8", "save it"},
		"huge integer":         {`value = 48,`, `value = 99999999999999999999,`, "99999999999999999999", "too large", "decimal point"},
		"list for a constant":  {`{ value = 3.5, unit = "mH", from = "assumed" }`, `[3.5]`, "", "is a list", "value = ..."},
	} {
		t.Run(name, func(t *testing.T) {
			whole := source(t)
			changed := strings.Replace(whole, c.old, c.new, 1)
			if changed == whole {
				t.Fatalf("%q is not in the card", c.old)
			}
			_, messages := card.Read("some.toml", []byte(changed))
			if !diag.HasError(messages) {
				t.Fatal("no error")
			}
			for _, m := range messages {
				if m.File != "some.toml" || m.Line < 1 || m.Column < 1 || m.Text == "" || m.Hint == "" || m.Rule == "" {
					t.Errorf("incomplete message %+v", m)
				}
			}
			line, column := 0, 0
			if c.mark != "" {
				line, column = diag.Place([]byte(changed), strings.Index(changed, c.mark))
			}
			for _, m := range messages {
				if strings.Contains(m.Text, c.text) && strings.Contains(m.Hint, c.hint) &&
					(line == 0 || m.Line == line && m.Column == column) {
					return
				}
			}
			t.Errorf("want %q (%q) at %d:%d, got:", c.text, c.hint, line, column)
			for _, m := range messages {
				t.Error(m)
			}
		})
	}
}

// hazards are those that lessons of these tests may declare.
var hazards = []string{"rotating", "dust"}

// A constant that nothing on the card uses is refused at its line, and is not
// asked for, wherever the part stands that would use it.
func TestReadUnusedConstant(t *testing.T) {
	b, err := os.ReadFile("../machine/testdata/whole-set.toml")
	if err != nil {
		t.Fatal(err)
	}
	whole := string(b)
	from, to := strings.Index(whole, "[regulator]"), strings.Index(whole, "[rheostat]")
	regulator, without := whole[from:to], whole[:from]+whole[to:]
	_, messages := card.Read("some.toml", []byte(without))
	line, column := diag.Place([]byte(without), strings.Index(without, "{ value = 500,"))
	if len(messages) != 1 || messages[0].Line != line || messages[0].Column != column ||
		!strings.Contains(messages[0].Text, "without a regulator") || !strings.Contains(messages[0].Hint, "leave it out") {
		t.Errorf("without the regulator: %v, want one message at %d:%d", messages, line, column)
	}
	at := strings.Index(without, "field-resistor = { value = 500")
	cut := without[:at] + without[at+strings.Index(without[at:], "\n")+1:]
	if c, messages := card.Read("some.toml", []byte(cut)); len(messages) > 0 || c.Has("regulator") {
		t.Errorf("without regulator and resistor: %v", messages)
	}
	for _, s := range []string{without + regulator, regulatorFirst(whole, regulator)} {
		if _, messages := card.Read("some.toml", []byte(s)); len(messages) > 0 {
			t.Errorf("the regulator elsewhere: %v", messages)
		}
	}
}

func regulatorFirst(whole, regulator string) string {
	rest := strings.Replace(whole, regulator, "", 1)
	return strings.Replace(rest, "[battery]", regulator+"[battery]", 1)
}

func TestReadHouse(t *testing.T) {
	good := "name = \"A House\"\nplace = \"hill\"\nnote = \"invented\"\ncontact = \"desk\"\nlanguages = [\"en\", \"fr\"]\n"
	french := "[fr]\nplace = \"colline\"\nnote = \"inventé\"\ncontact = \"accueil\"\n"
	h, messages := card.ReadHouse("house.toml", []byte(good+french), hazards)
	if len(messages) > 0 || h.Name != "A House" || h.Contact != "desk" || len(h.Languages) != 2 || h.Languages[1] != "fr" || h.Idle != 90 || h.Ask != 20 || h.Kiosk != nil {
		t.Errorf("%+v %v", h, messages)
	}
	said, foreign := h.Say("fr")
	if said.Name != "A House" || said.Place != "colline" || said.Note != "inventé" || said.Contact != "accueil" || foreign("colline") {
		t.Errorf("in French: %+v", said)
	}
	h, messages = card.ReadHouse("house.toml", []byte(good+"[fr]\nname = \"Une maison\"\ncontact = \"accueil\"\n"), hazards)
	if len(messages) != 2 || diag.HasError(messages) || messages[0].Line != 2 || messages[1].Line != 3 || !strings.Contains(messages[1].Text, `note has no words in "fr"`) {
		t.Errorf("a house that is half translated: %v", messages)
	}
	said, foreign = h.Say("fr")
	if said.Name != "Une maison" || said.Place != "hill" || !foreign("hill") || foreign("accueil") {
		t.Errorf("in half French: %+v", said)
	}
	if said, foreign = h.Say("en"); said.Name != "A House" || foreign("hill") {
		t.Errorf("in English: %+v", said)
	}
	h, messages = card.ReadHouse("house.toml", []byte(good+"idle = 120\nask = 20\nkiosk = [\"hunting\", \"tones\"]\n"+french), hazards)
	if len(messages) > 0 || h.Idle != 120 || h.Ask != 20 || len(h.Kiosk) != 2 || h.Kiosk[1] != "tones" {
		t.Errorf("%+v %v", h, messages)
	}
	good += french
	for name, c := range map[string]struct{ old, new, text string }{
		"a hall":        {"note =", "hall = \"dim\"\nnote =", `a hall cannot be "dim"`},
		"unknown key":   {"contact", "contakt", `unknown key "contakt"`},
		"no language":   {`["en", "fr"]`, "[]", "no language"},
		"language 1":    {`"fr"`, "1", "where text in quotes belongs"},
		"not a list":    {`["en", "fr"]`, `"en"`, "where a list belongs"},
		"heading":       {"languages", "[more]\nlanguages", "unknown heading"},
		"unlisted":      {"[fr]", "[de]", `words in "de", but does not list`},
		"dots":          {"[fr]", "[house.fr]", "unknown heading [house.fr]"},
		"in what words": {"colline", " ", "place is empty"},
		"idle in fr":    {"[fr]", "[fr]\nidle = 90", `the house in "fr" has no key "idle"`},
		"missing place": {`place = "hill"`, "", `"place" is missing`},
		"hasty kiosk":   {`contact = "desk"`, "contact = \"desk\"\nidle = 5", "cannot wait for 5 seconds"},
		"half a second": {`contact = "desk"`, "contact = \"desk\"\nidle = 60.5", "cannot wait for 60.5 seconds"},
		"late question": {`contact = "desk"`, "contact = \"desk\"\nask = 4", "cannot ask 4 seconds before it goes back"},
		"no rest":       {`contact = "desk"`, "contact = \"desk\"\nidle = 30\nask = 25", "waits for 30 seconds cannot ask 25 seconds before"},
		"one lesson":    {`contact = "desk"`, "contact = \"desk\"\nkiosk = \"a\"", "where a list belongs"},
	} {
		_, messages := card.ReadHouse("house.toml", []byte(strings.Replace(good, c.old, c.new, 1)), hazards)
		found := false
		for _, m := range messages {
			found = found || strings.Contains(m.Text, c.text)
		}
		if !found {
			t.Errorf("%s: want %q, got %v", name, c.text, messages)
		}
	}
}

func TestReadHazards(t *testing.T) {
	good := "name = \"A House\"\nplace = \"hill\"\nnote = \"invented\"\ncontact = \"desk\"\nlanguages = [\"en\", \"fr\"]\n" +
		"[fr]\nplace = \"colline\"\nnote = \"inventé\"\ncontact = \"accueil\"\n" +
		"[dust]\nword = \"warning\"\nhazard = \"Dust\"\nharm = \"It chokes.\"\navoid = \"Wear a mask.\"\naccident = \"Get out.\"\n"
	french := "[dust.fr]\nhazard = \"Poussière\"\nharm = \"Elle étouffe.\"\navoid = \"Portez un masque.\"\naccident = \"Sortez.\"\n"
	h, messages := card.ReadHouse("house.toml", []byte(good+french), hazards)
	if len(messages) > 0 || len(h.Hazards) != 1 {
		t.Fatalf("%+v %v", h, messages)
	}
	dust, ok := h.Hazards.Find("dust")
	if want := (card.HazardWords{Hazard: "Dust", Harm: "It chokes.", Avoid: "Wear a mask.", Accident: "Get out.", Language: "en", Line: 10, Column: 2}); !ok || dust.Signal != "warning" || dust.Say("en") != want {
		t.Errorf("%+v", dust)
	}
	if want := (card.HazardWords{Hazard: "Poussière", Harm: "Elle étouffe.", Avoid: "Portez un masque.", Accident: "Sortez.", Language: "fr", Line: 16, Column: 2}); dust.Say("fr") != want {
		t.Errorf("%+v", dust.Say("fr"))
	}
	if _, ok := h.Hazards.Find("rotating"); ok {
		t.Error("a hazard is found that the house does not describe")
	}
	h, messages = card.ReadHouse("house.toml", []byte(good), hazards)
	if len(messages) != 1 || diag.HasError(messages) || messages[0].Line != 10 || messages[0].Text != `the hazard "dust" has no words in "fr", and stands there untranslated` {
		t.Errorf("a hazard that is not translated: %v", messages)
	}
	if dust := h.Hazards[0]; dust.Say("fr") != dust.Say("en") {
		t.Errorf("%+v", dust)
	}
	both := strings.Replace(good+french, "avoid = \"Wear a mask.\"\n", "avoid = \"Wear a mask. Close the door.\"\nvisitors = \"Stay outside.\"\n", 1)
	h, messages = card.ReadHouse("house.toml", []byte(both), hazards)
	if len(messages) != 1 || diag.HasError(messages) || messages[0].Line != 17 || !strings.Contains(messages[0].Text, `no line for visitors in "fr"`) {
		t.Errorf("a line for visitors that is not translated: %v", messages)
	}
	if dust := h.Hazards[0]; dust.Glance() != "Stay outside." || dust.Say("fr").Glance() != "Portez un masque." {
		t.Errorf("%+v", dust)
	}
	if w := (card.HazardWords{Avoid: "Wear a mask. Close the door."}); w.Glance() != "Wear a mask." {
		t.Errorf("without a line for visitors they read %q", w.Glance())
	}
	good += french
	for name, c := range map[string]struct {
		old, new, text string
		line           int
	}{
		"signal word":      {`"warning"`, `"warnin"`, `there is no signal word "warnin"`, 11},
		"no signal word":   {"word = \"warning\"\n", "", `"word" is missing`, 10},
		"empty word":       {`"warning"`, `""`, "word is empty", 11},
		"empty harm":       {"It chokes.", " ", "harm is empty", 13},
		"no harm":          {"harm = \"It chokes.\"\n", "", `"harm" is missing`, 10},
		"no accident":      {"accident = \"Sortez.\"\n", "", `"accident" is missing`, 16},
		"empty in French":  {"Elle étouffe.", "", "harm is empty", 18},
		"word in French":   {"[dust.fr]\n", "[dust.fr]\nword = \"danger\"\n", `unknown key "word"`, 17},
		"empty line":       {"[dust]\n", "[dust]\nvisitors = \"\"\n", "visitors is empty", 11},
		"long line":        {"[dust]\n", "[dust]\nvisitors = \"a b c d e f g h i j k\"\n", "has 11 words, more than 10", 11},
		"line of numbers":  {"[dust]\n", "[dust]\nvisitors = 8\n", "where text in quotes belongs", 11},
		"unknown key":      {"[dust]\n", "[dust]\nsign = \"x\"\n", `unknown key "sign"`, 11},
		"unknown hazard":   {"[dust]", "[fire]", "unknown heading [fire]", 10},
		"translated first": {"[dust]", "[rotating]", `the hazard "dust" is not above`, 16},
		"unlisted":         {"[dust.fr]", "[dust.de]", `words in "de", but does not list`, 16},
		"no language":      {"[dust.fr]", "[dust.french]", `"french" is no language`, 16},
		"twice":            {"[dust.fr]", "[dust]", "[dust] stands twice", 16},
		"number":           {`"It chokes."`, "1", "where text in quotes belongs", 13},
	} {
		_, messages := card.ReadHouse("house.toml", []byte(strings.Replace(good, c.old, c.new, 1)), hazards)
		if !slices.ContainsFunc(messages, func(m diag.Message) bool {
			return strings.Contains(m.Text, c.text) && m.Line == c.line && m.Level == diag.Error && m.Hint != ""
		}) {
			t.Errorf("%s: want %q in line %d, got %v", name, c.text, c.line, messages)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(source(f)))
	for _, s := range []string{"", "a", "[", "[motor]\nx = {", "a.b = 1", "x = 1979-05-27T07:32:00Z", "[[a]]", "a = [1, {b = 2}]", "\xff"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		c, messages := card.Read("x.toml", b)
		for _, m := range messages {
			if m.Line < 1 || m.Column < 1 || m.Text == "" || m.Hint == "" {
				t.Errorf("incomplete message %+v", m)
			}
		}
		if !diag.HasError(messages) {
			if flaws := c.Validate(); len(flaws) > 0 {
				t.Errorf("accepted, but %v", flaws)
			}
		}
		card.ReadHouse("x.toml", b, hazards)
	})
}

// A constant that is a table is read with its rows, in the place of those of
// the formula, and refused at the row that is wrong.
func TestTable(t *testing.T) {
	source, err := os.ReadFile(filepath.Join("..", "machine", "testdata", "whole-set.toml"))
	if err != nil {
		t.Fatal(err)
	}
	var lines []string
	in := false
	for line := range strings.Lines(string(source)) {
		if strings.HasPrefix(line, "[") {
			in = strings.HasPrefix(line, "[generator]")
		}
		key, _, _ := strings.Cut(line, " ")
		if in && slices.Contains([]string{"residual-constant", "constant-slope", "saturation-current", "saturation-sharpness"}, key) {
			continue
		}
		lines = append(lines, line)
		if strings.HasPrefix(line, "[generator]") {
			lines = append(lines, "open-circuit = TABLE\n")
		}
	}
	with := func(table string) (machine.Card, []diag.Message) {
		return card.Read("some.toml", []byte(strings.Replace(strings.Join(lines, ""), "TABLE", table, 1)))
	}
	const good = `{ value = 20, unit = "Hz", rows = [[0, 3.8], [0.1, 85], [0.2, 120.5]], units = ["A", "V"], from = "measured", note = "warm" }`
	c, messages := with(good)
	for _, m := range messages {
		t.Error(m)
	}
	curve, ok := c.Constant("generator.open-circuit")
	if !ok || !reflect.DeepEqual(curve.Rows, [][]float64{{0, 3.8}, {0.1, 85}, {0.2, 120.5}}) || curve.SI() != 20 || curve.Note != "warm" {
		t.Errorf("got %+v", curve)
	}
	for _, r := range []struct{ old, new, says string }{
		{`, rows = [[0, 3.8], [0.1, 85], [0.2, 120.5]]`, ``, "open-circuit has no rows"},
		{`, units = ["A", "V"]`, ``, "open-circuit has no units"},
		{`[0.1, 85]`, `[0.1]`, "a row of open-circuit is no list of 2 numbers"},
		{`[0.1, 85]`, `[0.1, "85"]`, "text in quotes stands in a row"},
		{`[0.1, 85]`, `[0.3, 85]`, "the field current does not rise from row 2 to row 3"},
		{`["A", "V"]`, `["A", "kV"]`, `the unit "kV" does not fit the voltage`},
		{`rows`, `rose`, `unknown key "rose"`},
		{`["A", "V"]`, `"A"`, "units is text in quotes, where a list belongs"},
		{`["A", "V"]`, `[1, 2]`, "a number stands among the units"},
		{good, good + "\narmature-resistance = " + good, `unknown key "rows" in armature-resistance`},
		{good, `3`, "open-circuit is a number, without unit and origin"},
	} {
		_, messages := with(strings.Replace(good, r.old, r.new, 1))
		found := false
		for _, m := range messages {
			found = found || strings.Contains(m.Text, r.says) && m.Hint != "" && !strings.Contains(m.Hint, `"en"`) && m.Line > 1
		}
		if !found {
			t.Errorf("want %q, got %v", r.says, messages)
		}
	}
}

// A part under a name of its own says its kind; there may be several of one.
func TestKind(t *testing.T) {
	base := source(t)
	i := strings.Index(base, "[motor]")
	motor := base[i:]
	motor = motor[:strings.Index(motor[1:], "\n[")+1]
	with := func(head string) (machine.Card, []diag.Message) {
		return card.Read("some.toml", []byte(base+"\n"+strings.Replace(motor, "[motor]", head, 1)))
	}
	c, messages := with("[helper]\nkind = \"motor\"")
	for _, m := range messages {
		t.Error(m)
	}
	a, _ := c.Constant("motor.field-resistance")
	b, ok := c.Constant("helper.field-resistance")
	if !ok || b.Value != a.Value || b.Doc != a.Doc || c.Kind("helper") != "motor" || c.Kind("motor") != "motor" {
		t.Errorf("got %+v, want it as %+v", b, a)
	}
	alone := strings.Replace(base, "[motor]", "[fan]\nkind = \"motor\"", 1)
	if c, messages := card.Read("some.toml", []byte(alone)); len(messages) > 0 || !c.Has("motor") || c.Has("helper") {
		t.Errorf("a motor called fan: %v", messages)
	}
	for head, says := range map[string]string{
		"[helper]\nkind = \"moter\"":   `"moter" is no kind of part`,
		"[helper]\nkind = 3":           "kind is a number, where text in quotes belongs",
		"[helper]":                     `unknown part "helper"`,
		"[Helper]\nkind = \"motor\"":   `"Helper" cannot be a label`,
		"[governor]\nkind = \"motor\"": "stands twice",
		"[bell]\nkind = \"motor\"":     `the part "bell" is of the kind "bell" by its name`,
	} {
		_, messages := with(head)
		if !slices.ContainsFunc(messages, func(m diag.Message) bool { return strings.Contains(m.Text, says) && m.Hint != "" }) {
			t.Errorf("%q: want %q, got %v", head, says, messages)
		}
	}
}
