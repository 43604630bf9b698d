package page

import (
	"errors"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/render/math"
)

// Formulas checks that each formula of a lesson, and of its translations, can
// be set. A page reports the same; this is for whoever makes none.
func Formulas(l *lesson.Lesson) []diag.Message {
	var out []diag.Message
	for _, one := range append([]*lesson.Lesson{l}, l.Translations...) {
		if one.Body == nil {
			continue
		}
		for _, n := range all(one.Body, lesson.Formula) {
			if _, err := math.Render(n.Text, n.Display); err != nil {
				out = append(out, unset(one, n, err))
			}
		}
	}
	return diag.Sort(out)
}

// unset says what is wrong with a formula, at its place in the file.
func unset(l *lesson.Lesson, n *lesson.Node, err error) diag.Message {
	var at *math.Error
	if !errors.As(err, &at) {
		return l.Message(n.Offset, diag.Error, "formula", err.Error(), "write the formula in a simpler form")
	}
	return l.Message(n.Place(at.Offset), diag.Error, "formula", at.Text, at.Hint)
}

// formula prints a formula as MathML.
func (p *printer) formula(n *lesson.Node) {
	set, err := math.Render(n.Text, n.Display)
	if err != nil {
		p.messages = append(p.messages, unset(p.in.Lesson, n, err))
		return
	}
	if n.Display {
		p.line()
		p.putf("<div class=\"formula\" tabindex=\"0\">%s</div>\n", set) // the keys scroll it where it is too wide
		return
	}
	p.putf(`<span class="formula">%s</span>`, set)
}
