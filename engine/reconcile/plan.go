package reconcile

import (
	"math"
	"slices"
	"strings"

	"slipring/engine/circuit"
)

// Test is a reading worth taking.
type Test struct {
	From, To string
	Hold     circuit.Hold
	Gain     float64 // wires expected to become certain, and a part of the information
	Cost     float64 // against a test within one frame with nothing held
	Closed   float64 // the chance that it shows closed
	IfClosed string  // what that would settle, in words
	IfOpen   string
	Closes   Settled // the same, wire by wire
	Opens    Settled
	Search   bool // for a wire where no drawing has it
}

// Settled is the wires that an answer would make certain.
type Settled struct{ Found, NotThere []Drawn }

// With gives what to hold or take out in words, as continuity.csv has it.
func (t Test) With() string {
	var list []string
	for _, name := range t.Hold.Moved {
		list = append(list, name+" held")
	}
	for _, name := range t.Hold.Out {
		list = append(list, name+" out")
	}
	return strings.Join(list, " + ")
}

// How tests are chosen: information counts besides wires that become certain, and
// below a gain none is worth the way.
const (
	informationCounts = 0.6
	leastGain         = 0.1
	bearing           = 0.02 // a wire's chance differs by as much between both answers
	weighedRows       = 256  // assignments by which one test is judged
	mostRepeats       = 3    // a tester that is wrong again and again has a dirty terminal
)

// Next gives the tests to take to the board next, at most so many, the best
// first; none when no test has gain. Wires where no drawing has them are looked
// for once nothing can be said of the drawn ones any more.
func (b *Board) Next(most int) []Test {
	for _, search := range []bool{false, true} {
		p := b.planner(search)
		if list := p.batch(p.candidates(), most); len(list) > 0 {
			return list
		}
	}
	return nil
}

// planner is a board at one time, as tests are chosen for it.
type planner struct {
	*Board
	search bool // for undrawn wires
	chance []float64
	proven []bool
	there  []bool
}

func (b *Board) planner(search bool) *planner {
	p := &planner{Board: b, search: search, there: b.likeliest()}
	for w, r := range b.proofs() {
		p.proven, p.chance = append(p.proven, r > 0), append(p.chance, b.wires[w].chance)
	}
	return p
}

// sure says whether a wire that is there with a chance is certain.
func (p *planner) sure(w int, chance float64, proven bool) bool {
	if len(p.wires[w].drawn) == 0 {
		return p.search && chance >= enough && proven
	}
	return chance >= enough && proven || chance <= hardly
}

// asked says whether a wire is one that tests are looked for.
func (p *planner) asked(w int) bool {
	if p.sure(w, p.chance[w], p.proven[w]) && p.slots[p.wires[w].slot].touched {
		return false
	}
	return (len(p.wires[w].drawn) == 0) == p.search
}

// candidate is a test with what it would bring.
type candidate struct {
	probe
	score    float64
	gain     float64
	joined   float64      // chance that the terminals are joined
	slots    []int        // that it bears upon
	settles  [2][]chanced // that would become certain: when it shows closed, and open
	settling float64      // how many that are to be expected
}

// chanced is a wire and the chance that it is there.
type chanced struct {
	wire   int
	chance float64
}

// probe is a test by numbers.
type probe struct {
	ends
	hold int
}

// choice is a candidate as it is judged while a trip is put together, and as it
// was before any other had been chosen.
type choice struct {
	now, first candidate
	stale      bool // a test chosen since bears upon it
}

// batch chooses tests one after the other. What each will show is supposed, as is
// likelier, while the others of the trip are chosen, and these are worth as much
// less as that is uncertain. What is said of a test supposes nothing.
func (p *planner) batch(probes []probe, most int) (out []Test) {
	var list []choice
	taken := map[probe]int{}
	for _, r := range p.readings {
		taken[probe{r.ends, r.hold}]++
	}
	for _, one := range probes {
		if taken[one] >= mostRepeats {
			continue
		}
		if c := p.judge(one); c.gain >= leastGain {
			list = append(list, choice{now: c, first: c})
		}
	}
	met := make([]float64, len(p.slots)) // what a test of each slot is still worth
	for i := range met {
		met[i] = 1
	}
	for now := p; len(out) < most; {
		best := bestOf(list, met)
		if best < 0 {
			break
		}
		c := list[best]
		if c.stale { // most are worth less by then, and are not judged anew before they seem the best
			list[best] = choice{now: now.judge(c.now.probe), first: c.first}
			continue
		}
		list = slices.Delete(list, best, best+1)
		out = append(out, p.test(&c.first))
		shown := max(c.now.shown(true), c.now.shown(false))
		var bears []int
		now, bears = now.suppose(&c.now, c.now.shown(true) == shown)
		on := make([]bool, len(p.slots))
		for _, s := range bears {
			on[s] = true
			met[s] *= shown
		}
		for i := range list {
			list[i].stale = list[i].stale || slices.ContainsFunc(list[i].now.slots, func(s int) bool { return on[s] })
		}
	}
	return out
}

