package cutting_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"slipring/engine/circuit"
	"slipring/engine/cutting"
	"slipring/engine/sweeptest"
	"slipring/engine/wiring"
)

// board is a battery in a cellar, a fuse and a lamp on two frames.
func board() (circuit.Wiring, cutting.Plan, []cutting.Amps) {
	value := func(x float64) circuit.Value { return circuit.Value{SI: x} }
	w := circuit.Wiring{
		Parts: []circuit.Part{
			{Name: "B", Kind: "battery", Line: 1}, {Name: "F", Kind: "fuse", Values: map[string]circuit.Value{"melting-current": value(8)}, Line: 5},
			{Name: "L", Kind: "lamp", Line: 9}, {Name: "R", Kind: "resistor", Line: 13},
		},
		Wires: []circuit.Wire{
			{Name: "W1", From: "B.+", To: "F.1", Line: 3}, {Name: "W2", From: "F.2", To: "L.X1", Line: 4},
			{Name: "W3", From: "L.X2", To: "B.-", Line: 5}, {Name: "W4", From: "L.X2", To: "R.1", Line: 6},
		},
	}
	p := cutting.Plan{
		Slack: 0.2, Step: 0.05, Waste: 0.1, Lot: 5, Temperature: 20, Least: 0.75,
		Stock: []cutting.Stock{{Area: 0.5, Carries: 3}, {Area: 1, Carries: 6}, {Area: 1.5, Carries: 9}, {Area: 2.5, Carries: 14}, {Area: 4, Carries: 20}},
		Ends:  map[string]cutting.End{"battery": cutting.Lug, "fuse": cutting.Lug, "lamp": cutting.Solder, "L.X2": cutting.Eye},
		Runs:  []cutting.Run{{Between: [2]string{"cellar", "one"}, Length: 5, Line: 7}, {Between: [2]string{"two", "one"}, Length: 0.5, Line: 8}},
		Places: []cutting.Place{
			{Part: "B", Frame: "cellar", Across: 1, Up: 0.5, Line: 3}, {Frame: "cellar", Across: 0, Up: 2, Line: 4},
			{Part: "F", Frame: "one", Across: 0.3, Up: 1.5, Line: 5}, {Frame: "one", Across: 0.8, Up: 0.1, Line: 6},
			{Part: "L", Frame: "two", Across: 0.4, Up: 1.2, Line: 7}, {Frame: "two", Across: 0, Up: 0.1, Line: 8},
			{Part: "R", Frame: cutting.Outside, Line: 9},
		},
		Groups: []cutting.Group{
			{Name: "plus", Wires: []string{"W1-W2"}, Colour: "RD", Fuses: []string{"F"}, Voltage: 48, Drop: 0.05, Line: 10},
			{Name: "minus", Wires: []string{"W3", "W4"}, Colour: "BU", Before: true, Voltage: 48, Drop: 0.05, Line: 20},
		},
	}
	return w, p, []cutting.Amps{{Most: 2, State: "s"}, {Most: 2, State: "s"}, {Most: 2, State: "s"}, {Most: 1}}
}

func cut(t *testing.T, change func(*circuit.Wiring, *cutting.Plan, []cutting.Amps)) (cutting.List, []cutting.Flaw) {
	t.Helper()
	w, p, amps := board()
	if change != nil {
		change(&w, &p, amps)
	}
	return cutting.Cut(w, p, amps)
}

// A wire that was taken out of the wiring is said, and the list goes on without it.
func TestCutWithout(t *testing.T) {
	w, p, amps := board()
	p.Groups[0].Wires = append(p.Groups[0].Wires, "W9")
	p.States = append(p.States, cutting.State{Name: "s", Fail: []string{"W9 open"}, Line: 30})
	list, flaws := cutting.Cut(w, p, amps)
	if full, _ := cut(t, nil); len(flaws) > 0 || len(list.Wires) != len(full.Wires) {
		t.Errorf("%d wires, %v", len(list.Wires), flaws)
	}
	said := cutting.Check(w, p)
	if len(said) != 2 || !said[0].Works || !said[1].Works || said[0].Reason != `the group plus names the wire "W9", which is none` || said[1].Reason != `the state s has the fault "W9 open", which is none` {
		t.Errorf("said is %v", said)
	}
}

