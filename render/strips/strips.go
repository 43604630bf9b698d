// Package strips draws the wires at a part of a board as old drawings have them:
// the part with its terminals at the left, the parts that its wires lead to at the
// right, and the wires between them.
//
//	picture, err := strips.Draw(told, 0, strips.Settings{ID: "wires.TS1", Title: "TS1"})
//
// How sure a wire is shows without colour: one that is found is thick, one that is
// likely thin, an open question dashed with a question mark, and one that is not
// there dotted with a cross. A wire between two terminals of the part bows around
// them at the left. The other parts stand in an order in which few wires cross.
//
// A picture holds classes instead of colours: strips-drawing (the whole), strip and
// stud (parts and terminals), wire with one of found, likely, unsure and gone, mark,
// name and label. Each wire has its place in the list of all as data-wire.
//
// The package knows no page and no script.
package strips

import (
	"fmt"
	"slices"
	"strings"

	"slipring/engine/tell"
	"slipring/render/markup"
	"slipring/render/words"
)

// Settings says how large a picture is and how it is called. The zero value works.
type Settings struct {
	ID    string  // ids of the picture begin with it; "strips" when empty
	Title string  // what it shows; the part's name when empty
	Width float64 // px; 400 when 0
	Text  float64 // px, size of text; 14 when 0

	Words *words.Words // English when nil
}

// Picture is a part with its wires as it stands in a page.
type Picture struct {
	SVG         string
	Description string // how many of its wires are how sure, for a listener
}

// Class gives the class of a verdict.
func Class(verdict string) string {
	switch verdict {
	case tell.WireQuestion:
		return "unsure"
	case tell.WireNotThere:
		return "gone"
	}
	return verdict
}

// Draw draws the part at a place of the list. It fails when its names are too long
// for the width.
func Draw(s tell.Strips, part int, set Settings) (Picture, error) {
	if set.ID == "" {
		set.ID = "strips"
	}
	if set.Title == "" {
		set.Title = s.Parts[part].Name
	}
	if set.Width <= 0 {
		set.Width = 400
	}
	if set.Text <= 0 {
		set.Text = 14
	}
	if set.Words == nil {
		var err error
		if set.Words, err = words.In("en"); err != nil {
			return Picture{}, err
		}
	}
	l, err := layOut(s, s.Parts[part], set)
	if err != nil {
		return Picture{}, err
	}
	said := Said(s, part, set.Words)
	return Picture{SVG: l.draw(set, said), Description: said}, nil
}

// Said counts the wires at a part by how sure they are.
func Said(s tell.Strips, part int, w *words.Words) string {
	var counts []string
	for _, v := range tell.Verdicts() {
		n := 0
		for _, one := range s.Wires {
			if one.Verdict == v && one.At(s.Parts[part].Name) {
				n++
			}
		}
		if n > 0 {
			counts = append(counts, fmt.Sprintf("%s %d", w.Text("strips."+Class(v)), n))
		}
	}
	return w.Text("strips.said", "part", s.Parts[part].Name, "counts", strings.Join(counts, ", "))
}

