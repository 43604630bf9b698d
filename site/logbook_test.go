package site

import (
	"strings"
	"testing"

	"golang.org/x/net/html"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/render/page"
)

// All numbers are invented.
const loggedCard = `name = "set"
title = "The set"
invented = true
revised = 2026-11-20

[fr]
title = "Le groupe"

[battery]
voltage = { value = 48, unit = "V", from = "nameplate", note = "24 cells" }
resistance = { value = 0.05, uncertainty = 0.004, unit = "ohm", from = "measured", date = 2026-05-12, note = "seen on the meter" }
cells = { value = 24, unit = "1", from = "nameplate" }

[battery.fr]
voltage = "24 éléments"
`

const loggedHistory = `
[cleaned]
date = 2026-11-20
card = "set"
by = "the Tuesday volunteer"
why = "The <joints> were cleaned."
changed = [ { constant = "battery.resistance", was = 0.08, is = 0.05, unit = "ohm" } ]

[cleaned.fr]
by = "le bénévole du mardi"
why = "Les connexions ont été nettoyées."

[counted]
date = 2026-05-12
card = "set"
by = "the drum keeper"
why = "The cells were counted."
changed = [ { constant = "battery.voltage", was = 50000, is = 50, unit = "V" }, { constant = "battery.resistance", was = 0.09, is = 0.08, unit = "ohm" } ]
`

func loggedInput(t *testing.T) Input { return loggedOf(t, loggedCard, loggedHistory) }

func loggedOf(t *testing.T, logged, log string) Input {
	t.Helper()
	in := frenchInput(t)
	s, messages := card.ReadSheet("set.toml", []byte(logged))
	history, more := card.ReadHistory("history.toml", []byte(log))
	for _, m := range append(messages, more...) {
		if m.Level == diag.Error && m.Rule != "card-value" { // nothing turns on this card, and nothing has to
			t.Fatal(m)
		}
	}
	in.Sheets, in.History = []card.Sheet{s}, history
	in.Cards[0] = s.Card
	return in
}

func row(d *document, id string) (cells []string, whole *html.Node) {
	for _, n := range d.tags("tr") {
		if attr(n, "id") == id {
			for c := range n.ChildNodes() {
				cells = append(cells, strings.TrimSpace(text(c)))
			}
			return cells, n
		}
	}
	return nil, nil
}

// The logbook says in each language what a constant means, what it is, where
// it comes from, which lessons use its card, and what was changed on it.
func TestLogbookInEachLanguage(t *testing.T) {
	pages := documents(t, treeOf(t, loggedInput(t)))
	for page, want := range map[string]struct {
		title, used, tally  string
		voltage, resistance []string
		book, first, second string
	}{
		"logbook/index.html": {"The set", "Used in ", "nameplate 2 measured 1",
			[]string{"voltage of the battery", "48", "V", "nameplate", "24 cells", "The card has changed since"},
			[]string{"resistance of the cells", "0.05", "± 0.004", "Ω", "measured", "12 May 2026", "seen on the meter", "Changed on 20 November 2026"},
			"logbook/work/index.html", "20 November 2026 Change of the machine card set Changed by the Tuesday volunteer. About: battery. Invented demonstration data. The <joints> were cleaned.", "Changed by the drum keeper."},
		"logbook/fr.html": {"Le groupe", "Utilisée dans ", "plaque signalétique 2 mesure 1",
			[]string{"tension de la batterie", "48", "V", "plaque signalétique", "24 éléments", "La fiche a changé depuis"},
			[]string{"résistance des éléments", "0,05", "± 0,004", "Ω", "mesure", "12 mai 2026", "seen on the meter", "Modifiée le 20 novembre 2026"},
			"logbook/work/fr.html", "20 novembre 2026 Modification de la fiche machine set Modification faite par le bénévole du mardi. Organes : batterie. Données de démonstration inventées. Les connexions ont été nettoyées.", "Modification faite par the drum keeper."},
	} {
		d, book := pages[page], pages[want.book]
		says := func(name string, d *document, all ...string) {
			whole := strings.Join(strings.Fields(text(d.root)), " ")
			for _, s := range all {
				if !strings.Contains(whole, s) {
					t.Errorf("%s does not say %q", name, s)
				}
			}
		}
		says(page, d, want.title, want.used, want.tally)
		says(want.book, book, want.first, want.second)
		for id, parts := range map[string][]string{"set.battery.voltage": want.voltage, "set.battery.resistance": want.resistance} {
			cells, _ := row(d, id)
			line := strings.Join(cells, " | ")
			for _, s := range parts {
				if !strings.Contains(line, s) {
					t.Errorf("%s: %s reads %q, without %q", page, id, line, s)
				}
			}
		}
		// What a constant was changed in leads to the entry, and back.
		_, resistance := row(d, "set.battery.resistance")
		if link := only(t, resistance, "a"); attr(link, "href") != strings.TrimPrefix(want.book, "logbook/")+"#history..cleaned" || !book.ids["history..cleaned"] {
			t.Errorf("%s: the resistance leads to %q", page, attr(link, "href"))
		}
		back := 0
		for _, n := range book.tags("a") {
			if attr(n, "href") == "../"+strings.TrimPrefix(page, "logbook/")+"#set.battery.resistance" {
				back++
			}
		}
		if back != 2 {
			t.Errorf("%s: %d links lead to the resistance", page, back)
		}
	}
	// What has no words in French stands there in English, and says so.
	french := pages["logbook/fr.html"]
	for words, page := range map[string]string{"seen on the meter": "logbook/fr.html", "the drum keeper": "logbook/work/fr.html", "The cells were counted.": "logbook/work/fr.html"} {
		marked := false
		for _, n := range pages[page].tags("span") {
			marked = marked || text(n) == words && attr(n, "lang") == "en"
		}
		if !marked {
			t.Errorf("%q is not marked as English", words)
		}
	}
	for _, n := range french.tags("span") {
		if attr(n, "lang") != "" && strings.Contains(text(n), "éléments") {
			t.Error("French words are marked as foreign")
		}
	}
}

