package reconcile_test

import (
	"math"
	"testing"

	"slipring/engine/reconcile"
)

// contradictions gives those of a chain of two wires that all drawings have.
func contradictions(t *testing.T, readings ...reconcile.Reading) []reconcile.Contradiction {
	t.Helper()
	b, err := reconcile.New(small(), sheetsOf(4, [2]string{"TS1.1", "TS1.10"}, [2]string{"TS1.10", "TS1.20"}))
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range readings {
		if err := b.Take(r); err != nil {
			t.Fatal(err)
		}
	}
	return b.Contradictions()
}

// Readings that contradict each other are named in a pair, with the third that
// settles it.
func TestContradictions(t *testing.T) {
	path, whole, first := closed("TS1.1", "TS1.20"), open("TS1.1", "TS1.20"), open("TS1.1", "TS1.10")
	for name, c := range map[string]struct {
		readings []reconcile.Reading
		settle   string // the terminals of the third reading
	}{
		"the same twice, otherwise":      {[]reconcile.Reading{path, whole}, "TS1.1 TS1.20"},
		"a path, and a wire on it":       {[]reconcile.Reading{path, first}, "TS1.1 TS1.10"},
		"a wire, and a path that has it": {[]reconcile.Reading{first, path}, "TS1.1 TS1.10"},
	} {
		got := contradictions(t, c.readings...)
		if len(got) != 1 || got[0].Chance < 0.8 || got[0].Settle.From+" "+got[0].Settle.To != c.settle {
			t.Errorf("%s: %+v", name, got)
		}
	}
	for name, readings := range map[string][]reconcile.Reading{
		"nothing": nil, "two that agree": {path, closed("TS1.1", "TS1.10")}, "an open one alone": {first},
		"a wire gone, as another reading says": {first, first, first},
	} {
		if got := contradictions(t, readings...); len(got) > 0 {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// The third reading that is named settles the pair, whatever it shows: after it,
// or after it once more, one of the two is known to be wrong and the other to be
// right, and the next tests no longer ask.
func TestThirdReadingSettles(t *testing.T) {
	path, whole, first := closed("TS1.1", "TS1.20"), open("TS1.1", "TS1.20"), open("TS1.1", "TS1.10")
	for name, pair := range map[string][2]reconcile.Reading{
		"the same twice, otherwise":      {path, whole},
		"a path, and a wire on it":       {path, first},
		"a wire, and a path that has it": {first, path},
	} {
		for _, shown := range []bool{true, false} {
			b, err := reconcile.New(small(), sheetsOf(4, [2]string{"TS1.1", "TS1.10"}, [2]string{"TS1.10", "TS1.20"}))
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range pair {
				if err := b.Take(r); err != nil {
					t.Fatal(err)
				}
			}
			before := max(b.Wrong(0), b.Wrong(1))
			c := b.Contradictions()
			if len(c) != 1 {
				t.Fatalf("%s: %+v", name, c)
			}
			for range 2 {
				third := reconcile.Reading{From: c[0].Settle.From, To: c[0].Settle.To, Hold: c[0].Settle.Hold, Closed: shown}
				if err := b.Take(third); err != nil {
					t.Fatal(err)
				}
			}
			less, more := min(b.Wrong(0), b.Wrong(1)), max(b.Wrong(0), b.Wrong(1))
			if !(less < 0.02 && more > 0.98) {
				t.Errorf("%s: after a third that is closed (%v) the chances of being wrong are %.3f and %.3f; %.3f before", name, shown, less, more, before)
			}
		}
	}
}

// Which sheet fits which part: the one that has the wire that was found.
func TestFits(t *testing.T) {
	sheets := append(sheetsOf(1, [2]string{"TS1.1", "K1.A1"}), sheetsOf(2, [2]string{"TS1.1", "K1.A2"})[1:]...)
	b, err := reconcile.New(small(), sheets)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Take(closed("TS1.1", "K1.A2")); err != nil {
		t.Fatal(err)
	}
	shares := map[string]float64{}
	for _, f := range b.Fits() {
		if _, had := shares[f.Part]; !had && f.Sheet != "s1" {
			t.Errorf("%s fits best by %s", f.Part, f.Sheet)
		}
		if f.Sheet == "s1" {
			shares[f.Part] = f.Share
		}
	}
	if len(shares) != 2 || math.Abs(shares["K1"]-1) > 0.05 {
		t.Errorf("%v", shares)
	}
}
