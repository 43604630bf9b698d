package page

import (
	"slipring/engine/lesson"
	"slipring/engine/tell"
	"slipring/render/schematic"
)

// schematic prints a circuit twice, with the symbols of then and of now. On
// screens two buttons say which of them is seen, by the style sheet alone; on
// paper, and for a browser that does not know how, both stand one below the
// other.
func (p *printer) schematic(n *lesson.Node, d tell.Schematic) {
	id := p.id("schematic." + n.Name)
	drawing, err := schematic.Draw(d, schematic.Settings{
		ID: id, Title: p.words(n), Width: p.plot.Width, Text: p.plot.Text, Tallest: p.tallestDrawing(),
		Words: p.ui, Told: p.in.Lesson.Told,
	})
	if err != nil {
		p.fail(n, "schematic", err.Error(), "change the drawing in its cell")
		return
	}
	p.described(n, drawing.Description)
	p.has(Symbols)
	p.line()
	p.put("<figure class=\"drawing schematic\">\n")
	styles := []struct{ name, svg, checked string }{{"then", drawing.Then, " checked"}, {"now", drawing.Now, ""}}
	if p.turning != nil { // on paper nothing is chosen
		p.putf("<fieldset class=\"styles\"><legend>%s</legend>\n", escape(p.ui.Text("schematic.style")))
		for _, s := range styles {
			p.putf("<label><input type=\"radio\" name=\"%s.style\" class=\"%s\"%s> %s</label>\n", escape(id), s.name, s.checked, escape(p.ui.Text("schematic."+s.name)))
		}
		p.put("</fieldset>\n")
	}
	for _, s := range styles {
		p.putf("<div class=\"%s\"><p class=\"style\">%s</p>\n%s</div>\n", s.name, escape(p.ui.Text("schematic."+s.name)), s.svg)
	}
	p.put("<figcaption>")
	p.rests("drawn")
	p.nodes(n.Children, false)
	p.fileOf(lesson.Schematic, n.Name, "numbers.wires")
	p.put("</figcaption>\n</figure>\n")
}

// tallestDrawing gives how tall one of the two drawings may be, in px: on the
// kiosk as tall as a figure with a knob below it, and on paper as one of a sheet.
func (p *printer) tallestDrawing() float64 {
	if p.tallest[1] > 0 {
		return p.tallest[1]
	}
	return p.plot.Tallest
}
