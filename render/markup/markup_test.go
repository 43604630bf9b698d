package markup

import (
	"math"
	"testing"
)

func TestMarkup(t *testing.T) {
	for x, want := range map[float64]string{0: "0", math.Copysign(0, -1): "0", -0.04: "0", 0.25: "0.3", -0.25: "-0.2", 12: "12", 3.14159: "3.1"} {
		if got := Tenths(x); got != want {
			t.Errorf("%g is written %s, want %s", x, got, want)
		}
	}
	if got := Escape(`<a b="c">&`); got != "&lt;a b=&#34;c&#34;&gt;&amp;" {
		t.Error(got)
	}
}
