package reconcile_test

import (
	"fmt"
	"testing"

	"slipring/engine/reconcile"
)

// chainOf is wires from each terminal of the strip to the next, and more: longer
// than what a link holds without leaving unlikely wires out.
func chainOf(more ...[2]string) (list [][2]string) {
	for i := range 17 {
		list = append(list, [2]string{fmt.Sprintf("TS1.%d", i+1), fmt.Sprintf("TS1.%d", i+2)})
	}
	return append(list, more...)
}

func boardOf(t *testing.T, sheets []reconcile.Sheet) *reconcile.Board {
	t.Helper()
	b, err := reconcile.New(small(), sheets)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// A reading of an unlikely wire speaks of that wire, though a long chain of likely
// ones joins the same terminals: open readings make it unlikelier each time.
func TestOwnReadingCounts(t *testing.T) {
	sheets := sheetsOf(4, chainOf()...)
	sheets[1].Wires = append(sheets[1].Wires, reconcile.Drawn{From: "TS1.1", To: "TS1.18", Wire: "W99"})
	b := boardOf(t, sheets)
	before := b.Chance("TS1.1", "TS1.18")
	for range 2 {
		if err := b.Take(open("TS1.1", "TS1.18")); err != nil {
			t.Fatal(err)
		}
		after := b.Chance("TS1.1", "TS1.18")
		t.Logf("%.5f, then %.5f", before, after)
		if after > before/5 {
			t.Errorf("its own reading is open, and it is there with %.5f; %.5f before", after, before)
		}
		before = after
	}
}

// A closed reading over a long chain that ends at a break contact says nothing of
// the side of the contact that the last wire is on.
func TestSideOfContactStaysOpen(t *testing.T) {
	b := boardOf(t, sheetsOf(1, chainOf([2]string{"TS1.18", "K1.21"})...))
	ratio := func() float64 { return b.Chance("TS1.18", "K1.22") / b.Chance("TS1.18", "K1.21") }
	before := ratio()
	for range 2 {
		if err := b.Take(closed("TS1.1", "K1.21")); err != nil {
			t.Fatal(err)
		}
	}
	if after := ratio(); before <= 0 || after < 0.9*before || after > 1.1*before {
		t.Errorf("one side against the other: %.6f, and %.6f before", after, before)
	}
}
