package circuit

import (
	"fmt"
	"math"
	"slices"
)

// Seen is what a person sees and hears at a board.
type Seen struct {
	Lamps  []LampSeen
	Meters []MeterSeen
	Bells  []string // that ring
}

// LampSeen is a lamp as it is seen.
type LampSeen struct {
	Part, Text, Colour string
	Is                 State // Dark, Dim or Lit
}

// MeterSeen is a meter as it is read.
type MeterSeen struct {
	Part, Text string
	Reads      float64 // V or A, r.m.s.; at full scale where the pointer rests against its stop
	Unit       string
	Within     float64 // of Reads: the largest error that its class allows
}

// Class gives the reading in steps of twice the meter's largest error: two
// readings of the same class cannot be told apart for sure.
func (m MeterSeen) Class() int { return int(math.Round(m.Reads / (2 * m.Within))) }

// Seen gives what a person sees and hears now.
func (b *Board) Seen() (out Seen) {
	for _, s := range b.signs {
		p := b.wiring.Parts[s.part]
		switch {
		case p.Kind == "lamp":
			out.Lamps = append(out.Lamps, LampSeen{p.Name, p.Text, p.Colour, s.is})
		case s.is == Rings:
			out.Bells = append(out.Bells, p.Name)
		}
	}
	for _, s := range b.meters {
		p := b.wiring.Parts[s.part]
		unit := "V"
		if s.by == allCurrent {
			unit = "A"
		}
		x := min(b.net.sense(s.branch, s.by, 0, math.Inf(1)), s.full)
		out.Meters = append(out.Meters, MeterSeen{p.Name, p.Text, x, unit, p.Values["class"].SI * s.full})
	}
	return out
}

// Same says whether two looks at the same board could not be told apart.
func (s Seen) Same(o Seen) bool {
	return slices.Equal(s.Lamps, o.Lamps) && slices.Equal(s.Bells, o.Bells) &&
		slices.EqualFunc(s.Meters, o.Meters, func(a, b MeterSeen) bool { return a.Class() == b.Class() })
}

func (b *Board) terminals(names ...string) (out []int, err error) {
	for _, name := range names {
		at, ok := b.marks[name]
		if !ok {
			return nil, b.wiring.noTerminal(name)
		}
		out = append(out, at)
	}
	return out, nil
}

// Volts gives the direct voltage from a terminal to another in V, as a meter of
// high resistance shows it: 0 between two that nothing joins.
func (b *Board) Volts(from, to string) (float64, error) {
	t, err := b.terminals(from, to)
	if err != nil {
		return 0, err
	}
	return b.net.volts(t[0], t[1]), nil
}

// Swing gives the r.m.s. alternating voltage between two terminals in V, of all
// frequencies together.
func (b *Board) Swing(from, to string) (float64, error) {
	return b.swing(from, to, 0, math.Inf(1))
}

// SwingAt gives that of one frequency in Hz.
func (b *Board) SwingAt(from, to string, hz float64) (float64, error) {
	return b.swing(from, to, hz*(1-slack), hz*(1+slack))
}

func (b *Board) swing(from, to string, low, high float64) (float64, error) {
	t, err := b.terminals(from, to)
	if err != nil {
		return 0, err
	}
	return math.Sqrt(b.net.swings(t[0], t[1], low, high)), nil
}

// Amps gives the direct current in A through a part of two terminals, from its
// first mark to its second; of a set, that of its armature.
func (b *Board) Amps(part string) (float64, error) {
	k, err := b.through(part)
	if err != nil {
		return 0, err
	}
	return b.net.amps(k), nil
}

// SwingAmps gives the r.m.s. alternating current in A through such a part; of a
// set, 0, since it has several windings.
func (b *Board) SwingAmps(part string) (float64, error) {
	k, err := b.through(part)
	if err != nil {
		return 0, err
	}
	return math.Sqrt(b.net.swinging(k)), nil
}

func (b *Board) through(part string) (int, error) {
	i := b.wiring.part(part)
	k := slices.IndexFunc(b.net.branches, func(one branch) bool { return one.part == i })
	if i < 0 || k < 0 {
		return 0, Flaw{Reason: fmt.Sprintf("no current flows through a part called %q", part), Next: "name a part with a resistance"}
	}
	return k, nil
}

