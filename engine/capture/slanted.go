package capture

import (
	"math"
	"slices"
	"sort"
)

// ray is a line of a slanted graticule in a reduced picture: at is where it
// crosses the middle of the picture, slope how far it leans for each pixel away
// from there.
type ray struct{ at, slope, votes float64 }

// findSlanted finds the graticule of a screen that was photographed from the
// side: by straight lines that many pixels agree on (P. V. C. Hough's transform),
// those of them that meet in one point, and among these such as lie at the
// distances that even lines have in perspective.
func (p photo) findSlanted(columns, rows int) ([]Point, bool) {
	size := p.Bounds().Size()
	k := max(1, (size.X+799)/800)
	w, h := size.X/k, size.Y/k
	grey := make([]float64, w*h)
	for y := range h {
		for x := range w {
			n := 0
			for j := range k {
				for i := range k {
					c := p.at(x*k+i, y*k+j)
					if max(c.R, c.G, c.B)-min(c.R, c.G, c.B) > 60 {
						continue
					}
					n++
					grey[y*w+x] += float64(c.R) + float64(c.G) + float64(c.B)
				}
			}
			if n < (k*k+1)/2 {
				grey[y*w+x] = math.NaN()
				continue
			}
			grey[y*w+x] /= float64(n)
		}
	}
	left, right, ok := rays(w, h, columns, func(along, across int) float64 { return grey[across*w+along] })
	if !ok {
		return nil, false
	}
	top, bottom, ok := rays(h, w, rows, func(along, across int) float64 { return grey[along*w+across] })
	if !ok {
		return nil, false
	}
	var out []Point
	for _, pair := range [][2]ray{{left, top}, {right, top}, {right, bottom}, {left, bottom}} {
		a, b := pair[0], pair[1]
		// x = a.at + a.slope (y - h/2) and y = b.at + b.slope (x - w/2)
		y := (b.at + b.slope*(a.at-a.slope*float64(h)/2-float64(w)/2)) / (1 - a.slope*b.slope)
		x := a.at + a.slope*(y-float64(h)/2)
		out = append(out, Point{x * float64(k), y * float64(k)})
	}
	return out, true
}

// rays finds the first and the last of n+1 lines that go across the picture.
func rays(size, across, n int, at func(along, across int) float64) (first, last ray, ok bool) {
	const slopes, steep = 81, 0.4
	votes := make([][]float64, slopes)
	for i := range votes {
		votes[i] = make([]float64, size/2+1)
	}
	for j := 2; j < across-2; j++ {
		for i := 2; i < size-2; i++ {
			r := math.Abs(2*at(i, j) - at(i-2, j) - at(i+2, j))
			if !(r > 36 && r > 2*math.Abs(2*at(i, j)-at(i, j-2)-at(i, j+2))) {
				continue
			}
			for s := range slopes {
				slope := steep * (2*float64(s)/(slopes-1) - 1)
				if x := float64(i) + 0.5 - slope*(float64(j)+0.5-float64(across)/2); x >= 0 && x < float64(size) {
					votes[s][int(x/2)]++
				}
			}
		}
	}
	var all []ray
	for s := range votes {
		for x, v := range votes[s] {
			if v > float64(across)/8 {
				all = append(all, ray{2*float64(x) + 1, steep * (2*float64(s)/(slopes-1) - 1), v})
			}
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].votes > all[j].votes })
	var lines []ray
	for _, a := range all {
		if len(lines) < 4*n && !slices.ContainsFunc(lines, func(b ray) bool { return math.Abs(a.at-b.at) < 8 }) {
			lines = append(lines, a)
		}
	}
	// lines through one point: their slope changes evenly with where they are
	var a, b, most float64
	for i, x := range lines {
		for _, y := range lines[i+1:] {
			if math.Abs(x.at-y.at) < float64(size)/5 {
				continue
			}
			slant := (y.slope - x.slope) / (y.at - x.at)
			base := x.slope - slant*x.at
			sum := 0.0
			for _, z := range lines {
				if math.Abs(base+slant*z.at-z.slope) < 0.02 {
					sum += z.votes
				}
			}
			if sum > most {
				a, b, most = base, slant, sum
			}
		}
	}
	lines = slices.DeleteFunc(lines, func(z ray) bool { return math.Abs(a+b*z.at-z.slope) >= 0.02 })
	sort.Slice(lines, func(i, j int) bool { return lines[i].at < lines[j].at })
	best := 0.0
	for i, x := range lines {
		for _, y := range lines[i+1:] {
			if y.at-x.at < float64(size)/3 {
				continue
			}
			for r := -0.05; r < 0.0501; r += 0.005 {
				teeth := 0.0
				for t := range n + 1 {
					k := float64(t)
					want := x.at + (y.at-x.at)*k*(1+r*float64(n))/(float64(n)*(1+r*k))
					j := sort.Search(len(lines), func(j int) bool { return lines[j].at >= want })
					off := math.Inf(1)
					for _, c := range []int{j - 1, j} {
						if c >= 0 && c < len(lines) {
							off = min(off, math.Abs(lines[c].at-want))
						}
					}
					if near := 0.06 * (y.at - x.at) / float64(n); off < near {
						teeth += 1 - 0.5*off/near
					}
				}
				if teeth > best {
					best, first, last = teeth, x, y
				}
			}
		}
	}
	first.slope, last.slope = a+b*first.at, a+b*last.at
	return first, last, best > 0.6*float64(n+1)
}
