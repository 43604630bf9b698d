package scene

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
)

const lessons = "../../lessons"

// The shipped drawing is without a finding, has all names in both languages,
// leads to lessons that there are, and is of the machine on the card.
func TestShipped(t *testing.T) {
	source, err := os.ReadFile(filepath.Join(lessons, "scene.toml"))
	if err != nil {
		t.Fatal(err)
	}
	s, messages := card.ReadScene("scene.toml", source, Shapes(), Materials())
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	var slugs []string
	folders, err := os.ReadDir(lessons)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range folders {
		if _, slug, ok := strings.Cut(f.Name(), "-"); ok && f.IsDir() {
			slugs = append(slugs, slug)
		}
	}
	if m := append(s.Against(slugs), s.Lacks([]string{"fr"})...); len(m) > 0 {
		t.Error(m)
	}
	for _, slug := range slugs {
		whole := slices.Contains([]string{"meet-the-set", "from-one-end-to-the-other", "how-to-write-a-lesson"}, slug)
		about := len(s.About(slug)) > 0 || whole
		if !about {
			t.Errorf("the drawing shows nothing that the lesson %s is about", slug)
		}
	}

	source, err = os.ReadFile(filepath.Join(lessons, "cards", "bell-current-set.toml"))
	if err != nil {
		t.Fatal(err)
	}
	sheet, messages := card.ReadSheet("bell-current-set.toml", source)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	for _, p := range s.Parts {
		if p.Draws != "wheel" {
			continue
		}
		// A wheel is called as its part of the card is.
		if teeth, ok := sheet.Card.Constant(p.Label + ".teeth"); !ok || float64(p.Count) != teeth.Value {
			t.Errorf("the wheel %q has %d teeth; on the card it has %v", p.Label, p.Count, teeth.Value)
		}
	}

	// What leads to different lessons lies apart, so that a finger means one.
	touched := Touched(s, func(p card.ScenePart) string {
		if len(p.Lessons) == 0 {
			return ""
		}
		return p.Lessons[0].Slug
	})
	for i, a := range touched {
		for _, b := range touched[i+1:] {
			if over(a.Box, b.Box) {
				t.Errorf("a finger on %v may mean %s or %s, on %v", a.Box, a.To, b.To, b.Box)
			}
		}
	}
}