// Ohms gives the resistance between two terminals in ohm with all power off, as
// a meter shows it: batteries and alternators taken off, relays at rest unless
// they are stuck, keys as they are held, sets standing still. It is infinite
// where there is no way from one to the other.
func (b *Board) Ohms(from, to string) (float64, error) {
	ohms, err := b.OhmsOf([2]string{from, to})
	if err != nil {
		return 0, err
	}
	return ohms[0], nil
}

// OhmsOf gives what Ohms does, of several pairs of terminals.
func (b *Board) OhmsOf(pairs ...[2]string) ([]float64, error) {
	n := b.still()
	if err := n.connect(); err != nil {
		return nil, b.unsolved(err)
	}
	node := slices.Clone(n.node)
	n.alone()
	for i := range n.branches {
		if o := &n.branches[i]; o.conducts(true) {
			n.unite(node[o.a], node[o.b])
		}
	}
	var ends [][2]int // between which something has to be solved
	var solved []int
	out := make([]float64, len(pairs))
	for i, pair := range pairs {
		t, err := b.terminals(pair[0], pair[1])
		if err != nil {
			return nil, err
		}
		switch a, z := node[t[0]], node[t[1]]; {
		case a == z:
		case n.find(a) != n.find(z):
			out[i] = math.Inf(1)
		default:
			ends, solved = append(ends, [2]int{t[0], t[1]}), append(solved, i)
		}
	}
	for k, i := range solved {
		out[i] = n.between(ends[k][0], ends[k][1])
	}
	return out, nil
}

// between gives the resistance between two terminals of a network whose sources
// give nothing.
func (n *network) between(from, to int) float64 {
	had := n.branches
	defer func() { n.branches = had }()
	n.branches = append(had, branch{a: from, b: to, r: 1, e: 1, source: true})
	if err := n.connect(); err != nil { // the meter's own leads are joined
		return 0
	}
	n.solve()
	i := -n.amps(len(n.branches) - 1)
	if i <= 0 {
		return math.Inf(1)
	}
	return 1/i - 1
}

// copied gives a network of its own, to be connected anew.
func (b *Board) copied() network {
	n := network{joints: slices.Clone(b.net.joints), branches: slices.Clone(b.net.branches)}
	n.begin(len(b.marks))
	return n
}

// still gives the network with all power off.
func (b *Board) still() network {
	n := b.copied()
	for i := range n.branches {
		o := &n.branches[i]
		o.open = o.open || o.power
		o.source, o.e = false, 0
		if o.r == 0 && o.l == 0 && o.c == 0 {
			o.open = true
		}
	}
	for i := range b.movers {
		if m := b.movers[i]; m.by != byHand && !m.held && !m.melts {
			m.move(&n, false)
		}
	}
	return n
}

// Supply gives what stands before the armature of a set, as a source of so many
// volts behind so many ohms (Thévenin). With nothing before it the resistance is
// infinite. Field says whether there is a voltage at its field.
func (b *Board) Supply(set string) (volts, ohms float64, field bool, err error) {
	for i := range b.feeds {
		f := &b.feeds[i]
		if b.wiring.Parts[f.part].Name != set {
			continue
		}
		n := b.copied()
		n.branches[f.armature].open = true
		n.branches[f.field].e = 0 // what stands against its current feeds nothing
		if err := n.connect(); err != nil {
			return 0, 0, false, b.unsolved(err)
		}
		n.solve()
		arm := n.branches[f.armature]
		volts = n.volts(arm.a, arm.b)
		e := n.branches[f.field]
		field = math.Abs(n.volts(e.a, e.b)) > fieldAtLeast
		for k := range n.branches {
			if o := &n.branches[k]; !o.swings {
				o.e = 0
			}
		}
		return volts, n.between(arm.a, arm.b), field, nil
	}
	return 0, 0, false, b.unknown(set, "set")
}

// fieldAtLeast is the voltage, in V, from which a field counts as fed.
const fieldAtLeast = 1

// Next is the time in s at which something on the board moves next, as far as is
// known now, or a set is told of; infinite when there is nothing.
func (b *Board) Next() float64 { return min(b.dues(), b.sample()) }
