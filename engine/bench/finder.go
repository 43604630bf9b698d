package bench

import (
	"fmt"

	"slipring/engine/dictionary"
	"slipring/engine/tell"
)

// named is how many faults a finder names at most where it has room to ask, listed
// how many at all, and inTurn how many questions stand after each other at most.
const named, listed, inTurn = 12, 40, 23

// Finder gives the tree of questions that leads to each fault, or to those that are
// left, with at most so many places; more than 400 no page takes.
func (d *Dictionary) Finder(places int) tell.Look {
	return d.look(d.d.Chart(places, inTurn, named))
}

func (d *Dictionary) look(n *dictionary.Node) tell.Look {
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
			out.How, out.Hazard = "Going on would part them. Next: "+next.Ask, next.Hazard
		case len(n.Faults) > 1:
			out.How = "No look of this list parts them."
		}
		return out
	}
	l := d.d.Looks[n.Look]
	out.Ask, out.How, out.Hazard = l.Ask, l.How, l.Hazard
	for _, way := range n.Ways {
		then := d.look(way.To)
		out.Answers = append(out.Answers, tell.Answer{Says: l.Answers[way.Answer], Then: &then})
	}
	return out
}
