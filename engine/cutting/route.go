package cutting

import (
	"math"
	"strings"

	"slipring/engine/circuit"
)

// partOf is the part of a terminal.
func partOf(terminal string) string {
	part, _, _ := strings.Cut(terminal, ".")
	return part
}

// outside says whether a wire leaves the house.
func (c *checker) outside(w circuit.Wire) bool {
	return c.place[partOf(w.From)].Frame == Outside || c.place[partOf(w.To)].Frame == Outside
}

// reach sees to it that a way leads along each wire, and that its ends have a
// finish.
func (c *checker) reach() {
	for _, w := range c.wiring.Wires {
		if c.outside(w) {
			continue
		}
		if a, b := c.place[partOf(w.From)], c.place[partOf(w.To)]; math.IsInf(c.way(a, b), 1) {
			c.add(InWires, w.Line, "add to runs in cutting.toml how wires get there, with its length", "no run leads from %s to %s, where %s goes", a.Frame, b.Frame, w.Name)
		}
		for _, t := range []string{w.From, w.To} {
			if c.end(t) == "" {
				p, _ := c.wiring.Part(partOf(t))
				c.add(InPlan, 1, "add below [ends]: "+p.Kind+` = "solder", or what it is`, "nothing says how the end of %s at %s is finished", w.Name, t)
			}
		}
	}
}

// end gives how an end at a terminal is finished: as it is said of the terminal,
// else of its part, else of all parts of its kind.
func (c *checker) end(terminal string) End {
	p, _ := c.wiring.Part(partOf(terminal))
	for _, what := range []string{terminal, p.Name, p.Kind} {
		if e, ok := c.plan.Ends[what]; ok {
			return e
		}
	}
	return ""
}

// way gives how long a wire's way from one place to another is, in m: along the
// rows and up the sides of frames, never across them. It is infinite where no
// run leads.
func (c *checker) way(a, b Place) float64 {
	if a.Frame == b.Frame {
		return apart(a, b)
	}
	far := c.runsFrom(a.Frame)
	between, ok := far[b.Frame]
	if !ok {
		return math.Inf(1)
	}
	return apart(a, c.exit[a.Frame]) + between + apart(c.exit[b.Frame], b)
}

func apart(a, b Place) float64 { return math.Abs(a.Across-b.Across) + math.Abs(a.Up-b.Up) }

// runsFrom gives the shortest way over runs from a frame to each other.
func (c *checker) runsFrom(frame string) map[string]float64 {
	if had, ok := c.far[frame]; ok {
		return had
	}
	far := map[string]float64{frame: 0}
	c.far[frame] = far
	for again := true; again; { // until no run makes a way shorter
		again = false
		for _, r := range c.plan.Runs {
			for i, from := range r.Between {
				to := r.Between[1-i]
				if d, ok := far[from]; ok {
					if had, ok := far[to]; !ok || d+r.Length < had {
						far[to], again = d+r.Length, true
					}
				}
			}
		}
	}
	return far
}
