package page

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"slipring/engine/tell"
)

// A dial's scale goes round from the lower left over the top to the lower
// right. site/web/dial.js knows the same sweep; a test compares them.
const (
	dialFrom  = -135.0 // degrees from the top, clockwise
	dialSweep = 270.0

	dialX, dialY = 120.0, 104.0 // px of the drawing: the middle
	dialScale    = 92.0         // its scale's radius
	mostTicks    = 21           // beyond which only tenths of the way are marked
)

// dial draws what a knob looks like: a brass knob with a pointer, inside a
// scale whose ends are named. The control itself is the slider that the
// browser gives us, laid over it: it has the role, the limits, the keys and
// what is spoken, on every system.
func (p *printer) dial(k tell.Knob) string {
	var b strings.Builder
	last := len(k.Positions) - 1
	part := func(i int) float64 { return float64(i) / float64(max(last, 1)) }
	arc := fmt.Sprintf("M%sA%g %g 0 1 1 %s", onDial(0, dialScale), dialScale, dialScale, onDial(1, dialScale))
	b.WriteString(`<svg viewBox="0 0 240 216" aria-hidden="true" focusable="false">`)
	fmt.Fprintf(&b, `<path class="scale" d="%s"/><path class="lit" d="%s" pathLength="100" stroke-dasharray="%s 200"/>`, arc, arc, dialPart(part(k.Start)))
	ticks := last
	if last+1 > mostTicks {
		ticks = 10
	}
	b.WriteString(`<path class="marks" d="`)
	for i := range ticks + 1 {
		fmt.Fprintf(&b, "M%sL%s", onDial(float64(i)/float64(max(ticks, 1)), dialScale+8), onDial(float64(i)/float64(max(ticks, 1)), dialScale-8))
	}
	fmt.Fprintf(&b, `"/><circle class="rim" cx="%g" cy="%g" r="68"/><circle class="face" cx="%g" cy="%g" r="56"/>`, dialX, dialY, dialX, dialY)
	fmt.Fprintf(&b, `<g class="pointer" transform="rotate(%s %g %g)"><path d="M%g %gV%g"/><path class="tip" d="M%g %gl9 15h-18z"/></g>`,
		dialAngle(part(k.Start)), dialX, dialY, dialX, dialY-14, dialY-48, dialX, dialY-80)
	number := func(i int) string {
		return escape(p.in.Lesson.Tongue().Number(k.Positions[i], decimalsOf(k)))
	}
	fmt.Fprintf(&b, `<text x="46" y="210">%s</text><text x="194" y="210">%s</text></svg>`, number(0), number(last))
	return b.String()
}

// onDial gives the point at a part of the way along the scale, from 0 to 1.
func onDial(part, radius float64) string {
	angle := (dialFrom + dialSweep*part) * math.Pi / 180
	tenth := func(x float64) float64 { return math.Round(10*x) / 10 }
	return fmt.Sprintf("%g %g", tenth(dialX+radius*math.Sin(angle)), tenth(dialY-radius*math.Cos(angle)))
}

// dialAngle gives the pointer's angle in degrees, and dialPart the part of the
// scale that is lit in hundredths.
func dialAngle(part float64) string { return short(dialFrom + dialSweep*part) }
func dialPart(part float64) string  { return short(100 * part) }

// short rounds as the script does.
func short(x float64) string { return strconv.FormatFloat(math.Floor(100*x+0.5)/100, 'f', -1, 64) }
