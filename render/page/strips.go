package page

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/lesson"
	"slipring/engine/tell"
	"slipring/render/strips"
)

// stripsOnPaper is how many parts a sheet of paper shows: those most in doubt.
const stripsOnPaper = 4

// strips prints a board's wires: a picture of a part, a table of its wires, and what
// each drawing has wrong. A script lets readers pick a part and a drawing. The other
// parts stand in a noscript element: without a script they are there, and with one the
// page does not hold thousands of elements that nobody looks at.
func (p *printer) strips(n *lesson.Node, s tell.Strips) {
	if p.tallest[0] > 0 {
		p.fail(n, "strips", fmt.Sprintf("strips %q find no room on a visitors' screen", n.Name),
			"place them outside the visitors' panels; a screen shows a circuit with tell.Schematic")
		return
	}
	w := stripsPrinter{printer: p, of: s, id: p.id("strips." + n.Name), title: p.words(n)}
	w.has(Strips)
	shown := len(s.Parts)
	if p.turning == nil {
		shown = min(shown, stripsOnPaper)
	}
	w.line()
	w.putf("<figure class=\"strips\" aria-labelledby=\"%s\" data-shown=\"%s\">\n<figcaption id=\"%s\">", escape(w.id),
		escape(w.ui.Text("strips.shown", "n", "#", "all", "@")), escape(w.id))
	w.rests("computed")
	w.nodes(n.Children, false)
	w.fileOf(lesson.Strips, n.Name, "numbers.wires")
	w.put("</figcaption>\n")
	w.key()
	if p.turning != nil {
		w.choices()
	}
	first := shown // parts outside the noscript element
	if p.turning != nil {
		first = 1
	}
	w.put("<div class=\"both\">\n")
	w.pictures(n, 0, first)
	w.drawings()
	w.table("table", 0, first)
	w.put("</div>\n")
	switch rest := len(s.Parts) - shown; {
	case rest > 0:
		w.putf("<p class=\"rest\">%s</p>\n", escape(w.ui.Text("strips.rest", "n", rest)))
	case first < shown:
		w.put("<noscript>\n")
		w.pictures(n, first, shown)
		w.table("more", first, shown)
		w.put("</noscript>\n")
	}
	w.put("</figure>\n")
}

type stripsPrinter struct {
	*printer
	of    tell.Strips
	id    string
	title string
}

// key says what lines mean.
func (w stripsPrinter) key() {
	w.put("<ul class=\"lines\">")
	for _, v := range tell.Verdicts() {
		w.putf("<li>%s %s</li>", strips.Sample(v, 14), escape(w.ui.Text("strips."+strips.Class(v))))
	}
	w.put("</ul>\n")
}

// choices prints the controls for the script, which shows them.
func (w stripsPrinter) choices() {
	w.putf("<div class=\"choices\" hidden>\n<label class=\"which\">%s <select>\n", escape(w.ui.Text("strips.part")))
	order := make([]int, len(w.of.Parts))
	for i := range order {
		order[i] = i
	}
	// One looks a part up by its name; the first of the list is the one to begin with.
	slices.SortStableFunc(order, func(i, k int) int { return natural(w.of.Parts[i].Name, w.of.Parts[k].Name) })
	for _, i := range order {
		all, open := 0, 0
		for _, one := range w.of.Wires {
			if one.At(w.of.Parts[i].Name) {
				all++
				if one.Verdict == tell.WireQuestion {
					open++
				}
			}
		}
		selected := ""
		if i == 0 {
			selected = " selected"
		}
		w.putf("<option value=\"%s\"%s>%s</option>\n", escape(w.of.Parts[i].Name), selected,
			escape(w.ui.Text("strips.option", "part", w.called(i), "open", open, "n", all)))
	}
	w.putf("<option value=\"\">%s</option>\n</select></label>\n<fieldset class=\"sheets\"><legend>%s</legend>\n", escape(w.ui.Text("strips.all-parts")), escape(w.ui.Text("strips.drawing")))
	w.putf("<label><input type=\"radio\" name=\"%s.sheet\" value=\"\" checked> %s</label>\n", escape(w.id), escape(w.ui.Text("strips.all-drawings")))
	for i := range w.of.Sheets {
		w.putf("<label><input type=\"radio\" name=\"%s.sheet\" value=\"%d\"> %s</label>\n", escape(w.id), i, escape(w.sheet(i)))
	}
	w.put("</fieldset>\n<p class=\"shown\" role=\"status\"></p>\n</div>\n")
}

// natural compares names as people count: H2 stands before H11.
func natural(a, b string) int {
	split := func(s string) (string, int) {
		letters := strings.TrimRight(s, "0123456789")
		n, err := strconv.Atoi(s[len(letters):])
		if err != nil {
			n = -1
		}
		return strings.ToLower(letters), n
	}
	la, na := split(a)
	lb, nb := split(b)
	return cmp.Or(cmp.Compare(la, lb), cmp.Compare(na, nb), cmp.Compare(a, b))
}

