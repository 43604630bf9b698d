package language

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/folder"
)

// house makes a lessons folder with files of languages.
func house(t *testing.T, files map[string]string) *folder.Folder {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		file := filepath.Join(dir, Folder, name)
		if err := os.MkdirAll(filepath.Dir(file), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	in := folder.Open(dir)
	t.Cleanup(in.Close)
	return in
}

// A house may have a language of its own: it is known by its tag, one message
// says what it lacks, and that comes from the house's first language.
func TestOwn(t *testing.T) {
	in := house(t, map[string]string{"it.toml": "[language]\nname = \"italiano\"\n[site]\nskip = \"Vai al testo\"\n"})
	set, messages := Read(in, []string{"fr", "it"})
	if len(messages) != 1 || messages[0].Level != diag.Warning || !strings.HasSuffix(messages[0].File, "it.toml") {
		t.Fatal(messages)
	}
	lacks := len(Of("en").texts) - 1 + 1 + 6 // but for site.skip; the months, the rules
	if m := messages[0]; !strings.HasPrefix(m.Text, strings.TrimSpace(plainly(lacks))+" of the texts") ||
		!strings.Contains(m.Hint, "about.chart = \"What “{lesson}” asks to find a fault, as a chart for the wall.\"\n") || !strings.Contains(m.Hint, "until then pages have them in français") {
		t.Errorf("want %d: %s", lacks, m)
	}
	it, ok := set.Find("it")
	if !ok || it.Name != "italiano" {
		t.Fatalf("%v", ok)
	}
	if text, _, _ := it.Text("site.skip"); text.String() != "Vai al testo" {
		t.Error(text)
	}
	if text, in, _ := it.Text("site.course"); text.String() != "Cours" || in.Tag != "fr" {
		t.Error(text)
	}
	if tags := strings.Join(set.Tags(), " "); tags != "en de es fr it" {
		t.Error(tags)
	}
	if _, ok := (Set{}).Find("it"); ok {
		t.Error("the language is known in other houses")
	}
	if it.Digest() == "it" || set.Of("fr").Digest() != "fr" {
		t.Error("drawings of two houses could be mixed up")
	}
}

func plainly(n int) string {
	return strings.Trim(strings.ReplaceAll(Of("en").Number(float64(n), 0), ",", ""), " ")
}

// In a house whose first language is its own, what is missing is in English.
func TestOwnFirst(t *testing.T) {
	in := house(t, map[string]string{"it.toml": "[language]\nname = \"italiano\"\n[site]\nskip = \"Vai al testo\"\n", "nl.toml": "[language]\nname = \"Nederlands\"\n"})
	set, _ := Read(in, []string{"it", "nl"})
	for tag, want := range map[string][2]string{"it": {"Vai al testo", "Course"}, "nl": {"Vai al testo", "Course"}} {
		l := set.Of(tag)
		skip, _, _ := l.Text("site.skip")
		course, _, _ := l.Text("site.course")
		if got := [2]string{skip.String(), course.String()}; got != want {
			t.Errorf("%s says %q, want %q", tag, got, want)
		}
	}
}

// A house may replace single texts of a language that comes with the program,
// and is not told what it leaves as it is.
func TestOwnTexts(t *testing.T) {
	in := house(t, map[string]string{"de.toml": "[site]\nkiosk = \"Hallenschirm\"\n"})
	set, messages := Read(in, []string{"en", "de"})
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	de := set.Of("de")
	kiosk, _, _ := de.Text("site.kiosk")
	course, _, _ := de.Text("site.course")
	if kiosk.String() != "Hallenschirm" || course.String() != "Kurs" || de.Name != "Deutsch" || de.Syllables("Drehzahl") != 2 {
		t.Errorf("%s, %s, %s", kiosk, course, de.Name)
	}
	if len(de.Comparisons("Der Strom steigt.")) != 1 || de.Agree("Sekunde", Number{Digits: "2"}) != "Sekunden" {
		t.Error("the rules of the language are lost")
	}
}

// Files that are no languages of the house.
func TestOwnRefused(t *testing.T) {
	for name, want := range map[string]string{
		"it.toml":   `"it" is not one of the house's languages`,
		"notes.txt": "this is no file of a language",
	} {
		in := house(t, map[string]string{name: "[language]\nname = \"x\"\n"})
		set, messages := Read(in, []string{"en", "fr"})
		if len(messages) != 1 || messages[0].Text != want || messages[0].Hint == "" || len(set.own) > 0 {
			t.Errorf("%s gives %v", name, messages)
		}
	}
	in := house(t, map[string]string{"fr.toml": "[site]\nskipp = \"x\"\n"})
	set, messages := Read(in, []string{"en", "fr"})
	if len(messages) != 1 || messages[0].Line != 2 || len(set.own) != 1 {
		t.Errorf("%v", messages)
	}
	if set, messages := Read(house(t, nil), []string{"en"}); len(messages) > 0 || len(set.own) > 0 {
		t.Errorf("a house without languages of its own gives %v", messages)
	}
}
