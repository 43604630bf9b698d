package site

import (
	"image"
	"image/color"
	"regexp"
	"strconv"
	"testing"

	qr "github.com/piglig/go-qr"

	ui "slipring/render/words"
)

// The code that is drawn is read back from its path, and has white around it.
func TestScanned(t *testing.T) {
	w, err := ui.In("en")
	if err != nil {
		t.Fatal(err)
	}
	const address, scale = "https://brackenhythe.example.org/visit", 8
	svg, err := scanned(w, address)
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string) int { n, _ := strconv.Atoi(s); return n }
	size := number(regexp.MustCompile(`viewBox="0 0 (\d+) `).FindStringSubmatch(string(svg))[1])
	picture := image.NewGray(image.Rect(0, 0, size*scale, size*scale))
	for i := range picture.Pix {
		picture.Pix[i] = 255
	}
	for _, m := range regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1`).FindAllStringSubmatch(string(svg), -1) {
		x, y, wide := number(m[1]), number(m[2]), number(m[3])
		if x < quietZone || y < quietZone || x+wide > size-quietZone || y >= size-quietZone {
			t.Errorf("%s stands in the quiet zone", m[0])
		}
		for py := y * scale; py < (y+1)*scale; py++ {
			for px := x * scale; px < (x+wide)*scale; px++ {
				picture.SetGray(px, py, color.Gray{})
			}
		}
	}
	if got, err := qr.Decode(picture); err != nil || got != address {
		t.Errorf("the code reads %q, %v", got, err)
	}
}
