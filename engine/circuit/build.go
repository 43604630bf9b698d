package circuit

import "math"

// builder puts one part of a wiring to work.
type builder struct {
	*Board
	part     *Part
	number   int
	terminal map[string]int // of the whole wiring, by PART.MARK
}

func (b *builder) value(key string) float64 { return b.part.Values[key].SI }

func (b *builder) at(mark string) int { return b.terminal[b.part.Name+"."+mark] }

// branch puts a branch between two marks.
func (b *builder) branch(from, to string, is branch) int {
	is.part, is.a, is.b = b.number, b.at(from), b.at(to)
	b.net.branches = append(b.net.branches, is)
	return len(b.net.branches) - 1
}

// moves makes the part one that moves, with its contacts.
func (b *builder) moves(m mover) {
	m.part, m.due = b.number, math.Inf(1)
	for i := range m.recent {
		m.recent[i] = math.Inf(-1)
	}
	for _, c := range b.part.Contacts {
		marks, legs, _ := contactMarks(c)
		for _, l := range legs {
			b.net.joints = append(b.net.joints, joint{a: b.at(marks[0]), b: b.at(marks[l.to]), open: l.makes})
			m.legs = append(m.legs, working{len(b.net.joints) - 1, l.makes})
		}
	}
	b.movers = append(b.movers, m)
}

// coiled makes the part one that a branch moves, from a level up until a lower
// one, each after a time.
func (b *builder) coiled(k int, by sense) {
	b.moves(mover{
		branch: k, by: by, pick: b.value("pick-up"), drop: b.value("release"),
		operate: b.value("pick-up-time"), release: b.value("release-time"),
	})
}

// shows makes the part one that is seen or heard, by a branch.
func (b *builder) shows(k int, by sense, full float64) {
	b.signs = append(b.signs, sign{part: b.number, branch: k, by: by, full: full})
}
