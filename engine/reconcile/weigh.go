package reconcile

import (
	"container/heap"
	"math"
	"slices"
)

// weigher weighs assignments of slots by their priors and by readings, all in
// logarithms, since many readings would come to nothing.
type weigher struct {
	slots  []int
	priors [][]float64 // of each slot's each option
	stands [][]uint8   // of each option: the one that stands for it while assignments are searched
	others [][][]uint8 // of each option: those that it stands for, and that may be
	nets   []slotNet
}

// slotNet is what slots join while something is held: what is settled, and
// parts, make several terminals one node. Slots that are neither settled nor
// among these count as not there.
type slotNet struct {
	nodes int
	joins [][][]ends // of each slot's each option: the nodes that it joins
	tests []weighing
	net   []int // of each node, as it was weighed last
}

// weighing is a reading between two nodes, and what it makes of an assignment.
type weighing struct {
	from, to       int
	joined, parted float64
}

func (b *Board) weigher(list, readings []int) *weigher {
	w := &weigher{slots: list}
	for _, s := range list {
		var priors []float64
		var stands []uint8
		none, far := b.slots[s].option(gone), b.slots[s].option(elsewhere)
		for k, o := range b.slots[s].options {
			switch {
			case k == none:
				o.prior += b.slots[s].options[far].prior
			case k == far:
				o.prior = 0
			}
			priors = append(priors, math.Log(o.prior))
			if b.standsAlone(s, k) {
				stands = append(stands, uint8(k))
			} else {
				stands = append(stands, uint8(none))
			}
		}
		others := make([][]uint8, len(stands))
		for k, r := range stands {
			if uint8(k) != r && !math.IsInf(priors[k], -1) {
				others[r] = append(others[r], uint8(k))
			}
		}
		w.priors, w.stands, w.others = append(w.priors, priors), append(w.stands, stands), append(w.others, others)
	}
	there := make([]bool, len(b.wires))
	for i := range there {
		there[i] = b.settledThere(i) && !slices.Contains(list, b.wires[i].slot)
	}
	var order []int // holds of the readings
	made := map[int]*numbered{}
	nets := map[int][]int{}
	for _, r := range readings {
		t := &b.readings[r]
		if made[t.hold] == nil {
			nets[t.hold] = b.net(there, t.hold)
			made[t.hold] = b.slotNet(list, nets[t.hold])
			order = append(order, t.hold)
		}
		one, net := made[t.hold], nets[t.hold]
		one.tests = append(one.tests, weighing{one.node(net[t.a]), one.node(net[t.b]), math.Log(shows(t.Closed, true)), math.Log(shows(t.Closed, false))})
	}
	for _, h := range order {
		made[h].nodes = len(made[h].number)
		w.nets = append(w.nets, made[h].slotNet)
	}
	return w
}

// likelyEnough is the chance from which on an undrawn wire stands for itself.
const likelyEnough = 0.1

// standsAlone says whether an option is searched for itself. A wire elsewhere
// joins nothing, as one that is not there. One at a certain place where no drawing
// has it counts alike as far as other slots go: it hardly ever joins what another
// slot has parted.
func (b *Board) standsAlone(s, k int) bool {
	one := &b.slots[s]
	switch o := one.options[k]; o.place {
	case elsewhere:
		return false
	case undrawn:
		return one.chance[k] >= likelyEnough || b.wires[o.wires[0]].like >= 0
	}
	return true
}

// numbered is a slotNet whose nodes are being numbered.
type numbered struct {
	slotNet
	number map[int]int
}

func (n *numbered) node(net int) int {
	i, ok := n.number[net]
	if !ok {
		i = len(n.number)
		n.number[net] = i
	}
	return i
}

func (b *Board) slotNet(list, net []int) *numbered {
	n := &numbered{number: map[int]int{}}
	for _, s := range list {
		joins := make([][]ends, len(b.slots[s].options))
		for k, o := range b.slots[s].options {
			for _, w := range o.wires {
				joins[k] = append(joins[k], ends{n.node(net[b.wires[w].a]), n.node(net[b.wires[w].b])})
			}
		}
		n.joins = append(n.joins, joins)
	}
	return n
}