// What was fitted is written to two digits of its uncertainty (JCGM 100:2008, 7.2.6), on
// the card's page and in its history, which also keeps the note on the value before.
// Programs read it as the card has it.
func TestFittedDigits(t *testing.T) {
	const constant = `value = 0.05, uncertainty = 0.004, unit = "ohm", from = "measured"`
	const change = `was = 0.08, is = 0.05, unit = "ohm"`
	pages := documents(t, treeOf(t, loggedOf(t,
		strings.Replace(loggedCard, constant, `value = 0.0512345, uncertainty = 0.00412, unit = "ohm", from = "fitted"`, 1),
		strings.Replace(loggedHistory, change, `was = 0.0812345, was-uncertainty = 0.00123, was-from = "measured", is = 0.0512345, is-uncertainty = 0.00412, is-from = "fitted", unit = "ohm", was-note = "seen on an <old> meter", was-note-in = { fr = "lu sur un vieil appareil" }`, 1))))
	for page, want := range map[string][3]string{
		"logbook/index.html": {"0.0512", "± 0.0041", "0.0812345 Ω before, 0.0512 Ω after Note on the value before: seen on an <old> meter"},
		"logbook/fr.html":    {"0,0512", "± 0,0041", "0,0812345 Ω avant, 0,0512 Ω après Note sur la valeur d’avant : lu sur un vieil appareil"},
	} {
		cells, whole := row(pages[page], "set.battery.resistance")
		if len(cells) < 3 || cells[1] != want[0] || cells[2] != want[1] {
			t.Errorf("%s: the row reads %q", page, cells)
		}
		if exact := attr(only(t, whole, "data"), "value"); exact != "0.0512345" {
			t.Errorf("%s: programs read %s", page, exact)
		}
		book := pages[strings.Replace(page, "logbook/", "logbook/work/", 1)]
		if said := strings.Join(strings.Fields(text(book.root)), " "); !strings.Contains(said, strings.Join(strings.Fields(want[2]), " ")) {
			t.Errorf("%s: the history does not say %q: %s", page, want[2], said)
		}
	}
}

func only(t *testing.T, n *html.Node, tag string) *html.Node {
	t.Helper()
	var found []*html.Node
	for c := range n.Descendants() {
		if c.Type == html.ElementNode && c.Data == tag {
			found = append(found, c)
		}
	}
	if len(found) != 1 {
		t.Fatalf("there are %d <%s>", len(found), tag)
	}
	return found[0]
}

// A page says once that its data are invented, in its own language.
func TestInventedOnce(t *testing.T) {
	english := "Invented demonstration data: nothing is real."
	for name, c := range map[string]struct{ note, french, want, wantFrench string }{
		"no note":           {"", "", "Invented demonstration data.", "Données de démonstration inventées."},
		"in both":           {english, "Données de démonstration inventées : rien n’est réel.", english, "Données de démonstration inventées : rien n’est réel."},
		"in English":        {english, "", english, "Données de démonstration inventées."},
		"of something else": {"Closed on Mondays.", "Fermé le lundi.", "Invented demonstration data. Closed on Mondays.", "Données de démonstration inventées. Fermé le lundi."},
		"half":              {"Closed on Mondays.", "", "Invented demonstration data. Closed on Mondays.", "Données de démonstration inventées. Closed on Mondays."},
	} {
		in := frenchInput(t)
		in.House.Note = c.note
		in.House.In = map[string]card.HouseWords{"fr": {Note: c.french, Contact: "l’accueil"}}
		pages := documents(t, treeOf(t, in))
		for page, want := range map[string]string{"index.html": c.want, "fr.html": c.wantFrench, "course/asked/fr.html": c.wantFrench} {
			notices := pages[page].class("invented")
			if len(notices) != 1 || text(notices[0]) != want {
				t.Errorf("%s, %s: the notices are %d, the first of them %q, want %q", name, page, len(notices), text(notices[0]), want)
			}
		}
		if contact := pages["fr.html"].class("contact"); len(contact) != 1 || !strings.Contains(text(contact[0]), "l’accueil") {
			t.Errorf("%s: the French start page does not say whom to call", name)
		}
	}
}

// Symbols of units and groups of digits are those of the International System
// of Units, 9th edition, tables 2, 4 and 7 and sections 5.4.3 and 5.4.4.
func TestUnitsAndDigits(t *testing.T) {
	for unit, want := range map[string]string{"V": "V", "ohm": "Ω", "kohm": "kΩ", "V s/A": "V·s/A", "kg m2": "kg·m²", "N m s2": "N·m·s²",
		"deg": "°", "uF": "µF", "um": "µm", "mm": "mm", "1": "", "%": "%", "N s/m": "N·s/m", "Hz": "Hz"} {
		if got := page.UnitSymbol(unit); got != want {
			t.Errorf("%q is written %q, want %q", unit, got, want)
		}
	}
	for number, want := range map[string]string{"48": "48", "1500": "1500", "48000": "48\u202f000", "1234567": "1\u202f234\u202f567", "-48000": "\u221248\u202f000"} {
		if got, rest := split(number); got != want || rest != "" {
			t.Errorf("%s is written %q and %q", number, got, rest)
		}
	}
	if whole, rest := split("12345.6789"); whole != "12\u202f345" || rest != ".6789" {
		t.Errorf("a number with decimals is split into %q and %q", whole, rest)
	}
}
