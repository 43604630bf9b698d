package plot

import (
	"math"
	"strconv"
	"testing"
)

// What a script is told about the horizontal axis agrees with the labels that
// a reader sees, and the panes stand between its edges.
func TestAxisForScripts(t *testing.T) {
	root := drawn(t, lineAndMarks(), Settings{})
	panes := root.with("pane")
	x, y := scales(t, panes[0], panes[len(panes)-1])
	for _, end := range [][2]string{{"data-x-from", "data-left"}, {"data-x-to", "data-right"}} {
		at, err := strconv.ParseFloat(root.attr(end[0]), 64)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := root.number(t, end[1]), x.px(at); math.Abs(got-want) > 0.3 {
			t.Errorf("%s is %.2f px, but the labels put %g at %.2f px", end[1], got, at, want)
		}
	}
	f := lineAndMarks()
	top, bottom := root.number(t, "data-top"), root.number(t, "data-bottom")
	for _, v := range f.Panes[0].Lines[0].Y {
		if at := y.px(v); at < top || at > bottom {
			t.Errorf("%g stands at %.2f px, outside of %.2f to %.2f px", v, at, top, bottom)
		}
	}
}
