// Package schematic draws circuits with symbols, once with those of about 1910
// and once with those of IEC 60617.
//
//	drawing, err := schematic.Draw(told, schematic.Settings{ID: "start", Title: "How the set is started"})
//
// Both drawings have the same places, lines and names, so that a reader who
// changes from one to the other sees nothing change but the symbols. Lines that
// are joined have a dot; lines that cross have none, and in the drawing of about
// 1910 one of them goes over the other in a bow (common practice, no source).
//
// A drawing holds classes instead of colours: schematic-drawing (the whole),
// wire, dot, thin, heavy, dashed and full (lines and shapes of symbols), open
// (rings filled with the ground), letter, name and words.
//
// The package knows circuits only; it places nothing on a page.
package schematic

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/tell"
	"slipring/render/markup"
	"slipring/render/words"
)

// Settings says how large a drawing is and how it is called. The zero value
// works.
type Settings struct {
	ID    string  // ids of the drawings begin with it; "schematic" when empty
	Title string  // what it shows; the schematic's name when empty
	Width float64 // px; 400 when 0
	Text  float64 // px, size of text; 14 when 0

	// Tallest is the height in px above which the grid is made closer; no limit
	// when 0.
	Tallest float64

	Words *words.Words              // of the descriptions; English when nil
	Told  func(label string) string // gives names and words in that language; as told when nil
}

// Drawing is a schematic as it stands in a page, as SVG.
type Drawing struct {
	Then, Now   string
	Description string // its parts and joins, for a listener
}

// Draw draws a schematic. It fails when a label finds no place.
func Draw(d tell.Schematic, s Settings) (Drawing, error) {
	if s.ID == "" {
		s.ID = "schematic"
	}
	if s.Title == "" {
		s.Title = d.Name
	}
	if s.Width <= 0 {
		s.Width = 400
	}
	if s.Text <= 0 {
		s.Text = 14
	}
	if s.Told == nil {
		s.Told = func(label string) string { return label }
	}
	if s.Words == nil {
		var err error
		if s.Words, err = words.In("en"); err != nil {
			return Drawing{}, err
		}
	}
	l, err := layOut(d, s)
	if err != nil {
		return Drawing{}, fmt.Errorf("schematic %q: %w", d.Name, err)
	}
	said := describe(d, l.lines, s)
	return Drawing{Then: l.draw(s, Then, said), Now: l.draw(s, Now, said), Description: said}, nil
}

