package site

import (
	"encoding/binary"
	"fmt"
	"image"
	"image/draw"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// A thin typeface draws its letters as the whole one does, to the dot, and all
// others as nothing; x/image's own rasterizer is the judge.
func TestThin(t *testing.T) {
	for name, whole := range map[string][]byte{"regular": goregular.TTF, "italic": goitalic.TTF, "bold": gobold.TTF, "mono": gomono.TTF} {
		small, err := thin(whole, usual())
		if err != nil {
			t.Fatal(name, err)
		}
		before, after := drawer(t, whole), drawer(t, small)
		drawn, blank := 0, 0
		for letter := rune(0x20); letter < 0x2700; letter++ {
			want, got := before(letter), after(letter)
			switch {
			case want == nil || !slices.ContainsFunc(want, func(dot byte) bool { return dot > 0 }):
			case unicode.Is(usual(), letter):
				drawn++
				if !slices.Equal(want, got) {
					t.Errorf("%s: %q is drawn otherwise", name, letter)
				}
			case slices.ContainsFunc(got, func(dot byte) bool { return dot > 0 }):
				// A part of another letter, or one that shares its glyph.
				if !slices.Equal(want, got) {
					t.Errorf("%s: %q is neither blank nor whole", name, letter)
				}
			default:
				blank++
			}
		}
		if drawn < 190 || blank < 200 {
			t.Errorf("%s: %d letters are drawn, %d blank", name, drawn, blank)
		}
		if sum := checksum(small); sum != 0xb1b0afba {
			t.Errorf("%s: its words add up to %x", name, sum)
		}
		full, _ := woff(whole)
		packed, err := woff(small)
		if err != nil || 2*len(packed) > len(full) {
			t.Errorf("%s: %d bytes are left of %d, %v", name, len(packed), len(full), err)
		}
	}
	cut := slices.Clone(goregular.TTF)
	binary.BigEndian.PutUint16(cut[4:], 2)
	if _, err := thin(cut, usual()); err == nil {
		t.Error("a font of two tables is taken")
	}
}

// drawer gives the dots of a letter, or nil for one that the font lacks.
func drawer(t *testing.T, source []byte) func(rune) []byte {
	t.Helper()
	f, err := opentype.Parse(source)
	if err != nil {
		t.Fatal(err)
	}
	face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: 30, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		t.Fatal(err)
	}
	return func(letter rune) []byte {
		if i, err := f.GlyphIndex(nil, letter); err != nil || i == 0 {
			return nil
		}
		dots := image.NewAlpha(image.Rect(0, 0, 60, 60))
		at, mask, from, _, ok := face.Glyph(fixed.P(10, 40), letter)
		if !ok {
			return nil
		}
		draw.DrawMask(dots, at, image.Opaque, image.Point{}, mask, from, draw.Over)
		return dots.Pix
	}
}

// The style sheet has browsers ask thin typefaces for the letters that these
// hold, and for no others.
func TestThinLetters(t *testing.T) {
	sheet, err := web.ReadFile("web/common.css")
	if err != nil {
		t.Fatal(err)
	}
	var want []string
	for _, r := range usual().R16 {
		if r.Lo == r.Hi {
			want = append(want, fmt.Sprintf("U+%X", r.Lo))
		} else {
			want = append(want, fmt.Sprintf("U+%X-%X", r.Lo, r.Hi))
		}
	}
	said := regexp.MustCompile(`url\(fonts/go-(\w+)-usual\.woff\); unicode-range: ([^;]*);`).FindAllStringSubmatch(string(sheet), -1)
	if len(said) != 4 {
		t.Fatalf("%d thin typefaces are declared", len(said))
	}
	for _, m := range said {
		if m[2] != strings.Join(want, ", ") {
			t.Errorf("%s: letters %s, want %s", m[1], m[2], strings.Join(want, ", "))
		}
	}
	latin := 0
	for _, r := range usual().R16 {
		if r.Hi <= unicode.MaxLatin1 {
			latin++
		}
	}
	if latin != usual().LatinOffset {
		t.Errorf("%s ranges are Latin 1, not %d", strconv.Itoa(latin), usual().LatinOffset)
	}
}
