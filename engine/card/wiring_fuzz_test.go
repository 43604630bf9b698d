package card_test

import (
	"testing"

	"slipring/engine/card"
	"slipring/engine/circuit"
	"slipring/engine/diag"
)

// Whatever the two files hold, reading them ends with messages that stand in
// them, or with a wiring that can be put to work.
func FuzzReadWiring(f *testing.F) {
	f.Add([]byte(someParts), []byte(someWires))
	f.Add([]byte("[K]\nkind = \"relay\"\ncontacts = [\"11-12-14\"]\n"), []byte("# x\nfrom;to;wire\nK.A1;K.11;W1\n"))
	f.Add([]byte("[S]\nkind = \"strip\"\nterminals = 3\n[fr.fr]\n"), []byte("# x\nfrom,to,wire\nS.1,S.2,W1\n"))
	f.Fuzz(func(t *testing.T, parts, wires []byte) {
		if len(parts)+len(wires) > 4000 {
			return // what takes long is tried elsewhere
		}
		w, messages := card.ReadWiring("parts.toml", parts, "wires.csv", wires)
		for _, m := range messages {
			if m.File == "" || m.Text == "" {
				t.Errorf("%+v", m)
			}
		}
		if diag.HasError(messages) {
			return
		}
		if _, err := circuit.New(w.Wiring); err != nil {
			t.Error(err)
		}
	})
}
