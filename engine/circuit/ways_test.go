package circuit_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"slipring/engine/circuit"
)

func TestWays(t *testing.T) {
	w := lay(`
		K1 relay contacts=13-14,21-22` + quick + `
		T1 key contacts=11-12-14
		F1 fuse resistance=0.05 melting-current=4 melting-time=1 contacts=97-98
		R1 resistor resistance=1.5
		R2 resistor resistance=15
		B battery voltage=48 resistance=0.1
		C1 capacitor capacitance=1e-6
		L coil resistance=0.5 inductance=2
		S set card=x
		TS1 strip terminals=4`)
	for _, c := range []struct {
		hold circuit.Hold
		most float64
		want string
	}{
		// what is at rest, and the power taken off
		{circuit.Hold{}, 2, "F1.1-F1.2 K1.21-K1.22 L.1-L.2 R1.1-R1.2 T1.11-T1.12"},
		{circuit.Hold{}, 0.1, "F1.1-F1.2 K1.21-K1.22 T1.11-T1.12"},
		{circuit.Hold{Moved: []string{"K1", "T1"}}, 0.1, "F1.1-F1.2 K1.13-K1.14 T1.11-T1.14"},
		{circuit.Hold{Out: []string{"K1", "F1"}}, 2, "L.1-L.2 R1.1-R1.2 T1.11-T1.12"},
		{circuit.Hold{Moved: []string{"K1"}, Out: []string{"L", "T1"}}, 2, "F1.1-F1.2 K1.13-K1.14 R1.1-R1.2"},
	} {
		ways, err := w.Ways(c.most, c.hold)
		must(t, err)
		var got []string
		for _, p := range ways {
			got = append(got, fmt.Sprintf("%s-%s", p[0], p[1]))
		}
		slices.Sort(got)
		if strings.Join(got, " ") != c.want {
			t.Errorf("%+v: %v, want %s", c.hold, got, c.want)
		}
	}
	for text, hold := range map[string]circuit.Hold{
		`there is no part "K7"`:      {Moved: []string{"K7"}},
		`there is no part "F7"`:      {Out: []string{"F7"}},
		"nobody can hold the fuse F": {Moved: []string{"F1"}},
		"nobody can hold the strip":  {Moved: []string{"TS1"}},
	} {
		_, err := w.Ways(2, hold)
		var f circuit.Flaw
		if !errors.As(err, &f) || !strings.HasPrefix(f.Reason, text) || f.Next == "" {
			t.Errorf("%v, want %s", err, text)
		}
	}
}
