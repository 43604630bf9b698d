package waveform_test

import (
	"fmt"

	"slipring/engine/waveform"
)

// A contact that closes at 10 ms of each 50 ms and opens at 22 ms, recorded at
// its changes.
func ExampleSignal_Timing() {
	contact := waveform.Signal{
		Name: "contact", Stepped: true,
		T: []float64{0, 0.010, 0.022, 0.060, 0.072, 0.110, 0.122, 0.150},
		Y: []float64{0, 1, 0, 1, 0, 1, 0, 0},
	}
	timing, err := contact.Timing(waveform.References{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f Hz, closed for %.0f %% of %d periods\n", timing.Frequency, 100*timing.Duty, timing.Periods)
	// Output: 20.0 Hz, closed for 24 % of 2 periods
}
