package site

import (
	"encoding/binary"
	"errors"
	"slices"
	"unicode"

	"golang.org/x/image/font/sfnt"
)

// usual are the letters of nearly all that pages say in the languages of Western
// Europe. A page loads a typeface of these alone, a third of the whole, and the
// whole only where it has others. The style sheet says the same (unicode-range).
func usual() *unicode.RangeTable {
	return &unicode.RangeTable{R16: []unicode.Range16{
		{Lo: 0x20, Hi: 0x7e, Stride: 1}, {Lo: 0xa0, Hi: 0xff, Stride: 1}, {Lo: 0x152, Hi: 0x153, Stride: 1},
		{Lo: 0x3a9, Hi: 0x3a9, Stride: 1}, {Lo: 0x2009, Hi: 0x203a, Stride: 1}, {Lo: 0x20ac, Hi: 0x20ac, Stride: 1},
		{Lo: 0x2190, Hi: 0x2193, Stride: 1}, {Lo: 0x2212, Hi: 0x2212, Stride: 1}, {Lo: 0x2260, Hi: 0x2265, Stride: 1},
	}, LatinOffset: 2}
}

// thin gives a TrueType font in which all glyphs are blank but those of some
// letters and the glyphs that these are put together from. Numbers of glyphs,
// sizes and places of all tables stay, so that blanks pack to next to nothing
// (OpenType 1.9, "glyf", "loca" and "head").
func thin(font []byte, letters *unicode.RangeTable) ([]byte, error) {
	parsed, err := sfnt.Parse(font)
	if err != nil {
		return nil, err
	}
	big := binary.BigEndian
	font = slices.Clone(font)
	entries := map[string][]byte{}
	for i := range int(big.Uint16(font[4:])) {
		entries[string(font[12+16*i:][:4])] = font[12+16*i:][:16]
	}
	table := func(name string) []byte {
		if entries[name] == nil {
			return nil
		}
		return font[big.Uint32(entries[name][8:]):][:big.Uint32(entries[name][12:])]
	}
	head, glyf, loca := table("head"), table("glyf"), table("loca")
	if head == nil || glyf == nil || loca == nil {
		return nil, errors.New("a font without outlines of TrueType")
	}
	place := func(i int) int { return 2 * int(big.Uint16(loca[2*i:])) }
	if big.Uint16(head[50:]) != 0 { // indexToLocFormat
		place = func(i int) int { return int(big.Uint32(loca[4*i:])) }
	}
	glyph := func(i int) []byte { return glyf[place(i):place(i+1)] }
	kept := make([]bool, parsed.NumGlyphs())
	var keep func(i int)
	keep = func(i int) {
		if kept[i] {
			return
		}
		kept[i] = true
		for _, part := range components(glyph(i)) {
			keep(part)
		}
	}
	keep(0) // what is shown for a letter that the font lacks
	var buffer sfnt.Buffer
	for _, r := range letters.R16 {
		for letter := rune(r.Lo); letter <= rune(r.Hi); letter++ {
			i, err := parsed.GlyphIndex(&buffer, letter)
			if err != nil {
				return nil, err
			}
			keep(int(i))
		}
	}
	for i := range kept {
		if !kept[i] {
			clear(glyph(i))
		}
	}
	big.PutUint32(entries["glyf"][4:], checksum(glyf))
	big.PutUint32(head[8:], 0)
	big.PutUint32(head[8:], 0xb1b0afba-checksum(font))
	return font, nil
}

// components lists the glyphs that a glyph is put together from ("glyf",
// "Composite Glyph Description").
func components(glyph []byte) []int {
	const words, scale, more, twoScales, matrix = 0x1, 0x8, 0x20, 0x40, 0x80
	big := binary.BigEndian
	if len(glyph) < 10 || int16(big.Uint16(glyph)) >= 0 {
		return nil
	}
	var parts []int
	for at, flags := 10, uint16(more); flags&more != 0; {
		flags = big.Uint16(glyph[at:])
		parts = append(parts, int(big.Uint16(glyph[at+2:])))
		at += 6
		if flags&words != 0 {
			at += 2
		}
		switch {
		case flags&scale != 0:
			at += 2
		case flags&twoScales != 0:
			at += 4
		case flags&matrix != 0:
			at += 8
		}
	}
	return parts
}

// checksum adds up words of 32 bits ("Calculating Checksums").
func checksum(table []byte) uint32 {
	var sum uint32
	for len(table) > 0 {
		var word [4]byte
		table = table[copy(word[:], table):]
		sum += binary.BigEndian.Uint32(word[:])
	}
	return sum
}
