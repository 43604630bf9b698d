package chart

import (
	"cmp"
	"slices"
	"sort"

	"slipring/engine/tell"
)

// mostHung is how many sheets a wall gets. What does not fit goes on on the page.
const mostHung = 6

// fewCauses is how many causes a box names where not all find room.
const fewCauses = 5

// shorten lays a finder out in the smallest type with as many of its questions, the
// likeliest first, as so many sheets hold.
func (l layout) shorten(root *tell.Look) []*sheet {
	asked := likeliest(root)
	cutAfter := func(n int) layout {
		short := l
		short.few, short.cut = fewCauses, map[*tell.Look]bool{}
		for _, look := range asked[n:] {
			short.cut[look] = true
		}
		return short
	}
	best := []*sheet(nil)
	for l.columns = 2; l.columns <= mostColumns(l.size); l.columns++ {
		tooMany := sort.Search(len(asked), func(n int) bool {
			short := cutAfter(n + 1)
			got := short.pack(short.trees(root))
			return len(got) > mostHung || tooTall(got) > 0
		})
		short := cutAfter(max(1, tooMany))
		got := short.pack(short.trees(root))
		if best == nil || len(short.cut) < len(best[0].cut) || len(short.cut) == len(best[0].cut) && len(got) < len(best) {
			best = got
		}
	}
	return best
}

// likeliest lists the questions of a finder, the first one first, then where one
// comes most often. A question stands after the one that leads to it.
func likeliest(root *tell.Look) []*tell.Look {
	type asked struct {
		look   *tell.Look
		chance float64
		deep   int
	}
	var all []asked
	var walk func(l *tell.Look, chance float64, deep int)
	walk = func(l *tell.Look, chance float64, deep int) {
		if len(l.Answers) == 0 {
			return
		}
		all = append(all, asked{l, chance, deep})
		for _, a := range l.Answers {
			walk(a.Then, min(chance, a.Then.Chance), deep+1)
		}
	}
	walk(root, 1, 0)
	slices.SortStableFunc(all, func(a, b asked) int {
		return cmp.Or(cmp.Compare(b.chance, a.chance), cmp.Compare(a.deep, b.deep))
	})
	out := make([]*tell.Look, len(all))
	for i, a := range all {
		out[i] = a.look
	}
	return out
}

// named gives the causes of a box, and how many more the page names. A cause at
// which everybody stops is always among them.
func (l layout) named(causes []tell.Cause) (shown []tell.Cause, more int) {
	if l.few == 0 {
		return causes, 0
	}
	for i, c := range causes {
		if i < l.few || c.Stop {
			shown = append(shown, c)
		}
	}
	return shown, len(causes) - len(shown)
}
