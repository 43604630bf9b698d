package language

import (
	"math"
	"testing"
)

// Syllables as dictionaries divide these words (from memory).
func TestSyllables(t *testing.T) {
	for word, want := range map[string]int{
		"a": 1, "the": 1, "gravity": 3, "machine": 2, "governor": 3, "turns": 1, "closed": 1, "once": 1,
		"table": 2, "little": 2, "moves": 1, "touches": 2, "started": 2, "ended": 2, "jumped": 1, "wheel": 1,
		"spinning": 2, "weight": 1, "time": 1, "engineers": 3, "three": 1, "free": 1, "needle": 2, "20": 0, "-": 0,
		"Earth's": 1, "slower": 2, "voltage": 2, "signal": 2, "faces": 2, "whole": 1, "be": 1,
	} {
		if got := englishSyllables(word); got != want {
			t.Errorf("englishSyllables(%q) = %d, want %d", word, got, want)
		}
	}
}

// The lowest grade that the formula can give is published as -3.40, for
// sentences of one word of one syllable (encyclopaedia articles on the
// Flesch-Kincaid tests, from memory).
func TestReadingGrade(t *testing.T) {
	if got := Of("en").reads.score(1, 1, 1); math.Abs(got - -3.40) > 1e-9 {
		t.Errorf("lowest grade is %v, want -3.40", got)
	}
}