// bestOf finds the choice of the highest score, with what a test of each slot is
// worth; -1 when none has gain.
func bestOf(list []choice, met []float64) int {
	best, top := -1, 0.0
	for i := range list {
		c, part := &list[i].now, 1.0
		for _, s := range c.slots {
			part = min(part, met[s])
		}
		if x := c.score * part; x > top && c.gain*part >= leastGain {
			best, top = i, x
		}
	}
	return best
}

// judge works out what a test would bring: wires expected to become certain and
// information, over the root of its cost.
func (p *planner) judge(one probe) (c candidate) {
	c.probe = one
	l := p.told(one.ends, one.hold)
	hangs := p.hangsOn(one.ends, one.hold, p.there)
	var wires []foreseen
	wires, c.joined = p.foresee(&l)
	for _, w := range hangs { // a wire may lack a closed reading and nothing else
		if !slices.ContainsFunc(wires, func(x foreseen) bool { return x.wire == w }) {
			wires = append(wires, foreseen{w, [2]float64{p.chance[w], p.chance[w]}})
		}
	}
	for _, x := range wires {
		bears := math.Abs(x.after[0]-x.after[1]) >= bearing
		was := p.sure(x.wire, p.chance[x.wire], p.proven[x.wire]) && p.slots[p.wires[x.wire].slot].touched
		for k, closed := range []bool{true, false} {
			is := p.sure(x.wire, x.after[k], p.proven[x.wire] || closed && slices.Contains(hangs, x.wire))
			switch {
			case is && !was:
				c.settling += c.shown(closed)
				c.settles[k] = append(c.settles[k], chanced{x.wire, x.after[k]})
			case was && !is:
				c.settling -= c.shown(closed)
			}
			bears = bears || is != was
		}
		if s := p.wires[x.wire].slot; bears && !slices.Contains(c.slots, s) {
			c.slots = append(c.slots, s)
		}
	}
	c.gain = c.settling + informationCounts*information(c.joined)
	c.score = c.gain / math.Sqrt(p.cost(one))
	return c
}

// shown is the chance that a test shows closed, or open.
func (c *candidate) shown(closed bool) float64 {
	return c.joined*shows(closed, true) + (1-c.joined)*shows(closed, false)
}

// information is what a test tells in bit, when its terminals are joined with a
// chance: the entropy of what it shows, less that of its errors (C. E. Shannon,
// Bell System Technical Journal 27, 1948).
func information(joined float64) float64 {
	shown := joined*shows(true, true) + (1-joined)*shows(true, false)
	return entropy(shown) - joined*entropy(wronglyOpen) - (1-joined)*entropy(wronglyClosed)
}

func entropy(p float64) float64 {
	if p <= 0 || p >= 1 {
		return 0
	}
	return -p*math.Log2(p) - (1-p)*math.Log2(1-p)
}

// What a test costs, against one within a frame with nothing held: half as much
// again from one frame to another, and as much again for each part that somebody
// has to hold or take out. Common practice, no source.
const (
	otherFrame = 0.5
	eachHeld   = 1.0
)

func (p *planner) cost(one probe) float64 {
	cost := 1.0
	if p.frame(one.a) != p.frame(one.b) {
		cost += otherFrame
	}
	h := p.holds[one.hold]
	return cost + eachHeld*float64(len(h.Moved)+len(h.Out))
}

// frame gives where the part of a terminal stands, as far as its first comma.
func (b *Board) frame(t int) string {
	part, _ := b.parts.Part(partOf(b.terminals[t]))
	frame, _, _ := strings.Cut(part.Place, ",")
	return frame
}

// test puts a candidate into words.
func (p *planner) test(c *candidate) Test {
	t := Test{From: p.terminals[c.a], To: p.terminals[c.b], Hold: p.holds[c.hold].Hold, Gain: c.gain, Cost: p.cost(c.probe), Closed: c.shown(true), Search: p.search}
	t.Closes, t.Opens = p.settled(c.settles[0]), p.settled(c.settles[1])
	t.IfClosed, t.IfOpen = t.Closes.String(), t.Opens.String()
	return t
}

// settled parts wires that would become certain into those found and those not
// there.
func (p *planner) settled(list []chanced) (s Settled) {
	for _, x := range list {
		w := p.wires[x.wire]
		one := Drawn{From: p.terminals[w.a], To: p.terminals[w.b], Wire: w.name}
		if x.chance >= enough {
			s.Found = append(s.Found, one)
		} else {
			s.NotThere = append(s.NotThere, one)
		}
	}
	return s
}

// String says which wires an answer would settle.
func (s Settled) String() string {
	var text []string
	for _, part := range []struct {
		is    string
		wires []Drawn
	}{{"found: ", s.Found}, {"not there: ", s.NotThere}} {
		var names []string
		for _, w := range part.wires {
			names = append(names, called(w.Wire, w.From, w.To))
		}
		if len(names) > 0 {
			text = append(text, part.is+strings.Join(names, ", "))
		}
	}
	if len(text) == 0 {
		return "nothing is certain yet, and the next tests ask closer"
	}
	return strings.Join(text, "; ")
}
