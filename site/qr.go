package site

import (
	"fmt"
	"html/template"
	"strings"

	qr "github.com/piglig/go-qr"

	ui "slipring/render/words"
)

// quietZone is how many modules around a code stay white, by ISO/IEC 18004,
// 6.3.8 (second hand).
const quietZone = 4

// scanned draws the code of an address, black on white: a quarter of it may be
// soiled and it is still read (level Q).
func scanned(w *ui.Words, address string) (template.HTML, error) {
	code, err := qr.EncodeText(address, qr.Quartile)
	if err != nil {
		return "", fmt.Errorf("the code of %q: %w", address, err)
	}
	var path strings.Builder
	for y := range code.Size() {
		for x := 0; x < code.Size(); x++ {
			from := x
			for x < code.Size() && code.Module(x, y) {
				x++
			}
			if x > from {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", from+quietZone, y+quietZone, x-from, x-from)
			}
		}
	}
	size := code.Size() + 2*quietZone
	return template.HTML(fmt.Sprintf(`<svg class="scanned" viewBox="0 0 %d %d" shape-rendering="crispEdges" role="img" aria-label="%s"><path class="ground" d="M0 0h%dv%dH0z"/><path d="%s"/></svg>`,
		size, size, template.HTMLEscapeString(w.Text("handout.scan", "address", address)), size, size, path.String())), nil
}
