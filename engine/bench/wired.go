package bench

import (
	"fmt"
	"math"
	"slices"

	"slipring/engine/circuit"
	"slipring/engine/machine"
	"slipring/engine/tell"
)

// A set on a wiring: the wiring decides when the set is fed and through what, and
// the set decides what the wiring sees at its terminals. Both are solved in turn
// until neither changes the other any more. Contacts mostly follow keys and the
// times of relays, so that this is so at the second time.

// feeding is what stands before a set's motor from a time in s on.
type feeding struct {
	at    float64
	on    bool
	ohm   float64 // between battery and armature, in the armature's branch alone
	field bool
}

// rounds is how often set and wiring are solved in turn, at most.
const rounds = 8

// boardNow gives the board as it is now.
func (w *Wiring) boardNow() *circuit.Board {
	if w.board == nil {
		b, err := w.played()
		if err != nil {
			panic(misuseOfWiring(err))
		}
		w.board = b
	}
	return w.board
}

func (w *Wiring) played() (*circuit.Board, error) {
	names, sets := w.sets()
	horizon := stretch * (math.Floor(w.now/stretch) + 1)
	for _, g := range w.shelf.agreed {
		if g.load != w.load || g.until < w.now {
			continue
		}
		b, is, err := w.play(names, g.given, sets, w.now)
		if err == nil && g.fits(names, is, w.now) {
			w.given = g.given
			return b, nil
		}
	}
	g, err := w.agree(names, sets, horizon)
	if err != nil { // perhaps only later than now
		if g, err = w.agree(names, sets, w.now); err != nil {
			return nil, err
		}
	}
	if len(w.shelf.agreed) > 1 { // the first is mostly the sound board; the last, what is looked at
		w.shelf.agreed = w.shelf.agreed[:1]
	}
	w.shelf.agreed = append(w.shelf.agreed, g)
	w.given = g.given
	b, _, err := w.play(names, g.given, sets, w.now)
	return b, err
}

// sets gives the sets of the wiring, by the names of their parts.
func (w *Wiring) sets() (names []string, sets map[string]*Set) {
	sets = map[string]*Set{}
	for _, p := range w.shelf.wiring.Parts {
		if p.Kind == "set" {
			names = append(names, p.Name)
			sets[p.Name] = w.shelf.Open(p.Card)
		}
	}
	return names, sets
}

// stretch is for how long, in s, sets are run at least, so that one run serves
// for several looks.
const stretch = 10

// agreement is how sets run that agree with a wiring, until a time in s.
type agreement struct {
	load  machine.Load
	until float64
	fed   map[string][]feeding
	given map[string]circuit.Set
	works map[string][]working
	melts map[string]float64 // when the fuse of a set's armature melts, of those that do
}

// fits says whether a wiring feeds the sets in the same way until a time. What
// it does later changes nothing before.
func (g agreement) fits(names []string, is map[string][]feeding, now float64) bool {
	for _, name := range names {
		fed := g.fed[name]
		for len(fed) > 0 && fed[len(fed)-1].at > now {
			fed = fed[:len(fed)-1]
		}
		if !slices.Equal(fed, is[name]) {
			return false
		}
	}
	return true
}

// agree solves set and wiring in turn, until a time.
func (w *Wiring) agree(names []string, sets map[string]*Set, until float64) (agreement, error) {
	g := agreement{load: w.load, until: until, fed: map[string][]feeding{}, given: map[string]circuit.Set{}, works: map[string][]working{}, melts: map[string]float64{}}
	for range rounds {
		_, is, err := w.play(names, g.given, sets, until)
		if err != nil {
			return g, err
		}
		if g.fits(names, is, until) {
			return g, nil
		}
		for _, name := range names {
			r, err := w.shelf.wired(sets[name], w.load, w.ill, is[name], until)
			if err != nil {
				return g, err
			}
			g.given[name], g.works[name] = r.Set, r.Works
			if delete(g.melts, name); r.Melted > 0 {
				g.melts[name] = r.Melted
			}
		}
		g.fed = is
	}
	return g, tell.Misuse{
		Text: fmt.Sprintf("set and wiring do not agree within %v s: each time the set comes up, the wiring does something else", until),
		Hint: "look at an earlier time"}
}

// stop is a time in s at which a board that is played is looked at.
type stop struct {
	at   float64
	look func(*circuit.Board)
}

// play plays all that was done to the wiring, until a time, and gives what the sets
// were fed through. With an error it gives the board as it was then. Stops are in
// the order of time.
func (w *Wiring) play(names []string, given map[string]circuit.Set, sets map[string]*Set, until float64, stops ...stop) (*circuit.Board, map[string][]feeding, error) {
	b, err := circuit.New(w.laid())
	if err != nil {
		return nil, nil, err
	}
	is := map[string][]feeding{}
	look := func() error {
		for _, name := range names {
			volts, ohms, field, err := b.Supply(name)
			if err != nil {
				return err
			}
			now := feeding{at: b.Time(), on: volts > 1, field: field} // not merely its own field across it
			if now.on {
				// to what a meter could tell, so that rounding begins no new feeding
				now.ohm = math.Round(1e4*max(0, ohms-part[machine.Battery](sets[name], "battery").Resistance)) / 1e4
			}
			last := feeding{}
			if n := len(is[name]); n > 0 {
				last = is[name][n-1]
			}
			if now.on != last.on || now.on && (now.ohm != last.ohm || now.field != last.field) {
				is[name] = append(is[name], now)
			}
		}
		return nil
	}
	to := func(end float64) error {
		for {
			before, next := len(b.Events()), min(end, b.Next())
			if len(stops) > 0 {
				next = max(b.Time(), min(next, stops[0].at))
			}
			if err := b.AdvanceTo(next); err != nil {
				return err
			}
			for len(stops) > 0 && stops[0].at <= b.Time() {
				stops[0].look(b)
				stops = stops[1:]
			}
			if len(b.Events()) > before {
				if err := look(); err != nil {
					return err
				}
			}
			if b.Time() >= end {
				return nil
			}
		}
	}
	for _, name := range names {
		if set, ok := given[name]; ok {
			if err := b.Feed(name, set); err != nil {
				return b, is, err
			}
		} else if err := b.Feed(name, still(sets[name])); err != nil {
			return b, is, err
		}
	}
	for _, a := range w.acts {
		if a.at > w.now {
			break
		}
		if err := to(a.at); err != nil {
			return b, is, err
		}
		if err := a.do(b); err != nil {
			return b, is, err
		}
		if err := look(); err != nil {
			return b, is, err
		}
	}
	return b, is, to(until)
}
