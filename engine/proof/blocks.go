package proof

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/lesson"
)

// prefixes of labels that no cell may tell, with what they name
var prefixes = [...]struct{ prefix, names string }{
	{"card.", "constants of a machine card"},
	{"lesson.", "lessons"},
	{"src.", "sources"},
	{"term.", "glossary terms"},
}

// names checks that every label has one meaning. What the cells of a
// translation tell was checked with its lesson.
func (c *checker) names() {
	if c.lesson.Base == nil {
		c.toldNames()
	}
	for _, d := range c.lesson.Definitions {
		if i := slices.IndexFunc(c.known, func(k string) bool { return strings.EqualFold(k, oneLine(d.Label)) }); i >= 0 {
			c.say(d.Offset, ruleMeanings, fmt.Sprintf("%q is defined here as a link, but also names what was computed", c.known[i]),
				"give the link another label")
		}
	}
}

func (c *checker) toldNames() {
	kinds := map[string]string{}
	check := func(name, kind string) {
		if had, ok := kinds[name]; ok {
			c.say(c.told(name), ruleMeanings, fmt.Sprintf("%q was told twice, as %s and as %s", name, had, kind),
				"give each a name of its own")
		}
		kinds[name] = kind
		for _, p := range prefixes {
			if strings.HasPrefix(name, p.prefix) {
				c.say(c.told(name), ruleMeanings, fmt.Sprintf("%q cannot be told: labels that begin with %q name %s", name, p.prefix, p.names),
					"tell it under another name")
			}
		}
	}
	for _, name := range slices.Sorted(maps.Keys(c.values)) {
		check(name, "a value")
	}
	for _, name := range slices.Sorted(maps.Keys(c.claims)) {
		check(name, "a claim")
	}
	for _, one := range c.shown {
		if one.told() {
			check(one.Name, "a "+one.Kind)
		}
	}
}

// silentClaims reports claims that do not hold and that no sentence is bound
// to.
func (c *checker) silentClaims() {
	bound := asked(c.lesson.Body)
	c.lesson.Body.Walk(func(n *lesson.Node) bool {
		bound[n.Name] = bound[n.Name] || n.Kind == lesson.Bound
		return true
	})
	for _, name := range slices.Sorted(maps.Keys(c.claims)) {
		if claim := c.claims[name]; !claim.Holds && !bound[name] {
			c.say(c.told(name), ruleFalse, fmt.Sprintf("%q is told, but does not hold%s", name, found(claim)),
				"find out why; no sentence is bound to it, so it may also go")
		}
	}
}

// told gives the offset where a cell seems to tell a name, or 0.
func (c *checker) told(name string) int {
	for _, cell := range c.lesson.Cells {
		if i := strings.Index(cell.Source, `"`+name+`"`); i >= 0 {
			return cell.Offset + i
		}
	}
	return 0
}

// embeds checks that what is placed was told, and that it has a text for those
// who cannot see or hear it.
func (c *checker) embeds() {
	c.lesson.Body.Walk(func(n *lesson.Node) bool {
		if n.Kind != lesson.Embed {
			return true
		}
		if strings.TrimSpace(words(n)) == "" {
			c.say(n.Offset, ruleAlternative, fmt.Sprintf("%s %q has no alternative text", n.EmbedKind, n.Name),
				fmt.Sprintf("say between the brackets %s: ![...](%s:%s)", lesson.EmbedKindOf(n.EmbedKind).Says, n.EmbedKind, n.Name))
		}
		if c.foreign(n) {
			return true
		}
		if _, ok := Placed(n, c.shown); !ok {
			c.say(n.Offset, ruleMissing, fmt.Sprintf("no cell tells a %s %q", n.EmbedKind, n.Name), c.embedHint(n))
		}
		return true
	})
}

// embedHint helps who places what was not told.
func (c *checker) embedHint(n *lesson.Node) string {
	var names []string
	for _, one := range c.shown {
		if one.Name == n.Name {
			return fmt.Sprintf("that is a %s: write (%s:%s)", one.Kind, one.Kind, one.Name)
		}
		if one.Kind == n.EmbedKind {
			names = append(names, one.Name)
		}
	}
	slices.Sort(names)
	names = slices.Compact(names)
	if near := diag.Nearest(n.Name, names); near != "" {
		return fmt.Sprintf("did you mean %q?", n.EmbedKind+":"+near)
	}
	if len(names) == 0 {
		return lesson.EmbedKindOf(n.EmbedKind).Tell
	}
	return "it is one of: " + strings.Join(names, ", ")
}

// cautions checks that hazards and cautions belong together, and that the house
// describes each hazard.
func (c *checker) cautions() {
	facts := c.lesson.Facts
	cautioned := map[string]bool{}
	for _, n := range blocksOf(c.lesson, lesson.Caution) {
		if cautioned[n.Hazard] {
			c.say(n.Offset, ruleTwice, fmt.Sprintf("this is a second caution about %q", n.Hazard),
				"write both into one block, or the house's words stand on every page twice")
		}
		cautioned[n.Hazard] = true
		if !slices.Contains(facts.Hazards, n.Hazard) {
			c.say(n.Offset, ruleCaution, fmt.Sprintf("this caution is about %q, which the lesson does not declare", n.Hazard),
				fmt.Sprintf("add %q to the hazards of the lesson block", n.Hazard))
		}
	}
	for i, hazard := range facts.Hazards {
		if !cautioned[hazard] {
			c.say(facts.HazardsAt[i], ruleHazard, fmt.Sprintf("the lesson declares the hazard %q, but has no caution about it", hazard),
				fmt.Sprintf("add a block that begins with ```caution %s; it may be empty, or say what to avoid in this lesson", hazard))
		}
		if _, ok := c.folder.House.Hazards.Find(hazard); !ok {
			c.say(facts.HazardsAt[i], ruleDescribed, fmt.Sprintf("the lesson declares the hazard %q, which the house does not describe", hazard),
				fmt.Sprintf("write [%s] into house.toml, and below it word, hazard, harm, avoid and accident", hazard))
		}
	}
}
