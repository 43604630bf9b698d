package strips

import (
	"strings"

	"slipring/engine/tell"
	"slipring/render/words"
)

// Drawn says on which drawings a wire is, and which of those that show both of its
// ends have it not.
func Drawn(s tell.Strips, one tell.StripWire, w *words.Words) string {
	names := func(list []int) string {
		var out []string
		for _, i := range list {
			out = append(out, s.Sheets[i].Name)
		}
		return strings.Join(out, ", ")
	}
	on := w.Text("strips.nowhere")
	if len(one.Drawn) > 0 {
		on = names(one.Drawn)
	}
	if len(one.Missing) == 0 {
		return w.Text("strips.on", "sheets", on)
	}
	return w.Text("strips.on-not", "sheets", on, "others", names(one.Missing))
}

// Why says why a wire has its verdict.
func Why(r tell.StripReason, w *words.Words) string {
	ends := func() string {
		text := w.Text("strips.between", "from", r.From, "to", r.To)
		if r.Wire != "" {
			text = w.Text("strips.numbered", "wire", r.Wire, "between", text)
		}
		return text
	}
	switch r.Kind {
	case tell.ByClosed, tell.ByOpen:
		text := w.Text("strips."+r.Kind, "from", r.From, "to", r.To)
		if r.With != "" {
			text = w.Text("strips.with", "reading", text, "with", r.With)
		}
		if r.When != "" {
			text = w.Text("strips.when", "reading", text, "when", w.Date(r.When))
		}
		return text
	case tell.ByOther:
		return w.Text("strips.instead", "wire", ends())
	case tell.ByLikeness:
		return w.Text("strips.alike", "wire", ends())
	case tell.ByPlace:
		return w.Text("strips.beside")
	}
	return w.Text("strips.drawings-alone")
}

// Table gives all wires as a table, for spreadsheets.
func Table(s tell.Strips, w *words.Words) tell.Table {
	t := tell.Table{Name: s.Name}
	for _, head := range []string{"from", "to", "wire", "verdict", "chance", "drawn", "why"} {
		t.Columns = append(t.Columns, tell.Column{Head: w.Text("strips." + head)})
	}
	for _, one := range s.Wires {
		number := one.Wire
		if number == "" {
			number = w.Text("strips.nowhere")
		}
		t.Rows = append(t.Rows, []tell.Entry{tell.Text(one.From), tell.Text(one.To), tell.Text(number),
			tell.Text(w.Text("strips." + Class(one.Verdict))), tell.Number(one.Chance), tell.Text(Drawn(s, one, w)), tell.Text(Why(one.Why, w))})
	}
	return t
}
