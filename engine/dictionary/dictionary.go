// Package dictionary says what each of many faults looks like, which of them
// look alike, and how to find out by looks and measurements which one it is.
//
//	d, err := dictionary.New(faults, looks)
//	d.Alike()              // the faults that look alike from the front
//	d.Groups()             // those that no measurement tells apart either
//	d.Sifted(), d.InOrder() // how many looks it takes
//	d.Chart(300)           // a tree to follow
//
// Whoever makes a dictionary has run each fault through one script of what a
// person does, and noted what each look shows then. The package knows no machine
// and no board.
package dictionary

import (
	"fmt"
	"slices"

	"slipring/engine/sift"
)

// Fault is one of the things that may be so; that nothing is wrong may be one.
type Fault struct {
	Name     string
	Sentence string  // in plain words
	Weight   float64 // how often it is so, beside others
	Stop     bool    // whoever finds it stops and isolates at once
}

// Look is something that can be looked at, listened to, or measured.
type Look struct {
	Name    string
	Ask     string // the question
	How     string // to look or to measure; "" where the question says it
	Hazard  string // what can hurt there, as lessons declare it; "" for nothing
	Stage   Stage
	Cost    float64
	Sure    float64 // the chance that it is read as it is
	Answers []string
	Shows   []int // by fault: its answer
}

// Stage is when a look is taken: a chart does not go back, and goes on to the next
// only where those before tell next to nothing more.
type Stage int

const (
	Front Stage = iota // seen or heard from the front, with nothing opened
	Off                // with all power off
	Live               // behind an open board under power
)

// Dictionary is faults and what each look shows of them.
type Dictionary struct {
	Faults []Fault
	Looks  []Look
	all    *sift.Case
	groups [][]int
	group  []int      // of each fault
	plan   *sift.Node // the whole chart, once it is asked for
}

// New makes a dictionary. Left out is a look that shows the same of all faults, or
// parts them as an earlier one of at most its cost does; and a measurement that
// parts them less finely than another of at most its cost. It fails where a look
// lacks an answer, and as [sift.New] does.
func New(faults []Fault, looks []Look) (*Dictionary, error) {
	d := &Dictionary{Faults: faults}
	for _, l := range looks {
		if len(l.Shows) != len(faults) {
			return nil, fmt.Errorf("the look %q shows %d of %d faults", l.Name, len(l.Shows), len(faults))
		}
		if !(l.Sure > 0.5 && l.Sure <= 1) {
			return nil, fmt.Errorf("the look %q is read as it is with a chance of %v, which is not above one half", l.Name, l.Sure)
		}
		for i, o := range l.Shows {
			if o < 0 || o >= len(l.Answers) {
				return nil, fmt.Errorf("the look %q has no answer %d, which the fault %q gives", l.Name, o, faults[i].Name)
			}
		}
		if l = l.shortened(); len(l.Answers) > 1 {
			d.Looks = append(d.Looks, l)
		}
	}
	d.Looks = worthwhile(d.Looks)
	var err error
	if d.all, err = d.sifted(func(l Look) float64 { return l.Cost }); err != nil {
		return nil, err
	}
	d.groups, d.group = d.all.Groups(), make([]int, len(faults))
	for g, group := range d.groups {
		for _, i := range group {
			d.group[i] = g
		}
	}
	return d, nil
}

// sifted gives the dictionary as a case, with costs of its looks.
func (d *Dictionary) sifted(cost func(l Look) float64) (*sift.Case, error) {
	var causes []sift.Cause
	for _, f := range d.Faults {
		causes = append(causes, sift.Cause{Name: f.Name, Weight: f.Weight})
	}
	var rows []sift.Look
	for _, l := range d.Looks {
		row := sift.Look{Name: l.Name, Cost: cost(l), Outcomes: l.Answers}
		for i := range d.Faults {
			row.Chances = append(row.Chances, sift.Surely(l.Shows[i], len(l.Answers), l.Sure))
		}
		rows = append(rows, row)
	}
	return sift.New(causes, rows)
}

// shortened gives a look without the answers that no fault gives.
func (l Look) shortened() Look {
	place := make([]int, len(l.Answers))
	var answers []string
	for o, a := range l.Answers {
		place[o] = len(answers)
		if slices.Contains(l.Shows, o) {
			answers = append(answers, a)
		}
	}
	shows := make([]int, len(l.Shows))
	for i, o := range l.Shows {
		shows[i] = place[o]
	}
	l.Answers, l.Shows = answers, shows
	return l
}

// worthwhile gives the looks without those that another makes idle.
func worthwhile(looks []Look) (out []Look) {
	for i, l := range looks {
		if !slices.ContainsFunc(looks[:i], func(o Look) bool { return o.spares(l) }) &&
			(l.Stage == Front || !slices.ContainsFunc(looks[i+1:], func(o Look) bool { return o.spares(l) && !l.spares(o) })) {
			out = append(out, l)
		}
	}
	return out
}

// spares says whether a look tells all that another tells, for no more: of one from
// the front, in the same parts.
func (l Look) spares(o Look) bool {
	if l.Stage > o.Stage || l.Cost > o.Cost || l.Sure < o.Sure || len(l.Answers) < len(o.Answers) || o.Stage == Front && len(l.Answers) > len(o.Answers) {
		return false
	}
	in := make([]int, len(l.Answers)) // the answer of o, from 1
	for i, x := range l.Shows {
		if y := o.Shows[i] + 1; in[x] == 0 {
			in[x] = y
		} else if in[x] != y {
			return false
		}
	}
	return true
}

// Alike gives the faults by what is seen and heard of them from the front: those
// of a list look alike. It is one list for each signature.
func (d *Dictionary) Alike() (alike [][]int) {
	at := map[string]int{}
	for i := range d.Faults {
		signature := ""
		for _, l := range d.Looks {
			if l.Stage == Front {
				signature += fmt.Sprint(l.Shows[i], " ")
			}
		}
		k, ok := at[signature]
		if !ok {
			k = len(alike)
			at[signature], alike = k, append(alike, nil)
		}
		alike[k] = append(alike[k], i)
	}
	return alike
}

// Groups gives the faults that no look and no measurement tells apart.
func (d *Dictionary) Groups() [][]int { return d.groups }

// Fault gives the place of a fault, by its name; -1 for none.
func (d *Dictionary) Fault(name string) int {
	return slices.IndexFunc(d.Faults, func(f Fault) bool { return f.Name == name })
}