// weigh gives the logarithm of an assignment's weight.
func (w *weigher) weigh(row []uint8) (sum float64) {
	for i, o := range row {
		sum += w.priors[i][o]
	}
	for n := range w.nets {
		net := &w.nets[n]
		net.net = slices.Grow(net.net[:0], net.nodes)[:net.nodes]
		for i := range net.net {
			net.net[i] = i
		}
		for i, o := range row {
			for _, e := range net.joins[i][o] {
				unite(net.net, e.a, e.b)
			}
		}
		for i := range net.net {
			net.net[i] = find(net.net, i)
		}
		for _, t := range net.tests {
			if net.net[t.from] == net.net[t.to] {
				sum += t.joined
			} else {
				sum += t.parted
			}
		}
	}
	return sum
}

// instead gives the weight of an option in place of the one that stands for it,
// which joins nothing, in the assignment that was weighed last: its prior, and
// what it makes of the readings, both against those of the other.
func (w *weigher) instead(i int, o uint8) float64 {
	sum := w.priors[i][o] - w.priors[i][w.stands[i][o]]
	for n := range w.nets {
		net := &w.nets[n]
		for _, e := range net.joins[i][o] { // at most one
			a, z := net.net[e.a], net.net[e.b]
			if a == z {
				continue
			}
			for _, t := range net.tests {
				if f, to := net.net[t.from], net.net[t.to]; f == a && to == z || f == z && to == a {
					sum += t.joined - t.parted
				}
			}
		}
	}
	return math.Exp(sum)
}

// standing gives the logarithm of what all that the options stand for weigh, in
// the assignment that was weighed last, against these alone.
func (w *weigher) standing(row []uint8) (sum float64) {
	for i, r := range row {
		if len(w.others[i][r]) == 0 {
			continue
		}
		all := 1.0
		for _, o := range w.others[i][r] {
			all += w.instead(i, o)
		}
		sum += math.Log(all)
	}
	return sum
}

// shares gives, for the assignment that was weighed last, the weights of all that
// options stand for, of each slot that has such.
func (w *weigher) shares(row []uint8) (shares []joint) {
	for i, r := range row {
		if len(w.others[i][r]) == 0 {
			continue
		}
		one := joint{slots: w.slots[i : i+1], rows: []uint8{r}, weight: []float64{1}}
		for _, o := range w.others[i][r] {
			one.rows, one.weight = append(one.rows, o), append(one.weight, w.instead(i, o))
		}
		shares = append(shares, one)
	}
	return shares
}

// spread gives all that an assignment stands for, no more than most.
func (w *weigher) spread(row []uint8, most int) joint {
	some := joint{rows: []uint8{}, weight: []float64{1}}
	for _, one := range w.shares(row) {
		some = some.times(one, most)
	}
	out := joint{slots: w.slots, weight: some.weight}
	for i := range some.weight {
		whole := slices.Clone(row)
		for k, o := range some.row(i) {
			whole[out.column(some.slots[k])] = o
		}
		out.rows = append(out.rows, whole...)
	}
	return out
}

// likeliest puts, in the assignment that was weighed last, the likeliest of all
// that it stands for into each option's place.
func (w *weigher) likeliest(row []uint8) []uint8 {
	out := slices.Clone(row)
	for i, r := range row {
		top := 1.0
		for _, o := range w.others[i][r] {
			if x := w.instead(i, o); x > top {
				out[i], top = o, x
			}
		}
	}
	return out
}

// searched is a joint on the way: assignments with their weights' logarithms,
// and those whose neighbours have not been looked at, the heaviest on top.
type searched struct {
	rows   []uint8
	weight []float64
	next   []int
	known  map[string]bool
}

func (s *searched) Len() int           { return len(s.next) }
func (s *searched) Less(i, k int) bool { return s.weight[s.next[i]] > s.weight[s.next[k]] }
func (s *searched) Swap(i, k int)      { s.next[i], s.next[k] = s.next[k], s.next[i] }
func (s *searched) Push(x any)         { s.next = append(s.next, x.(int)) }
func (s *searched) Pop() any {
	last := len(s.next) - 1
	x := s.next[last]
	s.next = s.next[:last]
	return x
}

