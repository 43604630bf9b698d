package proof

import (
	"fmt"
	"maps"
	"regexp"
	"slices"

	"slipring/engine/diag"
	"slipring/engine/language"
	"slipring/engine/lesson"
	"slipring/engine/tell"
)

var (
	threeSmall = regexp.MustCompile(`\p{Ll}{3}`)
	ofLetters  = regexp.MustCompile(`\pL+`)
	twoSmall   = regexp.MustCompile(`^\p{Ll}{2}$`)
)

// worded says whether there are words in a label: three small letters in a row,
// or two that stand alone and are no unit, such as "on". Without any, a label is
// a number, a unit or the name of a terminal, the same in all languages.
func worded(label string) bool {
	if threeSmall.MatchString(label) {
		return true
	}
	return slices.ContainsFunc(ofLetters.FindAllString(label, -1), func(w string) bool {
		return twoSmall.MatchString(w) && !language.IsSymbol(w)
	})
}

// nameOfPart is a name of a part or of its terminal, such as start.13, where it
// stands within a label: the same in all languages.
var nameOfPart = regexp.MustCompile(`^\pL*[.\d][^ ]*$`)

// usedLabels gives the labels of a translation by which others are read.
func usedLabels(l *lesson.Lesson, told []string) map[string]bool {
	used := map[string]bool{}
	for _, label := range told {
		l.Reading(label, func(by lesson.Label) { used[by.Told] = true })
	}
	return used
}

// toldLabels reports labels of a translation that nothing on its pages has, and
// labels on its pages that it says nothing for, which would stay English, as
// would units in words.
func (c *checker) toldLabels(r tell.Result) {
	told := map[string]bool{}
	for _, k := range r.Knobs {
		told[k.Label] = true
	}
	for _, one := range c.shown {
		labels, _ := one.words()
		for _, label := range labels {
			told[label] = true
		}
	}
	delete(told, "")
	known := slices.Sorted(maps.Keys(told))
	said := map[string]bool{}
	used := usedLabels(c.lesson, known)
	for _, l := range c.lesson.Facts.Labels {
		said[l.Told] = true
		if used[l.Told] {
			continue
		}
		hint := "write it as the cell tells it, or leave it out"
		if near := diag.Nearest(l.Told, known); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		c.say(l.Offset, ruleToldLabel, fmt.Sprintf("no cell tells the label %q", l.Told), hint)
	}
	c.lesson.Body.Walk(func(n *lesson.Node) bool {
		if n.Kind != lesson.Embed {
			return true
		}
		var labels, units []string
		for _, one := range c.shown {
			if one.placedBy(n) {
				more, beside := one.words()
				labels, units = append(labels, more...), append(units, beside...)
				for _, k := range one.Under(r.Knobs) {
					labels, units = append(labels, k.Label), append(units, k.Unit)
				}
			}
		}
		for _, unit := range units {
			if _, ours := c.language.Quantity(unit); ours || said["in "+unit] || !worded(unit) {
				continue
			}
			said["in "+unit] = true
			c.say(n.Offset, ruleToldLabel, fmt.Sprintf("%s %q shows the unit %q, which pages in all languages print as it was told", n.EmbedKind, n.Name, unit),
				fmt.Sprintf("give it no unit, and a label that names it, such as \"angle in %s\", which this translation can have words for", unit))
		}
		for _, label := range labels {
			for _, lacking := range c.lesson.Lacks(label) {
				if said[lacking] || !worded(lacking) || lacking != label && nameOfPart.MatchString(lacking) {
					continue
				}
				said[lacking] = true // one finding is enough
				c.say(n.Offset, ruleToldLabel, fmt.Sprintf("%s %q shows the label %q, which this translation has no words for", n.EmbedKind, n.Name, lacking),
					fmt.Sprintf("write below [[label]] in the lesson block: told = %q and reads = \"...\" (the same word where both languages have it)", lacking))
			}
		}
		return true
	})
}
