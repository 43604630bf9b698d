package language

import (
	"math"
	"math/big"
	"slices"
	"testing"

	"golang.org/x/text/feature/plural"
	textlanguage "golang.org/x/text/language"
)

// Words with the syllables of their division in dictionaries of German (from
// memory), one for each thing that spelling hides.
func TestGermanSyllables(t *testing.T) {
	for word, want := range map[string]int{
		"Welle": 2, "Motor": 2, "Fliehkraftregler": 4, "Spannung": 2, "Umdrehung": 3, "Glocke": 2, "Feuer": 2, "Bauern": 2, "neue": 2,
		"Theater": 3, "Radius": 3, "Station": 3, "aktuell": 3, "Quelle": 2, "Kontakt": 2, "Häuser": 2, "Leitung": 2, "Maschine": 3, "Eis": 1, "See": 1,
		"Übung": 2, "19,95": 0, "„": 0, "": 0, "U/min": 2, "Grad": 1, "Batterie": 3, "geölt": 2, "Isolation": 5,
	} {
		if got := Of("de").Syllables(word); got != want {
			t.Errorf("%q has %d syllables, want %d", word, got, want)
		}
	}
}

// The formula of Amstad: 180 - words a sentence - 58.5 syllables a word (from
// memory).
func TestGermanReadingEase(t *testing.T) {
	for _, c := range []struct {
		words, sentences, syllables int
		want                        float64
	}{{100, 10, 160, 76.4}, {1, 1, 1, 120.5}, {100, 5, 200, 43}} {
		if got := Of("de").reads.score(c.words, c.sentences, c.syllables); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%d, %d, %d: %v, want %v", c.words, c.sentences, c.syllables, got, c.want)
		}
	}
	if text, _ := Of("de").Hard(100, 5, 200); text == "" {
		t.Error("a hard text passes")
	}
}

// Full stops of ordinals and abbreviations end no sentence; closing quotation
// marks stand behind the full stop or before it.
func TestGermanSentences(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string
	}{
		{"Am 3. Mai stand sie still. Dann lief sie.", []string{"Am 3. Mai stand sie still.", "Dann lief sie."}},
		{"Teile, z. B. Wellen, drehen sich. Nr. 4 auch.", []string{"Teile, z. B. Wellen, drehen sich.", "Nr. 4 auch."}},
		{"Sie sagte: „Halt.“ Dann stand alles.", []string{"Sie sagte: „Halt.“", "Dann stand alles."}},
		{"Halt! „Warum?“ Darum.", []string{"Halt!", "„Warum?“", "Darum."}},
		{"Das war 1910. Danach nicht.", []string{"Das war 1910.", "Danach nicht."}},
	} {
		var got []string
		for _, s := range Of("de").Sentences(c.text) {
			got = append(got, c.text[s[0]:s[1]])
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%q is %q, want %q", c.text, got, c.want)
		}
	}
}

// Units in words, by CLDR's plural rules: 1 Sekunde, but 1,0 Sekunden.
func TestGermanUnits(t *testing.T) {
	de := Of("de")
	for tenths := range 40 {
		for decimals := range 3 {
			n := Number{Decimals: decimals, Language: de}.InForm(float64(tenths)/10, big.NewRat(1, 1))
			want := "Sekunden"
			if decimals == 0 && plural.Cardinal.MatchPlural(textlanguage.German, int(n.Digits[0]-'0'), 0, 0, 0, 0) == plural.One {
				want = "Sekunde"
			}
			if got := de.Agree("Sekunde", n); got != want {
				t.Errorf("%s %s, want %s", n, got, want)
			}
		}
	}
	for _, c := range []struct {
		told, written string
		x             float64
		decimals      int
		want          string
	}{
		{"Hz", "Umdrehungen je Minute", 20, 0, "1200"}, {"Hz", "U/min", 19.95, 0, "1197"}, {"turns", "Umdrehungen", 4.3, 1, "4,3"},
		{"", "Prozent", 0.773, 1, "77,3"}, {"A", "Milliampere", 0.35, 0, "350"}, {"s", "Millisekunden", 0.05, 0, "50"},
	} {
		f, ok := de.Factor(c.told, c.written)
		if got := (Number{Decimals: c.decimals, Language: de}).InForm(c.x, f).String(); !ok || got != c.want {
			t.Errorf("%v %s is %s %s, want %s", c.x, c.told, got, c.written, c.want)
		}
	}
}

func TestGermanWords(t *testing.T) {
	de := Of("de")
	for sentence, want := range map[string]int{
		"Die Welle läuft schneller als zuvor.":           1,
		"Der Strom steigt.":                              1,
		"Die Spannung nimmt ab.":                         1,
		"Das Relais fällt ab.":                           0,
		"Die Lampe leuchtet nicht mehr.":                 0,
		"Drehen Sie weiter, bis die Glocke läutet.":      0,
		"Der Kern steigt und sinkt mit jeder Umdrehung.": 0,
		"Der Motor dreht sich.":                          0,
	} {
		if got := de.Comparisons(sentence); len(got) != want {
			t.Errorf("%q compares at %v, want %d", sentence, got, want)
		}
	}
	for text, want := range map[string]bool{"Schätzen Sie: Wie schnell ist das?": true, "Was glauben Sie?": true, "Niemand schätzt.": false} {
		if got := de.Guess.MatchString(text); got != want {
			t.Errorf("%q asks to guess: %v", text, got)
		}
	}
	for text, want := range map[string]bool{"Drehen Sie am Knopf.": true, "Ziehen Sie den Schieberegler.": true, "Der Knopf ist rot.": false, "Drehen Sie die Welle nicht.": false, "Berühren Sie den Bildschirm.": true, "Drücken Sie auf die Taste.": true, "Drücken Sie die Kohle nicht.": false} {
		if got := de.Handles.MatchString(text); got != want {
			t.Errorf("%q names what a screen has: %v", text, got)
		}
	}
	for text, missing := range map[string]bool{
		"Eine Elektrofachkraft stellt die Spannungsfreiheit fest.": true,
		"Prüfen Sie, ob alles spannungsfrei ist.":                  true,
		"Eine Elektrofachkraft stellt die Spannungsfreiheit fest, mit einem Spannungsprüfer, der davor und danach an einer bekannten Quelle geprüft wurde.": false,
		"Alles ist spannungsfrei.": false,
	} {
		if got := de.Dead.Missing(text) != nil; got != missing {
			t.Errorf("%q lacks how: %v", text, got)
		}
	}
}