// draw writes the whole SVG element: wires below the parts.
func (l *layout) draw(set Settings, said string) string {
	var b strings.Builder
	id, t := markup.Escape(set.ID), l.text
	fmt.Fprintf(&b, "<svg class=\"strips-drawing\" viewBox=\"0 0 %s %s\" role=\"img\" aria-labelledby=\"%s-title %s-desc\" font-size=\"%s\" fill=\"currentColor\">\n",
		markup.Tenths(l.width), markup.Tenths(l.height+2), id, id, markup.Tenths(t))
	fmt.Fprintf(&b, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", id, markup.Escape(set.Title), id, markup.Escape(said))
	for i, one := range append([]box{l.near}, l.far...) {
		fmt.Fprintf(&b, "<rect class=\"strip\" x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\"/>", markup.Tenths(one.left), markup.Tenths(one.top), markup.Tenths(one.right-one.left), markup.Tenths(one.bottom-one.top))
		x, anchor := one.left, "start"
		if i > 0 {
			x, anchor = one.right, "end"
		}
		fmt.Fprintf(&b, "<text class=\"name\" font-weight=\"bold\" text-anchor=\"%s\" x=\"%s\" y=\"%s\">%s</text>\n", anchor, markup.Tenths(x), markup.Tenths(one.top-0.35*t), markup.Escape(one.name))
	}
	for _, one := range l.lines {
		fmt.Fprintf(&b, "<g class=\"wire %s\" data-wire=\"%d\"><path d=\"%s\"/>%s</g>\n", one.class, one.wire, one.path, mark(one.class, one.mx, one.my, t))
	}
	l.studs(&b, l.near, l.near.right-t*inside, l.near.right-t*(2*inside+studded), "end")
	slices.Sort(l.bowed)
	for _, y := range slices.Compact(l.bowed) {
		fmt.Fprintf(&b, "<circle class=\"stud\" cx=\"%s\" cy=\"%s\" r=\"%s\"/>", markup.Tenths(l.near.left+t*inside), markup.Tenths(y), markup.Tenths(t*studded))
	}
	for _, one := range l.far {
		l.studs(&b, one, one.left+t*inside, one.left+t*(2*inside+studded), "start")
	}
	b.WriteString("</svg>\n")
	return b.String()
}

// studs draws the terminals of a part with their marks.
func (l *layout) studs(b *strings.Builder, one box, x, label float64, anchor string) {
	for _, t := range one.terminals {
		fmt.Fprintf(b, "<circle class=\"stud\" cx=\"%s\" cy=\"%s\" r=\"%s\"/><text class=\"label\" text-anchor=\"%s\" x=\"%s\" y=\"%s\">%s</text>\n",
			markup.Tenths(x), markup.Tenths(t.y), markup.Tenths(l.text*studded), anchor, markup.Tenths(label), markup.Tenths(t.y+0.36*l.text), markup.Escape(t.mark))
	}
}

// mark draws what a wire carries in its middle.
func mark(class string, x, y, t float64) string {
	switch class {
	case "unsure":
		return fmt.Sprintf("<circle class=\"ground\" cx=\"%s\" cy=\"%s\" r=\"%s\"/><text class=\"mark\" font-weight=\"bold\" text-anchor=\"middle\" x=\"%s\" y=\"%s\">?</text>",
			markup.Tenths(x), markup.Tenths(y), markup.Tenths(0.62*t), markup.Tenths(x), markup.Tenths(y+0.36*t))
	case "gone":
		r := 0.34 * t
		return fmt.Sprintf("<path class=\"cross\" d=\"M%s %sL%s %sM%s %sL%s %s\"/>", markup.Tenths(x-r), markup.Tenths(y-r), markup.Tenths(x+r), markup.Tenths(y+r), markup.Tenths(x-r), markup.Tenths(y+r), markup.Tenths(x+r), markup.Tenths(y-r))
	}
	return ""
}

// Sample draws one wire by itself, for the key to the picture.
func Sample(verdict string, text float64) string {
	class := Class(verdict)
	return fmt.Sprintf("<svg class=\"strips-drawing sample\" viewBox=\"0 0 %s %s\" width=\"%s\" height=\"%s\" aria-hidden=\"true\" font-size=\"%s\" fill=\"currentColor\"><g class=\"wire %s\"><path d=\"M2 %sH%s\"/>%s</g></svg>",
		markup.Tenths(3.6*text), markup.Tenths(1.4*text), markup.Tenths(3.6*text), markup.Tenths(1.4*text), markup.Tenths(text), class, markup.Tenths(0.7*text), markup.Tenths(3.6*text-2), mark(class, 1.8*text, 0.7*text, text))
}
