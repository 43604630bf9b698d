package proof

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/lesson"
)

func askedOf(kind lesson.QuestionKind, options int) *lesson.Question {
	return &lesson.Question{Kind: kind, Options: make([]lesson.Option, options)}
}

// Every order of the options is about as frequent as any other, wherever the
// author writes the right one. For each count of options, the bound is what
// chi-squared exceeds with a probability of 1 in 1000 (Abramowitz and Stegun,
// Handbook of Mathematical Functions, table 26.8, for 1, 5 and 23 degrees of
// freedom).
func TestShuffledEvenly(t *testing.T) {
	for options, bound := range map[int]float64{2: 10.828, 3: 20.515, 4: 49.728} {
		counts := map[string]float64{}
		total := 0.0
		for lessonNumber := range 300 {
			for n := range 20 {
				list := shuffled(fmt.Sprintf("lesson-%d", lessonNumber), n+1, askedOf(lesson.Choice, options), []int{0})
				counts[fmt.Sprint(list)]++
				total++
			}
		}
		orders := 1.0
		for k := range options {
			orders *= float64(k + 1)
		}
		if len(counts) != int(orders) {
			t.Errorf("%d options have %d orders", options, len(counts))
		}
		sum := 0.0
		for _, n := range counts {
			sum += math.Pow(n-total/orders, 2) / (total / orders)
		}
		if sum > bound {
			t.Errorf("%d options: chi-squared is %.1f, above %.1f: %v", options, sum, bound, counts)
		}
	}
}

// The order is the same in every build. What is wanted was computed with
// Python's hashlib.
func TestShuffledAlike(t *testing.T) {
	got := fmt.Sprint(shuffled("starting", 1, askedOf(lesson.Choice, 2), []int{0}), shuffled("starting", 2, askedOf(lesson.Choice, 4), []int{0}),
		shuffled("why-it-does-not-hunt", 2, askedOf(lesson.Choice, 3), []int{0}))
	if want := "[1 0] [1 0 2 3] [1 2 0]"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// More than two items are never listed in the right order; two are in either.
func TestShuffledOrder(t *testing.T) {
	found := map[string]bool{}
	for n := range 50 {
		for _, right := range [][]int{{0, 1, 2}, {2, 0, 1}, {1, 0, 3, 2}} {
			list := shuffled("a", n, askedOf(lesson.Order, len(right)), right)
			if slices.Equal(list, right) || !slices.Equal(slices.Sorted(slices.Values(list)), slices.Sorted(slices.Values(right))) {
				t.Errorf("the items of question %d are listed as %v, the right order is %v", n, list, right)
			}
		}
		found[fmt.Sprint(shuffled("a", n, askedOf(lesson.Order, 2), []int{0, 1}))] = true
	}
	if len(found) != 2 {
		t.Errorf("two items are always listed as %v", found)
	}
}

// From how many choices on it is reported that all right options are shown at
// one place, and that one elsewhere, or beside the course, ends it.
func TestAnswersAtOnePlace(t *testing.T) {
	type choice struct{ options, at int }
	check := func(beside bool, choices ...choice) string {
		l := &lesson.Lesson{File: "lesson.md", Facts: lesson.Facts{Beside: beside}}
		other := &lesson.Lesson{File: "other.md"}
		var r Report
		for _, c := range choices {
			a := Answer{Node: &lesson.Node{Question: askedOf(lesson.Choice, c.options)}, Right: []int{0}}
			for i := range c.options {
				a.Shown = append(a.Shown, (i-c.at+c.options)%c.options)
			}
			r.Questions = append(r.Questions, a)
		}
		r.Questions = append(r.Questions, Answer{Node: &lesson.Node{Question: askedOf(lesson.Number, 0)}})
		var said []string
		for _, m := range (Folder{Lessons: []*lesson.Lesson{other, l}}).CheckAnswers([]Report{{}, r}) {
			if m.Level != diag.Warning || m.Rule != rulePlace || m.File != "lesson.md" {
				t.Errorf("%+v", m)
			}
			said = append(said, m.Text)
		}
		return strings.Join(said, "\n")
	}
	times := func(n int, c choice) []choice { return slices.Repeat([]choice{c}, n) }
	for _, c := range []struct {
		choices  []choice
		reported bool
	}{
		{nil, false},
		{times(10, choice{2, 0}), false}, // 1 in 512
		{times(11, choice{2, 0}), true},  // 1 in 1024
		{times(11, choice{2, 1}), true},
		{append(times(30, choice{2, 0}), choice{2, 1}), false},
		{times(7, choice{3, 2}), false},                       // 1 in 729
		{times(8, choice{3, 2}), true},                        // 1 in 2187
		{times(5, choice{4, 3}), false},                       // 1 in 256
		{times(6, choice{4, 3}), true},                        // 1 in 1024
		{append(times(6, choice{3, 1}), choice{2, 1}), false}, // 1 in 729
		{append(times(7, choice{3, 1}), choice{2, 1}), true},  // 1 in 2187
	} {
		got := check(false, c.choices...)
		if (got != "") != c.reported {
			t.Errorf("%v: %q", c.choices, got)
		}
		if beside := check(true, c.choices...); beside != "" {
			t.Errorf("%v beside the course: %q", c.choices, beside)
		}
	}
	if got, want := check(false, times(6, choice{4, 2})...), "this choice and all others of the course, 6 together, have the right answer at place 3 of those shown"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// Guesses are looked at by themselves: all at one place is reported, whatever
// the questions of the course do.
func TestGuessesAtOnePlace(t *testing.T) {
	answers := func(kind lesson.Kind, at func(i int) int) (list []Answer) {
		for i := range 8 { // of three options: 3 * (1/3)^8, below one in a thousand
			list = append(list, Answer{Node: &lesson.Node{Kind: kind, Question: askedOf(lesson.Choice, 3)}, Right: []int{at(i)}, Shown: []int{0, 1, 2}})
		}
		return list
	}
	always, mixed := func(int) int { return 2 }, func(i int) int { return i % 3 }
	f := Folder{Lessons: []*lesson.Lesson{{}}}
	for _, c := range []struct {
		report Report
		want   string
	}{
		{Report{Questions: answers(lesson.QuestionBlock, mixed), Guesses: answers(lesson.GuessBlock, mixed)}, ""},
		{Report{Questions: answers(lesson.QuestionBlock, mixed), Guesses: answers(lesson.GuessBlock, always)},
			"this guess and all others of the kiosk, 8 together, have the right answer at place 3 of those shown"},
	} {
		got := ""
		for _, m := range f.CheckAnswers([]Report{c.report}) {
			got += m.Text
		}
		if got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}
