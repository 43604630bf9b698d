package capture

import (
	"math"
	"testing"
)

// The cases that a prototype fixed, with what must hold (shared design,
// measuring: "Cases to draw and test").
func TestPicturesOfTheDesign(t *testing.T) {
	one := shown{width: 640, turns: 4.3, high: 0.40, late: 40, begin: 0.13, thick: 3, frameOut: 40}
	two := one
	two.jpeg, two.noise = 60, 5
	three := one
	three.width, three.jpeg, three.thick, three.columns, three.frameOut = 2000, 90, 9, 500, 100
	four := one
	four.turns, four.columns, four.begin, four.late = 5, 500, 0.0342, 41
	five := one
	five.width, five.slant, five.k1, five.noise, five.moire, five.thick, five.frameOut = 2000, 0.25, 0.03, 5, 6, 7, 120
	six := one
	six.thick, six.turns = 12, 3
	for _, c := range []struct {
		name               string
		shown              shown
		fraction, period   float64 // what they may be off; period as a part
		phase              float64
		leastDoubt, within float64 // of the fraction; in its deviations
		mostDoubt          float64
	}{
		{"640 PNG", one, 0.0015, 0.001, 0.4, 0.001, 2.5, 0.003},
		{"JPEG 60, noise", two, 0.0025, 0.002, 0.6, 0.001, 2.5, 0.004},
		{"2000, 500 columns", three, 0.005, 0.002, 1, 0.0015, 2.5, 1},
		{"500 columns in step", four, 1, 0.01, 5, 0.0029, 2.5, 1},
		{"slanted", five, 0.001, 0.0005, 0.6, 0, 2.5, 1},
		{"thick", six, 0.0015, 0.002, 1, 0, 2.5, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := c.shown.read(t, quiet(), c.shown.slant > 0)
			d := value(t, r, "contact", FractionHigh)
			p := value(t, r, "contact", Period)
			f := value(t, r, "contact", Phase)
			t.Logf("fraction %.5f ± %.5f (%g), period off %.5f ± %.5f, phase %.3f ± %.3f (%g) %v", d.Value, d.Uncertainty, c.shown.high,
				p.Value/c.shown.period()-1, p.Uncertainty/p.Value, f.Value, f.Uncertainty, c.shown.late, r.Messages)
			if off := math.Abs(d.Value - c.shown.high); off > c.fraction || off > c.within*d.Uncertainty {
				t.Errorf("the fraction is %.5f ± %.5f", d.Value, d.Uncertainty)
			}
			if d.Uncertainty < c.leastDoubt || d.Uncertainty > c.mostDoubt {
				t.Errorf("the fraction's doubt is %.5f", d.Uncertainty)
			}
			if off := math.Abs(p.Value/c.shown.period() - 1); off > c.period {
				t.Errorf("the period is off by %.5f", off)
			}
			if off := math.Abs(f.Value - c.shown.late); off > c.phase {
				t.Errorf("the phase is %.3f", f.Value)
			}
		})
	}
}
