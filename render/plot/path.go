package plot

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"
)

// pathData collects the d attribute of an SVG path. Points are rounded to
// whole tenths of a px first and written as differences, so that rounding does
// not add up along a line and no number is longer than it has to be.
type pathData struct {
	out            strings.Builder
	x, y           int // where the pen is, in tenths
	startX, startY int // where the part began
	last           byte

	// steps holds the first point and then each way that the pen went, x
	// before y: enough to write the data again, of one unbroken line or of one
	// shape at many points.
	steps []int
}

func tenths(x float64) int { return int(math.Round(10 * x)) }

// tenth writes a number of tenths.
func tenth(t int) string { return strconv.FormatFloat(float64(t)/10, 'f', -1, 64) }

func (d *pathData) String() string { return d.out.String() }

// command writes a letter, where it is not the one that still holds, and
// numbers in tenths.
func (d *pathData) command(letter byte, numbers ...int) {
	fresh := letter != d.last || letter == 'm'
	if fresh {
		d.out.WriteByte(letter)
	}
	for i, n := range numbers {
		if n >= 0 && (i > 0 || !fresh) {
			d.out.WriteByte(' ')
		}
		d.out.WriteString(tenth(n))
	}
	d.last = letter
}

func (d *pathData) move(x, y int) {
	if d.last == 0 {
		d.command('M', x, y)
		d.steps = append(d.steps, x, y)
	} else {
		d.command('m', x-d.x, y-d.y)
	}
	d.x, d.y, d.startX, d.startY = x, y, x, y
}

func (d *pathData) line(x, y int) {
	if x == d.x && y == d.y {
		return // no way to go
	}
	d.steps = append(d.steps, x-d.x, y-d.y)
	switch {
	case y == d.y:
		d.command('h', x-d.x)
	case x == d.x:
		d.command('v', y-d.y)
	default:
		d.command('l', x-d.x, y-d.y)
	}
	d.x, d.y = x, y
}

// mark goes to a point and writes a shape there, which must come back to it.
func (d *pathData) mark(shape string, x, y int) {
	fromX, fromY := d.x, d.y
	first := d.last == 0
	d.move(x, y)
	if !first {
		d.steps = append(d.steps, x-fromX, y-fromY)
	}
	d.out.WriteString(shape)
	d.last = 'z'
}

// circle draws a whole circle from where the pen is, at its right, as two
// halves.
func (d *pathData) circle(radius int) {
	r := tenth(radius)
	fmt.Fprintf(&d.out, "a%s %s 0 1 0-%s 0 %s %s 0 1 0 %s 0", r, r, tenth(2*radius), r, r, tenth(2*radius))
	d.last = 'a'
}

func (d *pathData) close() {
	d.out.WriteByte('z')
	d.last, d.x, d.y = 'z', d.startX, d.startY
}

// add writes a path of vg. Of arcs it knows whole circles that begin where the
// pen is, the only ones that plots have.
func (c *canvas) add(d *pathData, p vg.Path) {
	for _, part := range p {
		fx, fy := c.at(part.Pos)
		x, y := tenths(fx), tenths(fy)
		switch part.Type {
		case vg.MoveComp:
			d.move(x, y)
		case vg.LineComp:
			d.line(x, y)
		case vg.CloseComp:
			d.close()
		case vg.ArcComp:
			if math.Abs(part.Angle) < 2*math.Pi {
				c.fail("an arc is drawn that is no circle")
			}
			d.circle(tenths(float64(part.Radius)))
		default:
			c.fail("a curve is drawn")
		}
	}
}
