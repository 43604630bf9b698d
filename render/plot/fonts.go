package plot

import (
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
)

const typeface font.Typeface = "Go"

// lettering measures text in the Go typeface, in which pages are set too.
type lettering struct{ text.Plain }

func newLettering() (lettering, error) {
	face, err := opentype.Parse(goregular.TTF)
	if err != nil {
		return lettering{}, err
	}
	faces := font.Collection{{Font: font.Font{Typeface: typeface}, Face: face}}
	return lettering{text.Plain{Fonts: font.NewCache(faces)}}, nil
}

// width of one line of text of a size, both in px
func (h lettering) width(line string, size float64) float64 {
	w, _, _ := h.Box(line, font.Font{Typeface: typeface, Size: vg.Length(size)})
	return float64(w)
}
