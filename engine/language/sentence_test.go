package language

import (
	"slices"
	"testing"
)

func TestSentences(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string
	}{
		{"", nil},
		{"One.", []string{"One."}},
		{"One. Two! Three?", []string{"One.", "Two!", "Three?"}},
		{"It makes 19.95 Hz. The No. 4 set, e.g. this one", []string{"It makes 19.95 Hz.", "The No. 4 set, e.g. this one"}},
		{`He said: "Stop." Then it stopped...`, []string{`He said: "Stop."`, "Then it stopped..."}},
		{"Wait... what? (Yes.) No", []string{"Wait... what?", "(Yes.)", "No"}},
	} {
		var got []string
		for _, s := range Of("en").Sentences(c.text) {
			got = append(got, c.text[s[0]:s[1]])
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("Sentences(%q) = %q, want %q", c.text, got, c.want)
		}
	}
}