// Lengths that were added up by hand, thicknesses from the stock, and sums.
func TestCut(t *testing.T) {
	list, flaws := cut(t, nil)
	if len(flaws) > 0 {
		t.Fatal(flaws)
	}
	want := []cutting.Wire{
		// to the exit of frame two .4 + 1.1, run .5, run 5, in the cellar 1 + 1.5, slack .4
		{Cut: 9.9, Colour: "BU", FromEnd: cutting.Eye, ToEnd: cutting.Lug, Amps: 2, State: "s", Why: cutting.ByStrength, Unguarded: true, Stock: cutting.Stock{Area: 1}},
		// 1 + 1.5, run 5, on frame one .5 + 1.4, slack .4; the fuse passes 8 A
		{Cut: 9.8, Colour: "RD", FromEnd: cutting.Lug, ToEnd: cutting.Lug, Amps: 2, State: "s", Guard: 8, Why: cutting.ByFuse, Stock: cutting.Stock{Area: 1.5}},
		// .5 + 1.4, run .5, .4 + 1.1, slack .4
		{Cut: 4.3, Colour: "RD", FromEnd: cutting.Lug, ToEnd: cutting.Solder, Amps: 2, State: "s", Guard: 8, Why: cutting.ByFuse, Stock: cutting.Stock{Area: 1.5}},
	}
	if len(list.Wires) != len(want) {
		t.Fatalf("%d wires: %+v", len(list.Wires), list.Wires)
	}
	for i, w := range want {
		got := list.Wires[i]
		if got.Cut != w.Cut || got.Colour != w.Colour || got.FromEnd != w.FromEnd || got.ToEnd != w.ToEnd || got.Amps != w.Amps || got.State != w.State ||
			got.Guard != w.Guard || got.Why != w.Why || got.Unguarded != w.Unguarded || got.Stock.Area != w.Stock.Area {
			t.Errorf("%s is %+v, want %+v", got.Name, got, w)
		}
	}
	if len(list.Left) != 1 || list.Left[0].Name != "W4" || list.Labels != 6 {
		t.Errorf("left out are %v; %d labels", list.Left, list.Labels)
	}
	if len(list.Orders) != 2 || list.Orders[1].Length != 14.1 || list.Orders[1].Buy != 20 || list.Orders[0].Buy != 15 || list.Orders[1].Count != 2 {
		t.Errorf("to buy are %+v", list.Orders)
	}
	if len(list.Fits) != 4 || list.Fits[0].End != cutting.Solder || list.Fits[2].Count != 3 {
		t.Errorf("ends to buy are %+v", list.Fits)
	}
}

// A group that loses too much is made thicker, all of it; what it loses then is
// within what it may, and with the next thinner wire it was not.
func TestDrop(t *testing.T) {
	list, flaws := cut(t, func(_ *circuit.Wiring, p *cutting.Plan, amps []cutting.Amps) { p.Groups[0].Drop = 0.01 })
	if len(flaws) > 0 {
		t.Fatal(flaws)
	}
	g := list.Groups[0]
	// 14.1 m, 2 A, 0.48 V: 1.13 x 28.2 / (58 x 0.48) = 1.1446 mm², less than the 1.5 mm² of the fuse
	if math.Abs(g.Needs-1.1446) > 5e-4 || list.Wires[1].Why != cutting.ByFuse {
		t.Errorf("%+v, %+v", g, list.Wires[1])
	}
	list, flaws = cut(t, func(_ *circuit.Wiring, p *cutting.Plan, amps []cutting.Amps) { p.Groups[0].Drop = 0.005 })
	if g = list.Groups[0]; len(flaws) > 0 || list.Wires[1].Why != cutting.ByDrop || list.Wires[1].Stock.Area != 2.5 || !(g.Lost <= g.Allowed && g.Lost*2.5/1.5 > g.Allowed) {
		t.Errorf("%v %+v, %+v", flaws, g, list.Wires[1])
	}
}

// No thinner wire of the stock would have done, and each will do: on boards of
// any lengths, currents and allowances.
func TestThinnestThatWillDo(t *testing.T) {
	r := sweeptest.Random(t)
	tried := 0
	for range 300 {
		w, p, amps := board()
		p.Groups[0].Drop, p.Temperature = 0.002+0.05*r.Float64(), 80*r.Float64()
		p.Runs[0].Length = 20 * r.Float64()
		for i := range amps {
			amps[i].Most = 0.01 + 7*r.Float64()
		}
		list, flaws := cutting.Cut(w, p, amps)
		if len(flaws) > 0 {
			continue
		}
		tried++
		lost := 0.0
		least := math.Inf(1)
		for _, one := range list.Wires {
			if one.Group == "plus" {
				ohm, err := wiring.Resistance(one.Stock.Area, p.Temperature, wiring.Alpha00393)
				if err != nil {
					t.Fatal(err)
				}
				lost += 1.13 * ohm * one.Cut * one.Amps
				least = min(least, one.Stock.Area)
				if one.Stock.Carries < max(one.Amps, 8) || one.Stock.Area < p.Least {
					t.Errorf("%+v carries too little", one)
				}
			}
		}
		allowed := p.Groups[0].Drop * 48
		if lost > allowed*(1+1e-9) {
			t.Errorf("the group loses %v V of %v", lost, allowed)
		}
		for i, s := range p.Stock {
			if i > 0 && s.Area == least && p.Stock[i-1].Carries >= 8 && p.Stock[i-1].Area >= p.Least && lost*least/p.Stock[i-1].Area <= allowed {
				t.Errorf("%v mm² would have done in place of %v", p.Stock[i-1].Area, least)
			}
		}
	}
	if tried < 100 {
		t.Errorf("only %d boards could be wired", tried)
	}
}

