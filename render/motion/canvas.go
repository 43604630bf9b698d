package motion

import (
	"fmt"
	"math"
	"strings"

	"slipring/render/markup"
)

// canvas writes SVG elements. A part named by the attribute data-part is
// written with the place that it has at the still.
type canvas struct {
	strings.Builder
	still map[string][]attribute
	stack []string
	err   error
}

func (c *canvas) start(tag string, attributes []string, end string) {
	c.WriteString("<" + tag)
	for i := 0; i+1 < len(attributes); i += 2 {
		name, value := attributes[i], attributes[i+1]
		fmt.Fprintf(c, " %s=\"%s\"", name, markup.Escape(value))
		if name != "data-part" {
			continue
		}
		places, ok := c.still[value]
		if !ok {
			c.fail("part %q is drawn but never moves", value)
		}
		for _, a := range places {
			fmt.Fprintf(c, " %s=\"%s\"", a.name, markup.Escape(a.value))
		}
	}
	c.WriteString(end)
}

// open begins a group or another element that holds elements.
func (c *canvas) open(tag string, attributes ...string) {
	c.start(tag, attributes, ">\n")
	c.stack = append(c.stack, tag)
}

// close ends the element that was opened last.
func (c *canvas) close(tag string) {
	n := len(c.stack) - 1
	if n < 0 || c.stack[n] != tag {
		c.fail("%q is closed out of order", tag)
		return
	}
	c.stack = c.stack[:n]
	c.WriteString("</" + tag + ">\n")
}

// text writes an element that holds text.
func (c *canvas) text(tag, text string, attributes ...string) {
	c.start(tag, attributes, ">"+markup.Escape(text)+"</"+tag+">\n")
}

// element writes an empty element.
func (c *canvas) element(tag string, attributes ...string) { c.start(tag, attributes, "/>\n") }

// shape draws a filled part, whose outline shows even with no style sheet.
func (c *canvas) shape(class, d string, attributes ...string) {
	c.element("path", append([]string{"class", "shape " + class, "fill", "none", "stroke", "currentColor", "d", d}, attributes...)...)
}

// line draws a stroke.
func (c *canvas) line(class, d string, attributes ...string) {
	c.element("path", append([]string{"class", "line " + class, "fill", "none", "stroke", "currentColor", "d", d}, attributes...)...)
}

// moving draws a stroke or a shape, as its class says, whose path is that of a
// part.
func (c *canvas) moving(class, name string) {
	c.element("path", "class", class, "fill", "none", "stroke", "currentColor", "data-part", name)
}

func (c *canvas) disc(class string, x, y, r float64, attributes ...string) {
	c.element("circle", append([]string{"class", class, "fill", "none", "stroke", "currentColor",
		"cx", markup.Tenths(x), "cy", markup.Tenths(y), "r", markup.Tenths(r)}, attributes...)...)
}

// label writes a part's name with a line that leads to the part. Where the
// part moves, the line's far end is the part named follow.
func (c *canvas) label(text string, x, y float64, anchor string, fromX, fromY, toX, toY float64, follow string) {
	place := []string{"class", "leader", "stroke", "currentColor", "x1", markup.Tenths(fromX), "y1", markup.Tenths(fromY)}
	if follow != "" {
		place = append(place, "data-part", follow)
	} else {
		place = append(place, "x2", markup.Tenths(toX), "y2", markup.Tenths(toY))
	}
	c.element("line", place...)
	c.name("label", text, x, y, anchor)
}

func (c *canvas) name(class, text string, x, y float64, anchor string, attributes ...string) {
	place := []string{"class", class, "x", markup.Tenths(x), "y", markup.Tenths(y), "font-size", markup.Tenths(textSize)}
	if anchor != "start" {
		place = append(place, "text-anchor", anchor)
	}
	c.text("text", text, append(place, attributes...)...)
}

// riding writes a name, a line for each of its pieces, that moves with a part
// and stays upright. The name's middle is up px above the part's place, or
// below with a negative number.
func (c *canvas) riding(part, class string, up float64, lines ...string) {
	c.open("g", "data-part", part)
	for i, line := range lines {
		c.name(class, line, 0, 24-up+38*(float64(i)-float64(len(lines)-1)/2), "middle")
	}
	c.close("g")
}

// states writes what a contact is doing, one text a state.
func (c *canvas) states(w controlWords, x, y float64, anchor string) {
	c.name("state off", w.States[0], x, y, anchor, "data-part", "open")
	c.name("state on", w.States[1], x, y, anchor, "data-part", "closed")
}

func (c *canvas) fail(format string, args ...any) {
	if c.err == nil {
		c.err = fmt.Errorf(format, args...)
	}
}

// path writes path data: letters as they are, numbers in tenths.
func path(pieces ...any) string {
	var b strings.Builder
	digit := func(c byte) bool { return c >= '0' && c <= '9' }
	after := false // a number
	for _, p := range pieces {
		text := ""
		switch p := p.(type) {
		case string:
			text = p
		case int:
			text = markup.Tenths(float64(p))
		case float64:
			text = markup.Tenths(p)
		}
		if after && text != "" && (digit(text[0]) || text[0] == '.') {
			b.WriteByte(' ')
		}
		b.WriteString(text)
		after = text != "" && digit(text[len(text)-1])
	}
	return b.String()
}

func rectangle(x, y, w, h float64) string { return path("M", x, y, "h", w, "v", h, "h", -w, "z") }

// arrow draws a straight arrow from x, y, downward where length is above 0.
func arrow(x, y, length float64) string {
	head := math.Copysign(20, length)
	return path("M", x-4, y, "h", 8, "v", length-head, "h", 7, "l", -11, head, "l", -11, -head, "h", 7, "z")
}
