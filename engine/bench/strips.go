package bench

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"slipring/engine/reconcile"
	"slipring/engine/tell"
)

// Strips gives the wires at some parts, for tell.Strips; at all parts where none is
// named. Those with the most open questions come first.
//
//	tell.Strips("wires", bench.Wiring().Drawings().Strips())
//	tell.Strips("start", bench.Wiring().Drawings().Strips("K1", "TS2"))
func (d *Drawings) Strips(parts ...string) tell.Strips {
	var out tell.Strips
	at := map[string]int{}
	for i, s := range d.board.Sheets() {
		out.Sheets = append(out.Sheets, tell.StripSheet{Name: s.Name, Date: s.Date})
		at[s.Name] = i
	}
	for _, name := range parts {
		if _, ok := d.parts.Part(name); !ok {
			panic(misuseOfWiring(d.parts.NoPart(name)))
		}
	}
	open, wired := map[string]int{}, map[string]int{}
	for _, j := range d.board.Judged() {
		from, to := tell.TerminalOf(j.From).Part, tell.TerminalOf(j.To).Part
		if len(parts) > 0 && !slices.Contains(parts, from) && !slices.Contains(parts, to) {
			continue
		}
		w := tell.StripWire{From: j.From, To: j.To, Wire: j.Wire, Verdict: string(j.Verdict), Chance: j.Chance, Why: whyOf(j.Reason)}
		for _, name := range j.Reason.On {
			w.Drawn = append(w.Drawn, at[name])
		}
		for _, name := range j.Reason.Off {
			w.Missing = append(w.Missing, at[name])
		}
		out.Wires = append(out.Wires, w)
		for _, part := range slices.Compact([]string{from, to}) {
			wired[part]++
			if j.Verdict == reconcile.Question {
				open[part]++
			}
		}
	}
	for _, p := range d.parts.Parts {
		switch asked := slices.Contains(parts, p.Name); {
		case asked && wired[p.Name] == 0:
			panic(tell.Misuse{Text: fmt.Sprintf("no drawing has a wire at %s", p.Name), Hint: "name parts that some drawing shows with a wire"})
		case asked, len(parts) == 0 && wired[p.Name] > 0:
			marks, err := p.Marks()
			if err != nil {
				panic(misuse(err))
			}
			out.Parts = append(out.Parts, tell.StripPart{Name: p.Name, Text: p.Text, Texts: p.Texts, Marks: marks})
		}
	}
	slices.SortStableFunc(out.Parts, func(a, b tell.StripPart) int { return cmp.Compare(open[b.Name], open[a.Name]) })
	return out
}

// whyOf says the reason of a verdict as pages say it.
func whyOf(r reconcile.Reason) tell.StripReason {
	switch {
	case r.Reading != nil:
		kind := tell.ByOpen
		if r.Reading.Closed {
			kind = tell.ByClosed
		}
		return tell.StripReason{Kind: kind, From: r.Reading.From, To: r.Reading.To, With: strings.TrimSpace(r.Reading.With), When: r.Reading.When}
	case r.Instead != nil:
		return tell.StripReason{Kind: tell.ByOther, From: r.Instead.From, To: r.Instead.To, Wire: r.Instead.Wire}
	case r.Alike != nil:
		return tell.StripReason{Kind: tell.ByLikeness, From: r.Alike.From, To: r.Alike.To, Wire: r.Alike.Wire}
	case len(r.On) == 0:
		return tell.StripReason{Kind: tell.ByPlace}
	}
	return tell.StripReason{}
}
