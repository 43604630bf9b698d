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

// Whatever the right order is, and however the author wrote the items, more
// than two are never listed in the right order, and all always in the same one;
// the guide's key has them as the course does.
func TestOrderIsShuffled(t *testing.T) {
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
			source := Input{Checked: proof.Checked{Lesson: l, Result: s.Result(), Report: report}}
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
			if len(order) > 2 && slices.Equal(listed, right) {
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

// The options of a choice are listed in the order that the proof gives, on the
// course's page and in the guide's key, in every language; what is said to who
// chooses wrongly is in that order too, and each control and note still names
// the option that the author wrote.
func TestChoiceIsShuffled(t *testing.T) {
	const question = "ask = \"Which?\"\nwhy = \"So.\"\n" +
		"[[option]]\ntext = \"option 0\"\nwhen = \"is\"\n" +
		"[[option]]\ntext = \"option 1\"\nwhen = \"not is\"\nbut = \"No, 1.\"\n" +
		"[[option]]\ntext = \"option 2\"\nwhen = \"not is\"\nbut = \"No, 2.\"\n"
	source := "```lesson\ntitle = \"T\"\n```\n" + strings.Repeat("\n```question\n"+question+"```\n", 12)
	var s tell.Sheet
	s.Claim("is", true)
	l, messages := lesson.Parse("l.md", []byte(source))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	l.Slug = "a"
	tr, messages := lesson.ParseTranslation("fr.md", "fr", []byte(source), l)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	firsts := map[string]int{}
	for _, one := range []*lesson.Lesson{l, tr} {
		report, messages := proof.Check(one, s.Result(), nil, []*lesson.Lesson{l})
		if diag.HasError(messages) {
			t.Fatal(messages)
		}
		written := Input{Checked: proof.Checked{Lesson: one, Result: s.Result(), Report: report}}
		c, messages := NewCourse(written, Links{})
		if len(messages) > 0 {
			t.Fatal(messages)
		}
		var want, values, notes, listed, keys []string
		for _, a := range report.Questions {
			for k, i := range a.Shown {
				want = append(want, fmt.Sprintf("option %d", i))
				values = append(values, fmt.Sprint(i))
				if i > 0 {
					notes = append(notes, fmt.Sprint(i))
				} else {
					firsts[fmt.Sprint(one.Language, " right at ", k)]++
				}
			}
		}
		root := parsed(t, string(c.Body))
		for _, n := range find(root, "label", "") {
			listed = append(listed, text(n))
		}
		for _, n := range find(root, "input", "") {
			listed = append(listed, attr(n, "value"))
		}
		for _, n := range find(root, "div", "but") {
			listed = append(listed, attr(n, "data-option"))
		}
		if want := slices.Concat(want, values, notes); !slices.Equal(listed, want) {
			t.Errorf("the page lists\n%q, want\n%q", listed, want)
		}
		key, _ := NewHandout(written, Guide)
		for _, a := range key.Answers {
			for _, o := range a.Options {
				keys = append(keys, string(o))
			}
		}
		if !slices.Equal(keys, want) {
			t.Errorf("the guide's key lists\n%q, want\n%q", keys, want)
		}
	}
	if len(firsts) != 6 || firsts[" right at 0"] != firsts["fr right at 0"] || firsts[" right at 1"] != firsts["fr right at 1"] {
		t.Errorf("the right option stands at %v", firsts)
	}
}
