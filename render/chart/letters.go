package chart

import (
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// letters measures words in the Go typeface, in which pages are set too.
type letters struct {
	regular, bold *sfnt.Font
	buffer        sfnt.Buffer
	advances      map[letter]float64
	wrapped       map[lines][]string
}

// letter is one letter of a typeface, lines words that were broken before: boxes
// are laid out many times until all fits.
type letter struct {
	r    rune
	bold bool
}

type lines struct {
	words       string
	width, size float64
	bold        bool
}

func newLetters() (*letters, error) {
	regular, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		return nil, err
	}
	bold, err := sfnt.Parse(gobold.TTF)
	if err != nil {
		return nil, err
	}
	return &letters{regular: regular, bold: bold, advances: map[letter]float64{}, wrapped: map[lines][]string{}}, nil
}

// width of words in a size, both in pt.
func (l *letters) width(words string, size float64, bold bool) float64 {
	total := 0.
	for _, r := range words {
		total += l.advance(letter{r, bold})
	}
	return total * size
}

// advance of a letter in parts of the size. What the typeface lacks counts as
// wide as the size.
func (l *letters) advance(of letter) float64 {
	if a, ok := l.advances[of]; ok {
		return a
	}
	face := l.regular
	if of.bold {
		face = l.bold
	}
	em := fixed.I(int(face.UnitsPerEm()))
	a := 1.
	if glyph, err := face.GlyphIndex(&l.buffer, of.r); err == nil && glyph != 0 {
		if advance, err := face.GlyphAdvance(&l.buffer, glyph, em, font.HintingNone); err == nil {
			a = float64(advance) / float64(em)
		}
	}
	l.advances[of] = a
	return a
}

// spare is by how much lines are kept shorter, for browsers that set words a
// little wider.
const spare = 0.985

// wrap breaks words into lines of at most a width. A word that is wider is
// broken anywhere. Spaces that do not break stay.
func (l *letters) wrap(words string, width, size float64, bold bool) []string {
	key := lines{words, width, size, bold}
	if had, ok := l.wrapped[key]; ok {
		return had
	}
	width *= spare
	var out []string
	line := ""
	for _, word := range strings.FieldsFunc(words, func(r rune) bool { return r == ' ' }) {
		next := strings.TrimPrefix(line+" "+word, " ")
		if l.width(next, size, bold) <= width {
			line = next
			continue
		}
		if line != "" {
			out = append(out, line)
		}
		line = ""
		for _, r := range word {
			if line != "" && l.width(line+string(r), size, bold) > width {
				out = append(out, line)
				line = ""
			}
			line += string(r)
		}
	}
	if line != "" {
		out = append(out, line)
	}
	l.wrapped[key] = out
	return out
}
