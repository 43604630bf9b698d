package motion

import (
	"fmt"
	"math"
	"strings"

	"slipring/engine/tell"
)

// boardWords are what is said of a control board.
type boardWords struct {
	group, clock string // name of the buttons; an act, as @, and seconds since, as #

	has                                   string // lamps, meters, keys, fuses and bells
	lamp, meter, key, fuse, bell          string // one of them
	lamps, meters, keys, fuses, bells     string // how many
	and                                   string
	noLamp, oneLamp, someLamps, faintLamp string // which; how many, which; which
	rings, silent                         string
	needles                               string // which
}

func englishBoard() boardWords {
	return boardWords{
		group: "Try it on the drawing", clock: "@: # s",
		has:  "A control board with %s.",
		lamp: "1 lamp", meter: "1 meter", key: "1 key", fuse: "1 fuse", bell: "1 bell",
		lamps: "%d lamps", meters: "%d meters", keys: "%d keys", fuses: "%d fuses", bells: "%d bells",
		and:    " and ",
		noLamp: "No lamp is lit.", oneLamp: "1 lamp is lit: %s.", someLamps: "%d lamps are lit: %s.", faintLamp: "Faint: %s.",
		rings: "The bell rings.", silent: "The bell is silent.",
		needles: "Needles: %s.",
	}
}

func frenchBoard() boardWords {
	return boardWords{
		group: "Essayez sur le dessin", clock: "@\u00a0: #\u00a0s",
		has:  "Un tableau de commande avec %s.",
		lamp: "1 lampe", meter: "1 appareil de mesure", key: "1 bouton", fuse: "1 fusible", bell: "1 sonnerie",
		lamps: "%d lampes", meters: "%d appareils de mesure", keys: "%d boutons", fuses: "%d fusibles", bells: "%d sonneries",
		and:    " et ",
		noLamp: "Aucune lampe n’est allumée.", oneLamp: "1 lampe est allumée\u00a0: %s.", someLamps: "%d lampes sont allumées\u00a0: %s.", faintLamp: "Faibles\u00a0: %s.",
		rings: "La sonnerie sonne.", silent: "La sonnerie se tait.",
		needles: "Aiguilles\u00a0: %s.",
	}
}

// onBoard says what is on a board.
func (w words) onBoard(b tell.Board) string {
	b0 := w.board
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
		n         int
		one, many string
	}{{lamps, b0.lamp, b0.lamps}, {meters, b0.meter, b0.meters}, {keys, b0.key, b0.keys}, {fuses, b0.fuse, b0.fuses}, {bells, b0.bell, b0.bells}} {
		switch {
		case of.n == 1:
			has = append(has, of.one)
		case of.n > 1:
			has = append(has, fmt.Sprintf(of.many, of.n))
		}
	}
	if n := len(has); n > 1 {
		has = append(has[:n-2], has[n-2]+b0.and+has[n-1])
	}
	if len(has) == 0 {
		has = append(has, fmt.Sprint(len(b.Parts)))
	}
	return fmt.Sprintf(b0.has, strings.Join(has, ", "))
}

// seenOn says what is seen and heard at the end of a state: lamps by what is
// written on them, and needles as far as their class lets them be read.
func (w words) seenOn(b tell.Board, state tell.BoardState, language string) (seen, reads string) {
	var lit, faint, needles, out []string
	bells, rings := false, false
	for _, p := range b.Parts {
		is, text := state.Is(p.Name), said(p, language)
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
	switch n := len(lit); n {
	case 0:
		out = append(out, w.board.noLamp)
	case 1:
		out = append(out, fmt.Sprintf(w.board.oneLamp, lit[0]))
	default:
		out = append(out, fmt.Sprintf(w.board.someLamps, n, strings.Join(lit, ", ")))
	}
	if len(faint) > 0 {
		out = append(out, fmt.Sprintf(w.board.faintLamp, strings.Join(faint, ", ")))
	}
	switch {
	case rings:
		out = append(out, w.board.rings)
	case bells:
		out = append(out, w.board.silent)
	}
	if len(needles) > 0 {
		reads = fmt.Sprintf(w.board.needles, strings.Join(needles, ", "))
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
