package circuit

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// WireAmps gives the current in each wire now, in A r.m.s. of all that flows in
// it, in the order of the wiring's wires. Wires and closed contacts have no
// resistance here, so that the network leaves open how a current divides where
// they stand side by side: each is taken to have as much as any other.
func (b *Board) WireAmps() []float64 {
	n := &b.net
	into := map[float64][]complex128{} // of each terminal, from the branches, by frequency
	for k := range n.branches {
		one := &n.branches[k]
		n.flows(k, func(hz float64, j complex128) {
			if into[hz] == nil {
				into[hz] = make([]complex128, len(b.marks))
			}
			into[hz][one.a] -= j
			into[hz][one.b] += j
		})
	}
	squares := make([]float64, b.wires)
	for _, joints := range n.joined() {
		for _, currents := range into {
			for i, j := range n.divided(joints, currents) {
				if joints[i] < b.wires {
					squares[joints[i]] += real(j)*real(j) + imag(j)*imag(j)
				}
			}
		}
	}
	for i, s := range squares {
		squares[i] = math.Sqrt(s)
	}
	return squares
}

// flows tells the currents of a branch from a to b, by frequency.
func (n *network) flows(k int, tell func(hz float64, j complex128)) {
	if j := n.amps(k); j != 0 {
		tell(0, complex(j, 0))
	}
	n.swingings(k, tell)
}

// joined gives the closed joints of each node that has some.
func (n *network) joined() [][]int {
	of := map[int]int{}
	var out [][]int
	for i, j := range n.joints {
		if j.open {
			continue
		}
		node := n.node[j.a]
		at, ok := of[node]
		if !ok {
			at, of[node] = len(out), len(out)
			out = append(out, nil)
		}
		out[at] = append(out[at], i)
	}
	return out
}

// divided gives the currents in the joints of a node, each from a to b, when so
// much comes into each terminal.
func (n *network) divided(joints []int, into []complex128) []complex128 {
	number := map[int]int{} // of terminals; that of the first is -1, against which all are counted
	place := func(terminal int) int {
		if _, ok := number[terminal]; !ok {
			number[terminal] = len(number) - 1
		}
		return number[terminal]
	}
	for _, i := range joints {
		place(n.joints[i].a)
		place(n.joints[i].b)
	}
	size := len(number) - 1
	ways, sides := mat.NewSymDense(size, nil), mat.NewDense(size, 2, nil)
	for _, i := range joints {
		a, z := place(n.joints[i].a), place(n.joints[i].b)
		for _, end := range []int{a, z} {
			if end >= 0 {
				ways.SetSym(end, end, ways.At(end, end)+1)
			}
		}
		if a >= 0 && z >= 0 {
			ways.SetSym(a, z, ways.At(a, z)-1)
		}
	}
	for terminal, at := range number {
		if at >= 0 {
			sides.SetRow(at, []float64{real(into[terminal]), imag(into[terminal])})
		}
	}
	var c mat.Cholesky
	c.Factorize(ways) // joints that hang together make it positive
	var level mat.Dense
	if err := c.SolveTo(&level, sides); err != nil {
		panic(err) // as little as a ladder of 2,000 wires comes near
	}
	at := func(terminal int) complex128 {
		if i := number[terminal]; i >= 0 {
			return complex(level.At(i, 0), level.At(i, 1))
		}
		return 0
	}
	out := make([]complex128, len(joints))
	for k, i := range joints {
		out[k] = at(n.joints[i].a) - at(n.joints[i].b)
	}
	return out
}
