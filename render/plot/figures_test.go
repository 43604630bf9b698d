package plot

import (
	"math"
	"math/rand"
	"slices"
	"strings"

	"slipring/engine/tell"
	"slipring/engine/waveform"
)

// Figures for tests; all numbers are invented.

func series(n int, from, to float64, f func(float64) float64) (x, y []float64) {
	for i := range n {
		t := from + (to-from)*float64(i)/float64(n-1)
		x, y = append(x, t), append(y, f(t))
	}
	return x, y
}

// oneTurn is a contact over a sine, as tell.Chart makes it: the contact is
// closed for 3 of 12 ms.
func oneTurn() tell.Figure {
	x, y := series(401, 0, 0.012, func(t float64) float64 { return 118.8 * math.Sin(2*math.Pi*t/0.012) })
	return tell.Figure{
		Name: "turn", X: tell.Axis{Label: "time", Unit: "s"},
		Panes: []tell.Pane{
			{Y: tell.Axis{Label: "governor contact"}, Lines: []tell.Line{{
				Label: "governor contact", Kind: waveform.Contact, X: []float64{0, 0.004, 0.007, 0.012}, Y: []float64{0, 1, 0, 0}, Stepped: true}}},
			{Y: tell.Axis{Label: "output", Unit: "V"}, Lines: []tell.Line{{Label: "output", X: x, Y: y}}},
		},
	}
}

func lineAndMarks() tell.Figure {
	x, y := series(61, 16.4, 17.2, func(f float64) float64 { return 100 * math.Exp(-(f-16.4)*4) })
	mx, my := series(7, 16.45, 17.15, func(f float64) float64 { return 100*math.Exp(-(f-16.4)*4) + 2 })
	return tell.Figure{
		Name: "duty", X: tell.Axis{Label: "shaft speed", Unit: "Hz"},
		Panes: []tell.Pane{{Y: tell.Axis{Label: "contact open", Unit: "%"}, Lines: []tell.Line{
			{Label: "rule", X: x, Y: y},
			{Label: "computed step by step", X: mx, Y: my, Marks: true},
		}}},
	}
}

// fan has seven lines that all end at nearly the same value.
func fan() tell.Figure {
	f := tell.Figure{Name: "fan", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{{Y: tell.Axis{Label: "speed", Unit: "Hz"}}}}
	for k := range 7 {
		x, y := series(50, 0, 5, func(t float64) float64 { return 20 + float64(k-3)*math.Exp(-t) })
		f.Panes[0].Lines = append(f.Panes[0].Lines, tell.Line{
			Label: []string{"first", "second", "third", "fourth line of all", "fifth", "sixth", "seventh <&> last"}[k], X: x, Y: y, Marks: k == 4})
	}
	return f
}

// slowing is a line that leans on doubt, with a mark, and one that does not.
func slowing() tell.Figure {
	x, y := series(41, 0, 20, func(t float64) float64 { return max(0, 16-t) })
	low, high := slices.Clone(y), slices.Clone(y)
	for i, t := range x {
		low[i], high[i] = max(0, y[i]-0.2*t), y[i]+0.2*t
	}
	return tell.Figure{Name: "slowing", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{
		{Y: tell.Axis{Label: "speed", Unit: "Hz"}, Lines: []tell.Line{tell.Curve("speed", x, y).Between(low, high), tell.Point("here", 4, 12)}},
		{Y: tell.Axis{Label: "current", Unit: "A"}, Lines: []tell.Line{tell.Curve("current", x, y).Doubt(make([]float64, len(x)))}},
	}}
}

// overlaid is a computed line with a measured one over it, and its doubt.
func overlaid() tell.Figure {
	x, y := series(121, 0, 0.06, func(t float64) float64 { return 100 * math.Sin(2*math.Pi*t/0.06) })
	mx, my := series(200, 0, 0.06, func(t float64) float64 { return 97 * math.Sin(2*math.Pi*t/0.06-0.05) })
	us := make([]float64, len(mx))
	for i := range us {
		us[i] = 2
	}
	return tell.Figure{Name: "overlaid", X: tell.Axis{Label: "time", Unit: "s"}, Panes: []tell.Pane{
		{Y: tell.Axis{Label: "output", Unit: "V"}, Lines: []tell.Line{tell.Curve("computed", x, y), tell.Measured("on the screen", mx, my).Doubt(us)}}}}
}

func flat() tell.Figure {
	return tell.Figure{Name: "flat", Panes: []tell.Pane{{Lines: []tell.Line{{X: []float64{1, 2}, Y: []float64{-7.5, -7.5}}}}}}
}

func single() tell.Figure {
	return tell.Figure{Name: "single", X: tell.Axis{Unit: "V"}, Panes: []tell.Pane{{Y: tell.Axis{Label: "current"}, Lines: []tell.Line{{X: []float64{3}, Y: []float64{0}}}}}}
}

// longNamed is a figure whose axes have names longer than it is wide.
func longNamed() tell.Figure {
	f := oneTurn()
	f.Name = "long"
	f.X.Label = strings.Repeat("time since somebody pressed the button, ", 5)
	f.Panes[0].Y.Label = strings.Repeat("the contact that the governor works ", 4)
	f.Panes[1].Y.Unit = strings.Repeat("thousandths of what the nameplate says ", 4)
	return f
}

// figures are those that every test of a general promise goes through.
func figures() []tell.Figure {
	return append([]tell.Figure{oneTurn(), lineAndMarks(), fan(), flat(), single(), longNamed(), slowing(), overlaid()}, randomFigures(60)...)
}

// randomFigures gives figures of all sizes and scales, always the same.
func randomFigures(n int) []tell.Figure {
	r := rand.New(rand.NewSource(4))
	words := []string{"speed", "field current", "bus voltage", "armature current under a very long name indeed", "", "contact"}
	var out []tell.Figure
	for i := range n {
		f := tell.Figure{Name: "random", X: tell.Axis{Label: words[r.Intn(len(words))], Unit: "s"}}
		from := r.NormFloat64() * math.Pow(10, float64(r.Intn(9)-4))
		width := math.Pow(10, float64(r.Intn(9)-4))
		for range 1 + r.Intn(3) {
			p := tell.Pane{Y: tell.Axis{Label: words[r.Intn(len(words))], Unit: []string{"", "V", "turns a second"}[r.Intn(3)]}}
			for range 1 + r.Intn(4) {
				size := math.Pow(10, float64(r.Intn(13)-6))
				offset := r.NormFloat64() * math.Pow(10, float64(r.Intn(9)-4))
				l := tell.Line{Label: words[r.Intn(len(words))], Stepped: r.Intn(3) == 0, Marks: r.Intn(4) == 0}
				points := []int{1, 2, 5, 300, 3000}[r.Intn(5)]
				for k := range points {
					l.X = append(l.X, from+width*float64(k)/float64(max(points-1, 1)))
					l.Y = append(l.Y, offset+size*math.Round(4*r.NormFloat64())/4)
				}
				p.Lines = append(p.Lines, l)
			}
			f.Panes = append(f.Panes, p)
		}
		if i%7 == 0 {
			f.Panes[0].Lines[0].Y = make([]float64, len(f.Panes[0].Lines[0].X))
		}
		out = append(out, f)
	}
	return out
}
