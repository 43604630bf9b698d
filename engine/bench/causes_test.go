package bench_test

import (
	"slices"
	"strings"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/machine"
	"slipring/engine/sweeptest"
	"slipring/engine/tell"
)

func causes(w *bench.Wiring, lamp string) (names []string) {
	for _, c := range w.Causes(lamp) {
		names = append(names, c.Name)
	}
	return names
}

// What lights each lamp, followed by hand along the wires; and the same as the
// board shows when it is given one fault.
func TestCauses(t *testing.T) {
	shelf := bench.New([]machine.Card{shippedCard(t)})
	shelf.Wire(shippedWiring(t))
	up := shelf.Wiring().Press("start").At(9)
	for lamp, want := range map[string][]string{
		"H4":  {"F11 blown", "F12 blown", "F13 blown", "F14 blown", "F15 blown", "T4 stuck operated"},
		"H5":  {"BAT run down", "K5 stuck released", "W43 open", "W44 open", "W45 open", "W46 open", "bad cell or joint"},
		"H6":  {"changeover turned"},
		"H15": {"D1 stuck operated"}, // else it is lit from when the bell voltage is there, and rightly
		// the fuse, the line and its far end, the common return and what stands before the fuse
		"H11": {"D1 stuck operated", "D11 stuck released", "F11 blown", "W152 open", "W157 open", "W158 open", "W159 open", "W160 open",
			"W175 open", "W176 open", "W177 open", "W178 open", "W179 open", "W53 open", "W56 open"},
	} {
		got := causes(up, lamp)
		slices.Sort(got)
		if !slices.Equal(got, want) {
			t.Errorf("%s is lit by %q, want %q", lamp, got, want)
		}
	}
	tones := causes(up, "H2")
	for _, name := range []string{"tone winding open", "W57 open", "D2 stuck released", "motor brush lifted", "F1 blown"} {
		if !slices.Contains(tones, name) {
			t.Errorf("%s does not light the lamp of the low tone", name)
		}
	}
	for _, c := range up.Causes("H1") {
		if late := strings.HasPrefix(c.Name, "K4"); late == (c.From > 5) || c.Sentence == "" {
			t.Errorf("%+v", c)
		}
	}

	rest := shelf.Wiring()
	for _, name := range sweeptest.Sample(t, rest.Faults(), 8) {
		failed := rest.Fail(name).Press("start").At(9)
		for _, l := range failed.Lamps() {
			all := up.Causes(l.Part)
			i := slices.IndexFunc(all, func(c bench.Cause) bool { return c.Name == name })
			if l.Lit && i < 0 && l.Part != "H15" {
				t.Errorf("%s lights %s, and is no cause of it", name, l.Part)
			}
			if i >= 0 && failed.When(l.Part) > all[i].From {
				t.Errorf("%s is said to light %s from %v s, and does from %v s", name, l.Part, all[i].From, failed.When(l.Part))
			}
		}
	}

	again := bench.New([]machine.Card{shippedCard(t)})
	again.Wire(shippedWiring(t))
	again.Recall(shelf.Kept())
	if got := causes(again.Wiring().Press("start").At(9), "H2"); !slices.Equal(got, tones) || len(again.Kept()) > 0 {
		t.Errorf("recalled, H2 is lit by %q; made again: %d", got, len(again.Kept()))
	}

	defer func() {
		if m, ok := recover().(tell.Misuse); !ok || m.Text != `no lamp is called "D1"` {
			t.Errorf("%v", m)
		}
	}()
	up.Causes("D1")
}
