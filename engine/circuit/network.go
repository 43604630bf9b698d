package circuit

// branch is an impedance between two terminals, with a source in it or not. Its
// current counts from a to b. That of a source is held by
//
//	v_a - v_b - z i = e
type branch struct {
	part   int
	a, b   int     // terminals
	r      float64 // ohm
	l      float64 // H
	c      float64 // F in series; 0 for none
	source bool
	power  bool    // it is taken off when all power is off
	e      float64 // V, of a source; r.m.s. when it alternates
	swings bool    // a source that alternates
	hz     float64 // with which it does; 0 while it stands still
	open   bool    // burnt out or blown
}

// joint is a wire, or a leg of a contact that is closed or not.
type joint struct {
	a, b int
	open bool
}

// network is terminals, joints and branches, and how they are solved. Joints
// are ideal: terminals that are joined are one node. Nodes that branches join
// are an island; each is solved for itself, against a node of its own.
type network struct {
	joints   []joint
	branches []branch
	node     []int // of each terminal; the first terminal of those joined
	direct   layer
	swing    layer   // what alternates
	spent    float64 // multiplications so far, about
	parents  []int   // scratch; all memory is used again, so that a run takes no more as it goes on
}

// layer is the islands of one sort of current.
type layer struct {
	island  []int // of each node, -1 for none with a source
	local   []int // of each node in its island; the first is the reference
	islands []island
	n       int // islands in use; those behind are kept for their memory
}

type island struct {
	size     int // nodes
	branches []int
	unknown  []int // sources, each with an unknown current
	tones    []tone
	n        int // tones in use
}

// tone is an island's solution at one frequency.
type tone struct {
	hz       float64 // 0 for direct
	factored bool
	dim      int // of each of real and imaginary part
	a        []float64
	x        []float64
	pivot    []int
}

// begin makes room for so many terminals.
func (n *network) begin(terminals int) {
	room := func() []int { return make([]int, terminals) }
	n.node, n.parents = room(), room()
	n.direct.island, n.direct.local = room(), room()
	n.swing.island, n.swing.local = room(), room()
}

func (n *network) find(i int) int {
	for n.parents[i] != i {
		n.parents[i] = n.parents[n.parents[i]]
		i = n.parents[i]
	}
	return i
}

// unite joins two; the smaller number stands for both.
func (n *network) unite(a, b int) (apart bool) {
	a, b = n.find(a), n.find(b)
	n.parents[max(a, b)] = min(a, b)
	return a != b
}

func (n *network) alone() {
	for i := range n.parents {
		n.parents[i] = i
	}
}

// conducts says whether a branch is a way for direct or alternating current.
func (b *branch) conducts(direct bool) bool { return !b.open && (b.c == 0 || !direct) }

// connect works out nodes and islands, after a joint or a branch was opened or
// closed. The error is a *short, or nil.
func (n *network) connect() error {
	n.alone()
	for _, j := range n.joints {
		if !j.open {
			n.unite(j.a, j.b)
		}
	}
	for i := range n.node {
		n.node[i] = n.find(i)
	}
	if err := n.sound(); err != nil {
		return err
	}
	n.divide(&n.direct, true)
	n.divide(&n.swing, false)
	return nil
}

// short is a source whose terminals are joined, or sources that stand against
// each other with nothing between them.
type short struct{ branches []int }

func (*short) Error() string { return "no solution" }

// sound looks for what has no solution: with resistances above zero, nothing but
// ideal sources in a ring can have none.
func (n *network) sound() error {
	for i := range n.branches {
		if b := &n.branches[i]; b.source && !b.open && n.node[b.a] == n.node[b.b] {
			return &short{[]int{i}}
		}
	}
	n.alone()
	for i := range n.branches {
		b := &n.branches[i]
		if !b.source || b.open || b.r > 0 || n.unite(n.node[b.a], n.node[b.b]) {
			continue
		}
		at := n.find(n.node[b.a])
		var ring []int
		for k := range n.branches[:i+1] {
			if o := &n.branches[k]; o.source && !o.open && o.r == 0 && n.find(n.node[o.a]) == at {
				ring = append(ring, k)
			}
		}
		return &short{ring}
	}
	return nil
}

