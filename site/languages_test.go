package site

import (
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
)

// The lessons of these tests; all numbers in them are invented.
const (
	askedLesson = "```lesson\ntitle = \"Asked\"\nhazards = [\"rotating\"]\nminutes = 15\nrevised = 2026-11-01\ndata = [\"readings.csv\"]\n```\n\n" +
		"```caution rotating\nKeep off.\n```\n\n## Speed\n\nIt makes [19.95 Hz][idle.speed]. See [the other][lesson.second].\n\n" +
		"![What was read](table:readings)\n\n" +
		"```question\nask = \"By how much does it slow?\"\nanswer = \"drop.speed\"\nwithin = \"5 %\"\nwhy = \"From [19.95 Hz][idle.speed], by [0.10 Hz][drop.speed].\"\n```\n\n" +
		"## Contact\n\n" +
		"```question\nask = \"What does it do when it *slows*?\"\nwhy = \"It has to speed up.\"\n\n[[option]]\ntext = \"It closes more often.\"\nwhen = \"not once\"\nbut = \"Gravity tugs once a turn.\"\n\n[[option]]\ntext = \"It opens for longer.\"\nwhen = \"once\"\n```\n\n" +
		"```question\nask = \"Which comes first?\"\nby = \"rising\"\nwhy = \"The drop is small.\"\n\n[[item]]\ntext = \"The speed\"\nvalue = \"idle.speed\"\n\n[[item]]\ntext = \"The drop\"\nvalue = \"drop.speed\"\n```\n\n" +
		"```visitor\n## A weight\n\nIt turns.\n```\n\n```docent\nAsk them.\n```\n"
	askedFrench = "```lesson\ntitle = \"Demandé\"\n```\n\n" +
		"```caution rotating\nN’approchez pas.\n```\n\n## Vitesse\n\nIl fait [19,95 Hz][idle.speed]. Voir [l’autre][lesson.second].\n\n" +
		"![Ce qui a été lu](table:readings)\n\n" +
		"```question\nask = \"De combien ralentit-il\u00a0?\"\nanswer = \"drop.speed\"\nwithin = \"5 %\"\nwhy = \"De [19,95 Hz][idle.speed], par [0,10 Hz][drop.speed].\"\n```\n\n" +
		"## Contact et poids\n\n" +
		"```question\nask = \"Que fait-il quand il *ralentit*\u00a0?\"\nwhy = \"Il doit accélérer.\"\n\n[[option]]\ntext = \"Il se ferme plus souvent.\"\nwhen = \"not once\"\nbut = \"La pesanteur tire une fois par tour.\"\n\n[[option]]\ntext = \"Il s’ouvre plus longtemps.\"\nwhen = \"once\"\n```\n\n" +
		"```question\nask = \"Lequel vient d’abord\u00a0?\"\nby = \"rising\"\nwhy = \"La baisse est petite.\"\n\n[[item]]\ntext = \"La vitesse\"\nvalue = \"idle.speed\"\n\n[[item]]\ntext = \"La baisse\"\nvalue = \"drop.speed\"\n```\n\n" +
		"```visitor\n## Un poids\n\nIl tourne.\n```\n\n```docent\nDemandez.\n```\n"
	askedData = "# Read by nobody: invented for a test.\nload (A),speed (Hz),note\n0.5,19.95,idle\n2,19.9,busy\n-,-,none\n"
)

// frenchInput is a house of two languages, with a lesson that is translated
// and one that is not.
func frenchInput(t *testing.T) Input {
	t.Helper()
	in := inputOf(t, [][2]string{{"second", secondLesson}})
	in.House.Languages = []string{"en", "fr"}
	in.Lessons[0].Lesson.Facts.Needs = nil
	second := in.Lessons[0].Lesson
	second.Language = "en"

	l, messages := lesson.Parse("asked/lesson.md", []byte(askedLesson))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	data, messages := lesson.ParseData("readings.csv", []byte(askedData))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	l.Slug, l.Folder, l.Language, l.Data = "asked", "01-asked", "en", []lesson.Data{data}
	f, messages := lesson.ParseTranslation("asked/words/fr.md", "fr", []byte(askedFrench), l)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	l.Translations = []*lesson.Lesson{f}
	var s tell.Sheet
	s.Value("idle.speed", 19.950000000000003, "Hz")
	s.Value("drop.speed", 0.1, "Hz")
	s.Claim("once", true)
	result := s.Result()
	result.Cards = []string{"set"}
	check := func(l *lesson.Lesson) proof.Report {
		report, messages := proof.Folder{House: in.House, Cards: in.Cards, Lessons: []*lesson.Lesson{l, second}}.Check(l, result)
		if diag.HasError(messages) {
			t.Fatal(messages)
		}
		return report
	}
	one := proof.Checked{Lesson: l, Result: result, Report: check(l)}
	one.Translations = []proof.Checked{{Lesson: f, Result: result, Report: check(f)}}
	in.Lessons = append([]proof.Checked{one}, in.Lessons...)
	return in
}

