package bench_test

import (
	"strings"
	"testing"

	"slipring/engine/tell"
)

// holding is the board's holding circuit as its wires are.
func holding() tell.Schematic {
	return tell.Put("key", "start", "", 2, 1).Ends("13", "14").
		Put("make contact", "K1", "", 2, 3).Ends("23", "24").
		Put("relay coil", "K1", "", 6, 1).Ends("A1", "A2").
		Join("start.13", "1,3", "K1.23").
		Join("start.14", "K1.A1").
		Join("K1.24", "3,2", "4,2", "4,1")
}

func TestWired(t *testing.T) {
	w := wired(t)
	if got := w.Wired(holding()); len(got.Parts) != 3 {
		t.Errorf("the drawing came back as %+v", got)
	}
	for text, d := range map[string]tell.Schematic{
		`a part "K99", and the wiring has none`:        holding().Put("lamp", "K99", "", 10, 5),
		"an end H1.1, and the wiring has none":         holding().Put("lamp", "H1", "", 10, 5),
		"H1 X1-X2 as a bell, and the wiring as a lamp": holding().Put("bell", "H1", "", 10, 5).Ends("X1", "X2"),
		"stop 11-12 as a key, and the wiring as a key": holding().Put("key", "stop", "", 10, 5).Ends("11", "12"),
		"K1 13-14 as a break contact":                  holding().Put("break contact", "K1", "", 10, 5).Ends("13", "14"),
		"joins K1.A2 and H1.X1, and no wire does":      holding().Put("lamp", "H1", "", 10, 1).Ends("X1", "X2").Join("K1.A2", "H1.X1"),
		"wires join K1.A2 and K2.A2, and the drawing":  holding().Put("relay coil", "K2", "", 10, 5).Ends("A1", "A2"),
	} {
		func() {
			defer func() {
				m, _ := recover().(tell.Misuse)
				if !strings.Contains(m.Text, text) || m.Hint == "" {
					t.Errorf("want %q, got %+v", text, m)
				}
			}()
			w.Wired(d)
		}()
	}
}
