package bench

import (
	"math"
	"slices"
	"strings"

	"slipring/engine/circuit"
	"slipring/engine/machine"
)

// glimpse is what there is to see, to hear and to measure at a moment.
type glimpse struct {
	circuit.Seen
	up    map[string]bool // relays and their like
	volts []float64       // between the pairs that are measured; nil where the board stays shut
	hz    []float64       // of each set
	works []working       // of each set
}

// sighting is what was seen of one trial.
type sighting struct {
	glimpses []glimpse       // by moment; fewer where something went too far
	ohms     []float64       // with all power off
	sound    map[string]bool // relays that a finger can move, and lamps that are whole
	wild     bool            // somebody has to stop and isolate at once
}

// pair is two terminals, between which somebody measures.
type pair struct {
	from, to string
	swings   bool // alternating voltage
}

// ohmage is two terminals, between which somebody measures with all power off, and
// the key that he holds meanwhile, if any.
type ohmage struct {
	held string
	ends [2]string
}

// watched is what looks at the trials of a dictionary.
type watched struct {
	w       *Wiring
	moments []Moment
	names   []string // of the sets
	sets    map[string]*Set
	movers  []string
	lamps   []string
	volts   []pair
	ohms    []ohmage
}

func (w *Wiring) watched(moments []Moment) *watched {
	d := &watched{w: w, moments: moments}
	d.names, d.sets = w.sets()
	for _, p := range w.laid().Parts {
		if slices.Contains([]string{"relay", "detector", "flasher"}, p.Kind) {
			d.movers = append(d.movers, p.Name)
		}
		if p.Kind == "lamp" {
			d.lamps = append(d.lamps, p.Name)
		}
	}
	d.ohms = ohmPairs(w.laid())
	d.volts = w.voltPairs(moments)
	return d
}

// see runs all trials and looks at each.
func (d *watched) see(trials []trial) []sighting {
	out := make([]sighting, len(trials))
	also := func(i int) []act {
		acts := []act{{at: 0, do: func(*circuit.Board) error { out[i].glimpses = nil; return nil }}}
		for _, m := range d.moments {
			acts = append(acts, act{at: m.At, do: func(b *circuit.Board) error {
				g, err := d.glimpse(b, m)
				out[i].glimpses = append(out[i].glimpses, g)
				return err
			}})
		}
		return acts
	}
	d.w.attempts(trials, also, func(i int, a attempt) {
		s := &out[i]
		for k := range s.glimpses {
			at := d.moments[k].At
			for _, name := range d.names {
				s.glimpses[k].hz = append(s.glimpses[k].hz, speedAt(a.with.given[name], at))
				s.glimpses[k].works = append(s.glimpses[k].works, workingAt(a.with.works[name], at))
			}
		}
		s.wild = a.err != nil || wild(trials[i], a, out[0].glimpses, d.names, s.glimpses)
		s.ohms, s.sound = d.still(trials[i], a.board)
	})
	return out
}

func (d *watched) glimpse(b *circuit.Board, m Moment) (glimpse, error) {
	g := glimpse{Seen: b.Seen(), up: map[string]bool{}}
	for _, name := range d.movers {
		g.up[name] = b.Pressed(name)
	}
	if !m.Open {
		return g, nil
	}
	for _, p := range d.volts {
		measure := b.Volts
		if p.swings {
			measure = b.Swing
		}
		v, err := measure(p.from, p.to)
		if err != nil {
			return g, err
		}
		g.volts = append(g.volts, v)
	}
	return g, nil
}

// speedAt gives the turns a second of a set at a time.
func speedAt(is circuit.Set, at float64) float64 {
	r := is.Record
	k, _ := slices.BinarySearchFunc(r, at, func(x circuit.Instant, at float64) int {
		if x.At <= at {
			return -1
		}
		return 1
	})
	switch {
	case k == 0:
		return 0
	case k == len(r):
		return r[k-1].Hz
	}
	return r[k-1].Hz + (at-r[k-1].At)/(r[k].At-r[k-1].At)*(r[k].Hz-r[k-1].Hz)
}

