package proof

import (
	"crypto/sha256"
	"fmt"
	"math"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/lesson"
)

// shuffled gives the indexes of the options of a lesson's nth question, from
// 1, in the order in which pages list them. Authors tend to write the right
// option first, and items in the order that is right.
//
// Digests of lesson, question and option decide, so that every build, page and
// language has the same order. More than two items are never listed in the
// right order; of two, that would tell the answer.
func shuffled(slug string, n int, q *lesson.Question, right []int) []int {
	digests := make([]string, len(q.Options))
	list := make([]int, len(q.Options))
	for i := range list {
		sum := sha256.Sum256(fmt.Appendf(nil, "%s %d %d", slug, n, i))
		digests[i], list[i] = string(sum[:]), i
	}
	slices.SortFunc(list, func(a, b int) int { return strings.Compare(digests[a], digests[b]) })
	if q.Kind == lesson.Order && len(list) > 2 && slices.Equal(list, right) {
		list = append(list[1:], list[0])
	}
	return list
}

// hardlyChance is how probable it may be that answers stand at one place by
// chance alone, before it is reported: with two options each that takes 11
// questions, with three 8, with four 6.
const hardlyChance = 1e-3

// CheckAnswers looks at what only the questions of all lessons together show, and only their guesses:
// whether who always takes the first option, or another one, is always right.
// reports[i] is what Check gave for the folder's ith lesson. Lessons beside the
// course do not count.
func (f Folder) CheckAnswers(reports []Report) []diag.Message {
	var messages []diag.Message
	for _, kind := range [...]struct {
		of   func(Report) []Answer
		text string
	}{
		{func(r Report) []Answer { return r.Questions }, "this choice and all others of the course, %d together, have the right answer at place %d of those shown"},
		{func(r Report) []Answer { return r.Guesses }, "this guess and all others of the kiosk, %d together, have the right answer at place %d of those shown"},
	} {
		var choices []Answer
		var first *lesson.Lesson // that asks one
		for i, l := range f.Lessons {
			if l.Facts.Beside {
				continue
			}
			for _, a := range kind.of(reports[i]) {
				if a.Node.Question.Kind == lesson.Choice {
					choices = append(choices, a)
					if first == nil {
						first = l
					}
				}
			}
		}
		if place, chance := onePlace(choices); chance < hardlyChance {
			messages = append(messages, first.Message(choices[0].Node.Offset, level(rulePlace), rulePlace, fmt.Sprintf(kind.text, len(choices), place+1),
				"pages shuffle options by lesson and by number of question and option: write the options of one question in another order"))
		}
	}
	return messages
}

// onePlace gives the place, from 0, at which the right options of all choices
// are shown, and how probable it is that there is one, whichever, when each
// order of the options is as likely as any other. Without such a place the
// probability is 1.
func onePlace(choices []Answer) (place int, chance float64) {
	places, chance := math.MaxInt, 1.0 // that all choices have, and of each
	for i, a := range choices {
		at := slices.Index(a.Shown, a.Right[0])
		if i > 0 && at != place {
			return 0, 1
		}
		place, places = at, min(places, len(a.Shown))
		chance /= float64(len(a.Shown))
	}
	if len(choices) == 0 {
		return 0, 1
	}
	return place, float64(places) * chance
}