// draw writes the whole SVG element in a style.
func (l *layout) draw(s Settings, style Style, said string) string {
	var b strings.Builder
	id := markup.Escape(s.ID + "." + [...]string{"then", "now"}[style])
	fmt.Fprintf(&b, "<svg class=\"schematic-drawing\" id=\"%s\" viewBox=\"0 %s %s %s\" role=\"img\" aria-labelledby=\"%s-title %s-desc\" font-size=\"%s\" fill=\"currentColor\">\n",
		id, markup.Tenths(l.top), markup.Tenths(s.Width), markup.Tenths(l.bottom-l.top), id, id, markup.Tenths(l.text))
	title := s.Words.Text("schematic.title-" + [...]string{"then", "now"}[style])
	fmt.Fprintf(&b, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", id, markup.Escape(s.Title+" ("+title+")"), id, markup.Escape(said))
	for _, path := range l.lines.Paths {
		if len(path) > 1 {
			fmt.Fprintf(&b, "<path class=\"wire\" fill=\"none\" stroke=\"currentColor\" d=\"%s\"/>\n", l.wire(path, style))
		}
	}
	for _, p := range l.drawn.Parts {
		one, _ := symbolOf(p.Kind)
		one.draw(l.pen(p, &b), style)
	}
	for _, p := range l.lines.Dots {
		if !l.terminal(p) {
			x, y := l.at(p)
			fmt.Fprintf(&b, "<circle class=\"dot\" cx=\"%s\" cy=\"%s\" r=\"%s\"/>\n", markup.Tenths(x), markup.Tenths(y), markup.Tenths(0.22*l.text))
		}
	}
	for _, one := range l.labels {
		one.write(&b, l.text)
	}
	b.WriteString("</svg>\n")
	return b.String()
}

// terminal says whether a terminal's ring stands at a place, in which a dot
// would not be seen.
func (l *layout) terminal(at tell.Spot) bool {
	return slices.ContainsFunc(l.drawn.Parts, func(p tell.Symbol) bool {
		return p.Kind == "terminal" && at == tell.Spot{Column: p.Column, Row: p.Row}
	})
}

// wire gives the path of a join. In the style of about 1910, what runs level
// goes in a bow over what it crosses.
func (l *layout) wire(path []tell.Spot, style Style) string {
	var b strings.Builder
	bow := 0.22 * l.unit
	for i, p := range path {
		x, y := l.at(p)
		if i == 0 {
			fmt.Fprintf(&b, "M%s %s", markup.Tenths(x), markup.Tenths(y))
			continue
		}
		from := path[i-1]
		if style == Then && from.Row == p.Row {
			way := 1
			if p.Column < from.Column {
				way = -1
			}
			for c := from.Column + way; c != p.Column; c += way {
				if over := (tell.Spot{Column: c, Row: p.Row}); slices.Contains(l.lines.Crossings, over) {
					ox, _ := l.at(over)
					sweep := (way + 1) / 2
					fmt.Fprintf(&b, "L%s %sA%s %s 0 0 %d %s %s", markup.Tenths(ox-float64(way)*bow), markup.Tenths(y), markup.Tenths(bow), markup.Tenths(bow), sweep, markup.Tenths(ox+float64(way)*bow), markup.Tenths(y))
				}
			}
		}
		fmt.Fprintf(&b, "L%s %s", markup.Tenths(x), markup.Tenths(y))
	}
	return b.String()
}

// Key gives the key of a kind in the texts of package words, as in symbol.KEY.
func Key(kind string) string { return strings.ReplaceAll(kind, " ", "-") }

// describe lists parts and joins in words.
func describe(d tell.Schematic, lines tell.Lines, s Settings) string {
	var parts, joined []string
	for _, p := range d.Parts {
		one := s.Told(p.Name)
		if len(p.Ends) > 0 {
			one += " " + strings.Join(p.Ends, "-")
		}
		one += ": " + s.Words.Text("symbol."+Key(p.Kind))
		if p.Words != "" {
			one += " (" + s.Told(p.Words) + ")"
		}
		parts = append(parts, one)
	}
	for _, net := range lines.Nets {
		var ends []string
		for _, end := range net {
			dot := strings.LastIndex(end, ".")
			ends = append(ends, s.Told(end[:dot])+" "+end[dot+1:])
		}
		if len(ends) > 1 {
			joined = append(joined, strings.Join(ends, " – "))
		}
	}
	out := s.Words.Text("schematic.parts", "parts", strings.Join(parts, "; "))
	if len(joined) > 0 {
		out += " " + s.Words.Text("schematic.joined", "joined", strings.Join(joined, "; "))
	}
	return out
}

// CSV writes the joins of a schematic as a list of wires, with the heads that
// lists of wires have: each end with the first that it is joined to.
func CSV(d tell.Schematic) []byte {
	var b strings.Builder
	b.WriteString("from,to\r\n")
	lines, err := d.Lines()
	if err != nil {
		return []byte(b.String())
	}
	for _, net := range lines.Nets {
		for _, end := range net[1:] {
			fmt.Fprintf(&b, "%s,%s\r\n", field(net[0]), field(end))
		}
	}
	return []byte(b.String())
}

// field writes an end, which holds no comma. In a spreadsheet nothing may begin
// as a formula does, and quotation marks are doubled.
func field(s string) string {
	if strings.IndexAny(s, "=+-@") == 0 {
		s = "'" + s
	}
	if strings.ContainsAny(s, "\";") {
		s = `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}
	return s
}

// One draws the symbol of a kind by itself, for the chart of all symbols.
func One(kind string, style Style) string {
	one, ok := symbolOf(kind)
	if !ok {
		return ""
	}
	unit := 34.0
	if k, _ := tell.SymbolKindOf(kind); len(k.Ends) > 2 { // twice as wide as the others
		unit = 22
	}
	measure := &pen{out: new(strings.Builder), scale: unit / 20, text: 16, reach: nothing()}
	one.draw(measure, Then)
	one.draw(measure, Now)
	var b strings.Builder
	r := measure.reach.wider(2.5)
	fmt.Fprintf(&b, "<svg class=\"schematic-drawing\" viewBox=\"%s %s %s %s\" width=\"%s\" height=\"%s\" aria-hidden=\"true\" font-size=\"16\" fill=\"currentColor\">\n",
		markup.Tenths(r.left), markup.Tenths(r.top), markup.Tenths(r.right-r.left), markup.Tenths(r.bottom-r.top), markup.Tenths(r.right-r.left), markup.Tenths(r.bottom-r.top))
	one.draw(&pen{out: &b, scale: unit / 20, text: 16, reach: nothing()}, style)
	b.WriteString("</svg>\n")
	return b.String()
}
