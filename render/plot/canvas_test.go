package plot

import (
	"image/color"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// The canvas also serves gonum's own plotters, whose line then runs through
// the points that gonum's transform gives.
func TestCanvasServesGonum(t *testing.T) {
	c := newCanvas(100)
	p := plot.New()
	p.BackgroundColor = nil
	p.HideAxes()
	p.X.Color, p.Y.Color, p.X.Padding, p.Y.Padding = role("axis"), role("axis"), 0, 0
	line, err := plotter.NewLine(plotter.XYs{{X: 0, Y: 0}, {X: 1, Y: 5}, {X: 2, Y: 10}})
	if err != nil {
		t.Fatal(err)
	}
	line.Color = role("line")
	p.Add(line)
	area := draw.NewCanvas(c, 200, 100)
	p.Draw(area)
	c.flush()
	if c.err != nil {
		t.Fatal(c.err)
	}
	root := parse(t, "<svg>"+c.out.String()+"</svg>")
	px, py := vertices(t, root.with("line")[0].attr("d"))
	data := p.DataCanvas(area)
	x, y := p.Transforms(&data)
	if len(px) != 3 {
		t.Fatalf("the line has %d points", len(px))
	}
	for i := range px {
		wantX, wantY := float64(x(line.XYs[i].X)), 100-float64(y(line.XYs[i].Y))
		if math.Abs(px[i]-wantX) > 0.05 || math.Abs(py[i]-wantY) > 0.05 {
			t.Errorf("point %d stands at %v, %v, not at %v, %v", i, px[i], py[i], wantX, wantY)
		}
	}
}

// Transforms follow vg's contract: each applies to what is drawn after it, the
// last one first, and Push and Pop keep them.
func TestCanvasTransforms(t *testing.T) {
	c := newCanvas(100)
	c.Push()
	c.Translate(vg.Point{X: 10, Y: 20})
	c.Rotate(math.Pi / 2)
	c.Scale(2, 3)
	if x, y := c.at(vg.Point{X: 1, Y: 1}); math.Abs(x-7) > 1e-12 || math.Abs(y-78) > 1e-12 {
		t.Errorf("the point lands at %v, %v, not at 7, 78", x, y)
	}
	c.Pop()
	if x, y := c.at(vg.Point{X: 1, Y: 1}); x != 1 || y != 99 {
		t.Errorf("after Pop the point lands at %v, %v", x, y)
	}
}

func TestCanvasRefuses(t *testing.T) {
	arc := vg.Path{}
	arc.Move(vg.Point{})
	arc.Arc(vg.Point{}, 1, 0, 1)
	curve := vg.Path{}
	curve.Move(vg.Point{})
	curve.QuadTo(vg.Point{}, vg.Point{X: 1})
	for want, do := range map[string]func(*canvas){
		"a colour instead": func(c *canvas) { c.SetColor(color.Black) },
		"more often":       func(c *canvas) { c.Pop() },
		"a picture":        func(c *canvas) { c.DrawImage(vg.Rectangle{}, nil) },
		"no circle":        func(c *canvas) { c.Fill(arc) },
		"a curve":          func(c *canvas) { c.Stroke(curve) },
		"at an angle": func(c *canvas) {
			c.Rotate(1)
			draw := draw.NewCanvas(c, 1, 1)
			draw.Canvas.FillString(plot.DefaultTextHandler.Cache().Lookup(plot.DefaultFont, 1), vg.Point{}, "x")
		},
	} {
		c := newCanvas(1)
		if do(c); c.err == nil || !strings.Contains(c.err.Error(), want) {
			t.Errorf("got %v, want an error about %q", c.err, want)
		}
	}
}

// spread keeps boxes apart and inside, in order, and leaves alone what has
// room. The first case is isotonic regression's textbook example of two
// neighbours that are pooled to their mean.
func TestSpread(t *testing.T) {
	for _, c := range []struct {
		wanted, heights []float64
		low, high       float64
		want            []float64
	}{
		{[]float64{50, 52}, []float64{10, 10}, 0, 100, []float64{46, 56}},
		{[]float64{20, 60}, []float64{10, 10}, 0, 100, []float64{20, 60}},
		{[]float64{0, 0, 0}, []float64{10, 10, 10}, 0, 100, []float64{5, 15, 25}},
		{[]float64{99, 99}, []float64{10, 20}, 0, 100, []float64{75, 90}},
		{nil, nil, 0, 1, nil},
	} {
		got := spread(c.wanted, c.heights, c.low, c.high)
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 1e-9 {
				t.Errorf("spread(%v, %v) = %v, want %v", c.wanted, c.heights, got, c.want)
				break
			}
		}
	}
}

func BenchmarkDraw(b *testing.B) {
	f := oneTurn()
	for b.Loop() {
		if _, err := Draw(f, Settings{}); err != nil {
			b.Fatal(err)
		}
	}
}
