package reconcile

import "slices"

// foreseen is a wire, with the chance that it is there once a test has shown
// closed, and open.
type foreseen struct {
	wire  int
	after [2]float64
}

// foresee gives the wires of slots that a link hangs on, and of those bound to
// them, as they would be after a reading, and the chance that the terminals are
// joined.
//
// Each group is weighed whole, so that a wire is after a reading that tells
// nothing as it was before: only what the groups are together is cut to the
// likeliest, and only as far as the link goes.
func (p *planner) foresee(l *link) (wires []foreseen, joined float64) {
	if len(l.slots) == 0 {
		if l.from == l.to {
			joined = 1
		}
		return nil, joined
	}
	groups := p.apiece(l.slots)
	seen, as := make([]joint, len(groups)), make([][]int, len(groups))
	all := joint{}
	for i := range groups {
		var some []int
		for _, s := range l.slots {
			if groups[i].column(s) >= 0 {
				some = append(some, s)
			}
		}
		seen[i], as[i] = groups[i].seen(some)
		if i == 0 {
			all = seen[i]
		} else {
			all = all.times(seen[i], weighedRows)
		}
	}
	is := l.reader(&all)
	joins, sum := make([]bool, len(all.weight)), 0.0
	for i, w := range all.weight {
		sum += w
		if joins[i] = is(all.row(i)); joins[i] {
			joined += w
		}
	}
	best := all.row(all.falling()[0])
	for i := range groups {
		chance := joinedBy(&all, joins, &seen[i], func(row []uint8) bool {
			instead := slices.Clone(best)
			for k, s := range seen[i].slots {
				instead[all.column(s)] = row[k]
			}
			return is(instead)
		})
		wires = append(wires, p.after(&groups[i], as[i], chance)...)
	}
	return wires, joined / sum
}

// joinedBy gives, for each row of a part of a joint, the chance that terminals are
// joined: that of the joint's rows that agree with it, and where none was kept,
// what alone says.
func joinedBy(all *joint, joins []bool, part *joint, alone func(row []uint8) bool) []float64 {
	at := map[string]int{}
	for i := range part.weight {
		at[string(part.row(i))] = i
	}
	kept, as := all.seen(part.slots)
	chance := make([]float64, len(part.weight))
	known := make([]bool, len(part.weight))
	for i, w := range all.weight {
		n := at[string(kept.row(as[i]))]
		known[n] = true
		if joins[i] {
			chance[n] += w / kept.weight[as[i]]
		}
	}
	for n := range chance {
		if !known[n] && alone(part.row(n)) {
			chance[n] = 1
		}
	}
	return chance
}

// after gives the wires of a group as they would be after a reading. Its rows are
// joined with a chance, as they look from the reading.
func (p *planner) after(g *joint, as []int, joined []float64) (out []foreseen) {
	at := make([][][]int, len(g.slots)) // of each slot's each option: its wires' places
	for c, s := range g.slots {
		number := map[int]int{}
		for _, o := range p.slots[s].options {
			var list []int
			for _, w := range o.wires {
				if _, had := number[w]; !had {
					number[w] = len(out)
					out = append(out, foreseen{wire: w})
				}
				list = append(list, number[w])
			}
			at[c] = append(at[c], list)
		}
	}
	var sum [2]float64
	for i, w := range g.weight {
		q := joined[as[i]]
		x := [2]float64{}
		for k, closed := range []bool{true, false} {
			x[k] = w * (q*shows(closed, true) + (1-q)*shows(closed, false))
			sum[k] += x[k]
		}
		for c, o := range g.row(i) {
			for _, n := range at[c][o] {
				out[n].after[0] += x[0]
				out[n].after[1] += x[1]
			}
		}
	}
	for i := range out {
		out[i].after[0] /= sum[0]
		out[i].after[1] /= sum[1]
	}
	return out
}
