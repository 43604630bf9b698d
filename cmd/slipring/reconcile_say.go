package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"slipring/engine/reconcile"
)

// verdicts in the order in which they are told.
var verdicts = []reconcile.Verdict{reconcile.Question, reconcile.NotThere, reconcile.Likely, reconcile.Found}

// sayReconciled prints all that is believed: the wires with their reasons, which
// drawing fits where, what contradicts what, and what to test next.
func sayReconciled(out io.Writer, r reconciled) error {
	var b strings.Builder
	for _, v := range verdicts {
		fmt.Fprintf(&b, "%s\n", v)
		table := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
		list := of(r.judged, v)
		for _, j := range list {
			power := ""
			if v == reconcile.Question && j.Power {
				power = "; carries power"
			}
			fmt.Fprintf(table, "    %s\t%s to %s\t%s\t%s%s\n", j.Wire, j.From, j.To, percent(j.Chance), j.Because, power)
		}
		table.Flush()
		if len(list) == 0 {
			b.WriteString("    none\n")
		}
	}
	b.WriteString("which drawing fits the wires at each part best\n")
	table := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	for _, line := range fitLines(r.fits) {
		fmt.Fprintf(table, "    %s\t%s\n", line[0], line[1])
	}
	table.Flush()
	for i, c := range r.contradictions {
		if i == 0 {
			b.WriteString("readings that contradict each other: in each pair one is most likely wrong\n")
		}
		fmt.Fprintf(&b, "    %s\n    %s\n        what settles it: %s, with the clips on bare metal\n", cited(c.Readings[0]), cited(c.Readings[1]), asked(c.Settle))
	}
	sayTests(&b, r.tests)
	sayCounts(&b, r)
	_, err := io.WriteString(out, b.String())
	return err
}

// of gives the wires of a verdict, those of one number together.
func of(judged []reconcile.Judged, v reconcile.Verdict) (out []reconcile.Judged) {
	first := map[string]int{}
	for i, j := range judged {
		if _, had := first[j.Wire]; j.Verdict == v && !had {
			first[j.Wire] = i
		}
	}
	for _, j := range judged {
		if j.Verdict == v {
			out = append(out, j)
		}
	}
	slices.SortStableFunc(out, func(j, k reconcile.Judged) int {
		if j.Wire == "" || k.Wire == "" {
			return cmp.Compare(k.Wire, j.Wire)
		}
		return cmp.Compare(first[j.Wire], first[k.Wire])
	})
	return out
}

// sayCounts prints how many of what there are.
func sayCounts(b *strings.Builder, r reconciled) {
	n := map[reconcile.Verdict]int{}
	for _, j := range r.judged {
		n[j.Verdict]++
	}
	fmt.Fprintf(b, "%s, %s; %s: %d found, %d likely, %s, %d not there\n", count(len(r.sheets), "drawing"), count(len(r.readings), "reading"), count(len(r.judged), "wire"),
		n[reconcile.Found], n[reconcile.Likely], count(n[reconcile.Question], "open question"), n[reconcile.NotThere])
	if open := r.openPower(); len(open) > 0 {
		fmt.Fprintf(b, "%s over which current can flow: the board is not one to put under power\n", count(len(open), "open question"))
	}
}

func cited(r reconcile.Reading) string { return fmt.Sprintf("%s, %s", r, r.At()) }

func asked(t reconcile.Test) string {
	if with := t.With(); with != "" {
		return fmt.Sprintf("%s to %s with %s", t.From, t.To, with)
	}
	return t.From + " to " + t.To
}

// percent writes a chance; only 0 and 1 themselves are 0 % and 100 %.
func percent(p float64) string {
	switch {
	case p > 0 && p < 0.001:
		return "<0.1 %"
	case p < 1 && p > 0.999:
		return ">99.9 %"
	}
	return fmt.Sprintf("%.1f %%", 100*p)
}

// fitLines gives each part with the drawings that fit it best and by how much.
func fitLines(fits []reconcile.Fit) (out [][2]string) {
	for len(fits) > 0 {
		n := slices.IndexFunc(fits, func(f reconcile.Fit) bool { return f.Part != fits[0].Part })
		if n < 0 {
			n = len(fits)
		}
		text := ""
		for i, f := range fits[:n] {
			text += f.Sheet
			switch last := i == n-1; {
			case !last && percent(fits[i+1].Share) == percent(f.Share):
				text += ", "
			case !last:
				text += " " + percent(f.Share) + "; "
			default:
				text += " " + percent(f.Share)
			}
		}
		out = append(out, [2]string{fits[0].Part, text})
		fits = fits[n:]
	}
	return out
}

