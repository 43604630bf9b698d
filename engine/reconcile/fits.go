package reconcile

import (
	"cmp"
	"slices"
)

// Fit is how well a sheet fits what is believed of the wires at a part.
type Fit struct {
	Part, Sheet string
	Share       float64 // of the wires drawn or there, those that are expected to be both
}

// Fits says, for each part and each sheet that shows it, how well they fit; the
// best sheet of a part stands first, and of sheets that fit alike the older one.
func (b *Board) Fits() (out []Fit) {
	for _, part := range b.parts.Parts {
		var list []Fit
		for i, s := range b.sheets {
			if share, any := b.fit(part.Name, i); any {
				list = append(list, Fit{Part: part.Name, Sheet: s.Name, Share: share})
			}
		}
		slices.SortStableFunc(list, func(f, g Fit) int { return cmp.Compare(g.Share, f.Share) })
		out = append(out, list...)
	}
	return out
}

// fit gives the expected part of wires that a sheet and the board have in common
// (P. Jaccard, 1912), of those at a part whose both ends the sheet shows.
func (b *Board) fit(part string, sheet int) (share float64, any bool) {
	both, either := 0.0, 0.0
	for w := range b.wires {
		one := &b.wires[w]
		from, to := b.terminals[one.a], b.terminals[one.b]
		if partOf(from) != part && partOf(to) != part || !b.sheets[sheet].Shows(from, to) {
			continue
		}
		if slices.Contains(one.drawn, sheet) {
			both += one.chance
			either++
		} else {
			either += one.chance
		}
	}
	if either == 0 {
		return 0, false
	}
	return both / either, true
}
