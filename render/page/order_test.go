package page

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
)

// Whatever the right order is, and however the author wrote the items, they are
// never listed in the right order, and always in the same one; the guide's key
// has them as the course does.
func TestOrderIsMixed(t *testing.T) {
	orders := [][]int{{0, 1}, {1, 0}, {0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}, {0, 1, 2, 3}, {3, 2, 1, 0}}
	for _, order := range orders {
		body := "```lesson\ntitle = \"T\"\n```\n\n```question\nask = \"In which order?\"\nby = \"rising\"\nwhy = \"So.\"\n"
		var s tell.Sheet
		for i, rank := range order {
			body += fmt.Sprintf("\n[[item]]\ntext = \"item %d\"\nvalue = \"v%d\"\n", rank, i)
			s.Value(fmt.Sprintf("v%d", i), float64(rank), "V")
		}
		for _, slug := range []string{"a", "b", "c", "d"} {
			l, messages := lesson.Parse("l.md", []byte(body+"```\n"))
			if diag.HasError(messages) {
				t.Fatal(messages)
			}
			l.Slug = slug
			report, messages := proof.Check(l, s.Result(), nil, []*lesson.Lesson{l})
			if diag.HasError(messages) {
				t.Fatal(messages)
			}
			source := Source{Lesson: l, Result: s.Result(), Report: report}
			c, messages := NewCourse(source, Links{})
			if len(messages) > 0 {
				t.Fatal(messages)
			}
			var listed, right []string
			for _, n := range find(parsed(t, string(c.Body)), "label", "") {
				listed = append(listed, text(n))
			}
			for i := range order {
				right = append(right, fmt.Sprintf("item %d", i))
			}
			if slices.Equal(listed, right) {
				t.Errorf("%s: %v is listed in the right order", slug, order)
			}
			if sorted := slices.Sorted(slices.Values(listed)); !slices.Equal(sorted, right) {
				t.Errorf("%s: %v is listed as %q", slug, order, listed)
			}
			again, _ := NewCourse(source, Links{})
			if again.Body != c.Body {
				t.Errorf("%s: %v is listed in two orders", slug, order)
			}
			key, _ := NewHandout(source, Guide)
			var options []string
			for _, o := range key.Answers[0].Options {
				options = append(options, string(o))
			}
			if !slices.Equal(options, listed) || !strings.Contains(string(key.Answers[0].Right), "item 0; item 1") {
				t.Errorf("%s: the guide's key lists %q, the course %q", slug, options, listed)
			}
		}
	}
}