func workingAt(all []working, at float64) (w working) {
	for _, x := range all {
		if x.At <= at {
			w = x
		}
	}
	return w
}

// tooFast is how many times as fast as a sound set one is that has to be stopped
// at once: a set is tested at a fifth more than its highest speed (IEC 60034-1,
// from memory).
const tooFast = 1.2

// wild says whether a set was faster than it bears, or turned on when the sound
// one had slowed down, and whether a fuse melted by itself.
func wild(t trial, a attempt, sound []glimpse, names []string, seen []glimpse) bool {
	for _, e := range a.board.Events() {
		if e.Is == circuit.Blown && !strings.HasPrefix(t.name, e.Part+" ") {
			return true
		}
	}
	for i, name := range names {
		most := 0.0
		for _, g := range sound {
			most = max(most, g.hz[i])
		}
		for _, x := range a.with.given[name].Record {
			if x.Hz > tooFast*most && most > 0 {
				return true
			}
		}
		for k, g := range seen {
			if sound[k].hz[i] > 0 && g.hz[i] > tooFast*sound[k].hz[i] {
				return true
			}
		}
	}
	return false
}

// still measures a wiring with all power off and all keys as they lie, after what
// was done to it: fuses that melted have melted.
func (d *watched) still(t trial, after *circuit.Board) ([]float64, map[string]bool) {
	c := *d.w
	c.other = t.other
	b, err := circuit.New(c.laid())
	for _, name := range d.names {
		if err == nil {
			err = b.Feed(name, broken(still(d.sets[name]), t.ill))
		}
	}
	if err == nil && t.do != nil {
		err = t.do(b)
	}
	for _, p := range c.laid().Parts {
		if err == nil && p.Kind == "fuse" && after.Pressed(p.Name) {
			err = b.Blow(p.Name)
		}
	}
	if err != nil {
		return nil, nil
	}
	sound := map[string]bool{}
	for _, name := range d.movers {
		sound[name] = b.Free(name)
	}
	for _, name := range d.lamps {
		sound[name] = !slices.ContainsFunc(b.Events(), func(e circuit.Event) bool { return e.Part == name && e.Is == circuit.Burnt })
	}
	var ohms []float64
	for from := 0; from < len(d.ohms); { // a stretch of one key
		held, to := d.ohms[from].held, from
		var ends [][2]string
		for ; to < len(d.ohms) && d.ohms[to].held == held; to++ {
			ends = append(ends, d.ohms[to].ends)
		}
		if held != "" {
			err = b.Press(held)
		}
		var more []float64
		if err == nil {
			more, err = b.OhmsOf(ends...)
		}
		if err == nil && held != "" {
			err = b.LetGo(held)
		}
		if err != nil {
			return nil, sound
		}
		ohms, from = append(ohms, more...), to
	}
	return ohms, sound
}

// broken gives a set at rest in whose circuits something is wrong.
func broken(is circuit.Set, ill []machine.Change) circuit.Set {
	for _, c := range ill {
		switch c.What {
		case machine.MotorBrushLifted:
			is.Armature = 0 // no way through it
		case machine.MotorFieldOpen:
			is.Field = 0
		case machine.ToneOpen:
			is.Low, is.High = circuit.Winding{}, circuit.Winding{}
		}
	}
	return is
}

