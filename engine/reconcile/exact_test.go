package reconcile_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"slipring/engine/reconcile"
	"slipring/engine/sweeptest"
)

// What is believed, against all assignments of all slots, on boards of up to 14
// drawn wires: Bayes' rule written out, with nothing shared with the code but the
// options and their priors.
func TestAgainstEnumeration(t *testing.T) {
	random := sweeptest.Random(t)
	worst, compared := 0.0, 0
	for n := range sweeptest.Count(16, 300) {
		b := invent(plan{parts: 6 + random.IntN(4), wires: 6 + random.IntN(6), chain: 0.7, changed: 0.05}, random)
		board, readings := taken(t, b, 4+random.IntN(14), random)
		cases := board.Cases()
		drawn, all := 0, 1.0
		for _, j := range board.Judged() {
			if len(j.Sheets) > 0 {
				drawn++
			}
		}
		for _, c := range cases {
			all *= float64(len(c.Priors))
		}
		if drawn > 14 || all > 3e6 {
			continue
		}
		compared++
		want := enumerate(b, cases, readings)
		for _, j := range board.Judged() {
			p := want[[2]string{j.From, j.To}]
			worst = max(worst, math.Abs(p-j.Chance))
			if math.Abs(p-j.Chance) > 0.001 {
				t.Errorf("board %d, %s to %s: %.5f, of all assignments %.5f", n, j.From, j.To, j.Chance, p)
			}
			proven := board.Proven()[[2]string{j.From, j.To}]
			if v := verdictOf(p, proven); j.Verdict != v && !(v == reconcile.NotThere && j.Verdict == reconcile.Question) && nearLimit(p) > 1e-4 {
				t.Errorf("board %d, %s to %s is called %s, and by all assignments %s (%.5f, %.5f)", n, j.From, j.To, j.Verdict, v, j.Chance, p)
			}
		}
	}
	t.Logf("%d boards compared; largest difference %.6f", compared, worst)
	if compared < 10 {
		t.Errorf("only %d boards were small enough", compared)
	}
}

// verdictOf is the verdict that a chance gives.
func verdictOf(p float64, proven bool) reconcile.Verdict {
	found, likely, gone := reconcile.Limits()
	switch {
	case p >= found && proven:
		return reconcile.Found
	case p >= likely:
		return reconcile.Likely
	case p <= gone:
		return reconcile.NotThere
	}
	return reconcile.Question
}

func nearLimit(p float64) float64 {
	found, likely, gone := reconcile.Limits()
	return min(math.Abs(p-found), math.Abs(p-likely), math.Abs(p-gone))
}

// taken gives a board with some readings between ends of its wires.
func taken(t *testing.T, b *invented, n int, random *rand.Rand) (*reconcile.Board, []reconcile.Reading) {
	t.Helper()
	board, err := reconcile.New(b.parts, b.sheets)
	if err != nil {
		t.Fatal(err)
	}
	var terminals []string
	for _, s := range b.sheets {
		for _, w := range s.Wires {
			terminals = append(terminals, w.From, w.To)
		}
	}
	var out []reconcile.Reading
	for len(out) < n {
		w := b.sheets[random.IntN(4)].Wires
		d := w[random.IntN(len(w))]
		r := reconcile.Reading{From: d.From, To: d.To}
		if random.Float64() < 0.4 {
			r.To = terminals[random.IntN(len(terminals))]
		}
		if r.From == r.To {
			continue
		}
		r.Closed = b.reads(r.From, r.To, random)
		if err := board.Take(r); err != nil {
			t.Fatal(err)
		}
		out = append(out, r)
	}
	return board, out
}

// enumerate gives the chance of each wire, from all assignments of all slots.
func enumerate(b *invented, cases []reconcile.Case, readings []reconcile.Reading) map[[2]string]float64 {
	open, closed := reconcile.WrongReadings()
	chance, sum := map[[2]string]float64{}, 0.0
	number := map[string]int{}
	at := func(t string) int {
		if _, ok := number[t]; !ok {
			number[t] = len(number)
		}
		return number[t]
	}
	var ways, tests [][2]int
	for _, w := range b.ways {
		ways = append(ways, [2]int{at(w[0]), at(w[1])})
	}
	for _, r := range readings {
		tests = append(tests, [2]int{at(r.From), at(r.To)})
	}
	var wires [][][][2]int
	for _, c := range cases {
		options := make([][][2]int, len(c.Wires))
		for k, list := range c.Wires {
			for _, w := range list {
				options[k] = append(options[k], [2]int{at(w[0]), at(w[1])})
			}
		}
		wires = append(wires, options)
	}
	// colours are given by trees without ranks, in which the smaller stands above
	colour := make([]int, len(number))
	top := func(i int) int {
		for colour[i] != i {
			i = colour[i]
		}
		return i
	}
	choice := make([]int, len(cases))
	var try func(slot int, p float64)
	try = func(slot int, p float64) {
		if p == 0 {
			return
		}
		if slot < len(cases) {
			for k, q := range cases[slot].Priors {
				choice[slot] = k
				try(slot+1, p*q)
			}
			return
		}
		for i := range colour {
			colour[i] = i
		}
		join := func(list [][2]int) {
			for _, e := range list {
				if a, z := top(e[0]), top(e[1]); a != z {
					colour[max(a, z)] = min(a, z)
				}
			}
		}
		join(ways)
		for s, k := range choice {
			join(wires[s][k])
		}
		for i, r := range readings {
			joined := top(tests[i][0]) == top(tests[i][1])
			switch {
			case joined && r.Closed:
				p *= 1 - open
			case joined:
				p *= open
			case r.Closed:
				p *= closed
			default:
				p *= 1 - closed
			}
		}
		sum += p
		for s, k := range choice {
			for _, w := range cases[s].Wires[k] {
				chance[w] += p
			}
		}
	}
	try(0, 1)
	for w := range chance {
		chance[w] /= sum
	}
	return chance
}

// Priors of each slot sum to 1.
func TestPriorsSumToOne(t *testing.T) {
	random := sweeptest.Random(t)
	b := invent(asDesigned, random)
	board, _ := taken(t, b, 60, random)
	for i, c := range board.Cases() {
		sum := 0.0
		for _, p := range c.Priors {
			sum += p
		}
		if math.Abs(sum-1) > 1e-9 || slices.Min(c.Priors) < 0 {
			t.Errorf("slot %d: %v", i, fmt.Sprint(c.Priors))
		}
	}
}
