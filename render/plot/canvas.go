package plot

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"

	"slipring/render/markup"
)

// role is the part that a line or a text plays in a drawing. It goes where
// gonum expects a colour, and comes out as a class.
type role string

// RGBA makes a role pass for a colour; nothing looks at it.
func (role) RGBA() (r, g, b, a uint32) { return 0, 0, 0, 0xffff }

// moving is a role of what is not the same in all frames of a figure. Each
// stroke or fill in it becomes a path of its own.
type moving role

// RGBA does as that of role does.
func (moving) RGBA() (r, g, b, a uint32) { return 0, 0, 0, 0xffff }

// canvas is a vg.Canvas that writes SVG elements with classes. One unit of vg
// is one px; vg's y points up, SVG's down.
type canvas struct {
	height float64
	out    strings.Builder
	state  state
	stack  []state

	// Strokes of one role that follow each other are put into one path.
	open role
	data pathData

	// Of a figure with frames, paths and texts that move are also kept, and
	// marked as such in the order in which they are.
	framed bool
	moved  []movedPath

	err error
}

type state struct {
	role  role
	moves bool
	width vg.Length
	m     matrix
}

func newCanvas(height float64) *canvas {
	return &canvas{height: height, state: state{width: 1, m: matrix{1, 0, 0, 1, 0, 0}}}
}

// matrix of the transform (x, y) -> (a x + c y + e, b x + d y + f)
type matrix struct{ a, b, c, d, e, f float64 }

// then gives the transform that does n first and m after it.
func (m matrix) then(n matrix) matrix {
	return matrix{
		m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b,
		m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d,
		m.a*n.e + m.c*n.f + m.e, m.b*n.e + m.d*n.f + m.f,
	}
}

// at gives a point in SVG coordinates.
func (c *canvas) at(p vg.Point) (x, y float64) {
	m := c.state.m
	px, py := float64(p.X), float64(p.Y)
	return m.a*px + m.c*py + m.e, c.height - (m.b*px + m.d*py + m.f)
}

func (c *canvas) SetLineWidth(w vg.Length)           { c.state.width = w }
func (c *canvas) SetLineDash([]vg.Length, vg.Length) {} // a matter of the style sheet

func (c *canvas) SetColor(col color.Color) {
	switch r := col.(type) {
	case role:
		c.state.role, c.state.moves = r, false
	case moving:
		c.state.role, c.state.moves = role(r), true
	default:
		c.fail("something is drawn in a colour instead of a role")
	}
}

func (c *canvas) Rotate(rad float64) {
	sin, cos := math.Sincos(rad)
	c.state.m = c.state.m.then(matrix{cos, sin, -sin, cos, 0, 0})
}

func (c *canvas) Translate(p vg.Point) {
	c.state.m = c.state.m.then(matrix{1, 0, 0, 1, float64(p.X), float64(p.Y)})
}

func (c *canvas) Scale(x, y float64) {
	c.state.m = c.state.m.then(matrix{x, 0, 0, y, 0, 0})
}

func (c *canvas) Push() { c.stack = append(c.stack, c.state) }

func (c *canvas) Pop() {
	if len(c.stack) == 0 {
		c.fail("the canvas is restored more often than saved")
		return
	}
	c.state = c.stack[len(c.stack)-1]
	c.stack = c.stack[:len(c.stack)-1]
}

func (c *canvas) Stroke(p vg.Path) {
	if c.state.width <= 0 {
		return
	}
	if c.open != c.state.role || c.state.moves {
		c.flush()
		c.open = c.state.role
	}
	c.add(&c.data, p)
	if c.state.moves {
		c.flushMoving(movedPath{steps: c.data.steps})
	}
}

func (c *canvas) Fill(p vg.Path) {
	c.flush()
	var d pathData
	c.add(&d, p)
	fmt.Fprintf(&c.out, "<path class=\"%s\"%s d=\"%s\"/>\n", markup.Escape(string(c.state.role)), c.keep(movedPath{steps: d.steps}), d.String())
}

// fillMarks fills the same shape at each of some points.
func (c *canvas) fillMarks(shape string, at []vg.Point) {
	c.flush()
	var d pathData
	for _, p := range at {
		x, y := c.at(p)
		d.mark(shape, tenths(x), tenths(y))
	}
	fmt.Fprintf(&c.out, "<path class=\"%s\"%s d=\"%s\"/>\n", markup.Escape(string(c.state.role)), c.keep(movedPath{shape: shape, steps: d.steps}), d.String())
}

func (c *canvas) FillString(_ font.Face, p vg.Point, txt string) {
	if c.state.m.b != 0 || c.state.m.c != 0 {
		c.fail("text is drawn at an angle")
	}
	c.text(p, "start", txt)
}

func (c *canvas) DrawImage(vg.Rectangle, image.Image) { c.fail("a picture is drawn") }

// text writes one line of text whose base line begins, has its middle or ends
// at p.
func (c *canvas) text(p vg.Point, anchor, txt string) {
	c.flush()
	fx, fy := c.at(p)
	x, y := tenths(fx), tenths(fy)
	fmt.Fprintf(&c.out, "<text class=\"%s\"%s x=\"%s\" y=\"%s\"", markup.Escape(string(c.state.role)), c.keep(movedPath{text: true, steps: []int{x, y}}), tenth(x), tenth(y))
	if anchor != "start" {
		fmt.Fprintf(&c.out, " text-anchor=\"%s\"", anchor)
	}
	fmt.Fprintf(&c.out, ">%s</text>\n", markup.Escape(txt))
}

// group opens a group of a class; end closes it.
func (c *canvas) group(class string) {
	c.flush()
	fmt.Fprintf(&c.out, "<g class=\"%s\">\n", markup.Escape(class))
}

func (c *canvas) end() {
	c.flush()
	c.out.WriteString("</g>\n")
}

// flush writes the strokes that wait to be put together.
func (c *canvas) flush() {
	if c.data.String() != "" {
		c.strokes("")
	}
	c.open, c.data = "", pathData{}
}

func (c *canvas) flushMoving(p movedPath) {
	c.strokes(c.keep(p))
	c.open, c.data = "", pathData{}
}

func (c *canvas) strokes(mark string) {
	fmt.Fprintf(&c.out, "<path class=\"%s\" fill=\"none\" stroke=\"currentColor\"%s d=\"%s\"/>\n", markup.Escape(string(c.open)), mark, c.data.String())
}

// keep keeps a path that moves, and gives the attribute that marks it.
func (c *canvas) keep(p movedPath) string {
	if !c.framed || !c.state.moves {
		return ""
	}
	c.moved = append(c.moved, p)
	return fmt.Sprintf(" data-moves=\"%d\"", len(c.moved)-1)
}

func (c *canvas) fail(what string) {
	if c.err == nil {
		c.err = errors.New(what)
	}
}