func TestLanguages(t *testing.T) {
	pages := documents(t, treeOf(t, frenchInput(t)))
	var french []string
	for name, d := range pages {
		want := "en"
		if strings.HasSuffix(name, "/fr.html") || strings.HasSuffix(name, ".fr.html") || name == "fr.html" {
			want = "fr"
			french = append(french, name)
		}
		if got := attr(d.tags("html")[0], "lang"); got != want {
			t.Errorf("%s: lang is %q", name, got)
		}
	}
	slices.Sort(french)
	for _, want := range []string{"course/asked/fr.html", "course/fr.html", "fr.html", "handout/asked-guide.fr.html", "handout/asked.fr.html",
		"handout/fr.html", "kiosk/asked.fr.html", "kiosk/fr.html", "logbook/fr.html"} {
		if !slices.Contains(french, want) {
			t.Errorf("there is no %s in %q", want, french)
		}
	}
	for _, name := range french {
		if strings.Contains(name, "second") {
			t.Errorf("%s is of a lesson that is not translated", name)
		}
	}

	// Each page leads to itself in the other language, and back.
	for name, d := range pages {
		of := lessonOf(name)
		found := 0
		for _, n := range d.tags("a") {
			if attr(n, "hreflang") != "" && slices.Contains([]string{"English", "français"}, text(n)) {
				found++
			}
		}
		switch {
		case of == "second" && found > 0:
			t.Errorf("%s has a switch to a page that is not there", name)
		case of == "asked" && found == 0, of == "" && found != 1 && !strings.HasPrefix(name, "engine"):
			t.Errorf("%s has %d links to its other language", name, found)
		}
	}
	for _, name := range []string{"course/fr.html", "handout/fr.html"} {
		if only := pages[name].class("only"); len(only) != 1 || text(only[0]) != "En anglais seulement" {
			t.Errorf("%s does not mark the lesson in English", name)
		}
	}
	switches := pages["course/asked/index.html"].class("languages")[0]
	for n := range switches.Descendants() {
		if n.Type == html.ElementNode && n.Data == "a" && attr(n, "data-sections") != "vitesse contact-et-poids" {
			t.Errorf("the switch leads to the sections %q", attr(n, "data-sections"))
		}
	}
	got := text(pages["course/asked/fr.html"].tags("body")[0])
	for _, want := range []string{"19,95 Hz", "15 minutes, revue le 1er novembre 2026", "Avertissement Arbre en rotation", "0,5", "19,90"} {
		if !strings.Contains(strings.ReplaceAll(got, "\u00a0", " "), want) {
			t.Errorf("the French course does not say %q:\n%s", want, got)
		}
	}
	for _, english := range []string{"Question 1. By", "Underlined", "Check", "Warning", "Skip"} {
		if strings.Contains(got, english) {
			t.Errorf("the French course says %q", english)
		}
	}
}

// lessonOf gives the slug in a page's path, "" for one about all lessons.
func lessonOf(name string) string {
	for _, slug := range []string{"asked", "second"} {
		if strings.Contains(name, "/"+slug) {
			return slug
		}
	}
	return ""
}

// Questions stand in the course and, with their answers, on the guide's sheet;
// nowhere else.
func TestQuestions(t *testing.T) {
	pages := documents(t, treeOf(t, frenchInput(t)))
	for name, d := range pages {
		want := 0
		if strings.HasPrefix(name, "course/asked/") {
			want = 3
		}
		if got := len(d.class("question")); got != want {
			t.Errorf("%s asks %d questions, want %d", name, got, want)
		}
		if got := len(d.class("answers")) == 1; got != strings.Contains(name, "asked-guide") {
			t.Errorf("%s has an answer key: %t", name, got)
		}
	}
	for name, want := range map[string][]string{
		"handout/asked-guide.html":    {"The answer: 0.100 Hz (5 % more or less will do)", "From 19.95 Hz, by 0.10 Hz.", "The answer: It opens for longer.", "The answer: The drop; The speed"},
		"handout/asked-guide.fr.html": {"La réponse : 0,100 Hz (à 5 % près)", "La réponse : Il s’ouvre plus longtemps.", "La réponse : La baisse; La vitesse"},
		"course/asked/index.html":     {"Question 1. By how much", "Answer and reasoning The answer: 0.100 Hz", "It closes more often. Gravity tugs once a turn."},
		"course/asked/fr.html":        {"Question 3. Lequel vient d’abord ?", "Réponse et raisonnement La réponse : 0,100 Hz"},
	} {
		got := strings.ReplaceAll(text(pages[name].tags("main")[0]), "\u00a0", " ")
		for _, s := range want {
			if !strings.Contains(got, s) {
				t.Errorf("%s does not say %q:\n%s", name, s, got)
			}
		}
	}
}

// Readings of a data file stand in a table with units, with where they come
// from, and to be had as CSV.
func TestReadings(t *testing.T) {
	tree := treeOf(t, frenchInput(t))
	d := documents(t, tree)["course/asked/index.html"]
	var cells []string
	for n := range d.tags("table")[0].Descendants() {
		if n.Data == "th" || n.Data == "td" {
			cells = append(cells, text(n))
		}
	}
	table := strings.Join(cells, " ")
	if want := "load, A speed, Hz note 0.5 19.95 idle 2.0 19.90 busy – – none"; table != want {
		t.Errorf("the table reads %q, want %q", table, want)
	}
	if note := d.class("readings"); len(note) != 1 || text(note[0]) != "Read by nobody: invented for a test." {
		t.Error("the table does not say where its numbers come from")
	}
	if got := string(tree["course/asked/table-readings.csv"]); !strings.Contains(got, "19.95") || !strings.Contains(got, "speed") {
		t.Errorf("the file to download is %q", got)
	}
}
