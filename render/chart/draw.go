package chart

import (
	"fmt"
	"html"
	"strings"
)

// draw writes the sheet as SVG: classes and shapes; the colours stand in the
// page's style sheet. A sheet whose boxes cannot be made to fit, which takes
// ten answers of the longest words, is drawn smaller.
func (s *sheet) draw(n, of int) string {
	d := &drawing{}
	need := max(Height, s.tall())
	d.put("<svg class=\"chart\" id=\"%s.%d\" viewBox=\"0 0 %s %s\" role=\"img\" aria-label=\"%s\">\n",
		html.EscapeString(s.set.ID), n, num(Width), num(need), html.EscapeString(s.set.Says(n, of)))
	y := 0.
	for _, line := range s.titleLines() {
		d.text(0, y, titleSize, true, "title", "", line)
		y += lineHeight * titleSize
	}
	d.text(Width, 0, fromSize, true, "of", "end", s.set.Of(n, of))
	d.put("<path class=\"rule\" d=\"M0 %sH%s\"/>\n", num(y+2), num(Width))
	for i, t := range s.trees {
		y := t.y - t.headHeight()
		if i > 0 {
			d.put("<path class=\"thin\" d=\"M0 %sH%s\"/>\n", num(y-0.5*apart*s.size), num(Width))
		}
		for _, line := range t.fromLines() {
			d.text(0, y, fromSize, false, "from", "", line)
			y += lineHeight * fromSize
		}
		d.put("<g transform=\"translate(0 %s)\">\n", num(t.y))
		t.each(func(b *box) { t.branches(d, b) })
		t.each(func(b *box) { t.box(d, b) })
		d.put("</g>\n")
	}
	y = need - s.footHeight() + smallest
	for i, line := range s.footLines() {
		if i == 0 {
			d.stop(0, y-1, 2*smallest)
		}
		d.text(2.6*smallest, y, smallest, false, "foot", "", line)
		y += lineHeight * smallest
	}
	d.put("</svg>\n")
	return d.out.String()
}

// branches draws the lines from a question to its answers.
func (s *tree) branches(d *drawing, b *box) {
	if len(b.children) == 0 {
		return
	}
	middle := func(c *box) float64 { return c.y + c.tab/2 }
	x := b.x + b.w
	turn := x + 0.45*across*s.size
	from := b.y + b.tab + (b.tall-b.tab)/2
	first, last := middle(b.children[0]), middle(b.children[len(b.children)-1])
	d.put("<path class=\"branch\" d=\"M%s %sH%sM%s %sV%s", num(x), num(from), num(turn), num(turn), num(min(first, from)), num(max(last, from)))
	for _, c := range b.children {
		d.put("M%s %sH%s", num(turn), num(middle(c)), num(c.x))
	}
	d.put("\"/>\n")
}

// box draws an answer and the box that it leads to.
func (s *tree) box(d *drawing, b *box) {
	l := s.layout
	pad := padding * l.size
	class := "ask"
	switch {
	case b.goOn, l.cut[b.look]:
		class = "go-on"
	case len(b.look.Answers) == 0 && b.look.Stops():
		class = "end stops"
	case len(b.look.Answers) == 0:
		class = "end"
	}
	d.put("<rect class=\"box %s\" x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\"/>\n", class, num(b.x), num(b.y+b.tab), num(b.w), num(b.tall-b.tab))
	if b.tab > 0 {
		d.put("<rect class=\"answer\" x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\"/>\n", num(b.x), num(b.y), num(b.w), num(b.tab))
		y := b.y + 0.25*pad
		for _, line := range l.letters.wrap(s.set.Told(b.answer), b.w-2*pad, l.size, true) {
			d.text(b.x+pad, y, l.size, true, "says", "", line)
			y += lineHeight * l.size
		}
	}
	y := b.y + b.tab + pad
	for _, p := range b.parts {
		x := b.x + pad
		switch p.mark {
		case numberMark:
			n := fmt.Sprint(l.numbers[b.look])
			wide := p.indent - 0.45*p.size
			d.put("<rect class=\"number\" x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" rx=\"%s\"/>\n", num(x), num(y), num(wide), num(1.2*p.size), num(0.6*p.size))
			size := min(p.size, 0.9*p.size*wide/max(1, l.letters.width(n, p.size, true)))
			d.text(x+wide/2, y+0.6*(p.size-size), size, true, "n", "middle", n)
		case stopMark:
			d.stop(x, y+0.05*p.size, 1.2*p.size)
		case causeMark:
			d.put("<circle class=\"dot\" cx=\"%s\" cy=\"%s\" r=\"%s\"/>\n", num(x+0.5*p.size), num(y+0.62*p.size), num(0.2*p.size))
		case hazardMark:
			sign, of, _ := l.set.Hazard(p.hazard)
			d.put("<svg class=\"hazard %s\" x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\">%s</svg>\n", html.EscapeString(of), num(x-0.1*p.size), num(y-0.05*p.size), num(1.4*p.size), num(1.28*p.size), sign)
		}
		for _, line := range p.lines {
			d.text(x+p.indent, y, p.size, p.bold, "words", "", line)
			y += lineHeight * p.size
		}
		y += p.after
	}
}

type drawing struct{ out strings.Builder }

func (d *drawing) put(form string, a ...any) { fmt.Fprintf(&d.out, form, a...) }

// text writes one line whose top is at y.
func (d *drawing) text(x, y, size float64, bold bool, class, anchor, words string) {
	if bold {
		class += " bold"
	}
	if anchor != "" {
		anchor = fmt.Sprintf(" text-anchor=\"%s\"", anchor)
	}
	d.put("<text class=\"%s\" x=\"%s\" y=\"%s\" font-size=\"%s\"%s>%s</text>\n", class, num(x), num(y+0.93*size), num(size), anchor, html.EscapeString(words))
}

// stop draws the sign of eight sides.
func (d *drawing) stop(x, y, size float64) {
	d.put("<g class=\"halt\" transform=\"translate(%s %s) scale(%s)\"><path d=\"M7.5 1h9L23 7.5v9L16.5 23h-9L1 16.5v-9z\"/><path class=\"bar\" d=\"M6 10.2h12v3.6H6z\"/></g>\n", num(x), num(y), num(size/24))
}

// num writes a length with two decimals at most.
func num(x float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", x), "0"), ".")
}
