package reconcile_test

import (
	"testing"

	"slipring/engine/circuit"
	"slipring/engine/reconcile"
)

// partitions calls do with each way to part n things into groups: the number of
// the group of each, the first thing of a group having the least number
// (restricted growth strings).
func partitions(n int, do func(group []int)) {
	group := make([]int, n)
	var put func(i, groups int)
	put = func(i, groups int) {
		if i == n {
			do(group)
			return
		}
		for g := range groups + 1 {
			group[i] = g
			put(i+1, max(groups, g+1))
		}
	}
	put(0, 0)
}

// How many ways there are to join n terminals into nets are the Bell numbers
// (OEIS A000110, its first terms). A tester that is never wrong and tests each
// pair tells all of them apart; with one pair untested it does not.
func TestBellNumbers(t *testing.T) {
	for n, want := range []int{1, 1, 2, 5, 15, 52, 203, 877, 4140} {
		full, short := map[string]bool{}, map[string]bool{}
		partitions(n, func(group []int) {
			shown := ""
			for a := range n {
				for b := range a {
					is := "-"
					if group[a] == group[b] {
						is = "+"
					}
					shown += is
				}
			}
			full[shown] = true
			if n > 1 {
				short[shown[1:]] = true
			}
		})
		if len(full) != want {
			t.Errorf("%d terminals: %d ways to join them, and the Bell number is %d", n, len(full), want)
		}
		if n > 1 && len(short) >= want {
			t.Errorf("%d terminals: one pair less tells as much", n)
		}
	}
}

// What the board makes of each way to join five terminals, with wires drawn
// between all of them, when every pair is tested: a wire is there or likely where
// its ends are in one net, and not there where they are not.
func TestEveryNetOfFive(t *testing.T) {
	const n = 5
	parts := circuit.Wiring{Parts: []circuit.Part{{Name: "T", Kind: "strip", Terminals: n}}}
	name := func(i int) string { return "T." + string(rune('1'+i)) }
	var wires [][2]string
	for a := range n {
		for b := range a {
			wires = append(wires, [2]string{name(b), name(a)})
		}
	}
	count := 0
	partitions(n, func(group []int) {
		count++
		board, err := reconcile.New(parts, sheetsOf(1, wires...))
		if err != nil {
			t.Fatal(err)
		}
		for range 2 {
			for a := range n {
				for b := range a {
					if err := board.Take(reconcile.Reading{From: name(b), To: name(a), Closed: group[a] == group[b]}); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
		for _, j := range board.Judged() {
			a, b := j.From[2]-'1', j.To[2]-'1'
			if one := group[a] == group[b]; !one && j.Verdict != reconcile.NotThere || one && j.Verdict == reconcile.NotThere {
				t.Errorf("%v: %s to %s is called %s (%.4f)", group, j.From, j.To, j.Verdict, j.Chance)
			}
		}
	})
	if count != 52 {
		t.Errorf("%d nets", count)
	}
}

// Knowlton's question (R. L. Graham, "On partitions of a
// finite set", J. Combinatorial Theory 1, 1966): n wires run unlabelled through a
// wall, and somebody with a continuity tester ties them into groups on one side,
// tests on the other, ties groups there, and tests on the first: two trips. It
// can be done for every n but 2, 5 and 9, by the sizes of groups alone (the
// source and exceptions from memory; the search below does not know them).
//
// A wire is known by the size of its group on the one side and on the other, so
// two ways to part the wires have to leave no pair of sizes to two wires. Here
// all pairs of such ways are searched.
func TestKnowlton(t *testing.T) {
	for n := 1; n <= 12; n++ {
		possible := n != 2 && n != 5 && n != 9
		if got := twoTrips(n); got != possible {
			t.Errorf("%d wires in two trips: %v", n, got)
		}
	}
}

// twoTrips says whether n wires can be labelled in two trips. Only how many wires
// are in groups of each size counts: m[a] of size a on the one side, a multiple of
// a, and likewise on the other; and of the m[a] wires all have to be in groups of
// different sizes there, so what is sought is a table of 0 and 1 with such sums.
func twoTrips(n int) bool {
	var sums [][]int // of each way to part n wires: how many of them are in groups of each size
	var part func(left, size int, in []int)
	part = func(left, size int, in []int) {
		if size == 0 {
			if left == 0 {
				sums = append(sums, append([]int{}, in...))
			}
			return
		}
		for k := 0; k <= left; k += size {
			in[size-1] = k
			part(left-k, size-1, in)
		}
		in[size-1] = 0
	}
	part(n, n, make([]int, n))
	for _, one := range sums {
		for _, other := range sums {
			if tableExists(one, append([]int{}, other...)) {
				return true
			}
		}
	}
	return false
}

// tableExists says whether a table of 0 and 1 has such sums of its rows and
// columns, by trying all.
func tableExists(rows, columns []int) bool {
	if len(rows) == 0 {
		for _, left := range columns {
			if left != 0 {
				return false
			}
		}
		return true
	}
	var fill func(from, left int) bool
	fill = func(from, left int) bool {
		if left == 0 {
			return tableExists(rows[1:], columns)
		}
		for c := from; c < len(columns); c++ {
			if columns[c] > 0 {
				columns[c]--
				if fill(c+1, left-1) {
					return true
				}
				columns[c]++
			}
		}
		return false
	}
	return fill(0, rows[0])
}
