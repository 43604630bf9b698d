package page

import (
	"slices"

	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// readings prints a table of a data file, and below it where its numbers come
// from, as the file itself says.
func (r *reader) readings(n *lesson.Node, t tell.Table) {
	r.table(n, t)
	i := slices.IndexFunc(r.source.Lesson.Data, func(d lesson.Data) bool { return d.Name == n.Name })
	if i < 0 || r.source.Lesson.Data[i].Note == "" {
		return
	}
	language := ""
	if base := r.source.Lesson.Base; base != nil && base.Language != r.source.Lesson.Language {
		language = ` lang="` + escape(base.Language) + `"`
	}
	r.putf("<p class=\"readings\"%s>%s</p>\n", language, escape(r.source.Lesson.Data[i].Note))
}

// Readings lists the tables of data files that the lesson places, each once.
func (s Source) Readings() []tell.Table {
	var out []tell.Table
	for _, n := range all(s.Lesson.Body, lesson.Embed) {
		t, ok := s.Report.Tables[n]
		if ok && !slices.ContainsFunc(out, func(had tell.Table) bool { return had.Name == t.Name }) {
			out = append(out, t)
		}
	}
	return out
}
