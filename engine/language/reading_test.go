package language

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Words with the syllables of their pronunciation in dictionaries of French
// (from memory), one for each thing that spelling hides.
func TestFrenchSyllables(t *testing.T) {
	for word, want := range map[string]int{
		"le": 1, "table": 1, "arbre": 1, "machine": 2, "tournent": 1, "moment": 2, "lentement": 2, "maintenant": 2, "appartement": 4,
		"samedi": 2, "petit": 2, "eau": 1, "oiseau": 2, "feuille": 1, "bataille": 2, "brouillard": 2, "œil": 1, "pied": 1, "nuit": 1,
		"pluie": 1, "ouvrier": 3, "client": 2, "patient": 2, "théâtre": 2, "océan": 3, "aérien": 3, "naïf": 2, "maïs": 2, "héroïque": 3,
		"poète": 2, "chaos": 2, "août": 1, "yeux": 1, "voyage": 2, "payer": 2, "pays": 2, "paysage": 3, "quatre": 1, "langue": 1, "guerre": 1,
		"nageoire": 2, "régulateur": 4, "masselotte": 2, "pesanteur": 3, "électricité": 5, "génératrice": 4, "batterie": 2, "voterions": 3,
		"année": 2, "étaient": 2, "viennent": 1, "trois": 1, "l’arbre": 1, "aujourd'hui": 3, "court-circuit": 3, "qu’un": 1,
		"19,95": 0, "n°4": 0, "»": 0, "": 0,
	} {
		if got := frenchSyllables(word); got != want {
			t.Errorf("frenchSyllables(%q) = %d, want %d", word, got, want)
		}
	}
}

// Against the speech synthesiser espeak-ng, for words of the pages and common
// ones. Where the two differ it is mostly the synthesiser that speaks a mute e.
func TestFrenchSyllablesAgainstSpeech(t *testing.T) {
	file, err := os.ReadFile(filepath.Join("testdata", "syllables.csv"))
	if err != nil {
		t.Fatal(err)
	}
	words, same, ours, theirs := 0, 0, 0, 0
	for line := range strings.Lines(string(file)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		word, count, _ := strings.Cut(strings.TrimSpace(line), ",")
		want, err := strconv.Atoi(count)
		if err != nil {
			t.Fatal(err)
		}
		got := frenchSyllables(word)
		words, ours, theirs = words+1, ours+got, theirs+want
		if got == want {
			same++
		} else {
			t.Logf("%s: %d, espeak-ng %d", word, got, want)
		}
	}
	if words < 800 || float64(same) < 0.98*float64(words) {
		t.Errorf("agrees on %d of %d words", same, words)
	}
	if math.Abs(float64(ours-theirs)) > 0.01*float64(theirs) {
		t.Errorf("%d syllables together, espeak-ng has %d", ours, theirs)
	}
}

// The formula of Kandel and Moles as later works quote it: 207 - 1.015 words a
// sentence - 73.6 syllables a word. The paper of 1958 itself could not be read,
// so this holds the code against that quotation only.
func TestReadingEase(t *testing.T) {
	for _, c := range []struct {
		words, sentences, syllables int
		want                        float64
	}{
		{100, 1, 100, 207 - 101.5 - 73.6},
		{1, 1, 1, 132.385},
		{100, 10, 150, 86.45},
		{100, 4, 200, 34.425},
	} {
		if got := Of("fr").reads.score(c.words, c.sentences, c.syllables); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("readingEase(%d, %d, %d) = %v, want %v", c.words, c.sentences, c.syllables, got, c.want)
		}
	}
}

func TestFrenchSentences(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string
	}{
		{"Qui\u00a0? Lui\u202f! Oui.", []string{"Qui\u00a0?", "Lui\u202f!", "Oui."}},
		{"«\u00a0Stop\u202f!\u00a0» Puis rien.", []string{"«\u00a0Stop\u202f!\u00a0»", "Puis rien."}},
		{"Elle dit «\u00a0stop\u202f!\u00a0» et rit.", []string{"Elle dit «\u00a0stop\u202f!\u00a0» et rit."}},
		{"Fin. «\u00a0Encore\u00a0»", []string{"Fin.", "«\u00a0Encore\u00a0»"}},
		{"Le n° 4. Étrange.", []string{"Le n° 4.", "Étrange."}},
	} {
		var got []string
		for _, s := range Of("fr").Sentences(c.text) {
			got = append(got, c.text[s[0]:s[1]])
		}
		if strings.Join(got, "|") != strings.Join(c.want, "|") {
			t.Errorf("Sentences(%q) = %q, want %q", c.text, got, c.want)
		}
	}
}
