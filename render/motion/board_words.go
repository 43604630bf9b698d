package motion

import (
	"fmt"
	"math"
	"strings"

	"slipring/engine/tell"
)

// onBoard says what is on a board.
func (w words) onBoard(b tell.Board) string {
	var lamps, meters, keys, fuses, bells int
	for _, p := range b.Parts {
		switch {
		case p.Full > 0:
			meters++
		case p.Kind == "lamp":
			lamps++
		case p.Kind == "key":
			keys++
		case p.Kind == "fuse":
			fuses++
		case p.Kind == "bell":
			bells++
		}
	}
	var has []string
	for _, of := range []struct {
		n   int
		key string
	}{{lamps, "motion-board.lamps"}, {meters, "motion-board.meters"}, {keys, "motion-board.keys"}, {fuses, "motion-board.fuses"}, {bells, "motion-board.bells"}} {
		if of.n > 0 {
			has = append(has, w.Text(of.key, "n", of.n))
		}
	}
	if n := len(has); n > 1 {
		has = append(has[:n-2], w.Text("motion-board.and", "first", has[n-2], "last", has[n-1]))
	}
	if len(has) == 0 {
		has = append(has, fmt.Sprint(len(b.Parts)))
	}
	return w.Text("motion-board.has", "parts", strings.Join(has, ", "))
}

// seenOn says what is seen and heard at the end of a state: lamps by what is
// written on them, and needles as far as their class lets them be read.
func (w words) seenOn(b tell.Board, state tell.BoardState) (seen, reads string) {
	var lit, faint, needles, out []string
	bells, rings := false, false
	for _, p := range b.Parts {
		is, text := state.Is(p.Name), said(p, w.Language())
		if text == "" {
			text = p.Name
		}
		switch {
		case is == "lit":
			lit = append(lit, text)
		case is == "dim":
			faint = append(faint, text)
		case p.Kind == "bell":
			bells = true
			rings = rings || is == "rings"
		}
		for _, m := range state.Meters {
			if m.Part == p.Name {
				needles = append(needles, text+" "+w.reading(m.Reads[len(m.Reads)-1], p)+"\u00a0"+p.Unit)
			}
		}
	}
	if n := len(lit); n > 0 {
		out = append(out, w.Text("motion-board.lit", "n", n, "lamps", strings.Join(lit, ", ")))
	} else {
		out = append(out, w.Text("motion-board.no-lamp"))
	}
	if len(faint) > 0 {
		out = append(out, w.Text("motion-board.faint-lamp", "lamps", strings.Join(faint, ", ")))
	}
	switch {
	case rings:
		out = append(out, w.Text("motion-board.rings"))
	case bells:
		out = append(out, w.Text("motion-board.silent"))
	}
	if len(needles) > 0 {
		reads = w.Text("motion-board.needles", "needles", strings.Join(needles, ", "))
	}
	return sentences(out...), reads
}

// reading writes what a meter reads to the decimal place of its largest error
// (JCGM 100:2008, 7.2.6).
func (w words) reading(x float64, p tell.BoardPart) string {
	decimals := 0
	if p.Within > 0 {
		decimals = max(0, -int(math.Floor(math.Log10(p.Within))))
	}
	return w.number(x, min(decimals, 3))
}

// shortNumber writes the end of a meter's scale.
func shortNumber(x float64) string { return fmt.Sprintf("%.4g", x) }
