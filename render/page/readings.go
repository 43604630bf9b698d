package page

import (
	"slices"

	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// readings prints a table of a data file, and below it where its numbers come
// from, as the file itself says.
func (p *printer) readings(n *lesson.Node, t tell.Table) {
	p.table(n, t)
	i := slices.IndexFunc(p.in.Lesson.Data, func(d lesson.Data) bool { return d.Name == n.Name })
	if i < 0 || p.in.Lesson.Data[i].Note == "" {
		return
	}
	language := ""
	if base := p.in.Lesson.Base; base != nil && base.Language != p.in.Lesson.Language {
		language = ` lang="` + escape(base.Language) + `"`
	}
	p.putf("<p class=\"readings\"%s>%s</p>\n", language, escape(p.in.Lesson.Data[i].Note))
}

// Readings lists the tables of data files that the lesson places, each once.
func (in Input) Readings() []tell.Table {
	var out []tell.Table
	for _, n := range all(in.Lesson.Body, lesson.Embed) {
		t, ok := in.Report.Tables[n]
		if ok && !slices.ContainsFunc(out, func(had tell.Table) bool { return had.Name == t.Name }) {
			out = append(out, t)
		}
	}
	return out
}
