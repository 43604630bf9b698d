package site

import (
	"fmt"
	"math"
	"testing"

	"github.com/dop251/goja"
	"golang.org/x/net/html"
)

func dialScript(t *testing.T) *goja.Runtime {
	t.Helper()
	source, err := web.ReadFile("web/dial.js")
	if err != nil {
		t.Fatal(err)
	}
	vm := goja.New()
	if _, err := vm.RunScript("dial.js", string(source)); err != nil {
		t.Fatal(err)
	}
	return vm
}

// A finger turns a knob to where it points, as on a clock: the scale begins at
// half past seven, and ends at half past four.
func TestDialUnderFinger(t *testing.T) {
	vm := dialScript(t)
	for _, c := range []struct {
		clock float64 // hours
		want  int     // of 0 to 36, four for each hour
	}{{7.5, 0}, {8, 2}, {9, 6}, {10.5, 12}, {12, 18}, {3, 30}, {4.5, 36}, {5.5, 36}, {6.5, 0}, {7, 0}} {
		angle := c.clock / 12 * 2 * math.Pi
		for _, far := range []float64{30, 90, 300} {
			got := run(t, vm, fmt.Sprintf("dial.under(%v, %v, 200, 37)", far*math.Sin(angle), -far*math.Cos(angle))).ToInteger()
			if got != int64(c.want) {
				t.Errorf("at %v o'clock, %v px off, the knob stands at %d, want %d", c.clock, far, got, c.want)
			}
		}
	}
	for _, c := range []struct{ ask, want string }{
		{"dial.under(3, -4, 200, 37)", "null"},       // in the middle
		{"dial.under(0, -90, 200, 1)", "0"},          // nothing to turn
		{"dial.drawn(3, -4, 200, 37, 9)", "9"},       // through the middle
		{"dial.drawn(0, -90, 200, 37, 9)", "18"},     // to the top
		{"dial.drawn(-60, 60.5, 200, 37, 36)", "36"}, // over the gap: it stays at the end
		{"dial.drawn(60, 60.5, 200, 37, 0)", "0"},    // and at the beginning
		{"dial.drawn(-90, -1, 200, 37, 35)", "36"},   // far over it
		{"dial.drawn(60, 60.5, 200, 2, 0)", "1"},     // of two, either may follow the other
		{"dial.angle(0, 37)", "-135"}, {"dial.angle(18, 37)", "0"}, {"dial.angle(36, 37)", "135"},
		{"dial.lit(0, 37)", "0"}, {"dial.lit(9, 37)", "25"}, {"dial.lit(1, 37)", "2.78"}, {"dial.lit(0, 1)", "0"},
	} {
		if got := run(t, vm, c.ask).String(); got != c.want {
			t.Errorf("%s is %s, want %s", c.ask, got, c.want)
		}
	}
}

// The page draws a dial as its script does.
func TestDialAsDrawn(t *testing.T) {
	vm := dialScript(t)
	dials := 0
	for name, d := range documents(t, knobbedTree(t)) {
		for _, n := range d.class("dial") {
			dials++
			part := map[string]*html.Node{}
			for e := range n.Descendants() {
				part[attr(e, "class")+e.Data] = e
			}
			var at, last int
			fmt.Sscan(attr(part["input"], "value"), &at)
			fmt.Sscan(attr(part["input"], "max"), &last)
			if got, want := attr(part["pointerg"], "transform"), run(t, vm, fmt.Sprintf("'rotate(' + dial.angle(%d, %d) + ' 120 104)'", at, last+1)).String(); got != want {
				t.Errorf("%s: the pointer is drawn %s, the script puts it %s", name, got, want)
			}
			if got, want := attr(part["litpath"], "stroke-dasharray"), run(t, vm, fmt.Sprintf("dial.lit(%d, %d) + ' 200'", at, last+1)).String(); got != want {
				t.Errorf("%s: the scale is lit %s, by the script %s", name, got, want)
			}
		}
	}
	if dials != 7 {
		t.Errorf("%d dials were looked at", dials)
	}
}
