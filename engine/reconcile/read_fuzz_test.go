package reconcile_test

import (
	"testing"

	"slipring/engine/diag"
	"slipring/engine/reconcile"
)

// Whatever a file holds, each message has a place and a next step, and what is
// read without one is sound.
func FuzzRead(f *testing.F) {
	f.Add([]byte(someSheet))
	f.Add([]byte(someReadings))
	f.Fuzz(func(t *testing.T, source []byte) {
		parts := small()
		sheet, messages := reconcile.ReadSheet("a", "a.csv", source, parts)
		if !diag.HasError(messages) && len(sheet.Wires) == 0 {
			t.Error("a sheet without wires")
		}
		readings, more := reconcile.ReadContinuity("c.csv", source, parts)
		for _, m := range append(messages, more...) {
			if m.Line < 1 || m.Column < 1 || m.Hint == "" || m.Rule == "" {
				t.Errorf("%+v", m)
			}
		}
		for _, w := range sheet.Wires {
			if w.From == w.To || parts.NoTerminal(w.From) != nil || parts.NoTerminal(w.To) != nil {
				t.Errorf("%+v", w)
			}
		}
		for _, r := range readings {
			if r.From == r.To || r.Ohms < 0 || parts.NoTerminal(r.From) != nil || parts.NoTerminal(r.To) != nil {
				t.Errorf("%+v", r)
			}
		}
	})
}
