package reconcile

// edge is something that joins two terminals: a wire, or a way through a part.
type edge struct {
	a, b int
	wire int // -1 for a way through a part
}

// walker finds what stands on paths between two terminals. Its memory is used
// again.
type walker struct {
	seen, low []int
	clock     int
	stack     []edge
}

func newWalker(terminals int) walker {
	return walker{seen: make([]int, terminals), low: make([]int, terminals)}
}

// between gives the edges that lie on some path from one terminal to another
// that passes none twice, over the wires that take says and the ways of a hold.
// They are the block (J. Hopcroft and R. Tarjan, Comm. ACM 16, 1973) of an edge
// that is thought of from one to the other.
func (b *Board) between(from, to, hold int, take func(wire int) bool) []edge {
	k := &b.walk
	start := k.clock
	k.clock++
	k.seen[from] = k.clock
	k.stack = k.stack[:0]
	const through, thought = 1 << 30, -1 // numbers of edges: wires, then ways
	var visit func(u, by int)
	visit = func(u, by int) {
		k.clock++
		k.seen[u], k.low[u] = k.clock, k.clock
		step := func(e edge, id int) {
			v := e.a + e.b - u
			switch {
			case id == by:
			case k.seen[v] <= start:
				mark := len(k.stack)
				k.stack = append(k.stack, e)
				visit(v, id)
				k.low[u] = min(k.low[u], k.low[v])
				if k.low[v] >= k.seen[u] {
					k.stack = k.stack[:mark]
				}
			case k.seen[v] < k.seen[u]:
				k.stack = append(k.stack, e)
				k.low[u] = min(k.low[u], k.seen[v])
			}
		}
		for _, w := range b.wiresAt[u] {
			if take(w) {
				step(edge{b.wires[w].a, b.wires[w].b, w}, w)
			}
		}
		list, ways := b.waysFrom(u, hold)
		for _, i := range list {
			step(edge{ways[i].a, ways[i].b, -1}, through+i)
		}
	}
	visit(to, thought)
	return k.stack
}
