package page

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// embed places what a cell told, or what was read.
func (p *printer) embed(n *lesson.Node) {
	placed, result := false, p.in.Result
	switch n.EmbedKind {
	case lesson.Figure:
		placed = place(n, result.Figures, func(f tell.Figure) string { return f.Name }, p.figure)
	case lesson.Table:
		placed = place(n, result.Tables, func(t tell.Table) string { return t.Name }, p.table)
		if t, ok := p.in.Report.Tables[n]; ok && !placed {
			p.readings(n, t)
			placed = true
		}
	case lesson.Motion:
		placed = place(n, result.Motions, func(m tell.Motion) string { return m.Name }, p.motion)
	case lesson.Sound:
		placed = place(n, result.Sounds, func(s tell.Sound) string { return s.Name }, p.sound)
	}
	if !placed {
		p.fail(n, "embed-missing", fmt.Sprintf("no cell tells a %s %q", n.EmbedKind, n.Name), "tell it in a cell of this lesson")
	}
}

// place prints the one of a list that a block names, and says whether there is
// one.
func place[T any](n *lesson.Node, list []T, name func(T) string, print func(*lesson.Node, T)) bool {
	i := slices.IndexFunc(list, func(one T) bool { return name(one) == n.Name })
	if i >= 0 {
		print(n, list[i])
	}
	return i >= 0
}

// figure prints a figure. Its alternative text stands below it for those who
// see it, and names it for those who listen, followed by a description that
// was computed from the data.
func (p *printer) figure(n *lesson.Node, f tell.Figure) {
	settings := p.plot
	settings.Words, settings.Told = p.ui, p.in.Lesson.Told
	settings.ID = p.id("figure." + n.Name)
	settings.Title = p.words(n)
	settings.Knobs, settings.Still = p.in.Result.Knobs, p.turning == nil
	if most := p.tallest[min(len(f.Knobs), len(p.tallest)-1)]; most > 0 {
		settings.Tallest, settings.Height = most, min(settings.Height, most)
	}
	drawing, err := p.in.Drawings.Draw(f, settings)
	if err != nil {
		p.fail(n, "figure", err.Error(), "change the figure in its cell")
		return
	}
	p.figureFollows(f, settings.ID, drawing.Frames)
	p.knobs(f.Framed)
	p.line()
	p.put("<figure class=\"drawing\">\n")
	p.put(drawing.SVG)
	p.put("<figcaption>")
	p.nodes(n.Children, false)
	p.numbers(lesson.Figure, n.Name)
	p.put("</figcaption>\n</figure>\n")
}

// numbers links to the numbers of a figure or table.
func (p *printer) numbers(kind, name string) {
	href := ""
	if p.links.File != nil {
		href = p.links.File(kind, name)
	}
	if href != "" {
		p.putf(` <a class="numbers" href="%s" download>%s</a>`, escape(href), escape(p.ui.Text("numbers.file")))
	}
}

// table prints a table. All numbers of a column have the same decimals, so
// that digits of equal width put the decimal signs below each other.
func (p *printer) table(n *lesson.Node, t tell.Table) {
	p.knobs(t.Framed)
	id := p.id("table." + n.Name)
	p.line()
	p.putf("<div class=\"table\" role=\"region\" tabindex=\"0\" aria-labelledby=\"%s\">\n<table>\n<caption id=\"%s\">", escape(id), escape(id))
	p.nodes(n.Children, false)
	p.numbers(lesson.Table, n.Name)
	p.put("</caption>\n<thead><tr>")
	for i, c := range t.Columns {
		head := p.in.Lesson.Told(c.Head)
		if c.Unit != "" {
			head = strings.TrimPrefix(head+", "+c.Unit, ", ")
		}
		p.putf(`<th scope="col"%s>%s</th>`, columnClass(t, i), escape(head))
	}
	p.put("</tr></thead>\n<tbody>\n")
	for k, row := range t.Rows {
		p.put("<tr>")
		for i, e := range row {
			follows := p.entryFollows(t, k, i)
			switch {
			case e.Text != "" && i == 0:
				p.putf(`<th scope="row"%s>%s</th>`, follows, escape(p.in.Lesson.Told(e.Text)))
			case e.Text != "":
				p.putf(`<td%s%s>%s</td>`, columnClass(t, i), follows, escape(p.in.Lesson.Told(e.Text)))
			default:
				p.putf(`<td class="number"><data value="%s"%s>%s</data></td>`, Exact(e.Number), follows, p.ui.Number(e.Number, t.Columns[i].Decimals))
			}
		}
		p.put("</tr>\n")
	}
	p.put("</tbody>\n</table>\n</div>\n")
}

// columnClass marks a column that holds a number.
func columnClass(t tell.Table, column int) string {
	if slices.ContainsFunc(t.Rows, func(row []tell.Entry) bool { return row[column].Text == "" }) {
		return ` class="number"`
	}
	return ""
}

// words gives the text below a node on one line, with numbers as they are
// printed.
func (p *printer) words(n *lesson.Node) string {
	var b strings.Builder
	n.Walk(func(n *lesson.Node) bool {
		switch n.Kind {
		case lesson.Bound, lesson.Insert:
			b.WriteString(p.in.Report.Printed[n])
			return false
		case lesson.Text, lesson.CodeSpan, lesson.Formula:
			b.WriteString(n.Text)
		case lesson.SoftBreak, lesson.HardBreak:
			b.WriteByte(' ')
		}
		return true
	})
	return oneLine(b.String())
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