// tried is how many assignments are looked at for each that is kept.
const tried = 4

// heaviest gives the heaviest assignments: all where these are few, else those
// that are found from some to begin with, over assignments that differ in one
// slot, always on from the heaviest.
func (w *weigher) heaviest(most int, begin ...[]uint8) joint {
	if w.all() <= fewest {
		return w.each(most)
	}
	s := &searched{known: map[string]bool{}}
	top := math.Inf(-1)
	try := func(row []uint8) {
		if s.known[string(row)] {
			return
		}
		s.known[string(row)] = true
		x := w.weigh(row)
		if x < top+math.Log(least) {
			return
		}
		x += w.standing(row)
		top = max(top, x)
		s.rows, s.weight = append(s.rows, row...), append(s.weight, x)
		heap.Push(s, len(s.weight)-1)
	}
	for _, row := range begin {
		for i := range row {
			row[i] = w.stands[i][row[i]]
		}
		try(row)
	}
	n := len(w.slots)
	row := make([]uint8, n)
	for len(s.next) > 0 && len(s.known) < tried*most {
		i := heap.Pop(s).(int)
		if s.weight[i] < top+math.Log(least) {
			break
		}
		for k := range n {
			copy(row, s.rows[i*n:(i+1)*n])
			for o, stands := range w.stands[k] {
				if uint8(o) == stands {
					row[k] = uint8(o)
					try(row)
				}
			}
		}
	}
	return w.joint(s, most)
}

// fewest is how many assignments are weighed one and all, where there are no more.
const fewest = 1 << 15

// all is how many assignments there are.
func (w *weigher) all() float64 {
	all := 1.0
	for _, p := range w.priors {
		all *= float64(len(p) - 1) // less one: elsewhere is as gone
	}
	return all
}

// each gives the heaviest of all assignments.
func (w *weigher) each(most int) joint {
	found := joint{slots: w.slots}
	row := make([]uint8, len(w.slots))
	next := func() bool {
		for i := range row {
			if row[i]++; int(row[i]) < len(w.priors[i]) && math.IsInf(w.priors[i][row[i]], -1) {
				row[i]++
			}
			if int(row[i]) < len(w.priors[i]) {
				return true
			}
			row[i] = 0
		}
		return false
	}
	top := math.Inf(-1)
	for more := true; more; more = next() {
		if x := w.weigh(row); x >= top+math.Log(least) {
			top = max(top, x)
			found.rows, found.weight = append(found.rows, row...), append(found.weight, x)
		}
	}
	out := joint{slots: w.slots, rows: []uint8{}}
	order := found.falling()
	for _, i := range order[:min(most, len(order))] {
		out.rows = append(out.rows, found.row(i)...)
		out.weight = append(out.weight, math.Exp(found.weight[i]-found.weight[order[0]]))
	}
	out.weighed(func([]uint8) float64 { return 1 })
	return out
}

// joint gives the heaviest of what was found, no more than most, and of what each
// stands for as many assignments as its weight is worth.
func (w *weigher) joint(s *searched, most int) joint {
	found := joint{slots: w.slots, rows: s.rows, weight: s.weight}
	order := found.falling()
	order = order[:min(most, len(order))]
	top, sum := s.weight[order[0]], 0.0
	for _, i := range order {
		sum += math.Exp(s.weight[i] - top)
	}
	out := joint{slots: w.slots, rows: make([]uint8, 0, len(order)*len(w.slots)), weight: make([]float64, 0, len(order))}
	for _, i := range order {
		x := math.Exp(s.weight[i]-top) / sum
		w.weigh(found.row(i))
		n := int(math.Ceil(x * float64(most)))
		if n <= 1 {
			out.rows, out.weight = append(out.rows, w.likeliest(found.row(i))...), append(out.weight, x)
			continue
		}
		part := w.spread(found.row(i), n)
		whole := 0.0
		for _, p := range part.weight {
			whole += p
		}
		out.rows = append(out.rows, part.rows...)
		for _, p := range part.weight {
			out.weight = append(out.weight, x*p/whole)
		}
	}
	out.weighed(func([]uint8) float64 { return 1 })
	return out
}
