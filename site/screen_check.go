package site

import (
	"fmt"
	"math"

	"slipring/engine/card"
	"slipring/engine/diag"
)

// CheckScreens holds what the kiosk is on each screen of the house against the
// rules that its messages name.
func CheckScreens(house card.House) (out []diag.Message) {
	for _, s := range house.Screens {
		h, err := hang(s)
		if err != nil {
			return []diag.Message{{Text: err.Error(), Hint: "this is a mistake in Slipring, not in a lesson; please report it"}}
		}
		out = append(out, h.against(house.File, kioskEnlarges)...)
	}
	return out
}

// against gives what is wrong with the kiosk on a screen. Enlarges says that
// visitors can make its text larger.
func (h hung) against(file string, enlarges bool) (out []diag.Message) {
	say := func(rule, text, hint string) {
		out = append(out, diag.Message{File: file, Line: h.Line, Column: h.Column, Rule: "screen-" + rule,
			Text: fmt.Sprintf("on the screen %q, %s", h.Name, text), Hint: hint})
	}
	if h.Smallest < leastCapital && !enlarges {
		say("capitals", fmt.Sprintf("the smallest capitals are %.2f mm high, less than %g", h.Smallest, leastCapital),
			"hang a larger screen, or let its browser enlarge the pages (36 CFR 1194, Appendix C, 402.4)")
	}
	if h.Larger > mostLarger {
		say("larger", fmt.Sprintf("text would have to be %.2g times as large to be read from %.0f mm, and the button makes it %g times as large at most", h.Larger, h.Distance, float64(mostLarger)),
			fmt.Sprintf("hang a larger screen, or bring readers to within %.0f mm (EN 301 549, 5.1.4)", h.Distance*mostLarger/h.Larger))
	}
	if h.Target < leastTarget {
		say("targets", fmt.Sprintf("the smallest targets are %.1f mm, less than %g", h.Target, leastTarget),
			fmt.Sprintf("hang a screen of %.1f in or more (Colle and Hiszem, Ergonomics 47(13), 2004)", math.Ceil(10*h.Diagonal/25.4*leastTarget/h.Target)/10))
	}
	if !h.Window() {
		instead := "hang a smaller screen"
		if h.Portrait() {
			instead += ", or hang it across"
		}
		say("reach", fmt.Sprintf("there is no height at which all controls are between %g and %g mm above the floor: the lower edge of the glass would have to be above %.0f and below %.0f mm", leastReach, mostReach, h.Lowest, h.Highest),
			instead+" (ADA 2010, 308)")
	}
	return out
}

// larger gives by which the button for larger text makes it larger: as the
// screen of the house needs that needs it most, since all have the same pages.
func larger(screens []card.Screen) (float64, error) {
	if len(screens) == 0 {
		return usualLarger, nil
	}
	most := 1.
	for _, s := range screens {
		h, err := hang(s)
		if err != nil {
			return 0, err
		}
		most = max(most, h.Larger)
	}
	return min(most, mostLarger), nil
}
