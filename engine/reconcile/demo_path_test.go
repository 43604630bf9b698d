package reconcile_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/circuit"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/reconcile"
	"slipring/engine/sweeptest"
)

// A volunteer's way from the demonstration's drawings to its board: sheets of
// twenty tests, answered as the board is in truth, until no test has gain. He
// begins with no reading, or with the forty that lie beside the lessons, two of
// them mistaken. Wire by wire he would take a reading of each wire drawn.
func TestDemoPath(t *testing.T) {
	if !sweeptest.All() {
		t.Skip("two ways over a whole board; SLIPRING_REQUIRE=sweeps walks them")
	}
	parts, truth := demoBoard(t)
	in := folder.Open("../../lessons")
	defer in.Close()
	sheets, had, messages := reconcile.ReadAll(in, parts)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	for _, start := range []struct {
		name     string
		readings []reconcile.Reading
		most     int // readings that are taken
		trips    int
	}{
		{"no readings", nil, 155, 20},
		{"forty readings", had, 130, 17},
	} {
		t.Run(start.name, func(t *testing.T) {
			b, err := reconcile.New(parts, sheets)
			if err != nil {
				t.Fatal(err)
			}
			take := func(r reconcile.Reading) {
				t.Helper()
				if err := b.Take(r); err != nil {
					t.Fatal(err)
				}
			}
			for _, r := range start.readings {
				take(r)
			}
			n, trips := 0, 0
			answers := "# What the demonstration's board answers on a volunteer's way over it, without a mistake; TestDemoPath makes it.\nfrom,to,reading,with,when,note\n"
			for list := b.Next(aTrip); len(list) > 0 && trips <= start.trips; list = b.Next(aTrip) {
				trips++
				for _, one := range list {
					shown := tester(t, parts, truth, one.Hold)(one.From, one.To)
					t.Logf("%d: %s to %s %s: %v, expected with %.3f, gain %.2f", trips, one.From, one.To, one.With(), shown, one.Closed, one.Gain)
					take(reconcile.Reading{From: one.From, To: one.To, Hold: one.Hold, Closed: shown})
					answers += fmt.Sprintf("%s,%s,%s,%s,,\n", one.From, one.To, map[bool]string{true: "closed", false: "open"}[shown], one.With())
					n++
				}
			}
			said := map[reconcile.Verdict]int{}
			drawn := 0
			for _, j := range b.Judged() {
				said[j.Verdict]++
				if len(j.Sheets) > 0 {
					drawn++
				}
			}
			t.Logf("%d readings in %d trips for %d wires drawn: %v", n, trips, drawn, said)
			if n > start.most || trips > start.trips {
				t.Errorf("%d readings in %d trips, and at most %d in %d are expected", n, trips, start.most, start.trips)
			}
			if len(start.readings) == 0 {
				keptAnswers(t, answers)
			}
			pathEnds(t, b.Judged(), truth, byEye(t, parts), tester(t, parts, truth, circuit.Hold{}))
		})
	}
}

// keptAnswers holds a whole way's answers against those that lie in testdata, which
// a test of the command types into a spreadsheet.
func keptAnswers(t *testing.T, answers string) {
	t.Helper()
	const file = "testdata/demo/answers.csv"
	if *update {
		if err := os.WriteFile(file, []byte(answers), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if kept, err := os.ReadFile(file); err != nil || string(kept) != answers {
		t.Errorf("%s holds other answers than this way has (%v); -update writes them", file, err)
	}
}

// byEye gives the wires that volunteers followed by eye, since a mistaken reading
// speaks against them or no drawing has them: the list of wires keeps these,
// whatever readings say.
func byEye(t *testing.T, parts circuit.Wiring) (out []wire) {
	t.Helper()
	const file = demoWiring + "wires.csv"
	source, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	wires, messages := card.ReadWires(file, source, parts)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	for _, w := range wires {
		if strings.HasPrefix(w.Evidence, "followed by eye") {
			out = append(out, wire{from: w.From, to: w.To, name: w.Name})
		}
	}
	return out
}

// pathEnds holds what is said at the end against the board: no wire that it has
// not is found, and each that it has is found or likely, but for those that were
// followed by eye, and those that no reading tells from others, since these would
// join the same.
func pathEnds(t *testing.T, judged []reconcile.Judged, truth, seen []wire, closed func(from, to string) bool) {
	t.Helper()
	is := func(j reconcile.Judged) wire { return wire{from: j.From, to: j.To} }
	for _, j := range judged {
		there := has(truth, is(j))
		if j.Verdict == reconcile.Found && !there {
			t.Errorf("%s to %s is called found, and is not there: %s", j.From, j.To, j.Evidence)
		}
		if j.Verdict == reconcile.NotThere && there && !has(seen, is(j)) {
			t.Errorf("%s to %s is called not there, and is: %s", j.From, j.To, j.Evidence)
		}
	}
	for _, w := range truth {
		if has(seen, w) {
			continue
		}
		i := slices.IndexFunc(judged, func(j reconcile.Judged) bool { return is(j).same(w) })
		if i >= 0 && (judged[i].Verdict == reconcile.Found || judged[i].Verdict == reconcile.Likely) {
			continue
		}
		alike := slices.ContainsFunc(judged, func(j reconcile.Judged) bool {
			return !is(j).same(w) && (is(j).joins(w.from) || is(j).joins(w.to)) && j.Verdict != reconcile.NotThere && !has(truth, is(j)) && closed(j.From, j.To)
		})
		if !alike {
			t.Errorf("%s, %s to %s, is neither found nor likely, and readings could tell", w.name, w.from, w.to)
		}
	}
}
