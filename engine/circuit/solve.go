package circuit

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// solve works out all voltages and currents for what the sources give now.
func (n *network) solve() {
	for i := range n.direct.n {
		s := &n.direct.islands[i]
		if s.n == 0 {
			s.tone(0)
		}
		n.work(&n.direct, s, &s.tones[0])
	}
	for i := range n.swing.n {
		s := &n.swing.islands[i]
		used := 0
		for _, k := range s.unknown {
			b := &n.branches[k]
			if !b.swings || b.hz == 0 || b.e == 0 || s.has(used, b.hz) {
				continue
			}
			if used == s.n {
				s.tone(b.hz)
			}
			t := &s.tones[used]
			if t.hz != b.hz {
				t.hz, t.factored = b.hz, false
			}
			used++
			n.work(&n.swing, s, t)
		}
		s.n = used
	}
}

func (s *island) has(used int, hz float64) bool {
	for i := range used {
		if s.tones[i].hz == hz {
			return true
		}
	}
	return false
}

// tone takes one more into use.
func (s *island) tone(hz float64) {
	if s.n == len(s.tones) {
		s.tones = append(s.tones, tone{})
	}
	s.tones[s.n].hz, s.tones[s.n].factored = hz, false
	s.n++
}

// work solves an island at a frequency.
func (n *network) work(l *layer, s *island, t *tone) {
	t.dim = s.size - 1 + len(s.unknown)
	wide := t.dim
	if t.hz > 0 {
		wide *= 2
	}
	if wide == 0 {
		return
	}
	t.x = sized(t.x, wide)
	for i, k := range s.unknown {
		if b := &n.branches[k]; b.hz == t.hz {
			t.x[s.size-1+i] = b.e
		}
	}
	if !t.factored {
		t.a, t.pivot = sized(t.a, wide*wide), sizedInt(t.pivot, wide)
		n.stamp(l, s, t, wide)
		lapack64.Getrf(blas64.General{Rows: wide, Cols: wide, Stride: wide, Data: t.a}, t.pivot)
		t.factored = true
		n.spent += float64(wide) * float64(wide) * float64(wide)
	}
	lapack64.Getrs(blas.NoTrans, blas64.General{Rows: wide, Cols: wide, Stride: wide, Data: t.a},
		blas64.General{Rows: wide, Cols: 1, Stride: 1, Data: t.x}, t.pivot)
}

// stamp writes the matrix. Alternating currents have a real and an imaginary
// part, which stand one behind the other: (G + jB) v as G -B over B G.
func (n *network) stamp(l *layer, s *island, t *tone, wide int) {
	put := func(row, column int, re, im float64) {
		if row < 0 || column < 0 {
			return
		}
		t.a[row*wide+column] += re
		if t.hz > 0 {
			t.a[(row+t.dim)*wide+column+t.dim] += re
			t.a[row*wide+column+t.dim] -= im
			t.a[(row+t.dim)*wide+column] += im
		}
	}
	at := s.size - 1 // the next source
	for _, k := range s.branches {
		b := &n.branches[k]
		i, j := l.local[n.node[b.a]]-1, l.local[n.node[b.b]]-1
		z := b.impedance(t.hz)
		if b.source {
			put(i, at, 1, 0)
			put(j, at, -1, 0)
			put(at, i, 1, 0)
			put(at, j, -1, 0)
			put(at, at, -real(z), -imag(z))
			at++
			continue
		}
		y := 1 / z
		put(i, i, real(y), imag(y))
		put(j, j, real(y), imag(y))
		put(i, j, -real(y), -imag(y))
		put(j, i, -real(y), -imag(y))
	}
}

func (b *branch) impedance(hz float64) complex128 {
	w := 2 * math.Pi * hz
	x := w * b.l
	if b.c > 0 && hz > 0 {
		x -= 1 / (w * b.c)
	}
	return complex(b.r, x)
}

func sized(x []float64, n int) []float64 {
	if cap(x) < n {
		return make([]float64, n)
	}
	x = x[:n]
	clear(x)
	return x
}

func sizedInt(x []int, n int) []int {
	if cap(x) < n {
		return make([]int, n)
	}
	return x[:n]
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
