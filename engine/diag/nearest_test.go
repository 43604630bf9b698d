package diag

import "testing"

func TestNearest(t *testing.T) {
	for _, c := range []struct {
		word  string
		known []string
		want  string
	}{
		{"idel.speed", []string{"busy.speed", "idle.speed"}, "idle.speed"},
		{"visiter", []string{"visitor", "docent"}, "visitor"},
		{"Go", []string{"go"}, "go"},
		{"og", []string{"go"}, "go"},
		{"ruby", []string{"go", "lesson"}, ""},
		{"", []string{"go"}, ""},
		{"hazrds", []string{"title", "hazards"}, "hazards"},
		{"x", nil, ""},
	} {
		if got := Nearest(c.word, c.known); got != c.want {
			t.Errorf("Nearest(%q, %q) = %q, want %q", c.word, c.known, got, c.want)
		}
	}
}

// The distance, against the textbook example of edit distance (kitten,
// sitting: 3; Jurafsky and Martin, Speech and Language Processing, use
// intention and execution: 5 with unit costs) and Damerau's swap.
func TestEdits(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 3},
		{"intention", "execution", 5},
		{"ca", "ac", 1},
		{"", "abc", 3},
		{"same", "same", 0},
	} {
		if got := edits(c.a, c.b, 9); got != c.want {
			t.Errorf("edits(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
		if got := edits(c.b, c.a, 9); got != c.want {
			t.Errorf("edits(%q, %q) = %d, want %d", c.b, c.a, got, c.want)
		}
	}
}
