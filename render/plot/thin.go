package plot

import (
	"container/heap"
	"slices"
)

// points of a trace, in px
type points struct{ x, y []float64 }

func (p *points) add(x, y float64) { p.x, p.y = append(p.x, x), append(p.y, y) }

const (
	most    = 400  // points of a trace that are drawn
	visible = 0.05 // px; what lies closer to the line drawn is left out
)

// thinned gives the indexes of points without those that nobody could see.
// First go those on a straight line between others. Where more than limit are
// still left, each short stretch keeps its first, last, least and greatest
// point alone. Both ends and the extremes of the whole are always kept, and so
// are both sides of a jump, unless so many jumps stand close together that they
// are one band of colour.
//
// The first step puts points in where the line drawn so far is furthest off,
// as Douglas and Peucker do (Cartographica 10(2), 1973, pages 112 to 122).
func (p points) thinned(limit int) []int {
	if len(p.x) <= 2 {
		return indexes(len(p.x), func(int) bool { return true })
	}
	keep := make([]bool, len(p.x))
	count := 0
	put := func(i int) {
		if !keep[i] {
			keep[i] = true
			count++
		}
	}
	low, high := 0, 0
	for i, y := range p.y {
		if y < p.y[low] {
			low = i
		}
		if y > p.y[high] {
			high = i
		}
	}
	for _, i := range []int{0, low, high, len(p.x) - 1} {
		put(i)
	}
	var gaps gapHeap
	from := 0
	for i := 1; i < len(p.x); i++ {
		if keep[i] {
			gaps = append(gaps, p.gap(from, i))
			from = i
		}
	}
	heap.Init(&gaps)
	for len(gaps) > 0 && gaps[0].off > visible*visible {
		g := heap.Pop(&gaps).(gap)
		if count == limit {
			return p.banded(limit)
		}
		put(g.worst)
		heap.Push(&gaps, p.gap(g.from, g.worst))
		heap.Push(&gaps, p.gap(g.worst, g.to))
	}
	return indexes(len(keep), func(i int) bool { return keep[i] })
}

// stepped leaves points out at which a stepped trace does not change, and gives
// the indexes of the others.
func (p points) stepped(limit int) []int {
	changes := indexes(len(p.x), func(i int) bool { return i == 0 || i == len(p.x)-1 || p.y[i] != p.y[i-1] })
	if len(changes) <= limit {
		return changes
	}
	all := p.at(changes).banded(limit)
	for k, i := range all {
		all[k] = changes[i]
	}
	return all
}

// banded gives the indexes of the first, last, least and greatest point of each
// of as many stretches as limit allows: of equal width where x rises, of
// equally many points where it does not.
func (p points) banded(limit int) []int {
	n := max(limit/4, 1)
	keep := make([]bool, len(p.x))
	band := func(i int) int { return i * n / len(p.x) }
	if first, width := p.x[0], p.x[len(p.x)-1]-p.x[0]; width > 0 && slices.IsSorted(p.x) {
		band = func(i int) int { return min(int(float64(n)*((p.x[i]-first)/width)), n-1) }
	}
	for i := 0; i < len(p.x); {
		end, low, high := i, i, i
		for ; end < len(p.x) && band(end) == band(i); end++ {
			if p.y[end] < p.y[low] {
				low = end
			}
			if p.y[end] > p.y[high] {
				high = end
			}
		}
		for _, j := range []int{i, low, high, end - 1} {
			keep[j] = true
		}
		i = end
	}
	return indexes(len(keep), func(i int) bool { return keep[i] })
}

// at gives the points of some indexes.
func (p points) at(kept []int) points {
	var out points
	for _, i := range kept {
		out.add(p.x[i], p.y[i])
	}
	return out
}

func indexes(n int, keep func(i int) bool) []int {
	var out []int
	for i := range n {
		if keep(i) {
			out = append(out, i)
		}
	}
	return out
}

// gap is a stretch between two kept points, with the point in it that is
// furthest off the straight piece between them, and the square of how far.
type gap struct {
	from, to, worst int
	off             float64
}

func (p points) gap(from, to int) gap {
	g := gap{from: from, to: to}
	for i := from + 1; i < to; i++ {
		if off := p.squareOff(i, from, to); off > g.off {
			g.off, g.worst = off, i
		}
	}
	return g
}

// squareOff gives the square of the distance of point i from the straight
// piece between two others. Squares are in the same order and need no root.
func (p points) squareOff(i, from, to int) float64 {
	dx, dy := p.x[to]-p.x[from], p.y[to]-p.y[from]
	x, y := p.x[i]-p.x[from], p.y[i]-p.y[from]
	along := 0.0
	if square := dx*dx + dy*dy; square > 0 {
		along = min(max((x*dx+y*dy)/square, 0), 1)
	}
	x, y = x-along*dx, y-along*dy
	return x*x + y*y
}

type gapHeap []gap

func (h gapHeap) Len() int { return len(h) }
func (h gapHeap) Less(i, j int) bool {
	if h[i].off != h[j].off {
		return h[i].off > h[j].off
	}
	return h[i].from < h[j].from
}
func (h gapHeap) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h *gapHeap) Push(g any)   { *h = append(*h, g.(gap)) }
func (h *gapHeap) Pop() any {
	old := *h
	g := old[len(old)-1]
	*h = old[:len(old)-1]
	return g
}
