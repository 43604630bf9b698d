package proof

import (
	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// Shown is something that a lesson may place: a tell.Figure, a tell.Table, a
// tell.Motion, a tell.Board, a tell.Sound, a tell.Finder, a tell.Schematic or
// tell.Strips that a cell told, or the lesson.Data of a file, which pages show as a
// Table.
type Shown struct {
	Kind, Name string // of lesson.EmbedKinds
	tell.Framed
	What any
}

// ShownBy lists what a lesson may place, in the order of lesson.EmbedKinds.
func ShownBy(l *lesson.Lesson, r tell.Result) []Shown {
	var all []Shown
	for _, f := range r.Figures {
		all = append(all, Shown{lesson.Figure, f.Name, f.Framed, f})
	}
	for _, t := range r.Tables {
		all = append(all, Shown{lesson.Table, t.Name, t.Framed, t})
	}
	for _, d := range l.Data {
		all = append(all, Shown{lesson.Table, d.Name, tell.Framed{}, d})
	}
	for _, m := range r.Motions {
		all = append(all, Shown{lesson.Motion, m.Name, tell.Framed{}, m})
	}
	for _, b := range r.Boards {
		all = append(all, Shown{lesson.Board, b.Name, tell.Framed{}, b})
	}
	for _, s := range r.Sounds {
		all = append(all, Shown{lesson.Sound, s.Name, s.Framed, s})
	}
	for _, f := range r.Finders {
		all = append(all, Shown{lesson.Finder, f.Name, tell.Framed{}, f})
	}
	for _, d := range r.Schematics {
		all = append(all, Shown{lesson.Schematic, d.Name, tell.Framed{}, d})
	}
	for _, d := range r.Strips {
		all = append(all, Shown{lesson.Strips, d.Name, tell.Framed{}, d})
	}
	return all
}

// Placed finds what a block places. What a cell told comes before what was read.
func Placed(n *lesson.Node, all []Shown) (Shown, bool) {
	for _, s := range all {
		if s.placedBy(n) {
			return s, true
		}
	}
	return Shown{}, false
}

func (s Shown) placedBy(n *lesson.Node) bool {
	return n.Kind == lesson.Embed && n.EmbedKind == s.Kind && n.Name == s.Name
}

// told says whether a cell told it.
func (s Shown) told() bool {
	_, read := s.What.(lesson.Data)
	return !read
}

// words gives the labels that it shows, and the units beside them.
func (s Shown) words() (labels, units []string) {
	switch what := s.What.(type) {
	case tell.Figure:
		return figureWords(what)
	case tell.Table:
		return tableWords(what)
	case tell.Board:
		return boardWords(what)
	case lesson.Data:
		return tableWords(Table(what, func(string) string { return "" }))
	case tell.Finder:
		return finderWords(what), nil
	case tell.Schematic:
		return schematicWords(what), nil
	}
	return nil, nil
}

// schematicWords gives what is written beside the parts.
func schematicWords(d tell.Schematic) (labels []string) {
	for _, p := range d.Parts {
		labels = append(labels, p.Name, p.Words)
	}
	return labels
}

// boardWords, as strips do, leaves out what is written on parts, which the wiring says in each
// language.
func boardWords(b tell.Board) (labels, units []string) {
	for _, s := range b.States {
		labels = append(labels, s.Act, s.Says, s.Undo)
	}
	return labels, nil
}

func figureWords(f tell.Figure) (labels, units []string) {
	labels, units = []string{f.X.Label}, []string{f.X.Unit}
	for _, p := range f.Panes {
		labels, units = append(labels, p.Y.Label), append(units, p.Y.Unit)
		for _, l := range p.Lines {
			labels = append(labels, l.Label)
		}
	}
	return labels, units
}

func tableWords(t tell.Table) (labels, units []string) {
	for _, column := range t.Columns {
		labels, units = append(labels, column.Head), append(units, column.Unit)
	}
	for _, rows := range append([][][]tell.Entry{t.Rows}, t.Frames...) {
		for _, row := range rows {
			for _, e := range row {
				labels = append(labels, e.Text)
			}
		}
	}
	return labels, units
}

func finderWords(f tell.Finder) []string {
	var labels []string
	f.Root.Walk(func(l *tell.Look, _ int) {
		labels = append(labels, l.Ask, l.How)
		for _, a := range l.Answers {
			labels = append(labels, a.Says)
		}
		for _, cause := range l.Causes {
			labels = append(labels, cause.Says)
		}
	})
	return labels
}
