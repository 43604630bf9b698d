// Package math sets formulas: it takes TeX and gives MathML that stands in a
// page as it is.
//
//	mathml, err := math.Render(`\omega = \sqrt{\frac{k}{m}}`, true)
//
// What can be set: letters, numbers, Greek and the usual symbols, sub- and
// superscripts, primes, \frac and its kin, \binom, \sqrt, accents, \overset,
// \underset, braces above and below, function names, sums and integrals with
// limits, \text, \mathrm and the other alphabets, \left and \right, matrices,
// cases, aligned and array, and spaces. Anything else is an *Error that says
// where it stands: nothing is dropped, guessed at or shown in red. Macros
// cannot be defined.
//
// The formula is read and checked here, so that each error has its place; a
// library lays it out; and the result is taken apart again, held against what
// was read, and written anew from lists of allowed elements and attributes.
// The TeX source stays in the page as an annotation.
//
// Two classes are for the style sheet: math-left and math-right on cells of a
// table that are not centred.
package math

import (
	"fmt"
	"strings"

	"github.com/wyatt915/treeblood"
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
	f, err := r.read()
	if err != nil {
		return "", err
	}
	laid, err := treeblood.NewPitziil().SemanticsOnly(f.tex)
	if err != nil || laid == "" {
		return "", r.beyond()
	}
	root, err := decode(laid, r.kept)
	if err != nil {
		return "", r.beyond()
	}
	if !sameLeaves(root, f.leaves) {
		return "", r.beyond()
	}
	var b strings.Builder
	b.WriteString(`<math xmlns="http://www.w3.org/1998/Math/MathML"`)
	if display {
		b.WriteString(` display="block"`)
	}
	b.WriteString("><semantics>")
	root.write(&b)
	b.WriteString(`<annotation encoding="application/x-tex">` + escape(tex) + "</annotation></semantics></math>")
	return b.String(), nil
}

// beyond is for what the reader let pass and the library then could not lay
// out, or laid out with something missing.
func (r *reader) beyond() *Error {
	return &Error{0, fmt.Sprintf("the formula %q cannot be laid out", short(r.tex)), "split it, or write it in a simpler form"}
}

func short(tex string) string {
	runes := []rune(tex)
	if len(runes) > 40 {
		return string(runes[:40]) + "…"
	}
	return tex
}
