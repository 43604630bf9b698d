package reconcile

import (
	"cmp"
	"slices"
)

// joint is what several slots may be together: rows of one option a slot, each
// with its weight; the weights sum to 1.
type joint struct {
	slots  []int // in order
	rows   []uint8
	weight []float64
}

func (j *joint) row(i int) []uint8 { return j.rows[i*len(j.slots) : (i+1)*len(j.slots)] }

// falling gives the rows in the order of their weights, the largest first.
func (j *joint) falling() []int {
	out := make([]int, len(j.weight))
	for i := range out {
		out[i] = i
	}
	slices.SortFunc(out, func(a, b int) int { return cmp.Or(cmp.Compare(j.weight[b], j.weight[a]), a-b) })
	return out
}

// column gives the place of a slot among the joint's.
func (j *joint) column(s int) int {
	i, ok := slices.BinarySearch(j.slots, s)
	if !ok {
		return -1
	}
	return i
}

// group is slots that readings bind together, with what they may be.
type group struct {
	joint
	readings []int
}

// least is which part of the likeliest row's weight a row has to have to be kept.
const least = 1e-9

// mostRows is how many assignments of so many slots are weighed, the likeliest: at least
// 2,048, and more of few slots, so that small boards come out as if all
// assignments had been.
func mostRows(slots int) int { return max(2048, min(8192, 120000/max(slots, 1))) }

// times gives the product of two joints of other slots each, no more rows than
// most, the likeliest.
func (j joint) times(o joint, most int) joint {
	type product struct {
		weight float64
		a, b   int
	}
	all := make([]product, 0, min(len(j.weight)*len(o.weight), 4*most))
	as, bs := j.falling(), o.falling()
	for i, a := range as {
		for k, b := range bs {
			w := j.weight[a] * o.weight[b]
			// As many pairs as (i+1)(k+1) weigh no less than this one.
			if (i+1)*(k+1) > most || w < least*j.weight[as[0]]*o.weight[bs[0]] {
				break
			}
			all = append(all, product{w, a, b})
		}
	}
	if len(all) > most {
		slices.SortFunc(all, func(p, q product) int {
			return cmp.Or(cmp.Compare(q.weight, p.weight), p.a-q.a, p.b-q.b)
		})
		all = all[:most]
	}
	out := joint{slots: append(slices.Clone(j.slots), o.slots...)}
	slices.Sort(out.slots)
	n := len(out.slots)
	out.rows, out.weight = make([]uint8, n*len(all)), make([]float64, len(all))
	into := func(from joint) []int {
		at := make([]int, len(from.slots))
		for i, s := range from.slots {
			at[i] = out.column(s)
		}
		return at
	}
	left, right := into(j), into(o)
	for i, p := range all {
		row := out.rows[i*n : (i+1)*n]
		for k, x := range j.row(p.a) {
			row[left[k]] = x
		}
		for k, x := range o.row(p.b) {
			row[right[k]] = x
		}
		out.weight[i] = p.weight
	}
	return out
}

// weighed multiplies each row by a factor, and makes the weights sum to 1 again.
// It gives the sum that they had, and drops rows that no longer count.
func (j *joint) weighed(factor func(row []uint8) float64) (sum float64) {
	top := 0.0
	for i := range j.weight {
		j.weight[i] *= factor(j.row(i))
		sum += j.weight[i]
		top = max(top, j.weight[i])
	}
	n, kept, rest := len(j.slots), 0, 0.0
	for i, w := range j.weight {
		if w < least*top || sum == 0 {
			continue
		}
		copy(j.rows[kept*n:], j.row(i))
		j.weight[kept] = w
		rest += w
		kept++
	}
	j.rows, j.weight = j.rows[:kept*n], j.weight[:kept]
	for i := range j.weight {
		j.weight[i] /= rest
	}
	return sum
}

// onto gives what some of the slots may be, whatever the others are.
func (j *joint) onto(some []int) joint {
	out, _ := j.seen(some)
	return out
}

// seen is onto, and gives for each row the one that it has become.
func (j *joint) seen(some []int) (out joint, as []int) {
	out = joint{slots: some}
	at := make([]int, len(some))
	for i, s := range some {
		at[i] = j.column(s)
	}
	had := map[string]int{}
	key := make([]byte, len(some))
	as = make([]int, len(j.weight))
	for i, w := range j.weight {
		row := j.row(i)
		for k, c := range at {
			key[k] = row[c]
		}
		n, ok := had[string(key)]
		if !ok {
			n = len(out.weight)
			had[string(key)] = n
			out.rows, out.weight = append(out.rows, key...), append(out.weight, 0)
		}
		out.weight[n] += w
		as[i] = n
	}
	return out, as
}

// alone gives what a slot that no reading binds may be. In a joint, a wire that
// is elsewhere counts as gone: no reading tells them apart.
func (b *Board) alone(s int) joint {
	j := joint{slots: []int{s}}
	one := &b.slots[s]
	none, far := one.option(gone), one.option(elsewhere)
	for i, p := range one.chance {
		if i == none {
			p += one.chance[far]
		}
		if p > 0 && i != far {
			j.rows, j.weight = append(j.rows, uint8(i)), append(j.weight, p)
		}
	}
	return j
}

// together gives what slots may be, and all that readings bind to them, in as many
// rows as are weighed.
func (b *Board) together(list []int) joint {
	var out joint
	for i, next := range b.apiece(list) {
		if i == 0 {
			out = joint{slots: slices.Clone(next.slots), rows: slices.Clone(next.rows), weight: slices.Clone(next.weight)}
			continue
		}
		out = out.times(next, mostRows(len(list)))
	}
	return out
}

// apiece gives what slots may be, and all that readings bind to them: a joint of
// each group, and of each slot alone.
func (b *Board) apiece(list []int) (out []joint) {
	var had []*group
	for _, s := range list {
		switch g := b.slots[s].group; {
		case g == nil:
			out = append(out, b.alone(s))
		case !slices.Contains(had, g):
			had, out = append(had, g), append(out, g.joint)
		}
	}
	return out
}

// chances works out the slots' chances from a joint.
func (b *Board) chances(j *joint) {
	for c, s := range j.slots {
		one := &b.slots[s]
		clear(one.chance)
		for i, w := range j.weight {
			one.chance[j.rows[i*len(j.slots)+c]] += w
		}
		none, far := one.option(gone), one.option(elsewhere)
		if part := one.options[none].prior + one.options[far].prior; part > 0 {
			one.chance[far] = one.chance[none] * one.options[far].prior / part
			one.chance[none] -= one.chance[far]
		}
		b.refresh(s)
	}
}
