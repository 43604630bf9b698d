package scene

import (
	"strconv"
	"strings"

	"slipring/render/markup"
)

// pen writes SVG, and notes what moves.
type pen struct {
	strings.Builder
	of    string // what the part is made of, "" for what is usual
	lit   bool   // the part shines
	still map[string][]string
	moves []Move
	slant float64 // how much narrower a disc on the shaft looks than it is
}

func (p *pen) start(tag string, attributes []string, end string) {
	p.WriteString("<" + tag)
	for i := 0; i+1 < len(attributes); i += 2 {
		p.WriteString(" " + attributes[i] + `="` + markup.Escape(attributes[i+1]) + `"`)
	}
	p.WriteString(end)
}

func (p *pen) open(tag string, attributes ...string)    { p.start(tag, attributes, ">\n") }
func (p *pen) close(tag string)                         { p.WriteString("</" + tag + ">\n") }
func (p *pen) element(tag string, attributes ...string) { p.start(tag, attributes, "/>\n") }
func (p *pen) text(tag, text string, attributes ...string) {
	p.start(tag, attributes, ">"+markup.Escape(text)+"</"+tag+">\n")
}

// usual gives what the part is made of where it does not say.
func (p *pen) usual(material string) string {
	if p.of != "" {
		return p.of
	}
	return material
}

// shape draws something filled, whose outline shows with no style sheet.
func (p *pen) shape(material, d string) {
	p.element("path", "class", material, "fill", "none", "stroke", "currentColor", "d", d)
}

// line draws a stroke: class "line", or "thin" for what is only a detail.
func (p *pen) line(class, d string) { p.shape(class, d) }

func (p *pen) rect(material string, x, y, w, h float64) { p.shape(material, rectangle(x, y, w, h)) }

func (p *pen) disc(material string, x, y, r float64) {
	p.element("circle", "class", material, "fill", "none", "stroke", "currentColor", "cx", markup.Tenths(x), "cy", markup.Tenths(y), "r", markup.Tenths(r))
}

// oval draws a disc that is seen at a slant.
func (p *pen) oval(material string, x, y, r float64) {
	p.element("ellipse", "class", material, "fill", "none", "stroke", "currentColor", "cx", markup.Tenths(x), "cy", markup.Tenths(y), "rx", markup.Tenths(p.slant*r), "ry", markup.Tenths(r))
}

// slant is the usual one: the shaft is seen from the side, and a little from its
// right end.
const slant = 0.42

// slanted draws with another slant.
func (p *pen) slanted(by float64, draw func()) {
	had := p.slant
	p.slant = by
	draw()
	p.slant = had
}

// moving gives the attributes of a thing that moves, and notes the move. Where
// nothing plays, it has none.
func (p *pen) moving(m Move) []string {
	m.Part = "whole." + strconv.Itoa(len(p.moves)+1)
	p.moves = append(p.moves, m)
	at, plays := p.still[m.Part]
	if !plays {
		return nil
	}
	return append([]string{"data-part", m.Part}, at...)
}

// turning draws what stands on the shaft, on a face whose middle is x, y. It is
// drawn as a circle around 0, 0 and seen at a slant.
func (p *pen) turning(x, y float64, draw func()) {
	p.open("g", "transform", "translate("+markup.Tenths(x)+" "+markup.Tenths(y)+") scale("+strconv.FormatFloat(p.slant, 'g', -1, 64)+" 1)")
	p.open("g", p.moving(Move{Does: Turns, By: ByShaft})...)
	draw()
	p.close("g")
	p.close("g")
}

// drum draws a cylinder that lies along the shaft, from x to x+w.
func (p *pen) drum(material string, x, y, w, r float64) {
	p.shape(material, d("M", x+w, y-r, "H", x, "A", p.slant*r, r, "0 0 0", x, y+r, "H", x+w, "z"))
	p.oval(material, x+w, y, r)
}

// d writes path data: letters as they are, numbers in tenths.
func d(pieces ...any) string {
	var b strings.Builder
	after := false
	for _, piece := range pieces {
		text := ""
		switch v := piece.(type) {
		case string:
			text = v
		case int:
			text = markup.Tenths(float64(v))
		case float64:
			text = markup.Tenths(v)
		}
		if digit := text != "" && (text[0] >= '0' && text[0] <= '9' || text[0] == '.'); after && digit {
			b.WriteByte(' ')
		}
		b.WriteString(text)
		after = text != "" && text[len(text)-1] >= '0' && text[len(text)-1] <= '9'
	}
	return b.String()
}

func rectangle(x, y, w, h float64) string { return d("M", x, y, "h", w, "v", h, "h", -w, "z") }

// rounded is a rectangle with round corners.
func rounded(x, y, w, h, r float64) string {
	return d("M", x+r, y, "h", w-2*r, "a", r, r, "0 0 1", r, r, "v", h-2*r, "a", r, r, "0 0 1", -r, r,
		"h", -(w - 2*r), "a", r, r, "0 0 1", -r, -r, "v", -(h - 2*r), "a", r, r, "0 0 1", r, -r, "z")
}
