package circuit

import "sort"

// set is a set: a motor with armature A1 A2 and field E1 E2, slip rings U1 U2,
// and two tone windings L1 L2 (low) and H1 H2 (high). What it does is not in its
// entry: the board is given it, with Feed, and until then nothing flows through it.
func set() kind {
	return kind{
		name: "set", about: "a set of motor, generator and tone wheels; its card says which",
		marks:  []string{"A1", "A2", "E1", "E2", "U1", "U2", "L1", "L2", "H1", "H2"},
		source: true,
		work: func(b *builder) {
			f := feed{part: b.number}
			f.armature = b.branch("A1", "A2", branch{source: true, open: true})
			f.field = b.branch("E1", "E2", branch{source: true, open: true})
			f.rings = b.branch("U1", "U2", branch{source: true, swings: true, open: true})
			f.low = b.branch("L1", "L2", branch{source: true, swings: true, open: true})
			f.high = b.branch("H1", "H2", branch{source: true, swings: true, open: true})
			b.feeds = append(b.feeds, f)
		},
	}
}

// Set is what a set does at its terminals.
type Set struct {
	Armature, Field float64 // ohm; of the field with all that stands in its way while the set is at rest
	Low, High       Winding // of the tones
	Record          []Instant
}

// Winding is what a winding has in series with its EMF.
type Winding struct {
	Resistance float64 // ohm
	Inductance float64 // H
}

// Instant is a set at a time in s. Between two of them all goes evenly; before
// the first and behind the last nothing changes.
type Instant struct {
	At           float64
	Back         float64 // V that stand against the armature's current, drop at the brushes included
	FieldBack    float64 // V that stand against the field's; below 0 while less is in its way than at rest
	Rings, Hz    float64 // V r.m.s. at the slip rings, under their load
	Low, LowHz   float64 // V r.m.s. that the winding would have without load
	High, HighHz float64
}

// feed is a set at work.
type feed struct {
	part                              int
	armature, field, rings, low, high int // branches
	set                               Set
	at                                int // the instant that was last passed
}

// Feed gives a set, by the name of its part, what it does from now on. Instants
// count in the board's time. It fails when there is no such set.
func (b *Board) Feed(part string, is Set) error {
	for i := range b.feeds {
		f := &b.feeds[i]
		if b.wiring.Parts[f.part].Name != part {
			continue
		}
		f.set, f.at = is, 0
		n := &b.net
		arm, field := &n.branches[f.armature], &n.branches[f.field]
		arm.r, arm.open = is.Armature, is.Armature == 0
		field.r, field.open = is.Field, is.Field == 0
		for _, k := range []int{f.rings, f.low, f.high} {
			n.branches[k].open = false
		}
		low, high := &n.branches[f.low], &n.branches[f.high]
		low.r, low.l, high.r, high.l = is.Low.Resistance, is.Low.Inductance, is.High.Resistance, is.High.Inductance
		return b.touched()
	}
	return b.unknown(part, "set")
}

// sample is the next time at which a set is told of; infinite when there is none.
func (b *Board) sample() float64 {
	next := forever
	for i := range b.feeds {
		f := &b.feeds[i]
		f.seek(b.now)
		if f.at < len(f.set.Record) {
			next = min(next, f.set.Record[f.at].At)
		}
	}
	return next
}

// seek finds the first instant after a time.
func (f *feed) seek(now float64) {
	r := f.set.Record
	if f.at > 0 && r[f.at-1].At > now {
		f.at = sort.Search(len(r), func(i int) bool { return r[i].At > now })
	}
	for f.at < len(r) && r[f.at].At <= now {
		f.at++
	}
}

// feed sets what the sets give now.
func (b *Board) feed() {
	for i := range b.feeds {
		f := &b.feeds[i]
		r := f.set.Record
		if len(r) == 0 {
			continue
		}
		f.seek(b.now)
		is := r[max(f.at-1, 0)]
		if f.at > 0 && f.at < len(r) {
			a, z := r[f.at-1], r[f.at]
			part := (b.now - a.At) / (z.At - a.At)
			between := func(a, z float64) float64 { return a + part*(z-a) }
			is = Instant{
				Back: between(a.Back, z.Back), FieldBack: between(a.FieldBack, z.FieldBack), Rings: between(a.Rings, z.Rings), Hz: between(a.Hz, z.Hz),
				Low: between(a.Low, z.Low), LowHz: between(a.LowHz, z.LowHz),
				High: between(a.High, z.High), HighHz: between(a.HighHz, z.HighHz),
			}
		}
		n := &b.net
		n.branches[f.armature].e, n.branches[f.field].e = is.Back, is.FieldBack
		for _, w := range []struct {
			branch int
			e, hz  float64
		}{{f.rings, is.Rings, is.Hz}, {f.low, is.Low, is.LowHz}, {f.high, is.High, is.HighHz}} {
			n.branches[w.branch].e, n.branches[w.branch].hz = w.e, w.hz
		}
	}
}
