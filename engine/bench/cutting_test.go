package bench_test

import (
	"slices"
	"strings"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/card"
	"slipring/engine/cutting"
	"slipring/engine/machine"
	"slipring/engine/tell"
)

func shippedPlan(t testing.TB) cutting.Plan {
	t.Helper()
	w, _ := card.ReadWiring("parts.toml", wiringFile(t, "parts.toml"), "wires.csv", wiringFile(t, "wires.csv"))
	c, messages := card.ReadCutting("cutting.toml", wiringFile(t, "cutting.toml"), "places.csv", wiringFile(t, "places.csv"), w)
	for _, m := range append(messages, c.Lacks([]string{"fr"})...) {
		t.Error(m)
	}
	return c.Plan
}

// What the demonstration's house lets its wire carry lies below the tables of two
// codes, each at 40 C of air: IEC 60364-5-52, method B2, PVC, three loaded
// conductors (reprint of tables B.52.4 and B.52.14), and NFPA 70 (2023), table
// 310.16, copper at 60 C (two pages that agree), with the correction .82 for the
// gauge that stands beside it. Thinner wire stands in neither.
func TestStockBelowTheCodes(t *testing.T) {
	iec := map[float64]float64{1.5: 13, 2.5: 17, 4: 23, 6: 30, 10: 40, 16: 54}
	nfpa := map[string]float64{"14": 15, "12": 20, "10": 30, "8": 40, "6": 55, "4": 70}
	held := 0
	for _, s := range shippedPlan(t).Stock {
		if most, ok := iec[s.Area]; ok {
			held++
			if s.Carries > most {
				t.Errorf("%s carries %v A, the table has %v", s.Name(), s.Carries, most)
			}
		}
		if most, ok := nfpa[cutting.Beside(s.Area)]; ok && s.Carries > 0.82*most {
			t.Errorf("%s carries %v A, AWG %s does %v at 40 C", s.Name(), s.Carries, cutting.Beside(s.Area), 0.82*most)
		}
	}
	if held < 6 {
		t.Errorf("only %d sizes were held against the table", held)
	}
}

// The demonstration's list: each wire is cut or leads outside, currents are those
// of the circuit model or more, and all that a fuse is said to guard is dead when
// that fuse is out, whatever the rest does.
func TestShippedCutting(t *testing.T) {
	house := shippedWiring(t)
	s := bench.New([]machine.Card{shippedCard(t)})
	s.Wire(house)
	plan := shippedPlan(t)
	s.Plan(plan)
	list, flaws, err := s.ToCut()
	if err != nil || len(flaws) > 0 {
		t.Fatal(err, flaws)
	}
	if len(list.Wires)+len(list.Left) != len(house.Wires) {
		t.Errorf("%d wires and %d outside, of %d", len(list.Wires), len(list.Left), len(house.Wires))
	}
	c := s.Cutting()
	up := s.Wiring().Press("start").At(8)
	for _, w := range list.Wires {
		if now := up.WireAmps(w.Name); now > w.Amps*1.02+1e-4 {
			t.Errorf("%s is cut for %v A, and carries %v A while the set idles", w.Name, w.Amps, now)
		}
		if got := c.Wire(w.Name); got.Length() != w.Cut || got.Area() != w.Stock.Area || got.Why() != string(w.Why) || got.Amps() != w.Amps || got.Lost() != w.Lost {
			t.Errorf("a cell is told %+v of %+v", got, w)
		}
	}
	for _, g := range plan.Groups {
		if g.Before || len(g.Fuses) == 0 {
			continue
		}
		dead := s.Wiring()
		for _, f := range g.Fuses {
			dead = dead.Blow(f)
		}
		dead = dead.Press("start").At(8)
		for _, w := range list.Wires {
			if w.Group == g.Name && dead.WireAmps(w.Name) > 1e-3 {
				t.Errorf("%s of %s carries %v A with %s out", w.Name, g.Name, dead.WireAmps(w.Name), strings.Join(g.Fuses, ", "))
			}
		}
	}
	// the fuse of the armature is that of the field too: a fuse of its own in the
	// field would let the motor race
	if f, a := c.Wire("W14"), c.Wire("W12"); f.Guard() != a.Guard() || f.Why() != "fuse" {
		t.Errorf("field %+v, armature %+v", f, a)
	}
	if !slices.Contains(c.Crowded(), "TS1.1") {
		t.Errorf("crowded are %v", c.Crowded())
	}
	refused(t, "no wire to cut is called", func() { c.Wire("W159") })
	refused(t, "no group of wires is called", func() { c.Group("x") })
	refused(t, "the house has no list of wire to cut", func() { bench.New(nil).Cutting() })
}

func refused(t *testing.T, want string, ask func()) {
	t.Helper()
	defer func() {
		if m, ok := recover().(tell.Misuse); !ok || m.Hint == "" || !strings.HasPrefix(m.Text, want) {
			t.Errorf("%v, want %s", m, want)
		}
	}()
	ask()
}