// divide finds the islands that have a source of the layer.
func (n *network) divide(l *layer, direct bool) {
	n.alone()
	for i := range n.branches {
		if b := &n.branches[i]; b.conducts(direct) {
			n.unite(n.node[b.a], n.node[b.b])
		}
	}
	for i := range l.island {
		l.island[i], l.local[i] = -1, 0
	}
	l.n = 0
	for i := range n.branches {
		b := &n.branches[i]
		if !b.source || b.open || b.swings == direct {
			continue
		}
		if root := n.find(n.node[b.a]); l.island[root] < 0 {
			if l.n == len(l.islands) {
				l.islands = append(l.islands, island{})
			}
			s := &l.islands[l.n]
			s.size, s.branches, s.unknown, s.n = 0, s.branches[:0], s.unknown[:0], 0
			l.island[root] = l.n
			l.n++
		}
	}
	for i, node := range n.node {
		if i != node {
			continue
		}
		at := l.island[n.find(i)]
		l.island[i] = at
		if at >= 0 {
			l.local[i] = l.islands[at].size
			l.islands[at].size++
		}
	}
	for i := range n.branches {
		b := &n.branches[i]
		at := l.island[n.node[b.a]]
		if at < 0 || !b.conducts(direct) {
			continue
		}
		s := &l.islands[at]
		s.branches = append(s.branches, i)
		if b.source {
			s.unknown = append(s.unknown, i)
		}
	}
}

// across gives the voltage between two terminals at one tone of an island.
func (l *layer) across(n *network, t *tone, a, b int) complex128 {
	return t.at(l.local[n.node[a]]-1) - t.at(l.local[n.node[b]]-1)
}

func (t *tone) at(i int) complex128 {
	switch {
	case i < 0:
		return 0
	case t.hz > 0:
		return complex(t.x[i], t.x[i+t.dim])
	}
	return complex(t.x[i], 0)
}

// volts gives the direct voltage from a terminal to another; 0 where nothing
// joins them.
func (n *network) volts(a, b int) float64 {
	at := n.direct.island[n.node[a]]
	if at < 0 || at != n.direct.island[n.node[b]] {
		return 0
	}
	return real(n.direct.across(n, &n.direct.islands[at].tones[0], a, b))
}

// swings gives the square of the r.m.s. alternating voltage between terminals,
// of frequencies from low to high in Hz.
func (n *network) swings(a, b int, low, high float64) (square float64) {
	at := n.swing.island[n.node[a]]
	if at < 0 || at != n.swing.island[n.node[b]] {
		return 0
	}
	s := &n.swing.islands[at]
	for i := range s.n {
		if t := &s.tones[i]; t.hz >= low && t.hz <= high {
			v := n.swing.across(n, t, a, b)
			square += real(v)*real(v) + imag(v)*imag(v)
		}
	}
	return square
}

// amps gives the direct current of a branch, from a to b.
func (n *network) amps(k int) float64 {
	b := &n.branches[k]
	if !b.conducts(true) {
		return 0
	}
	v := n.volts(b.a, b.b)
	if !b.source {
		return v / b.r
	}
	at := n.direct.island[n.node[b.a]]
	if at < 0 {
		return 0
	}
	return real(n.through(&n.direct.islands[at], 0, k))
}

// through gives the current of a source at one tone of its island.
func (n *network) through(s *island, t, k int) complex128 {
	for i, u := range s.unknown {
		if u == k {
			return s.tones[t].at(s.size - 1 + i)
		}
	}
	return 0
}

// swinging gives the square of the r.m.s. alternating current of a branch.
func (n *network) swinging(k int) (square float64) {
	n.swingings(k, func(_ float64, j complex128) { square += real(j)*real(j) + imag(j)*imag(j) })
	return square
}

// swingings tells the alternating currents of a branch, from a to b.
func (n *network) swingings(k int, tell func(hz float64, j complex128)) {
	b := &n.branches[k]
	at := n.swing.island[n.node[b.a]]
	if at < 0 || b.open {
		return
	}
	s := &n.swing.islands[at]
	for i := range s.n {
		t := &s.tones[i]
		if b.source {
			tell(t.hz, n.through(s, i, k))
		} else {
			tell(t.hz, n.swing.across(n, t, b.a, b.b)/b.impedance(t.hz))
		}
	}
}