func sayTests(b *strings.Builder, tests []reconcile.Test) {
	if len(tests) == 0 {
		b.WriteString("no test would tell more\n")
		return
	}
	b.WriteString("worth testing next, in this order:\n")
	for _, t := range tests {
		fmt.Fprintf(b, "    %s: closed with a chance of %s\n", asked(t), percent(t.Closed))
		sayAnswers(b, t)
	}
}

// sayAnswers prints what either answer would settle, in lines that fit a sheet.
func sayAnswers(b *strings.Builder, t reconcile.Test) {
	const wide = 92
	for _, answer := range []string{"closed: " + t.IfClosed, "open: " + t.IfOpen} {
		line := "       "
		for _, piece := range strings.SplitAfter(answer, ", ") {
			if len(line)+len(piece) > wide {
				fmt.Fprintln(b, strings.TrimRight(line, " "))
				line = "            "
			}
			line += " " + strings.TrimRight(piece, " ")
		}
		fmt.Fprintln(b, strings.TrimRight(line, " "))
	}
}

// sayTestSheet prints tests with room for what the tester shows, to take to the
// board.
func sayTestSheet(out io.Writer, r reconciled) error {
	var b strings.Builder
	if len(r.tests) == 0 {
		b.WriteString("No test would tell more.\n")
		sayCounts(&b, r)
		_, err := io.WriteString(out, b.String())
		return err
	}
	b.WriteString(testCautions)
	for i, t := range r.tests {
		fmt.Fprintf(&b, "\n%2d. %s\n    closed [ ]   open [ ]   ______ ohm      initials ______   date ____________\n", i+1, asked(t))
		sayAnswers(&b, t)
	}
	b.WriteString("\nWrite each answer into wiring/continuity.csv, under from, to, reading, with, when and note;\nwhat nobody tested is left out. Then run slipring reconcile again.\n")
	_, err := io.WriteString(out, b.String())
	return err
}

const testCautions = `TESTS TO TAKE TO THE BOARD

Before anybody touches it:
  - All power is off, and the set stands still. The battery is isolated on both sides,
    and what isolates it is locked open. No other feed is left, bells and tones included.
  - Capacitors are discharged. A meter that was just proved on a known source shows 0 V
    between the terminals, and from each to earth; it is proved again afterwards.
  - The leads of the set, and of all lines that leave the room, are lifted.
  - Old insulation breaks when it is bent, and may hold lead, asbestos or cotton dust:
    touch the terminals with the clips, and leave the wires as they lie.
  - The law of the place and a licensed person decide who may do this, and how.
"K2 held" means: move its contacts by hand as if it were up, and keep them so.
"F3 out" means: take it out, and put it back afterwards.
`

// reconciliation is what -json prints; its names are fixed.
type reconciliation struct {
	Wires          []wireJSON `json:"wires"`
	Tests          []testJSON `json:"tests"`
	Contradictions [][]string `json:"contradictions"`
	Fits           []fitJSON  `json:"fits"`
}

type wireJSON struct {
	From        string            `json:"from"`
	To          string            `json:"to"`
	Verdict     reconcile.Verdict `json:"verdict"`
	Probability float64           `json:"probability"`
	Because     string            `json:"because"`
}

type testJSON struct {
	From     string  `json:"from"`
	To       string  `json:"to"`
	With     string  `json:"with,omitempty"` // what to hold or take out
	Gain     float64 `json:"gain"`
	IfClosed string  `json:"if closed"`
	IfOpen   string  `json:"if open"`
}

type fitJSON struct {
	Part  string  `json:"part"`
	Sheet string  `json:"sheet"`
	Share float64 `json:"share"`
}

func reconciledJSON(out io.Writer, r reconciled) error {
	c := reconciliation{[]wireJSON{}, []testJSON{}, [][]string{}, []fitJSON{}}
	for _, j := range r.judged {
		c.Wires = append(c.Wires, wireJSON{j.From, j.To, j.Verdict, j.Chance, j.Because})
	}
	for _, t := range r.tests {
		c.Tests = append(c.Tests, testJSON{t.From, t.To, t.With(), t.Gain, t.IfClosed, t.IfOpen})
	}
	for _, x := range r.contradictions {
		c.Contradictions = append(c.Contradictions, []string{cited(x.Readings[0]), cited(x.Readings[1])})
	}
	for _, f := range r.fits {
		c.Fits = append(c.Fits, fitJSON(f))
	}
	enc := json.NewEncoder(out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(c)
}
