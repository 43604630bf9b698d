package bench

import (
	"cmp"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"slipring/engine/circuit"
	"slipring/engine/cutting"
	"slipring/engine/tell"
)

// Plan puts on the shelf what the house says of the wire that it hangs, for
// Cutting to give the list of it.
func (s *Shelf) Plan(p cutting.Plan) { s.plan = &p }

// Cutting is the list of wire to cut for the house's wiring.
type Cutting struct{ list cutting.List }

// Cutting gives the list of wire to cut: that of wiring/wires.csv, with what
// wiring/cutting.toml and wiring/places.csv say.
//
//	bench.Cutting().Wire("W12").Area()
func (s *Shelf) Cutting() Cutting {
	if s.wiring == nil || s.plan == nil {
		panic(tell.Misuse{Text: "the house has no list of wire to cut", Hint: "describe it in wiring/cutting.toml and wiring/places.csv"})
	}
	list, flaws := cutting.Cut(*s.wiring, *s.plan, s.carried())
	if len(flaws) > 0 {
		panic(tell.Misuse{Text: flaws[0].Reason, Hint: flaws[0].Next})
	}
	return Cutting{list}
}

// ToCut is Cutting for the pages.
func (s *Shelf) ToCut() (list cutting.List, flaws []cutting.Flaw, err error) {
	defer func() {
		switch p := recover().(type) {
		case nil:
		case tell.Misuse:
			err = p
		default:
			panic(p)
		}
	}()
	list, flaws = cutting.Cut(*s.wiring, *s.plan, s.carried())
	return list, flaws, nil
}

// CutWire is one wire to cut.
type CutWire struct{ of cutting.Wire }

// Wire gives one wire to cut, by its number in wires.csv.
func (c Cutting) Wire(number string) CutWire {
	for _, w := range c.list.Wires {
		if w.Name == number {
			return CutWire{w}
		}
	}
	panic(tell.Misuse{Text: fmt.Sprintf("no wire to cut is called %q", number), Hint: "name a wire of wires.csv that stays inside the house"})
}

// Length gives how long it is cut, in m: with slack, rounded up.
func (w CutWire) Length() float64 { return w.of.Cut }

// Area gives the cross-section of its copper in mm².
func (w CutWire) Area() float64 { return w.of.Stock.Area }

// Gauge gives the number of the American wire gauge that has no less copper.
func (w CutWire) Gauge() string { return cmp.Or(w.of.Stock.Gauge, w.of.Beside) }

// Colour gives the letters of its colour, of IEC 60757.
func (w CutWire) Colour() string { return w.of.Colour }

// Amps gives the current in A that it has to carry: the most of all states of the
// plan, or what the plan says.
func (w CutWire) Amps() float64 { return w.of.Amps }

// Guard gives the current in A that the fuses which guard it pass for good
// together, 0 without any.
func (w CutWire) Guard() float64 { return w.of.Guard }

// Lost gives the voltage in V that it loses.
func (w CutWire) Lost() float64 { return w.of.Lost }

// Why says what decided how thick it is: fuse, current, drop or strength.
func (w CutWire) Why() string { return string(w.of.Why) }

// CutGroup is a group of wires to cut.
type CutGroup struct{ of cutting.GroupSum }

// Group gives a group of wires, by its name in cutting.toml.
func (c Cutting) Group(name string) CutGroup {
	var known []string
	for _, g := range c.list.Groups {
		if g.Name == name {
			return CutGroup{g}
		}
		known = append(known, g.Name)
	}
	panic(tell.Misuse{Text: fmt.Sprintf("no group of wires is called %q", name), Hint: "groups: " + strings.Join(known, ", ")})
}

// Count says how many wires it has.
func (g CutGroup) Count() int { return g.of.Count }

// Length gives how long all of them are, in m.
func (g CutGroup) Length() float64 { return g.of.Length }

// Lost gives the voltage in V that all of them in a row lose.
func (g CutGroup) Lost() float64 { return g.of.Lost }

// Allowed gives the voltage in V that they may lose.
func (g CutGroup) Allowed() float64 { return g.of.Allowed }

