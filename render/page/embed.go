package page

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/proof"
	"slipring/engine/tell"
)

// embed places what a cell told, or what was read.
func (p *printer) embed(n *lesson.Node) {
	if n.EmbedKind == lesson.Picture {
		p.picture(n)
		return
	}
	one, _ := proof.Placed(n, p.shown)
	switch what := one.What.(type) {
	case tell.Figure:
		p.figure(n, what)
	case tell.Table:
		p.table(n, what, "computed")
	case lesson.Data:
		p.table(n, proof.Table(what, p.ui.Localize), "read")
		p.note(what)
	case tell.Motion:
		p.motion(n, what)
	case tell.Board:
		p.board(n, what)
	case tell.Sound:
		p.sound(n, what)
	case tell.Finder:
		p.finder(n, what)
	case tell.Schematic:
		p.schematic(n, what)
	case tell.Strips:
		p.strips(n, what)
	default:
		p.fail(n, "embed-missing", fmt.Sprintf("no cell tells a %s %q", n.EmbedKind, n.Name), "tell it in a cell of this lesson")
	}
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
	p.described(n, drawing.Description)
	p.figureFollows(f, settings.ID, drawing.Frames)
	p.knobs(f.Framed)
	p.line()
	p.put("<figure class=\"drawing\">\n")
	p.put(drawing.SVG)
	p.put("<figcaption>")
	p.rests("computed")
	p.nodes(n.Children, false)
	p.numbers(lesson.Figure, n.Name)
	p.put("</figcaption>\n</figure>\n")
}

// rests says beside a figure what its knowledge rests on (London Charter 2.1,
// principle 4): in the words' own size, for those who will not read the foot of
// the page.
func (p *printer) rests(how string) {
	if !p.status {
		return
	}
	if slices.ContainsFunc(p.in.Opened(), func(c machine.Card) bool { return c.Invented }) {
		how += "-invented"
	}
	p.putf(`<span class="status">%s</span> `, escape(p.ui.Text("status."+how)))
}

// numbers links to the numbers of a figure or table.
func (p *printer) numbers(kind, name string) { p.fileOf(kind, name, "numbers.file") }

// fileOf links to the file of something that the page shows, with a text.
func (p *printer) fileOf(kind, name, text string) {
	href := ""
	if p.links.File != nil {
		href = p.links.File(kind, name)
	}
	if href != "" {
		p.putf(` <a class="numbers" href="%s" download>%s</a>`, escape(href), escape(p.ui.Text(text)))
	}
}

// table prints a table. All numbers of a column have the same decimals, so
// that digits of equal width put the decimal signs below each other.
func (p *printer) table(n *lesson.Node, t tell.Table, how string) {
	p.knobs(t.Framed)
	id := p.id("table." + n.Name)
	p.line()
	p.putf("<div class=\"table\" role=\"region\" tabindex=\"0\" aria-labelledby=\"%s\">\n<table>\n<caption id=\"%s\">", escape(id), escape(id))
	p.rests(how)
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

// note says below the table of a data file where its numbers come from, as the
// file itself says.
func (p *printer) note(d lesson.Data) {
	if d.Note == "" {
		return
	}
	language := ""
	if base := p.in.Lesson.Base; base != nil && base.Language != p.in.Lesson.Language {
		language = ` lang="` + escape(base.Language) + `"`
	}
	p.putf("<p class=\"readings\"%s>%s</p>\n", language, escape(d.Note))
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

// described reports a picture of which nothing could be said to those who listen.
func (p *printer) described(n *lesson.Node, description string) {
	if strings.TrimSpace(description) == "" {
		p.fail(n, "undescribed", fmt.Sprintf("nothing says in words what the %s %q shows", n.EmbedKind, n.Name),
			"this is a mistake in Slipring, not in a lesson; please report it")
	}
}
