package plot

import (
	"strconv"

	"slipring/engine/tell"
)

// FinderCSV gives a finder as comma-separated values after RFC 4180: a row for
// each answer, with the number of the question that it leads to, and one for
// each cause, with what is to be done about it. A row of a cause has the question
// and the answer that lead to it.
// Chances that were not told are left out.
func FinderCSV(f tell.Finder) []byte {
	numbers := f.Root.Numbers()
	rows := [][]string{{"question", "ask", "how", "hazard", "chance", "answer", "then", "cause", "share", "stop", "do"}}
	f.Root.Walk(func(l *tell.Look, _ int) {
		for _, a := range l.Answers {
			row := []string{strconv.Itoa(numbers[l]), harmless(l.Ask), harmless(l.How), l.Hazard, told(l.Chance), harmless(a.Says)}
			then := a.Then
			if n := numbers[then]; n > 0 {
				rows = append(rows, append(row, strconv.Itoa(n), "", "", "", ""))
				continue
			}
			for _, c := range then.Causes {
				stop := ""
				if c.Stop {
					stop = "stop"
				}
				rows = append(rows, append(row[:len(row):len(row)], "", harmless(c.Says), told(c.Chance), stop, harmless(then.How)))
			}
		}
	})
	return writeCSV(rows)
}

// told writes a chance, or nothing where it is 0.
func told(chance float64) string {
	if chance == 0 {
		return ""
	}
	return exact(chance)
}
