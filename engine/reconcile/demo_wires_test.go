package reconcile_test

import (
	"bytes"
	"os"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/reconcile"
)

// The demonstration's list of wires is what -amend makes of it, its drawings and
// its readings. Its wires are those of the board in truth: three that volunteers
// followed by eye are where no drawing has them, or where a mistaken reading
// speaks against them, and everything else that is not certain says so.
func TestDemoWires(t *testing.T) {
	parts, truth := demoBoard(t)
	in := folder.Open("../../lessons")
	defer in.Close()
	sheets, readings, messages := reconcile.ReadAll(in, parts)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	b, err := reconcile.New(parts, sheets)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range readings {
		if err := b.Take(r); err != nil {
			t.Fatal(err)
		}
	}
	const file = demoWiring + "wires.csv"
	source, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	old, messages := card.ReadWires(file, source, parts)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	wires, done := b.Amended(old)
	made := card.WriteWires(source, "", wires)
	if *update {
		if err := os.WriteFile(file, made, 0o644); err != nil {
			t.Fatal(err)
		}
		source = made
	}
	if !bytes.Equal(made, source) {
		t.Errorf("%s is not what reconcile -amend writes; -update writes it", file)
	}
	if len(done) != 3 {
		t.Errorf("it disagrees with %d wires, not with the three that were followed by eye:\n%q", len(done), done)
	}
	said := map[string]string{}
	for _, j := range b.Judged() {
		said[j.From+" "+j.To], said[j.To+" "+j.From] = j.Evidence, j.Evidence
	}
	byEye := 0
	for _, w := range wires {
		if !has(truth, wire{from: w.From, to: w.To}) {
			t.Errorf("the board has no wire from %s to %s", w.From, w.To)
		}
		if w.Evidence == "followed by eye 2026-09-26" {
			byEye++
		} else if w.Evidence == "" || w.Evidence != said[w.From+" "+w.To] {
			t.Errorf("%s: %q, and the readings say %q", w.Name, w.Evidence, said[w.From+" "+w.To])
		}
	}
	if len(wires) != len(truth) || byEye != 3 {
		t.Errorf("%d wires, of which %d were followed by eye; the board has %d", len(wires), byEye, len(truth))
	}
}
