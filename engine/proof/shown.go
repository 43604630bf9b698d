package proof

import (
	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// Shown is something that a lesson may place.
type Shown struct {
	Kind, Name string // of lesson.EmbedKinds
	tell.Framed

	read  bool // from a data file, rather than told by a cell
	words func() (labels, units []string)
}

// ShownBy lists what a lesson may place, in the order of lesson.EmbedKinds.
func ShownBy(l *lesson.Lesson, r tell.Result) []Shown {
	var all []Shown
	for _, f := range r.Figures {
		all = append(all, Shown{lesson.Figure, f.Name, f.Framed, false, func() (labels, units []string) { return figureWords(f) }})
	}
	for _, t := range r.Tables {
		all = append(all, Shown{lesson.Table, t.Name, t.Framed, false, func() (labels, units []string) { return tableWords(t) }})
	}
	for _, d := range l.Data {
		all = append(all, Shown{lesson.Table, d.Name, tell.Framed{}, true, func() (labels, units []string) { return tableWords(Table(d)) }})
	}
	wordless := func() (labels, units []string) { return nil, nil }
	for _, m := range r.Motions {
		all = append(all, Shown{lesson.Motion, m.Name, tell.Framed{}, false, wordless})
	}
	for _, s := range r.Sounds {
		all = append(all, Shown{lesson.Sound, s.Name, s.Framed, false, wordless})
	}
	return all
}

// PlacedBy says whether a block places it.
func (s Shown) PlacedBy(n *lesson.Node) bool {
	return n.Kind == lesson.Embed && n.EmbedKind == s.Kind && n.Name == s.Name
}

// figureWords gives the labels of a figure, and the units beside them.
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
