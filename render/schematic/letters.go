package schematic

import (
	"fmt"
	"math"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"

	"slipring/render/markup"
)

// rect is a box in px.
type rect struct{ left, top, right, bottom float64 }

func nothing() rect { return rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)} }

func (r *rect) add(x, y float64) {
	r.left, r.right = min(r.left, x), max(r.right, x)
	r.top, r.bottom = min(r.top, y), max(r.bottom, y)
}

func (r rect) wider(by float64) rect {
	return rect{r.left - by, r.top - by, r.right + by, r.bottom + by}
}

func (r rect) touches(o rect) bool {
	return r.left < o.right && o.left < r.right && r.top < o.bottom && o.top < r.bottom
}

// lettering measures text in the Go typeface, in which pages are set too.
type lettering struct{ regular, bold font.Face }

func newLettering(size float64) (lettering, error) {
	var l lettering
	for _, one := range []struct {
		to  *font.Face
		ttf []byte
	}{{&l.regular, goregular.TTF}, {&l.bold, gobold.TTF}} {
		parsed, err := opentype.Parse(one.ttf)
		if err != nil {
			return l, err
		}
		if *one.to, err = opentype.NewFace(parsed, &opentype.FaceOptions{Size: size, DPI: 72}); err != nil {
			return l, err
		}
	}
	return l, nil
}

func width(f font.Face, s string) float64 { return float64(font.MeasureString(f, s)) / 64 }

// label is what is written beside a part: its name in bold, and what it is.
type label struct {
	name  string
	lines []string
	width float64
	at    rect // where it stands
}

// label breaks a part's words into lines of a width in px, where they can be.
func (l lettering) label(name, words string, most float64) label {
	out := label{name: name, width: width(l.bold, name)}
	line := ""
	end := func() {
		if line != "" {
			out.lines = append(out.lines, line)
			out.width = max(out.width, width(l.regular, line))
		}
	}
	for _, word := range strings.Fields(words) {
		if line != "" && width(l.regular, line+" "+word) > most {
			end()
			line = word
			continue
		}
		line = strings.TrimSpace(line + " " + word)
	}
	end()
	return out
}

// write writes the label where it stands.
func (b label) write(out *strings.Builder, text float64) {
	x := markup.Tenths((b.at.left + b.at.right) / 2)
	y := b.at.top + 0.8*text
	fmt.Fprintf(out, "<text class=\"name\" font-weight=\"bold\" text-anchor=\"middle\" x=\"%s\" y=\"%s\">%s</text>\n", x, markup.Tenths(y), markup.Escape(b.name))
	for _, line := range b.lines {
		y += lineHeight * text
		fmt.Fprintf(out, "<text class=\"words\" text-anchor=\"middle\" x=\"%s\" y=\"%s\">%s</text>\n", x, markup.Tenths(y), markup.Escape(line))
	}
}

// lineHeight is that of the lines of a label, in parts of the text's size.
const lineHeight = 1.12
