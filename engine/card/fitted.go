package card

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"

	"slipring/engine/machine"
)

// fittedHeading stands above how the doubts of constants go together that were
// fitted to the same readings:
//
//	[fitted]
//	constants = ["governor.radius", "governor.contact-speed"]
//	correlation = [
//	  [1, -0.93],
//	  [-0.93, 1],
//	]
//
// Each row is that of the constant in its place, as a correlation matrix has it
// (JCGM 100:2008, 5.2.2 and H.2). A constant that is not named there is doubtful
// for itself.
const fittedHeading = "fitted"

const fittedForm = "write [fitted], and below it constants = [\"governor.radius\", \"governor.contact-speed\"] and correlation = [[1, 0.2], [0.2, 1]]; slipring calibrate -amend does that"

// fitted reads the table of correlations.
func (r *reader) fitted(s section) {
	got := map[string]field{}
	for _, d := range s.fields {
		if d.key != "constants" && d.key != "correlation" {
			r.add(d.offset, "unknown", fmt.Sprintf("what was fitted has no key %q", d.key), hintNear(d.key, []string{"constants", "correlation"}, "known here are: constants, correlation"))
			continue
		}
		got[d.key] = d
	}
	names, rows := got["constants"], got["correlation"]
	if names.key == "" || rows.key == "" {
		if len(got) == len(s.fields) {
			r.add(s.offset, "missing", "what was fitted has to say which constants, and how they are correlated", fittedForm)
		}
		return
	}
	if !r.want(names, list) || !r.want(rows, list) {
		return
	}
	var out machine.Together
	for _, item := range names.value.items {
		if !r.want(field{key: names.key, offset: names.offset, value: item}, text) {
			return
		}
		name := item.text
		c, known := r.card.Constant(name)
		say := func(text, hint string) { r.add(item.offset, "fitted", text, hint) }
		switch {
		case !known:
			say(fmt.Sprintf("the card has no constant %q", name), hintConstant(name, *r.card))
			return
		case slices.Contains(out.Constants, name):
			say(fmt.Sprintf("%s is named twice", name), "name each constant once, with one row")
			return
		case c.Uncertainty == 0:
			say(fmt.Sprintf("%s has no uncertainty on the card, and is correlated with others", name), "write uncertainty = ... into its line, or take it and its row and column out here")
			return
		}
		out.Constants = append(out.Constants, name)
	}
	n := len(out.Constants)
	for i, item := range rows.value.items {
		if item.kind != list || len(item.items) != n || len(rows.value.items) != n {
			r.add(item.offset, "fitted", fmt.Sprintf("%d constants need %d rows of %d numbers", n, n, n), fittedForm)
			return
		}
		var row []float64
		for j, x := range item.items {
			about := ""
			switch {
			case x.kind != number || math.IsNaN(x.number) || math.Abs(x.number) > 1:
				about = "a correlation is a number from -1 to 1"
			case i == j && x.number != 1:
				about = fmt.Sprintf("the correlation of %s with itself is 1", out.Constants[i])
			case j < i && x.number != out.Correlation[j][i]:
				about = fmt.Sprintf("%s has another correlation with %s here than in the row above", out.Constants[i], out.Constants[j])
			}
			if about != "" {
				r.add(x.offset, "fitted", about, fittedForm)
				return
			}
			row = append(row, x.number)
		}
		out.Correlation = append(out.Correlation, row)
	}
	if n < 2 || len(out.Correlation) != n {
		r.add(rows.offset, "fitted", "at least two constants go together, each with its row", fittedForm)
		return
	}
	if !positive(out.Correlation) {
		r.add(rows.offset, "fitted", "no constants can be correlated like this: the rows are not positive definite", "write the rows as the fit gave them, with all their digits, or fit anew")
		return
	}
	r.card.Together = out
}

// positive says whether a symmetric matrix is positive definite.
func positive(rows [][]float64) bool {
	var all []float64
	for _, row := range rows {
		all = append(all, row...)
	}
	var c mat.Cholesky
	return c.Factorize(mat.NewSymDense(len(rows), all)) && !math.IsNaN(c.LogDet()) && !math.IsInf(c.LogDet(), 0)
}

// writeFitted gives the table as it stands in a file.
func writeFitted(names []string, rows [][]float64, end string) string {
	var b strings.Builder
	var quoted []string
	for _, name := range names {
		quoted = append(quoted, fmt.Sprintf("%q", name))
	}
	b.WriteString("[" + fittedHeading + "]" + end + "constants = [" + strings.Join(quoted, ", ") + "]" + end + "correlation = [" + end)
	for _, row := range rows {
		var one []string
		for _, x := range row {
			one = append(one, decimal(x))
		}
		b.WriteString("  [" + strings.Join(one, ", ") + "]," + end)
	}
	b.WriteString("]")
	return b.String()
}