// ohmPairs lists between which terminals somebody measures with all power off:
// each wire's net from one of its terminals to all others, the legs of each
// contact, and the ends of each part; then each net from both sides of the
// battery, first with all keys as they lie, then with each key held that springs
// back.
func ohmPairs(w circuit.Wiring) (all []ohmage) {
	add := func(held, a, z string) { all = append(all, ohmage{held, [2]string{a, z}}) }
	root := map[string]string{} // of each terminal
	var roots []string
	for _, net := range nets(w) {
		for _, t := range net {
			root[t] = net[0]
		}
		for _, t := range net[1:] {
			add("", net[0], t)
		}
		roots = append(roots, net[0])
	}
	var sides, keys []string
	for _, p := range w.Parts {
		marks, err := p.Marks()
		if err != nil || p.Kind == "strip" {
			continue // a board of an unknown kind cannot be made either
		}
		if p.Kind == "battery" {
			for _, m := range marks {
				if r, ok := root[p.Name+"."+m]; ok {
					sides = append(sides, r)
				}
			}
			continue
		}
		if p.Kind == "key" && !p.Stays {
			keys = append(keys, p.Name)
		}
		own := marks
		for _, contact := range p.Contacts {
			legs := strings.Split(contact, "-")
			for _, leg := range legs[1:] {
				add("", p.Name+"."+legs[0], p.Name+"."+leg)
			}
			own = slices.DeleteFunc(slices.Clone(own), func(m string) bool { return slices.Contains(legs, m) })
		}
		for i := 0; i+1 < len(own); i += 2 {
			add("", p.Name+"."+own[i], p.Name+"."+own[i+1])
		}
	}
	for _, key := range append([]string{""}, keys...) {
		for _, side := range sides {
			for _, r := range roots {
				if r != side {
					add(key, side, r)
				}
			}
		}
	}
	return all
}

// nets gives the terminals that wires join, from a strip's on, where there is one,
// each behind one that a wire leads to it from.
func nets(w circuit.Wiring) (out [][]string) {
	next := map[string][]string{}
	var order []string
	for _, one := range w.Wires {
		for _, end := range [][2]string{{one.From, one.To}, {one.To, one.From}} {
			if next[end[0]] == nil {
				order = append(order, end[0])
			}
			next[end[0]] = append(next[end[0]], end[1])
		}
	}
	strip := func(terminal string) int {
		p, _ := w.Part(strings.SplitN(terminal, ".", 2)[0])
		if p.Kind == "strip" {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(order, func(a, b string) int { return strip(a) - strip(b) })
	met := map[string]bool{}
	for _, root := range order {
		if met[root] {
			continue
		}
		met[root] = true
		net := []string{root}
		for i := 0; i < len(net); i++ {
			for _, to := range next[net[i]] {
				if !met[to] {
					met[to] = true
					net = append(net, to)
				}
			}
		}
		out = append(out, net)
	}
	return out
}

// voltPairs lists between which terminals of the strips somebody measures with
// power on: from each to a battery's second terminal, and from each to the first
// of its strip from which something alternates, where the sound wiring has more
// than a volt at one of the moments.
func (w *Wiring) voltPairs(moments []Moment) (pairs []pair) {
	var ends []string
	minus := ""
	for _, p := range w.laid().Parts {
		marks, err := p.Marks()
		if p.Kind == "battery" && minus == "" && err == nil {
			minus = p.Name + "." + marks[1]
		}
		if p.Kind == "strip" && err == nil {
			for _, m := range marks {
				ends = append(ends, p.Name+"."+m)
			}
		}
	}
	add := func(p pair) {
		if !slices.Contains(pairs, p) {
			pairs = append(pairs, p)
		}
	}
	for _, m := range moments {
		if !m.Open {
			continue
		}
		c := *w
		c.now, c.board = m.At, nil
		b := c.boardNow()
		for i, end := range ends {
			if minus != "" {
				if v, err := b.Volts(end, minus); err == nil && math.Abs(v) > 1 {
					add(pair{end, minus, false})
				}
			}
			for _, other := range ends[:i] {
				v, err := b.Swing(end, other)
				if err == nil && v > 1 && strings.SplitN(end, ".", 2)[0] == strings.SplitN(other, ".", 2)[0] {
					add(pair{other, end, true})
					break
				}
			}
		}
	}
	return pairs
}
