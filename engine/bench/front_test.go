package bench_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/tell"
)

// What a state shows at its end is what the board itself says then: lamps, bell
// and needles.
func TestShowEndsAsTheBoardIs(t *testing.T) {
	rest := wired(t)
	up := rest.Press("start").At(8)
	out := up.Blow("F12").At(10)
	front := rest.Front()
	kinds := map[string]int{}
	for _, p := range front {
		kinds[p.Kind]++
		if p.Text != "" && p.Texts["fr"] == "" {
			t.Errorf("%s says nothing in French", p.Name)
		}
	}
	// As the demonstration's parts.toml has them; strips stand behind.
	if kinds["lamp"] != 11 || kinds["key"] != 5 || kinds["bell"] != 1 || kinds["fuse"] != 7 || kinds["voltmeter"]+kinds["ammeter"] != 3 || kinds["strip"]+kinds["battery"]+kinds["set"] != 0 {
		t.Errorf("on the front: %v", kinds)
	}
	for name, w := range map[string]*bench.Wiring{
		"rest": rest.At(1), "runs": up, "fuse": out, "silence": out.Press("silence").At(12),
		"cut": up.Cut("W57").At(10), "over": up.Press("changeover").At(11), "stopped": up.Press("stop").At(14),
	} {
		state := w.Show(name, "Do it", "Done.")
		var lit []string
		rings := false
		for _, p := range front {
			is := state.Is(p.Name)
			if is == "lit" {
				lit = append(lit, p.Text)
			}
			rings = rings || is == "rings"
			if p.Full > 0 {
				i := slices.IndexFunc(state.Meters, func(m tell.BoardMeter) bool { return m.Part == p.Name })
				reads := state.Meters[i].Reads
				if got, want := reads[len(reads)-1], w.Meter(p.Name); math.Abs(got-want) > 1e-9*p.Full {
					t.Errorf("%s: %s reads %v, the board %v", name, p.Name, got, want)
				}
			}
			if up := is == "up" || is == "blown"; p.Kind != "lamp" && p.Kind != "bell" && up != (p.Full == 0 && w.Operated(p.Name)) {
				t.Errorf("%s: %s is %q", name, p.Name, is)
			}
		}
		if !slices.Equal(lit, w.Lit()) || rings != w.Rings() {
			t.Errorf("%s: shows %q, rings %v; the board %q, %v", name, lit, rings, w.Lit(), w.Rings())
		}
		var s tell.Sheet
		s.Board("b", front, state)
	}
}

// A state begins with the act and shows what follows at its time.
func TestShowInTime(t *testing.T) {
	up := wired(t).Press("start").At(8)
	runs := up.Show("runs", "Press start", "It runs.")
	if runs.Seconds != 8 || len(runs.Meters[0].Reads) != 81 || !slices.Contains(runs.Changes, tell.BoardChange{Part: "start", Is: "up"}) {
		t.Errorf("%v s, %d readings, begins with %+v", runs.Seconds, len(runs.Meters[0].Reads), runs.Changes[:2])
	}
	for _, part := range []string{"K1", "K2", "K3", "D1", "H15", "K4"} {
		i := slices.IndexFunc(runs.Changes, func(c tell.BoardChange) bool { return c.Part == part && (c.Is == "up" || c.Is == "lit") })
		if i < 0 || runs.Changes[i].At != up.When(part) {
			t.Errorf("%s: %+v, want it at %v s", part, runs.Changes, up.When(part))
		}
	}
	if m := misuseOf(func() { up.Press("stop").Show("x", "a", "b") }); !strings.Contains(m.Text, "moment of the act") || m.Hint == "" {
		t.Errorf("at the moment of an act: %+v", m)
	}
}

func misuseOf(do func()) (m tell.Misuse) {
	defer func() { m, _ = recover().(tell.Misuse) }()
	do()
	return m
}
