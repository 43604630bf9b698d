package cutting

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/circuit"
)

// checker holds a plan against the wiring that it is for.
type checker struct {
	wiring circuit.Wiring
	plan   Plan
	flaws  []Flaw
	group  map[string]int // of each wire
	place  map[string]Place
	exit   map[string]Place
	far    map[string]map[string]float64 // over runs, of each frame that was asked for
}

func (c *checker) add(in In, line int, next, format string, args ...any) {
	c.flaws = append(c.flaws, Flaw{In: in, Line: line, Reason: fmt.Sprintf(format, args...), Next: next})
}

// breaking gives the flaws with which there is no list.
func (c *checker) breaking() []Flaw {
	return slices.DeleteFunc(slices.Clone(c.flaws), func(f Flaw) bool { return f.Works })
}

// Check gives what is wrong with a plan for a wiring in which nothing is wrong.
func Check(w circuit.Wiring, p Plan) []Flaw {
	c := checked(w, p)
	return c.flaws
}

func checked(w circuit.Wiring, p Plan) *checker {
	c := &checker{wiring: w, plan: p, group: map[string]int{}, place: map[string]Place{}, exit: map[string]Place{}, far: map[string]map[string]float64{}}
	c.numbers()
	c.stock()
	c.places()
	c.groups()
	c.ends()
	c.states()
	if len(c.breaking()) == 0 {
		c.reach()
	}
	return c
}

func (c *checker) numbers() {
	p := c.plan
	for _, n := range []struct {
		key         string
		x           float64
		least, most float64
		unit        string
		open        bool // least itself is not allowed
	}{
		{"slack", p.Slack, 0, 10, "m", false}, {"step", p.Step, 0, 10, "m", true},
		{"waste", p.Waste, 0, 1, "of what is needed", false}, {"order-step", p.Lot, 0, 1000, "m", true},
		{"temperature", p.Temperature, -40, 150, "C", false}, {"smallest", p.Least, 0, 300, "mm2", true},
	} {
		if !(n.x >= n.least && n.x <= n.most) || n.open && n.x == n.least {
			c.add(InPlan, 1, fmt.Sprintf("give a value from %g to %g %s", n.least, n.most, n.unit), "%s is %g %s", n.key, n.x, n.unit)
		}
	}
}

func (c *checker) stock() {
	if len(c.plan.Stock) == 0 {
		c.add(InPlan, 1, `write above the first heading: stock = [{ size = "1.5 mm2", carries = { value = 9, unit = "A", from = "assumed" } }]`, "the plan names no wire that the house buys")
	}
	for i, s := range c.plan.Stock {
		if !(s.Carries > 0) {
			c.add(InPlan, s.Line, "give what a licensed person lets it carry, in A", "wire of %s carries %g A", s.Name(), s.Carries)
		}
		if i > 0 && !(s.Area > c.plan.Stock[i-1].Area && s.Carries >= c.plan.Stock[i-1].Carries) {
			c.add(InPlan, s.Line, "list the thinnest first; what is thicker carries no less", "wire of %s stands behind that of %s", s.Name(), c.plan.Stock[i-1].Name())
		}
	}
}

func (c *checker) places() {
	const sample = "part,frame,across,up\nF1,frame 1,450,1500"
	for _, p := range c.plan.Places {
		if p.Frame == "" {
			c.add(InPlaces, p.Line, "write the frame as runs in cutting.toml call it, or outside", "the place of %s has no frame", orExit(p.Part))
			continue
		}
		if p.Part == "" {
			if had, ok := c.exit[p.Frame]; ok {
				c.add(InPlaces, p.Line, "give each frame one line without a part", "wires leave %s at two places, first on line %d", p.Frame, had.Line)
			}
			c.exit[p.Frame] = p
			continue
		}
		if _, ok := c.wiring.Part(p.Part); !ok {
			c.add(InPlaces, p.Line, "write the part as parts.toml has it, or take the line out", "there is a place for %s, but no such part", p.Part)
		}
		if had, ok := c.place[p.Part]; ok {
			c.add(InPlaces, p.Line, "leave the line that is right", "%s stands at two places, first on line %d", p.Part, had.Line)
		}
		c.place[p.Part] = p
	}
	for _, p := range c.wiring.Parts {
		if _, ok := c.place[p.Name]; !ok {
			c.add(InParts, p.Line, "measure where it stands, and add a line to places.csv:\n"+sample, "the part %s has no place in places.csv", p.Name)
		}
	}
	for _, r := range c.plan.Runs {
		for _, frame := range r.Between {
			if _, ok := c.exit[frame]; !ok {
				c.add(InPlan, r.Line, fmt.Sprintf("add to places.csv a line without a part: ,%s,across,up", frame), "a run leads to %q, but nothing says where wires leave it", frame)
			}
		}
		if !(r.Length >= 0 && r.Length <= 1000) {
			c.add(InPlan, r.Line, "measure it along the way that the wires take, in m", "the run from %s to %s is %g m long", r.Between[0], r.Between[1], r.Length)
		}
	}
}

