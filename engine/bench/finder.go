package bench

import (
	"fmt"

	"slipring/engine/dictionary"
	"slipring/engine/tell"
)

// named is how many faults a finder names at most where it has room to ask, listed
// how many at all, and inTurn how many questions may stand after each other.
const named, listed, inTurn = 12, 40, 23

// Finder gives the tree of questions that leads to each fault, or to those that are
// left, with at most so many places, and so many questions after each other. More
// than 400 and 23 no page takes; on paper a dozen after each other are many.
func (d *Dictionary) Finder(places, questions int) tell.Look {
	if !(places >= 3 && questions >= 1 && questions <= inTurn) {
		panic(tell.Misuse{
			Text: fmt.Sprintf("a finder cannot have %d places and %d questions after each other", places, questions),
			Hint: fmt.Sprintf("give it 3 places or more, and from 1 to %d questions", inTurn)})
	}
	return d.look(d.d.Chart(places, questions, named), "")
}

// look turns a place of a chart into one of a finder. Before is the hazard of the
// look that leads there, which is not said twice in a row of what comes next.
func (d *Dictionary) look(n *dictionary.Node, before string) tell.Look {
	out := tell.Look{Chance: min(n.Chance, 1)}
	if n.Look < 0 {
		total := 0.0
		for _, i := range n.Faults {
			total += d.d.Faults[i].Weight
		}
		for k, i := range n.Faults {
			f := d.d.Faults[i]
			if more := len(n.Faults) - k; k == listed-1 && more > 1 {
				out.Causes = append(out.Causes, tell.Cause{Says: fmt.Sprintf("Something else: %d more faults look so far the same, and none of them is likelier.", more)})
				break
			}
			out.Causes = append(out.Causes, tell.Cause{Says: f.Sentence, Chance: f.Weight / total, Stop: f.Stop})
		}
		switch {
		case n.Next >= 0:
			next := d.d.Looks[n.Next]
			if out.How = "Going on would part them. Next: " + next.Ask; next.Hazard != before {
				out.Hazard = next.Hazard
			}
		case len(n.Faults) > 1:
			out.How = "No look of this list parts them."
		}
		return out
	}
	l := d.d.Looks[n.Look]
	out.Ask, out.How, out.Hazard = l.Ask, l.How, l.Hazard
	for _, way := range n.Ways {
		then := d.look(way.To, l.Hazard)
		out.Answers = append(out.Answers, tell.Answer{Says: l.Answers[way.Answer], Then: &then})
	}
	return out
}
