package scene

import (
	"strconv"
	"unicode"

	"slipring/engine/card"
	"slipring/render/markup"
)

// spot gives where the number of a part stands.
func spot(s card.Scene, one card.ScenePart, r float64) (x, y float64) {
	if one.Mark != nil {
		x, y = one.Mark[0], one.Mark[1]
	} else if x, y = one.At[0][0], one.At[0][1]; one.Width > 0 {
		y -= one.Height/2 + r
	}
	return min(max(x, r+3), s.Width-r-3), min(max(y, r+3), s.Height-r-3)
}

// tag is a number of the drawing: its text, and the plate that it stands in.
type tag struct {
	of    card.ScenePart
	text  string
	box   [4]float64
	moved bool // away from where its part would have it
}

// tags gives all numbers of a drawing, clear of each other as far as the sheet
// has room.
func tags(s card.Scene, set Settings) (all []tag) {
	r := set.Marks * 0.78
	for _, one := range s.Parts {
		t := tag{of: one}
		switch {
		case set.Mark != nil:
			t.text = set.Mark(one)
		case one.Number > 0:
			t.text = strconv.Itoa(one.Number)
		}
		if t.text == "" {
			continue
		}
		x, y := spot(s, one, r)
		wide := 0.8 * r // several numbers stand in one plate
		for _, letter := range t.text {
			if unicode.IsDigit(letter) {
				wide += 0.56 * set.Marks
			} else {
				wide += 0.28 * set.Marks
			}
		}
		wide = max(2*r, wide)
		t.box = [4]float64{min(max(x-wide/2, 3), s.Width-wide-3), y - r, wide, 2 * r}
		all = append(all, t)
	}
	const gap, patience = 4, 100
	for range patience {
		apart := true
		for i := range all {
			for k := range all[:i] {
				a, b := &all[k].box, &all[i].box
				if a[0] > b[0] {
					a, b = b, a
				}
				push := a[0] + a[2] + gap - b[0]
				if push < 1e-6 || a[1]+a[3] <= b[1] || b[1]+b[3] <= a[1] {
					continue
				}
				apart = false
				all[i].moved, all[k].moved = true, true
				a[0] = max(a[0]-push/2, 3)
				b[0] = min(a[0]+a[2]+gap, s.Width-b[2]-3)
				a[0] = max(b[0]-gap-a[2], 3)
			}
		}
		if apart {
			break
		}
	}
	return all
}

// draw draws a number in its plate, with a line to its part where it stands
// apart from it.
func (t tag) draw(p *pen, set Settings, lit bool) {
	class := "mark"
	if lit {
		class += " lit"
	}
	r := t.box[3] / 2
	x, y := t.box[0]+t.box[2]/2, t.box[1]+r
	p.open("g", "class", class)
	if (t.of.Mark != nil || t.moved) && t.of.Width > 0 {
		leader(p, t.of, x, y)
	}
	p.element("rect", "class", "tag", "x", markup.Tenths(t.box[0]), "y", markup.Tenths(t.box[1]), "width", markup.Tenths(t.box[2]), "height", markup.Tenths(t.box[3]), "rx", markup.Tenths(r), "fill", "none", "stroke", "currentColor")
	p.text("text", t.text, "x", markup.Tenths(x), "y", markup.Tenths(y+set.Marks*0.36), "font-size", markup.Tenths(set.Marks), "fill", "currentColor", "stroke", "none", "text-anchor", "middle")
	p.close("g")
}

// leader leads from a number that stands apart to its part.
func leader(p *pen, one card.ScenePart, x, y float64) {
	b := places(one)[0]
	inX, inY := 0.15*b[2], 0.15*b[3]
	toX, toY := min(max(x, b[0]+inX), b[0]+b[2]-inX), min(max(y, b[1]+inY), b[1]+b[3]-inY)
	if toX == x && toY == y {
		return // it stands on it
	}
	p.element("line", "class", "leader", "stroke", "currentColor", "x1", markup.Tenths(x), "y1", markup.Tenths(y), "x2", markup.Tenths(toX), "y2", markup.Tenths(toY))
	p.element("circle", "class", "dot", "fill", "currentColor", "cx", markup.Tenths(toX), "cy", markup.Tenths(toY), "r", "5")
}
