package bench

import (
	"maps"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"slipring/engine/circuit"
)

// attempt is a wiring with something wrong, or with nothing, until the time at
// which it is looked at.
type attempt struct {
	board *circuit.Board // as it was when it went no further, where there is an error
	with  agreement
	err   error
}

// attempts runs trials, of which the first has to be the sound one, side by side;
// done is called for each, by several at once. What else is done to the wiring of a
// trial, also gives. Each trial comes out as it would alone.
func (w *Wiring) attempts(trials []trial, also func(i int) []act, done func(i int, a attempt)) {
	names, sets := w.sets()
	fuses := map[string]string{}
	var sound agreement
	run := func(c Wiring, i int) attempt {
		t := trials[i]
		c.board, c.other, c.ill = nil, t.other, t.ill
		var acts []act
		if t.do != nil {
			acts = append(acts, act{0, t.name, t.do})
		}
		if also != nil {
			acts = append(acts, also(i)...)
		}
		c.acts = append(acts, w.acts...)
		slices.SortStableFunc(c.acts, byTime)
		g := sound
		b, is, err := c.play(names, g.given, sets, c.now)
		if i == 0 || err != nil || len(t.ill) > 0 || !g.fits(names, is, c.now) {
			if g, err = c.agree(names, sets, c.now); err == nil {
				if c.melt(g, fuses) {
					g, err = c.agree(names, sets, c.now)
				}
			}
			if err == nil {
				b, _, err = c.play(names, g.given, sets, c.now)
			}
		}
		return attempt{b, g, err}
	}
	first := run(*w, 0)
	if first.err != nil {
		panic(misuseOfWiring(first.err))
	}
	sound = first.with
	done(0, first)
	for _, name := range names {
		if fuse, ok := w.fuseOf(name, sound); ok {
			fuses[name] = fuse
		}
	}

	var next atomic.Int64
	var wait sync.WaitGroup
	workers := min(runtime.GOMAXPROCS(0), len(trials)-1)
	shelves, failed := make([]*Shelf, workers), make([]any, workers)
	for k := range workers {
		shelves[k] = w.shelf.aside()
		wait.Go(func() {
			defer func() { failed[k] = recover() }()
			c := *w
			c.shelf = shelves[k]
			for i := int(next.Add(1)); i < len(trials); i = int(next.Add(1)) {
				done(i, run(c, i))
			}
		})
	}
	wait.Wait()
	for k, s := range shelves {
		if failed[k] != nil {
			panic(failed[k])
		}
		if w.shelf.sets == nil {
			w.shelf.sets = map[string]wiredRun{}
		}
		maps.Copy(w.shelf.sets, s.sets)
		maps.Copy(w.shelf.fresh, s.fresh)
	}
}

// melt blows the fuses on the wiring that are those of the sets' cards, when these
// melt, and says whether there are any.
func (w *Wiring) melt(g agreement, fuses map[string]string) (any bool) {
	for name, at := range g.melts {
		if fuse, ok := fuses[name]; ok {
			w.acts = append(w.acts, act{at, fuse + " melts", func(b *circuit.Board) error { return b.Blow(fuse) }})
			any = true
		}
	}
	slices.SortStableFunc(w.acts, byTime)
	return any
}

// fuseOf gives the fuse on the wiring that is the one of a set's card: the one whose
// current is nearest to that of the armature while the set runs, and not less.
func (w *Wiring) fuseOf(set string, sound agreement) (fuse string, ok bool) {
	names, sets := w.sets()
	c := *w
	c.acts = w.acts
	most, nearest := 0.0, 0.0
	look := func(b *circuit.Board) error {
		through, err := b.Amps(set)
		if through = math.Abs(through); err != nil || through <= most {
			return err
		}
		most, nearest, ok = through, math.Inf(1), false
		for _, p := range w.laid().Parts {
			if p.Kind != "fuse" {
				continue
			}
			amps, err := b.Amps(p.Name)
			if err != nil {
				return err
			}
			if amps = math.Abs(amps); amps >= 0.99*through && amps < nearest {
				fuse, nearest, ok = p.Name, amps, true
			}
		}
		return nil
	}
	for at := 0.0; at < w.now; at++ {
		c.acts = append(c.acts[:len(c.acts):len(c.acts)], act{at: at, do: look})
	}
	slices.SortStableFunc(c.acts, byTime)
	if _, _, err := c.play(names, sound.given, sets, c.now); err != nil {
		return "", false
	}
	return fuse, ok
}

// aside gives a shelf of the same things, which keeps what is made on it to itself.
func (s *Shelf) aside() *Shelf {
	c := New(s.cards)
	c.wiring, c.recalled, c.sets = s.wiring, s.recalled, maps.Clone(s.sets)
	return c
}
