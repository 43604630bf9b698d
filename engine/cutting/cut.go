package cutting

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"slipring/engine/circuit"
	"slipring/engine/wiring"
)

// Name is how thick the wire is, as it is sold: "1.5 mm²" or "AWG 16".
func (s Stock) Name() string {
	if s.Gauge != "" {
		return "AWG " + s.Gauge
	}
	return fmt.Sprintf("%g mm²", s.Area)
}

// Wire is one wire to cut.
type Wire struct {
	circuit.Wire
	Group string
	Cut   float64 // m, with slack, rounded up
	Stock Stock

	Beside         string // the gauge of no less copper; "" for wire that is sold by gauge
	Colour         string
	FromEnd, ToEnd End
	Amps           float64 // A, the most that flows for good
	Told           bool    // the plan says so, and not the circuit model
	State          string  // of the plan, in which the model has that current; "" for none
	Guard          float64 // A, that its fuses pass for good together
	Lost           float64 // V, that it loses
	Why            Why
	Unguarded      bool // no fuse stands before it
}

// Why is what decides how thick a wire is.
type Why string

// Reasons.
const (
	ByFuse     Why = "fuse"     // what its fuses pass for good
	ByCurrent  Why = "current"  // what it carries, where nothing guards it
	ByDrop     Why = "drop"     // what its group may lose
	ByStrength Why = "strength" // the thinnest that the house hangs
)

// GroupSum is what a group of wires comes to.
type GroupSum struct {
	Group
	Count   int
	Length  float64 // m, as cut
	Lost    float64 // V, of all its wires in a row
	Allowed float64 // V
	Needs   float64 // mm², with which all of them in a row would lose just that
}

// List is what there is to cut.
type List struct {
	Wires   []Wire // in the order of their spools, then of the wiring
	Groups  []GroupSum
	Left    []circuit.Wire // that lead outside
	Orders  []Order
	Fits    []Fitting
	Crowded []Crowd
	Labels  int
}

// Poorest is by how much a cable may have more resistance than copper of its
// nominal cross-section: the greatest that IEC 60228 allows lies up to an eighth
// above it, between 0.5 and 300 mm².
const Poorest = 1.13

// Leg is a wire with a current in it.
type Leg struct {
	Length float64 // m
	Amps   float64 // A
}

// Needs gives the cross-section in mm² with which legs in a row lose so many
// volts in all, at a temperature in C.
func Needs(legs []Leg, volts, celsius float64) (float64, error) {
	moment := 0.0
	for _, l := range legs {
		moment += l.Length * l.Amps
	}
	r, err := wiring.Resistance(1, celsius, wiring.Alpha00393)
	return Poorest * r * moment / volts, err
}

// lost gives the V that a leg loses.
func lost(l Leg, area, celsius float64) (float64, error) {
	r, err := wiring.Resistance(area, celsius, wiring.Alpha00393)
	return Poorest * r * l.Length * l.Amps, err
}

// Amps is the current that the circuit model has in a wire, and in which state
// of the plan.
type Amps struct {
	Most  float64 // A
	State string
}

// Cut makes the list. Amps are those of each wire of the wiring, in its order.
// With flaws, there is no list.
func Cut(w circuit.Wiring, p Plan, amps []Amps) (List, []Flaw) {
	c := checked(w, p)
	if flaws := c.breaking(); len(flaws) > 0 {
		return List{}, flaws
	}
	var list List
	of := make([][]Wire, len(p.Groups))
	for i, one := range w.Wires {
		if c.outside(one) {
			list.Left = append(list.Left, one)
			continue
		}
		g := p.Groups[c.group[one.Name]]
		of[c.group[one.Name]] = append(of[c.group[one.Name]], c.wire(one, g, amps[i]))
	}
	for i, g := range p.Groups {
		list.Groups = append(list.Groups, c.thicken(g, of[i]))
		list.Wires = append(list.Wires, of[i]...)
	}
	if flaws := c.breaking(); len(flaws) > 0 {
		return List{}, flaws
	}
	place := map[string]int{}
	for i, one := range w.Wires {
		place[one.Name] = i
	}
	slices.SortStableFunc(list.Wires, func(a, b Wire) int {
		return cmp.Or(cmp.Compare(a.Stock.Area, b.Stock.Area), cmp.Compare(a.Colour, b.Colour), cmp.Compare(place[a.Name], place[b.Name]))
	})
	list.Labels = 2 * len(list.Wires)
	list.total(p)
	return list, nil
}

// upTo rounds a length in m up to the next step. What the steps of a computer's
// fractions leave behind is a tenth of a micrometre at most, and is taken away.
func upTo(step, length float64) float64 {
	return exact(math.Ceil(length/step-1e-9) * step)
}

