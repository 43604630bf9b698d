package ode_test

import (
	"fmt"

	"slipring/engine/ode"
)

// A ball thrown up at 10 m/s under 0.5 m/s2, until it is back on the ground.
func Example() {
	problem := ode.Problem{
		Dim:        2, // height, speed
		Derivative: func(_ float64, y, dydt []float64) { dydt[0], dydt[1] = y[1], -0.5 },
		Scale:      []float64{1, 1},
		Guards:     []ode.Guard{{Coordinate: 0, Level: 0, Above: true}},
		Crossing: func(_ int, t float64, y []float64, _ []ode.Guard) bool {
			fmt.Printf("lands after %.3f s at %.3f m/s\n", t, y[1])
			return true
		},
	}
	solver, err := ode.New(problem, ode.Settings{})
	if err != nil {
		fmt.Println(err)
		return
	}
	solver.Start(0, []float64{0, 10})
	if err := solver.Advance(100, nil); err != nil {
		fmt.Println(err)
	}
	// Output: lands after 40.000 s at -10.000 m/s
}
