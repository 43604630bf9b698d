package schematic

import (
	"fmt"
	"math"
	"strings"

	"slipring/render/markup"
)

// pen draws one symbol around the middle of its part. Symbols are drawn as they
// lie from left to right, y downward, in twentieths of the grid: their ends lie
// at -20, 0 and 20, 0.
type pen struct {
	out   *strings.Builder
	x, y  float64 // px, of the middle
	scale float64 // px for one twentieth of the grid
	turn  int     // quarters clockwise
	text  float64 // px
	reach rect    // of all that was drawn, in px
}

// at gives a point in px.
func (p *pen) at(x, y float64) (float64, float64) {
	for range p.turn {
		x, y = -y, x
	}
	x, y = p.x+p.scale*x, p.y+p.scale*y
	p.reach.add(x, y)
	return x, y
}

func (p *pen) point(x, y float64) string {
	x, y = p.at(x, y)
	return markup.Tenths(x) + " " + markup.Tenths(y)
}

// polyline gives the path through points, each an x and a y.
func (p *pen) polyline(xy []float64) string {
	var b strings.Builder
	for i := 0; i+1 < len(xy); i += 2 {
		b.WriteString([...]string{"L", "M"}[b2i(i == 0)] + p.point(xy[i], xy[i+1]))
	}
	return b.String()
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (p *pen) path(class, d string) {
	fmt.Fprintf(p.out, "<path class=\"%s\" fill=\"none\" stroke=\"currentColor\" d=\"%s\"/>\n", class, d)
}

// line draws a thin line through points, heavy a thick one, dashed a broken one.
func (p *pen) line(xy ...float64)   { p.path("thin", p.polyline(xy)) }
func (p *pen) heavy(xy ...float64)  { p.path("heavy", p.polyline(xy)) }
func (p *pen) dashed(xy ...float64) { p.path("dashed", p.polyline(xy)) }

// leads draws the lines from the ends of a part to its body, which reaches from
// -x to x.
func (p *pen) leads(x float64) {
	p.path("thin", p.polyline([]float64{-20, 0, -x, 0})+p.polyline([]float64{x, 0, 20, 0}))
}

// full fills what points surround.
func (p *pen) full(xy ...float64) {
	fmt.Fprintf(p.out, "<path class=\"full\" stroke=\"currentColor\" d=\"%sz\"/>\n", p.polyline(xy))
}

// box draws a rectangle, by its middle and half its sizes.
func (p *pen) box(x, y, w, h float64) {
	p.path("thin", p.polyline([]float64{x - w, y - h, x + w, y - h, x + w, y + h, x - w, y + h})+"z")
}

// ring draws a circle, disc a filled one.
func (p *pen) ring(x, y, r float64) { p.circle("thin", x, y, r) }
func (p *pen) disc(x, y, r float64) { p.circle("full", x, y, r) }

func (p *pen) circle(class string, x, y, r float64) {
	p.at(x-r, y-r)
	p.at(x+r, y+r)
	x, y = p.at(x, y)
	fill := "none"
	if class == "full" {
		fill = "currentColor"
	}
	fmt.Fprintf(p.out, "<circle class=\"%s\" fill=\"%s\" stroke=\"currentColor\" cx=\"%s\" cy=\"%s\" r=\"%s\"/>\n", class, fill, markup.Tenths(x), markup.Tenths(y), markup.Tenths(r*p.scale))
}

// arcs draws half circles of a radius, one beside the other, over the line.
func (p *pen) arcs(x, y, r float64, n int) {
	d := "M" + p.point(x, y)
	for i := range n {
		d += fmt.Sprintf("A%s %s 0 0 1 %s", markup.Tenths(r*p.scale), markup.Tenths(r*p.scale), p.point(x+2*r*float64(i+1), y))
	}
	p.path("thin", d)
}

// arc draws a piece of a circle of a radius, clockwise as seen unturned; the
// larger piece where large is 1.
func (p *pen) arc(x1, y1, r float64, large int, x2, y2 float64) {
	p.path("thin", fmt.Sprintf("M%sA%s %s 0 %d 1 %s", p.point(x1, y1), markup.Tenths(r*p.scale), markup.Tenths(r*p.scale), large, p.point(x2, y2)))
}

// curls draws loops, as a winding looks from its side.
func (p *pen) curls(x1, x2, high float64, n int) {
	var xy []float64
	const steps = 18
	for i := range n*steps + 1 {
		turned := 2 * math.Pi * float64(i) / steps
		along := float64(i) / float64(n*steps)
		width := (x2 - x1) / float64(n) * 0.55
		xy = append(xy, x1+(x2-x1)*along-width*math.Sin(turned), -high*(1-math.Cos(turned))/2)
	}
	p.path("thin", p.polyline(xy))
}

// zigzag draws a line with so many teeth, to both sides of y.
func (p *pen) zigzag(x1, x2, y, high float64, teeth int) {
	xy := []float64{x1, y}
	for i := range teeth {
		side := high
		if i%2 == 0 {
			side = -high
		}
		xy = append(xy, x1+(x2-x1)*(float64(i)+0.5)/float64(teeth), y+side)
	}
	p.line(append(xy, x2, y)...)
}

// letter writes a letter upright, with its middle at a point.
func (p *pen) letter(x, y float64, s string) {
	x, y = p.at(x, y)
	fmt.Fprintf(p.out, "<text class=\"letter\" text-anchor=\"middle\" x=\"%s\" y=\"%s\">%s</text>\n", markup.Tenths(x), markup.Tenths(y+0.36*p.text), markup.Escape(s))
}

// upright gives which way is up on the page, for what stands beside a letter
// that is never turned with its part.
func (p *pen) upright(x, y float64) (float64, float64) {
	for range (4 - p.turn) % 4 {
		x, y = -y, x
	}
	return x, y
}
