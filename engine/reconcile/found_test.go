package reconcile_test

import (
	"fmt"
	"math/rand/v2"
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
			b, err := reconcile.New(small(), c.sheets)
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range c.readings {
				if err := b.Take(r); err != nil {
					t.Fatal(err)
				}
			}
			b.Believe(one[0], one[1])
			for _, j := range b.Judged() {
				if j.From+" "+j.To == wire && (j.Chance != 1 || (j.Verdict == reconcile.Found) != c.found) {
					t.Errorf("believed without doubt: %+v", j)
				}
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

// hangs says whether a closed reading hangs on a wire: its terminals are joined
// by all that is likelier than not, and are not without the wire.
func hangs(t *testing.T, b *invented, judged []reconcile.Judged, wire reconcile.Judged, r reconcile.Reading) bool {
	t.Helper()
	if !r.Closed {
		return false
	}
	with, err := b.parts.Ways(reconcile.Threshold, r.Hold)
	if err != nil {
		t.Fatal(err)
	}
	without := slices.Clone(with)
	for _, o := range judged {
		if o.Chance < 0.5 {
			continue
		}
		with = append(with, [2]string{o.From, o.To})
		if o.From != wire.From || o.To != wire.To {
			without = append(without, [2]string{o.From, o.To})
		}
	}
	all, rest := joined(with), joined(without)
	return netOf(all, r.From) == netOf(all, r.To) && netOf(rest, r.From) != netOf(rest, r.To)
}

// unproven gives the wires that are called found, and no closed reading hangs on
// them; and how many are found.
func unproven(t *testing.T, b *invented, board *reconcile.Board, readings []reconcile.Reading) (list []reconcile.Judged, found int) {
	t.Helper()
	judged := board.Judged()
	for _, j := range judged {
		if j.Verdict != reconcile.Found {
			continue
		}
		found++
		if !slices.ContainsFunc(readings, func(r reconcile.Reading) bool { return hangs(t, b, judged, j, r) }) {
			list = append(list, j)
		}
	}
	return list, found
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
		list, n := unproven(t, b, board, readings)
		found += n
		for _, j := range list {
			t.Errorf("%s to %s is called found (%.4f, %s), and no closed reading hangs on it", j.From, j.To, j.Chance, j.Because)
		}
	}
	if found < 50 {
		t.Errorf("only %d wires were found", found)
	}
}

// Somebody tries to have a wire called found without a closed reading over it: he
// has many drawings agree, and begins with closed readings over the wire; then he
// makes readings up, true or not, with parts held and out, and of some he always
// takes the one that leaves the wire likeliest with no reading that hangs on it,
// such as one that makes a way round it likely.
func TestFoundCannotBeForced(t *testing.T) {
	random := sweeptest.Random(t)
	likeliest, found := 0.0, 0
	for n := range sweeptest.Count(5, 60) {
		b := invent(plan{parts: 5, wires: 6, chain: 0.8, changed: 0.05}, random)
		target := b.roundabout(random)
		readings := []reconcile.Reading{closed(target[0], target[1]), closed(target[0], target[1])}
		after := func(more ...reconcile.Reading) (judged reconcile.Judged, fair bool) {
			board, all := b.board(t), slices.Concat(readings, more)
			for _, r := range all {
				if err := board.Take(r); err != nil {
					t.Fatal(err)
				}
			}
			list, fairly := unproven(t, b, board, all)
			found += fairly
			for _, j := range list {
				t.Fatalf("board %d: %s to %s is called found (%.4f, %s), and no closed reading hangs on it: %v", n, j.From, j.To, j.Chance, j.Because, all)
			}
			every := board.Judged()
			j := every[slices.IndexFunc(every, func(j reconcile.Judged) bool {
				return j.From == target[0] && j.To == target[1] || j.From == target[1] && j.To == target[0]
			})]
			return j, slices.ContainsFunc(all, func(r reconcile.Reading) bool { return hangs(t, b, every, j, r) })
		}
		for range 6 {
			best, top := reconcile.Reading{}, -1.0
			for range 5 {
				r := madeUp(b, random)
				j, fair := after(r)
				x := j.Chance
				if fair {
					x--
				} else {
					likeliest = max(likeliest, x)
				}
				if x > top {
					best, top = r, x
				}
			}
			readings = append(readings, best)
		}
	}
	t.Logf("the likeliest that a wire became with no reading on it: %.6f; %d times one was found fairly", likeliest, found)
	if likeliest < 0.98 || found == 0 { // likelier than any drawings make it
		t.Errorf("he did not try hard enough: %.4f, %d", likeliest, found)
	}
}

// roundabout gives a drawn wire that has a way round it of two drawn wires, in
// seven drawings that agree.
func (b *invented) roundabout(random *rand.Rand) [2]string {
	s := b.sheets[0]
	d := s.Wires[random.IntN(len(s.Wires))]
	between := b.parts.Parts[0].Name + ".1"
	if marks, err := b.parts.Parts[0].Marks(); err == nil {
		between = b.parts.Parts[0].Name + "." + marks[random.IntN(len(marks))]
	}
	s.Wires = append(slices.Clone(s.Wires), reconcile.Drawn{From: d.From, To: between, Wire: "Y1"}, reconcile.Drawn{From: between, To: d.To, Wire: "Y2"})
	s.Wires = sound(s.Wires)
	b.sheets = nil
	for n := range 7 {
		s.Name, s.Date = fmt.Sprint("copy ", n), fmt.Sprint(1911+n)
		b.sheets = append(b.sheets, s)
	}
	return [2]string{d.From, d.To}
}

// madeUp is some reading between terminals of wires, at times with a part held or
// out.
func madeUp(b *invented, random *rand.Rand) (r reconcile.Reading) {
	ends := func() string {
		w := b.sheets[random.IntN(len(b.sheets))].Wires
		d := w[random.IntN(len(w))]
		if random.IntN(2) == 0 {
			return d.From
		}
		return d.To
	}
	for r.From == r.To {
		r = reconcile.Reading{From: ends(), To: ends(), Closed: random.IntN(2) == 0}
	}
	p := b.parts.Parts[random.IntN(len(b.parts.Parts))]
	switch {
	case random.IntN(3) > 0:
	case p.Kind == "fuse":
		r.Hold.Out = []string{p.Name}
	case len(p.Contacts) > 0:
		r.Hold.Moved = []string{p.Name}
	}
	return r
}
