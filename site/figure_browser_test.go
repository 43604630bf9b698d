package site

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Figures on the kiosk, whatever their panes and knobs, are fitted into what
// the screen leaves them. Their text must not shrink below 24 px on the way
// (common practice, no source: captions a little smaller than the 28 px text).
func TestKioskFiguresAreLegible(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	v := visitOf(t, filepath.Join(t.TempDir(), "visit"))
	mustWrite(t, knobbedTree(t), v.dir)
	for _, size := range [][2]int64{{1920, 1080}, {1080, 1920}} {
		for _, page := range []string{"kiosk/first.html#screen.2", "kiosk/third.html#screen.2", "kiosk/third.html#screen.3"} {
			v.run(fmt.Sprintf("%s at %d px", page, size[0]), func() {
				v.open(page, size[0], size[1])
				sizes := strings.Fields(v.value(`new Promise(r => requestAnimationFrame(() => requestAnimationFrame(() => r([...document.querySelectorAll("svg.plot")]
					.filter(s => s.getBoundingClientRect().width > 0)
					.map(s => s.getScreenCTM().a * parseFloat(s.getAttribute("font-size"))).join(" ")))))`))
				if len(sizes) != 1 {
					v.t.Fatalf("the screen shows %d figures", len(sizes))
				}
				px, err := strconv.ParseFloat(sizes[0], 64)
				if err != nil || px < 24 {
					v.t.Errorf("the figure's text is %s px high", sizes[0])
				}
			})
		}
	}
}