// Needs gives the cross-section in mm² with which they would lose just that.
func (g CutGroup) Needs() float64 { return g.of.Needs }

// CutOrder is wire of one thickness and colour to buy.
type CutOrder struct{ of cutting.Order }

// Orders gives what wire there is to buy, the thinnest first.
func (c Cutting) Orders() (out []CutOrder) {
	for _, o := range c.list.Orders {
		out = append(out, CutOrder{o})
	}
	return out
}

// Area gives the cross-section of its copper in mm².
func (o CutOrder) Area() float64 { return o.of.Area }

// Gauge gives the number of the American wire gauge that has no less copper.
func (o CutOrder) Gauge() string { return cmp.Or(o.of.Gauge, o.of.Beside) }

// Colour gives the letters of its colour, of IEC 60757.
func (o CutOrder) Colour() string { return o.of.Colour }

// Count says how many wires are cut from it.
func (o CutOrder) Count() int { return o.of.Count }

// Length gives how long they are, in m.
func (o CutOrder) Length() float64 { return o.of.Length }

// Buy gives what there is to buy, in m: with waste, rounded up.
func (o CutOrder) Buy() float64 { return o.of.Buy }

// Count says how many wires there are to cut.
func (c Cutting) Count() int { return len(c.list.Wires) }

// Left says how many wires of the list lead out of the house, and are not cut.
func (c Cutting) Left() int { return len(c.list.Left) }

// Crowded gives the terminals with more than two wires, the fullest first.
func (c Cutting) Crowded() (terminals []string) {
	for _, one := range c.list.Crowded {
		terminals = append(terminals, one.Terminal)
	}
	return terminals
}

// Times at which currents of a state are noted, in s: while a key is pressed, and
// before the next one is, when every relay has moved; behind the first key, when
// the set has come up as well.
const (
	whilePressed = 0.4
	cameUp       = 8
	moved        = 2
)

// carried gives the most that flows in each wire for good, over all states of the
// plan. It is kept, also for later shelves.
func (s *Shelf) carried() []cutting.Amps {
	house := s.Wiring()
	content, err := json.Marshal(s.plan.States)
	if err != nil {
		panic(misuse(err))
	}
	key := house.keyOfAll() + fmt.Sprintf(" | carried in states %x", sha256.Sum256(content))
	var out []cutting.Amps
	if json.Unmarshal(s.recalled[key], &out) == nil && len(out) == len(s.wiring.Wires) {
		return out
	}
	out = make([]cutting.Amps, len(s.wiring.Wires))
	for _, state := range s.plan.States {
		house.noted(state, func(amps []float64) {
			for i, x := range amps {
				if x > out[i].Most*(1+1e-9) {
					out[i] = cutting.Amps{Most: x, State: state.Name}
				}
			}
		})
	}
	for i := range out {
		if out[i].Most < negligible {
			out[i] = cutting.Amps{}
		}
	}
	if s.fresh != nil {
		if s.fresh[key], err = json.Marshal(out); err != nil {
			panic(misuse(err))
		}
	}
	return out
}

// negligible is a current in A that is that of a tester or of rounding, and no
// more.
const negligible = 1e-6

// noted goes through a state, and notes the currents of all wires.
func (w *Wiring) noted(state cutting.State, note func(amps []float64)) {
	if state.Full {
		_, sets := w.sets()
		for _, set := range sets {
			if set.card.Has("full-load") {
				w = w.Under(set.FullLoad())
			}
		}
	}
	for _, f := range state.Fail {
		if wire, open := strings.CutSuffix(f, " open"); open && !slices.ContainsFunc(w.laid().Wires, func(one circuit.Wire) bool { return one.Name == wire }) {
			continue // it was taken out of the wiring
		}
		w = w.Fail(f)
	}
	note(w.boardNow().WireAmps())
	for i, key := range state.Press {
		w = w.Press(key)
		note(w.At(w.now + whilePressed).boardNow().WireAmps())
		w = w.At(cameUp + moved*float64(i))
		note(w.boardNow().WireAmps())
	}
}
