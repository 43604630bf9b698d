package page

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// embed places what a cell told.
func (r *reader) embed(n *lesson.Node) {
	missing := func() {
		r.fail(n, "embed-missing", fmt.Sprintf("no cell tells a %s %q", n.EmbedKind, n.Name), "tell it in a cell of this lesson")
	}
	switch n.EmbedKind {
	case "figure":
		i := slices.IndexFunc(r.source.Result.Figures, func(f tell.Figure) bool { return f.Name == n.Name })
		if i < 0 {
			missing()
			return
		}
		r.figure(n, r.source.Result.Figures[i])
	case "table":
		i := slices.IndexFunc(r.source.Result.Tables, func(t tell.Table) bool { return t.Name == n.Name })
		if i < 0 {
			if t, ok := r.source.Report.Tables[n]; ok {
				r.readings(n, t)
				return
			}
			missing()
			return
		}
		r.table(n, r.source.Result.Tables[i])
	case "motion":
		i := slices.IndexFunc(r.source.Result.Motions, func(m tell.Motion) bool { return m.Name == n.Name })
		if i < 0 {
			missing()
			return
		}
		r.motion(n, r.source.Result.Motions[i])
	case "sound":
		i := slices.IndexFunc(r.source.Result.Sounds, func(s tell.Sound) bool { return s.Name == n.Name })
		if i < 0 {
			missing()
			return
		}
		r.sound(n, r.source.Result.Sounds[i])
	}
}

// figure prints a figure. Its alternative text stands below it for those who
// see it, and names it for those who listen, followed by a description that
// was computed from the data.
func (r *reader) figure(n *lesson.Node, f tell.Figure) {
	settings := r.plot
	settings.Words, settings.Told = r.ui, r.source.Lesson.Told
	settings.ID = r.id("figure." + n.Name)
	settings.Title = r.words(n)
	settings.Knobs, settings.Still = r.source.Result.Knobs, r.turning == nil
	if most := r.tallest[min(len(f.Knobs), len(r.tallest)-1)]; most > 0 {
		settings.Tallest, settings.Height = most, min(settings.Height, most)
	}
	drawing, err := r.source.Drawings.Draw(f, settings)
	if err != nil {
		r.fail(n, "figure", err.Error(), "change the figure in its cell")
		return
	}
	r.figureFollows(f, settings.ID, drawing.Frames)
	r.knobs(f.Framed)
	r.line()
	r.put("<figure class=\"drawing\">\n")
	r.put(drawing.SVG)
	r.put("<figcaption>")
	r.nodes(n.Children, false)
	r.numbers("figure", n.Name)
	r.put("</figcaption>\n</figure>\n")
}

// numbers links to the numbers of a figure or table.
func (r *reader) numbers(kind, name string) {
	href := ""
	if r.links.File != nil {
		href = r.links.File(kind, name)
	}
	if href != "" {
		r.putf(` <a class="numbers" href="%s" download>%s</a>`, escape(href), escape(r.ui.Text("numbers.file")))
	}
}

// table prints a table. All numbers of a column have the same decimals, so
// that digits of equal width put the decimal signs below each other.
func (r *reader) table(n *lesson.Node, t tell.Table) {
	r.knobs(t.Framed)
	id := r.id("table." + n.Name)
	r.line()
	r.putf("<div class=\"table\" role=\"region\" tabindex=\"0\" aria-labelledby=\"%s\">\n<table>\n<caption id=\"%s\">", escape(id), escape(id))
	r.nodes(n.Children, false)
	r.numbers("table", n.Name)
	r.put("</caption>\n<thead><tr>")
	for i, c := range t.Columns {
		head := r.source.Lesson.Told(c.Head)
		if c.Unit != "" {
			head = strings.TrimPrefix(head+", "+c.Unit, ", ")
		}
		r.putf(`<th scope="col"%s>%s</th>`, columnClass(t, i), escape(head))
	}
	r.put("</tr></thead>\n<tbody>\n")
	for k, row := range t.Rows {
		r.put("<tr>")
		for i, e := range row {
			follows := r.entryFollows(t, k, i)
			switch {
			case e.Text != "" && i == 0:
				r.putf(`<th scope="row"%s>%s</th>`, follows, escape(r.source.Lesson.Told(e.Text)))
			case e.Text != "":
				r.putf(`<td%s%s>%s</td>`, columnClass(t, i), follows, escape(r.source.Lesson.Told(e.Text)))
			default:
				r.putf(`<td class="number"><data value="%s"%s>%s</data></td>`, Exact(e.Number), follows, r.ui.Number(e.Number, t.Columns[i].Decimals))
			}
		}
		r.put("</tr>\n")
	}
	r.put("</tbody>\n</table>\n</div>\n")
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
func (r *reader) words(n *lesson.Node) string {
	var b strings.Builder
	n.Walk(func(n *lesson.Node) bool {
		switch n.Kind {
		case lesson.Bound, lesson.Insert:
			b.WriteString(r.source.Report.Printed[n])
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
