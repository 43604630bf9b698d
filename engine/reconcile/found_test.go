package reconcile_test

import (
	"fmt"
	"slices"
	"testing"

	"slipring/engine/circuit"
	"slipring/engine/reconcile"
	"slipring/engine/sweeptest"
)

// sheetsOf gives n drawings that agree.
func sheetsOf(n int, wires ...[2]string) (out []reconcile.Sheet) {
	for i := range n {
		s := reconcile.Sheet{Name: fmt.Sprintf("s%d", i), Date: fmt.Sprint(1900 + i)}
		for k, w := range wires {
			s.Wires = append(s.Wires, reconcile.Drawn{From: w[0], To: w[1], Wire: fmt.Sprintf("W%d", k+1)})
		}
		out = append(out, s)
	}
	return out
}

func judge(t *testing.T, sheets []reconcile.Sheet, readings ...reconcile.Reading) map[string]reconcile.Judged {
	t.Helper()
	b, err := reconcile.New(small(), sheets)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range readings {
		if err := b.Take(r); err != nil {
			t.Fatal(err)
		}
	}
	out := map[string]reconcile.Judged{}
	for _, j := range b.Judged() {
		out[j.From+" "+j.To] = j
	}
	return out
}

func closed(from, to string) reconcile.Reading {
	return reconcile.Reading{From: from, To: to, Closed: true}
}
func open(from, to string) reconcile.Reading { return reconcile.Reading{From: from, To: to} }

// No wire is called found without a closed reading over a path that holds it,
// however many drawings agree.
func TestFoundNeedsAClosedReading(t *testing.T) {
	const wire = "TS1.1 K1.A1"
	one := [2]string{"TS1.1", "K1.A1"}
	for name, c := range map[string]struct {
		sheets   []reconcile.Sheet
		readings []reconcile.Reading
		found    bool
	}{
		"forty drawings and no reading":      {sheets: sheetsOf(40, one)},
		"readings beside it":                 {sheets: sheetsOf(40, one, [2]string{"TS1.2", "K1.A2"}), readings: []reconcile.Reading{closed("TS1.2", "K1.A2"), open("TS1.1", "TS1.2")}},
		"open readings alone":                {sheets: sheetsOf(9, one), readings: []reconcile.Reading{open("TS1.1", "K1.A2"), open("K1.A1", "TS1.2")}},
		"closed over it":                     {sheets: sheetsOf(4, one), readings: []reconcile.Reading{closed("TS1.1", "K1.A1")}, found: true},
		"closed over a path that holds it":   {sheets: sheetsOf(4, one, [2]string{"K1.A1", "TS1.3"}), readings: []reconcile.Reading{closed("TS1.1", "TS1.3")}, found: true},
		"closed, and a way round it is wire": {sheets: sheetsOf(9, one, [2]string{"TS1.1", "TS1.3"}, [2]string{"TS1.3", "K1.A1"}), readings: []reconcile.Reading{closed("TS1.1", "K1.A1"), closed("TS1.1", "TS1.3"), closed("TS1.3", "K1.A1")}},
	} {
		t.Run(name, func(t *testing.T) {
			j := judge(t, c.sheets, c.readings...)[wire]
			if (j.Verdict == reconcile.Found) != c.found {
				t.Errorf("%+v", j)
			}
		})
	}
	// A break contact and a fuse join their terminals by themselves.
	for _, w := range [][2]string{{"K1.21", "K1.22"}, {"F1.1", "F1.2"}} {
		j := judge(t, sheetsOf(9, w), closed(w[0], w[1]))[w[0]+" "+w[1]]
		if j.Verdict == reconcile.Found || j.Chance > 0.999 {
			t.Errorf("beside a part: %+v", j)
		}
		r := closed(w[0], w[1])
		r.Hold = circuit.Hold{Out: []string{"K1", "F1"}}
		if j := judge(t, sheetsOf(9, w), r)[w[0]+" "+w[1]]; j.Verdict != reconcile.Found {
			t.Errorf("with the part out: %+v", j)
		}
	}
}

// The same on invented boards, with a tester that is wrong more often than it is
// believed to be: each wire found has a closed reading whose terminals would not
// be joined without it, by what else is found or likelier than not.
func TestFoundOnInventedBoards(t *testing.T) {
	random := sweeptest.Random(t)
	found := 0
	for range sweeptest.Count(10, 100) {
		b := invent(plan{parts: 12, wires: 18, chain: 0.5, changed: 0.1}, random)
		board, readings := taken(t, b, 30, random)
		for i := range readings {
			if random.Float64() < 0.03 {
				r := readings[i]
				r.Closed = !r.Closed
				if err := board.Take(r); err != nil {
					t.Fatal(err)
				}
				readings = append(readings, r)
			}
		}
		judged := board.Judged()
		for _, j := range judged {
			if j.Verdict != reconcile.Found {
				continue
			}
			found++
			with, without := slices.Clone(b.ways), slices.Clone(b.ways)
			for _, o := range judged {
				if o.Chance < 0.5 {
					continue
				}
				with = append(with, [2]string{o.From, o.To})
				if o.From != j.From || o.To != j.To {
					without = append(without, [2]string{o.From, o.To})
				}
			}
			all, rest := joined(with), joined(without)
			if !slices.ContainsFunc(readings, func(r reconcile.Reading) bool {
				return r.Closed && netOf(all, r.From) == netOf(all, r.To) && netOf(rest, r.From) != netOf(rest, r.To)
			}) {
				t.Errorf("%s to %s is called found (%.4f, %s), and no closed reading hangs on it", j.From, j.To, j.Chance, j.Because)
			}
		}
	}
	if found < 50 {
		t.Errorf("only %d wires were found", found)
	}
}