// What is wrong is said once, with its place and the next step.
func TestFlaws(t *testing.T) {
	type plan = cutting.Plan
	for want, change := range map[string]func(*circuit.Wiring, *cutting.Plan, []cutting.Amps){
		"1 12 there is a place for X, but no such part": func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) {
			p.Places = append(p.Places, cutting.Place{Part: "X", Frame: "one", Line: 12})
		},
		"3 9 the part L has no place in places.csv": func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) {
			p.Places = append(p.Places[:4:4], p.Places[5:]...)
		},
		"1 12 F stands at two places, first on line 5": func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) {
			p.Places = append(p.Places, cutting.Place{Part: "F", Frame: "two", Line: 12})
		},
		"1 5 the place of F has no frame": func(w *circuit.Wiring, p *plan, _ []cutting.Amps) {
			p.Places[2].Frame = ""
		},
		`0 10 the group plus has the colour "ROUGE"`: func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) { p.Groups[0].Colour = "ROUGE" },
		"0 10 the group plus is green-and-yellow, which marks protective conductors and nothing else": func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) {
			p.Groups[0].Colour = "GNYE"
		},
		"0 7 the run from cellar to one is -5 m long": func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) { p.Runs[0].Length = -5 },
		`0 7 a run leads to "attic", but nothing says where wires leave it`: func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) {
			p.Runs[0].Between[0] = "attic"
		},
		"2 4 no run leads from one to two, where W2 goes":                          func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) { p.Runs = p.Runs[:1] },
		"0 1 slack is -0.1 m":                                                      func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) { p.Slack = -0.1 },
		"0 10 the group plus has no fuse":                                          func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) { p.Groups[0].Fuses = nil },
		`0 10 the group plus names the fuse "L", which is none`:                    func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) { p.Groups[0].Fuses = []string{"L"} },
		"0 20 the wire W2 stands in the groups plus and minus":                     func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) { p.Groups[1].Wires = []string{"W2-W4"} },
		"2 6 the wire W4 is in no group, so that it has no colour and no fuse":     func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) { p.Groups[1].Wires = []string{"W3"} },
		"0 1 nothing says how the end of W2 at L.X1 is finished":                   func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) { delete(p.Ends, "lamp") },
		`0 1 the ends at "lump" are said, but there is no such thing`:              func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) { p.Ends["lump"] = cutting.Lug },
		`0 1 an end at lamp is finished as "glue"`:                                 func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) { p.Ends["lamp"] = "glue" },
		"0 20 in no state of the plan does a current flow in W3, from L.X2 to B.-": func(_ *circuit.Wiring, _ *plan, amps []cutting.Amps) { amps[2] = cutting.Amps{} },
		"0 10 no wire in stock carries the 30 A that W1 of the group plus has to":  func(_ *circuit.Wiring, _ *plan, amps []cutting.Amps) { amps[0].Most = 30 },
		"0 10 no wire in stock keeps the group plus within 0.0048 V: it takes 114 mm², most of all for W1, which is 9.8 m long and carries 2 A": func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) {
			p.Groups[0].Drop = 1e-4
		},
		`0 30 the state s presses "L", which is no key`: func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) {
			p.States = []cutting.State{{Name: "s", Press: []string{"L"}, Line: 30}}
		},
		`0 30 the state s has the fault "F9 blown", which is none`: func(_ *circuit.Wiring, p *plan, _ []cutting.Amps) {
			p.States = []cutting.State{{Name: "s", Fail: []string{"F9 blown"}, Line: 30}}
		},
	} {
		list, flaws := cut(t, change)
		var got []string
		for _, f := range flaws {
			if f.Next == "" {
				t.Errorf("%q has no next step", f.Reason)
			}
			got = append(got, fmt.Sprintf("%d %d %s", f.In, f.Line, f.Reason))
		}
		if len(list.Wires) > 0 || !strings.Contains(strings.Join(got, "\n"), want) || len(got) > 2 {
			t.Errorf("want %q, got %q", want, got)
		}
	}
}
