package calibrate_test

import (
	"math"
	"testing"

	"slipring/engine/calibrate"
	"slipring/engine/sweeptest"
)

// few are constants that leave a fit quick.
var few = []string{"governor.contact-speed", "motor.constant-slope", "generator.constant-slope", "regulator.plunger-weight"}

// A reading that is off by 40 of its uncertainties, as a slip of the pen makes
// it, is listed and left out, and the others lead back to the card all the same.
// With a start that is off as well.
func TestGrossError(t *testing.T) {
	truth := shipped(t)
	off := with(t, with(t, truth, "governor.contact-speed", 1.03), "motor.constant-slope", 1.05)
	good := twelve(t, truth, none)
	for _, i := range sweeptest.Sample(t, []int{0, 2, 4, 7, 9, 11}, 2) {
		readings := append(good[:0:0], good...)
		sign := float64(1 - i%2*2)
		readings[i].Value += sign * 40 * math.Hypot(readings[i].U, readings[i].Class)
		if readings[i].Quantity == "contact open" {
			readings[i].Value = math.Mod(readings[i].Value+2, 1) // 40 of its uncertainties would be more than all
		}
		out, err := calibrate.Run(off, few, readings, false)
		if err != nil {
			t.Errorf("%s, %s: %v", readings[i].Quantity, readings[i].Load, err)
			continue
		}
		if len(out.Left) != 1 || out.Left[0].Quantity != readings[i].Quantity || out.Left[0].Load != readings[i].Load || !(out.Left[0].Far > 10) || out.Left[0].Rule == "" || len(out.Used) != 11 {
			t.Errorf("%s, %s: left %+v", readings[i].Quantity, readings[i].Load, out.Left)
		}
		for _, c := range out.Constants {
			right, _ := truth.Constant(c.Card.Name())
			if math.Abs(c.Value-right.SI()) > 2*c.U {
				t.Errorf("%s, %s: %s is %v +- %v, truth %v", readings[i].Quantity, readings[i].Load, c.Card.Name(), c.Value, c.U, right.SI())
			}
		}
	}
}