// exact takes away what sums of decimals leave behind.
func exact(x float64) float64 { return math.Round(x*1e7) / 1e7 }

// wire measures one wire, and makes it as thick as heat and strength ask for.
func (c *checker) wire(one circuit.Wire, g Group, model Amps) Wire {
	p := c.plan
	cut := upTo(p.Step, c.way(c.place[partOf(one.From)], c.place[partOf(one.To)])+2*p.Slack)
	w := Wire{Wire: one, Group: g.Name, Cut: cut, Colour: g.Colour, FromEnd: c.end(one.From), ToEnd: c.end(one.To),
		Amps: model.Most, State: model.State, Unguarded: g.Before}
	if g.Current > w.Amps {
		w.Amps, w.Told, w.State = g.Current, true, ""
	}
	if w.Amps == 0 {
		c.add(InPlan, g.Line, fmt.Sprintf("say under [%s] what flows there: current = { value = ..., unit = \"A\", from = \"assumed\" }, or add a state in which it flows", g.Name),
			"in no state of the plan does a current flow in %s, from %s to %s", one.Name, one.From, one.To)
		return w
	}
	heat := w.Amps
	why := ByCurrent
	for _, f := range g.Fuses {
		part, _ := c.wiring.Part(f)
		w.Guard += part.Values["melting-current"].SI
	}
	if w.Guard > heat {
		heat, why = w.Guard, ByFuse
	}
	if !c.choose(&w, func(s Stock) bool { return s.Carries >= heat }, why) {
		c.add(InPlan, g.Line, "add thicker wire to stock, put in a smaller fuse, or part the load", "no wire in stock carries the %.4g A that %s of the group %s has to", heat, one.Name, g.Name)
		return w
	}
	if w.Stock.Area < p.Least && !c.choose(&w, func(s Stock) bool { return s.Area >= p.Least }, ByStrength) {
		c.add(InPlan, 1, "add such wire to stock, or make smallest smaller", "no wire in stock has the %g mm² that smallest asks for", p.Least)
	} else if w.Stock.Area == c.thinnest(p.Least) {
		w.Why = ByStrength // the thinnest that is hung would have done
	}
	return w
}

// thinnest is the area in mm² of the thinnest wire in stock that is hung.
func (c *checker) thinnest(least float64) float64 {
	for _, s := range c.plan.Stock {
		if s.Area >= least {
			return s.Area
		}
	}
	return 0
}

// choose takes the thinnest wire in stock that will do.
func (c *checker) choose(w *Wire, will func(Stock) bool, why Why) bool {
	i := slices.IndexFunc(c.plan.Stock, will)
	if i < 0 {
		return false
	}
	w.Stock, w.Why = c.plan.Stock[i], why
	w.Beside = ""
	if w.Stock.Gauge == "" {
		w.Beside = Beside(w.Stock.Area)
	}
	return true
}

// thicken makes the wires of a group so thick that all of them in a row lose no
// more than the group may. That counts too much where they stand side by side,
// never too little.
func (c *checker) thicken(g Group, wires []Wire) GroupSum {
	sum := GroupSum{Group: g, Count: len(wires), Allowed: g.Drop * g.Voltage}
	var legs []Leg
	for _, w := range wires {
		legs = append(legs, Leg{w.Cut, w.Amps})
		sum.Length = exact(sum.Length + w.Cut)
	}
	loses := func() (all float64) {
		for i := range wires {
			wires[i].Lost, _ = lost(legs[i], max(wires[i].Stock.Area, 1e-3), c.plan.Temperature) // the temperature was checked
			all += wires[i].Lost
		}
		return all
	}
	sum.Needs, _ = Needs(legs, sum.Allowed, c.plan.Temperature)
	if sum.Lost = loses(); sum.Lost <= sum.Allowed || len(c.breaking()) > 0 {
		return sum
	}
	for i := range wires {
		if wires[i].Stock.Area >= sum.Needs {
			continue
		}
		if !c.choose(&wires[i], func(s Stock) bool { return s.Area >= sum.Needs }, ByDrop) {
			worst := slices.MaxFunc(wires, func(a, b Wire) int { return cmp.Compare(a.Lost, b.Lost) })
			c.add(InPlan, g.Line, "add thicker wire to stock, shorten the runs, or allow a larger drop",
				"no wire in stock keeps the group %s within %.3g V: it takes %.3g mm², most of all for %s, which is %.4g m long and carries %.3g A", g.Name, sum.Allowed, sum.Needs, worst.Name, worst.Cut, worst.Amps)
			return sum
		}
	}
	sum.Lost = loses()
	return sum
}
