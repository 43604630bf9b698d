package site

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
	"testing"

	"golang.org/x/image/font/gofont/goregular"
)

// Unpacking gives the font's own tables, at the places and with the sizes that
// WOFF File Format 1.0, sections 3 to 5, asks for. That browsers take it is
// seen in TestFontsLoad.
func TestWoff(t *testing.T) {
	font := goregular.TTF
	packed, err := woff(font)
	if err != nil {
		t.Fatal(err)
	}
	if 2*len(packed) > len(font)+len(font)/10 {
		t.Errorf("%d bytes of %d", len(packed), len(font))
	}
	big := binary.BigEndian
	count := int(big.Uint16(packed[12:]))
	if string(packed[:4]) != "wOFF" || !bytes.Equal(packed[4:8], font[:4]) || int(big.Uint32(packed[8:])) != len(packed) ||
		count != int(big.Uint16(font[4:])) || int(big.Uint32(packed[16:]))&3 != 0 || !bytes.Equal(packed[20:44], make([]byte, 24)) {
		t.Errorf("the head is % x", packed[:44])
	}
	end, whole := 44+20*count, 12+16*count
	for i := range count {
		e, from := packed[44+20*i:], font[12+16*i:]
		offset, length, original := int(big.Uint32(e[4:])), int(big.Uint32(e[8:])), int(big.Uint32(e[12:]))
		at := int(big.Uint32(from[8:]))
		if !bytes.Equal(e[:4], from[:4]) || !bytes.Equal(e[16:20], from[4:8]) || original != int(big.Uint32(from[12:])) || offset != end || length > original {
			t.Fatalf("entry %d is % x", i, e[:20])
		}
		table := packed[offset : offset+length]
		if length < original {
			r, err := zlib.NewReader(bytes.NewReader(table))
			if err != nil {
				t.Fatal(err)
			}
			if table, err = io.ReadAll(r); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(table, font[at:at+original]) {
			t.Errorf("table %s differs", e[:4])
		}
		end, whole = (offset+length+3)&^3, whole+(original+3)&^3
	}
	if end != len(packed) || whole != int(big.Uint32(packed[16:])) {
		t.Errorf("it ends at %d of %d and unpacks to %d bytes, not %d", end, len(packed), big.Uint32(packed[16:]), whole)
	}
	for _, cut := range []int{0, 11, 100, len(font) / 2} {
		if _, err := woff(font[:cut]); err == nil {
			t.Errorf("%d bytes of a font are taken", cut)
		}
	}
}

// A page that is opened from a disk loads the typeface in all its four styles.
func TestFontsLoad(t *testing.T) {
	v := openVisit(t)
	v.open("logbook/index.html", 1000, 900)
	v.until("4", `(window.asked ||= ["16px Go", "bold 16px Go", "italic 16px Go", "16px 'Go Mono'"].map(f => document.fonts.load(f).then(faces => { window.loaded = (window.loaded || 0) + faces.filter(f => f.status === "loaded").length; })), String(window.loaded))`)
	v.silence("the logbook")
}
