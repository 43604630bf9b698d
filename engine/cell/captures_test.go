package cell

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/capture"
	"slipring/engine/lesson"
)

// What cells are given of a long capture is averaged, and keeps its place in
// time; results are those of the whole.
func TestCapturesAreThinned(t *testing.T) {
	var table strings.Builder
	table.WriteString("sample interval (s),0.00002\nbell (V)\n")
	for i := range 50_000 {
		fmt.Fprintf(&table, "%.6f\n", math.Sin(2*math.Pi*16*float64(i)*2e-5))
	}
	c, messages := capture.ReadNumbers("long.csv", strings.NewReader(table.String()))
	if c == nil {
		t.Fatal(messages)
	}
	r := capture.Measure(c)
	shelf := bench.New(nil)
	shelf.Lay(bench.Beside{Captures: captures(&lesson.Lesson{Captures: []lesson.Capture{{Name: "long", Channels: c.Channels, Report: r}}})})
	got := shelf.Capture("long")
	ch := got.Channels[0]
	if len(ch.Y) > mostSamples || len(ch.Y) < mostSamples/2 || len(ch.Y) != 50_000/3 {
		t.Fatalf("%d values", len(ch.Y))
	}
	for i, y := range ch.Y {
		if want := math.Sin(2 * math.Pi * 16 * (ch.From + float64(i)*ch.Step)); math.Abs(y-want) > 1e-4 {
			t.Fatalf("value %d is %g, want %g", i, y, want)
		}
	}
	f := got.Result("bell", capture.Frequency)
	if math.Abs(f.Value-16) > 0.001 || f.U <= 0 || got.Period != r.Period || ch.Height <= 0 {
		t.Errorf("frequency %+v, period %g, height %g", f, got.Period, ch.Height)
	}
}
