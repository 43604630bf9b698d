package schematic

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slipring/engine/tell"
)

// All distances are in parts of the text's size.
const (
	largestUnit = 2.8  // of the grid; a small circuit is not blown up
	wireClear   = 0.18 // between a label and a line
	partClear   = 0.22 // between a label and a part
	labelClear  = 0.4  // between two labels
)

// layout is a schematic with everything measured that its drawing needs.
type layout struct {
	drawn  tell.Schematic
	lines  tell.Lines
	text   float64
	unit   float64 // px between two columns, or rows
	left   float64 // px, of column 0
	width  float64
	top    float64 // px; the drawing goes from here, row 0 at 0, to bottom
	bottom float64
	parts  []rect // what each part takes in either style
	labels []label
}

// layOut finds the size at which every label has a free place.
func layOut(d tell.Schematic, s Settings) (*layout, error) {
	lines, err := d.Lines()
	if err != nil {
		return nil, err
	}
	letters, err := newLettering(s.Text)
	if err != nil {
		return nil, err
	}
	l := &layout{drawn: d, lines: lines, text: s.Text, width: s.Width}
	first, last := math.MaxInt, math.MinInt
	for _, p := range d.Parts {
		ends, _ := p.Places()
		for _, e := range append(ends, tell.Spot{Column: p.Column, Row: p.Row}) {
			first, last = min(first, e.Column), max(last, e.Column)
		}
	}
	for _, path := range lines.Paths {
		for _, p := range path {
			first, last = min(first, p.Column), max(last, p.Column)
		}
	}
	unplaced := ""
	most := math.Inf(1)
	for range 8 {
		unplaced = ""
		for _, margin := range []float64{0.3, 0.8, 1.5, 2.5, 3.5} {
			l.unit = min(s.Width/(float64(last-first)+2*margin), largestUnit*s.Text, most)
			l.left = s.Width/2 - l.unit*float64(first+last)/2
			if unplaced = l.place(letters, s); unplaced == "" {
				break
			}
		}
		if unplaced != "" || s.Tallest == 0 || l.bottom-l.top <= s.Tallest {
			break
		}
		most = l.unit * max(0.8, 0.97*s.Tallest/(l.bottom-l.top))
	}
	if unplaced != "" {
		return nil, fmt.Errorf("the name of %s finds no free place beside it; leave an empty column or row there, or shorten its words", unplaced)
	}
	return l, nil
}

func (l *layout) at(p tell.Spot) (x, y float64) {
	return l.left + l.unit*float64(p.Column), l.unit * float64(p.Row)
}

func (l *layout) pen(p tell.Symbol, out *strings.Builder) *pen {
	x, y := l.at(tell.Spot{Column: p.Column, Row: p.Row})
	return &pen{out: out, x: x, y: y, scale: l.unit / 20, turn: p.Turned, text: l.text, reach: nothing()}
}

// place puts each label where nothing else is, and gives the name of the part
// that has no such place.
func (l *layout) place(letters lettering, s Settings) (unplaced string) {
	l.parts, l.labels = nil, nil
	all := nothing()
	var taken []rect
	for _, p := range l.drawn.Parts {
		one, _ := symbolOf(p.Kind)
		reach := nothing()
		for _, style := range []Style{Then, Now} {
			pen := l.pen(p, new(strings.Builder))
			one.draw(pen, style)
			reach.add(pen.reach.left, pen.reach.top)
			reach.add(pen.reach.right, pen.reach.bottom)
		}
		l.parts = append(l.parts, reach)
		taken = append(taken, reach.wider(partClear*l.text))
		all.add(reach.left, reach.top)
		all.add(reach.right, reach.bottom)
	}
	for _, path := range l.lines.Paths {
		for i := 1; i < len(path); i++ {
			r := nothing()
			r.add(l.at(path[i-1]))
			r.add(l.at(path[i]))
			taken = append(taken, r.wider(wireClear*l.text))
			all.add(r.left, r.top)
			all.add(r.right, r.bottom)
		}
	}
	if all.left < 0 || all.right > s.Width {
		return l.drawn.Parts[0].Name
	}
	for i, p := range l.drawn.Parts {
		b, ok := l.free(letters, s, p, l.parts[i], taken)
		if !ok {
			return p.Name
		}
		l.labels = append(l.labels, b)
		taken = append(taken, b.at.wider(labelClear*l.text))
		all.add(b.at.left, b.at.top)
		all.add(b.at.right, b.at.bottom)
	}
	l.top, l.bottom = all.top-0.3*l.text, all.bottom+0.3*l.text
	return ""
}

// free finds a place for the label of a part: near before far, in few lines
// before many, and above a part that lies before below it, or to the right of
// one that stands before to its left.
func (l *layout) free(letters lettering, s Settings, p tell.Symbol, part rect, taken []rect) (label, bool) {
	name := s.Told(p.Name)
	if len(p.Ends) > 0 {
		name += " " + strings.Join(p.Ends, "-")
	}
	for _, far := range []float64{0.3, 0.75, 1.25, 1.8} {
		for _, most := range []float64{8, 5.5, 12, 3.5, 20} {
			b := letters.label(name, s.Told(p.Words), most*l.text)
			high := l.text * (1 + lineHeight*float64(len(b.lines)))
			for _, side := range l.sides(p) {
				x := (part.left + part.right) / 2
				y := (part.top + part.bottom) / 2
				gap := far * l.text
				if side[0] != 0 && side[1] == 0 || math.Abs(side[0]) > 1 {
					x = map[bool]float64{true: part.right + gap + b.width/2, false: part.left - gap - b.width/2}[side[0] > 0]
				} else {
					x += side[0] * (b.width - (part.right - part.left)) / 2
				}
				switch {
				case side[1] < 0 && math.Abs(side[0]) <= 1:
					y = part.top - gap - high/2
				case side[1] > 0 && math.Abs(side[0]) <= 1:
					y = part.bottom + gap + high/2
				default:
					y += side[1] * (part.bottom - part.top) / 2
				}
				b.at = rect{x - b.width/2, y - high/2, x + b.width/2, y + high/2}
				if b.at.left < 0 || b.at.right > l.width {
					continue
				}
				if !slices.ContainsFunc(taken, b.at.touches) {
					return b, true
				}
			}
		}
	}
	return label{}, false
}

// sides gives the places around a part. Of 0 and ±1, the first says where the
// label's middle lies above or below the part, and ±2 that it stands beside it,
// the second then how far up or down.
func (l *layout) sides(p tell.Symbol) [][2]float64 {
	level := [][2]float64{{0, -1}, {0, 1}, {1, -1}, {-1, -1}, {1, 1}, {-1, 1}, {-0.5, -1}, {0.5, -1}, {-0.5, 1}, {0.5, 1}}
	beside := [][2]float64{{2, 0}, {-2, 0}, {2, -0.5}, {-2, -0.5}, {2, 0.5}, {-2, 0.5}, {2, -1}, {-2, -1}, {2, 1}, {-2, 1}}
	if p.Turned%2 == 1 || p.Kind == "earth" || p.Kind == "frame" {
		return append(beside, level...)
	}
	return append(level, beside...)
}