// called gives a part with what is written on it.
func (w stripsPrinter) called(i int) string {
	p := w.of.Parts[i]
	text := p.Text
	if in, ok := p.Texts[w.ui.Language()]; ok {
		text = in
	}
	if text == "" {
		return p.Name
	}
	return p.Name + " (" + text + ")"
}

// sheet names a drawing with its date.
func (w stripsPrinter) sheet(i int) string {
	s := w.of.Sheets[i]
	if s.Date == "" {
		return w.ui.Text("strips.undated", "name", s.Name)
	}
	return w.ui.Text("strips.named", "name", s.Name, "date", w.ui.Date(s.Date))
}

// drawings says in what each drawing differs from what is believed.
func (w stripsPrinter) drawings() {
	w.begin("sheets", "strips.sheets", "drawing", "count", "count-gone", "count-open", "count-missing")
	for i := range w.of.Sheets {
		n, gone, open, missing := 0, 0, 0, 0
		for _, one := range w.of.Wires {
			switch {
			case slices.Contains(one.Drawn, i):
				n++
				if one.Verdict == tell.WireNotThere {
					gone++
				}
				if one.Verdict == tell.WireQuestion {
					open++
				}
			case slices.Contains(one.Missing, i) && (one.Verdict == tell.WireFound || one.Verdict == tell.WireLikely):
				missing++
			}
		}
		w.putf("<tr><th scope=\"row\">%s</th>", escape(w.sheet(i)))
		for _, count := range []int{n, gone, open, missing} {
			w.putf("<td class=\"number\">%d</td>", count)
		}
		w.put("</tr>\n")
	}
	w.end()
}

// begin opens a table; those of two figures on a page are told apart by their titles.
func (w stripsPrinter) begin(name, caption string, heads ...string) {
	id := w.id + "." + name
	w.putf("<div class=\"table %s\" role=\"region\" tabindex=\"0\" aria-labelledby=\"%s %s\">\n<table>\n<caption id=\"%s\">%s</caption>\n<thead><tr>",
		name, escape(id), escape(w.id), escape(id), escape(w.ui.Text(caption)))
	for _, head := range heads {
		class := ""
		if strings.HasPrefix(head, "count") || head == "chance" {
			class = ` class="number"`
		}
		w.putf("<th scope=\"col\"%s>%s</th>", class, escape(w.ui.Text("strips."+head)))
	}
	w.put("</tr></thead>\n<tbody>\n")
}

func (w stripsPrinter) end() { w.put("</tbody>\n</table>\n</div>\n") }

// pictures prints some parts.
func (w stripsPrinter) pictures(n *lesson.Node, from, to int) {
	w.put("<div class=\"parts\">\n")
	for i := from; i < to; i++ {
		w.part(n, i)
	}
	w.put("</div>\n")
}

// part prints the picture of a part.
func (w stripsPrinter) part(n *lesson.Node, i int) {
	name := w.of.Parts[i].Name
	picture, err := strips.Draw(w.of, i, strips.Settings{
		ID: w.id + "." + name, Title: w.ui.Text("strips.title", "title", w.title, "part", name),
		Width: w.plot.Width, Text: w.plot.Text, Words: w.ui,
	})
	if err != nil {
		w.fail(n, "strips", err.Error(), "shorten the names of parts in wiring/parts.toml")
		return
	}
	w.described(n, picture.Description)
	called := "" // the picture has its name
	if all := w.called(i); all != name {
		called = "<p class=\"called\">" + escape(all) + "</p>\n"
	}
	w.putf("<div class=\"part\" data-part=\"%s\">%s%s</div>\n", escape(name), called, picture.SVG)
}

// table prints the wires at some parts, but for those at parts before them.
func (w stripsPrinter) table(name string, from, to int) {
	at := func(one tell.StripWire, parts []tell.StripPart) bool {
		return slices.ContainsFunc(parts, func(p tell.StripPart) bool { return one.At(p.Name) })
	}
	w.begin(name, "strips."+name, "from", "to", "verdict", "chance", "drawn", "why", "wire")
	for i, one := range w.of.Wires {
		if at(one, w.of.Parts[:from]) || !at(one, w.of.Parts[from:to]) {
			continue
		}
		var on []string
		for _, k := range one.Drawn {
			on = append(on, strconv.Itoa(k))
		}
		class := strips.Class(one.Verdict)
		w.putf("<tr data-wire=\"%d\" data-on=\"%s\"><th scope=\"row\">%s</th><td>%s</td><td class=\"verdict %s\">%s</td><td class=\"number\"><data value=\"%s\">%s</data></td><td class=\"on\">%s</td><td class=\"why\">%s</td><td>%s</td></tr>\n",
			i, strings.Join(on, " "), escape(one.From), escape(one.To), class, escape(w.ui.Text("strips."+class)),
			Exact(one.Chance), escape(w.ui.Number(100*one.Chance, 1)+"\u00a0%"), escape(strips.Drawn(w.of, one, w.ui)), escape(strips.Why(one.Why, w.ui)), escape(one.Wire))
	}
	w.end()
}
