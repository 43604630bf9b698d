// Package math sets formulas: it takes TeX and gives MathML that stands in a
// page as it is.
//
//	mathml, err := math.Render(`\omega = \sqrt{\frac{k}{m}}`, true)
//
// What can be set: letters, numbers, Greek and the usual symbols, sub- and
// superscripts, primes, \frac, \sqrt, accents, function names, sums and
// integrals with limits, \text, \mathrm, \left and \right, matrices, cases,
// aligned lines, and spaces. Anything else is an *Error that says where it
// stands: nothing is dropped, guessed at or shown in red. Macros cannot be
// defined.
//
// The elements and attributes are those of MathML Core (W3C). They stand in
// this package as constants, so that a formula can give no others; what an
// author writes becomes text. The TeX source stays in the page as an
// annotation.
//
// Two classes are for the style sheet: math-left and math-right on cells of a
// table that are not centred.
package math

import (
	"fmt"
	"strings"

	"slipring/render/markup"
)

// Error is a formula that cannot be set. Offset counts bytes of the TeX from 0.
type Error struct {
	Offset int
	Text   string // what is wrong
	Hint   string // the next step
}

func (e *Error) Error() string { return fmt.Sprintf("at byte %d of the formula: %s", e.Offset, e.Text) }

const (
	longest = 4000 // bytes of a formula
	deepest = 24   // groups, fractions and tables inside each other
)

// Render sets a formula of TeX as a MathML element: on a line of its own where
// display is true, else within a line of text. The same formula gives the same
// bytes. Its error is always an *Error.
func Render(tex string, display bool) (mathml string, err error) {
	r := &reader{tex: tex}
	all, err := r.read()
	if err != nil {
		return "", err
	}
	root := row(all)
	if root.tag != "mrow" {
		root = element("mrow", root)
	}
	var b strings.Builder
	b.WriteString(`<math xmlns="http://www.w3.org/1998/Math/MathML"`)
	if display {
		b.WriteString(` display="block"`)
	}
	b.WriteString("><semantics>")
	root.write(&b)
	b.WriteString(`<annotation encoding="application/x-tex">` + markup.Escape(tex) + "</annotation></semantics></math>")
	return b.String(), nil
}

// node is an element of MathML, with text or with children.
type node struct {
	tag        string
	attributes string // as they are written, each with a blank before it
	text       string
	children   []*node
}

func element(tag string, children ...*node) *node { return &node{tag: tag, children: children} }

func sign(text string) *node { return &node{tag: "mo", text: text} }

// level is a sign that stays as high as a letter.
func level(text string) *node {
	return &node{tag: "mo", attributes: ` stretchy="false"`, text: text}
}

// fence is a bracket that grows with the row in which it stands.
func fence(text string) *node {
	return &node{tag: "mo", attributes: ` fence="true" stretchy="true"`, text: text}
}

func space(em string) *node { return &node{tag: "mspace", attributes: ` width="` + em + `em"`} }

// row makes one node of several.
func row(all []*node) *node {
	if len(all) == 1 {
		return all[0]
	}
	return element("mrow", all...)
}

func (n *node) write(b *strings.Builder) {
	b.WriteString("<" + n.tag + n.attributes + ">" + markup.Escape(n.text))
	for _, c := range n.children {
		c.write(b)
	}
	b.WriteString("</" + n.tag + ">")
}