func orExit(part string) string {
	if part == "" {
		return "no part"
	}
	return part
}

// groups finds the group of each wire.
func (c *checker) groups() {
	number := map[string]int{}
	for i, w := range c.wiring.Wires {
		number[w.Name] = i
	}
	for i, g := range c.plan.Groups {
		if !slices.Contains(Colours(), g.Colour) {
			c.add(InPlan, g.Line, "write one of IEC 60757: "+strings.Join(Colours()[:len(Colours())-1], ", "), "the group %s has the colour %q", g.Name, g.Colour)
		}
		if g.Colour == protective {
			c.add(InPlan, g.Line, "take another colour", "the group %s is green-and-yellow, which marks protective conductors and nothing else", g.Name)
		}
		if !(g.Current >= 0 && g.Current < 1e5) {
			c.add(InPlan, g.Line, "give a current in A, 0 or more", "the group %s carries %g A", g.Name, g.Current)
		}
		if !(g.Voltage > 0 && g.Voltage < 1e5) || !(g.Drop > 0 && g.Drop <= 1) {
			c.add(InPlan, g.Line, "give voltage in V, and drop as the share of it that may be lost, such as 3 %", "the group %s may lose %g of %g V", g.Name, g.Drop, g.Voltage)
		}
		for _, f := range g.Fuses {
			if p, ok := c.wiring.Part(f); !ok || p.Kind != "fuse" {
				c.add(InPlan, g.Line, "name fuses of parts.toml", "the group %s names the fuse %q, which is none", g.Name, f)
			}
		}
		if len(g.Fuses) == 0 && !g.Before {
			c.add(InPlan, g.Line, "name its fuses, or write unguarded = true, which the sheet then says", "the group %s has no fuse", g.Name)
		}
		for _, word := range g.Wires {
			for _, name := range c.between(word, number) {
				if _, ok := number[name]; !ok {
					c.add(InPlan, g.Line, "write wires as wires.csv has them, such as W4 or W4-W12", "the group %s names the wire %q, which is none", g.Name, name)
					c.flaws[len(c.flaws)-1].Works = true
					continue
				}
				if had, ok := c.group[name]; ok {
					c.add(InPlan, g.Line, "leave it in the group that it belongs to", "the wire %s stands in the groups %s and %s", name, c.plan.Groups[had].Name, g.Name)
					continue
				}
				c.group[name] = i
			}
		}
	}
	for _, w := range c.wiring.Wires {
		if _, ok := c.group[w.Name]; !ok {
			c.add(InWires, w.Line, "add it to the wires of a group in cutting.toml", "the wire %s is in no group, so that it has no colour and no fuse", w.Name)
		}
	}
}

// between gives the wires that a word stands for.
func (c *checker) between(word string, number map[string]int) []string {
	if _, ok := number[word]; ok {
		return []string{word}
	}
	first, last, ok := strings.Cut(word, "-")
	head := strings.TrimRight(first, "0123456789")
	from, err := strconv.Atoi(first[len(head):])
	to, failed := strconv.Atoi(strings.TrimPrefix(last, head))
	if !ok || err != nil || failed != nil || !strings.HasPrefix(last, head) || to < from || to-from > len(c.wiring.Wires) {
		return []string{word}
	}
	var names []string
	for n := from; n <= to; n++ {
		names = append(names, head+strconv.Itoa(n))
	}
	return names
}

func (c *checker) ends() {
	kinds, _ := circuit.Kinds()
	for _, what := range slices.Sorted(maps.Keys(c.plan.Ends)) {
		e := c.plan.Ends[what]
		part, _, dotted := strings.Cut(what, ".")
		_, known := c.wiring.Part(part)
		if !known && (dotted || !slices.Contains(kinds, what)) {
			c.add(InPlan, 1, "name a terminal, a part or a kind of part", "the ends at %q are said, but there is no such thing", what)
		}
		if !slices.Contains(Ends(), e) {
			c.add(InPlan, 1, fmt.Sprintf("write one of: %s, %s, %s, %s", Solder, Lug, Ferrule, Eye), "an end at %s is finished as %q", what, e)
		}
	}
}

func (c *checker) states() {
	faults := map[string]bool{}
	for _, f := range c.wiring.Faults() {
		faults[f.Name()] = true
	}
	for _, s := range c.plan.States {
		for _, f := range s.Fail {
			if !faults[f] {
				c.add(InPlan, s.Line, `faults are called, for example, "W17 open", "F1 blown" or "K1 stuck released"`, "the state %s has the fault %q, which is none", s.Name, f)
				c.flaws[len(c.flaws)-1].Works = strings.HasSuffix(f, " open") // as it is without the wire
			}
		}
		for _, k := range s.Press {
			if p, ok := c.wiring.Part(k); !ok || p.Kind != "key" {
				c.add(InPlan, s.Line, "name keys of parts.toml", "the state %s presses %q, which is no key", s.Name, k)
			}
		}
	}
}
