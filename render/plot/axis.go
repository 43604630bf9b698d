package plot

import (
	"fmt"
	"strconv"
)

// axis gives the attributes by which a script finds a place along the
// horizontal axis: what it runs from and to, in the axis's unit, and in px of
// the drawing where its ends are and from where to where the panes reach.
func (l *layout) axis() string {
	left, right := l.frame()
	lowest := l.panes[len(l.panes)-1]
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	return fmt.Sprintf(" data-x-from=\"%s\" data-x-to=\"%s\" data-left=\"%s\" data-right=\"%s\" data-top=\"%s\" data-bottom=\"%s\"",
		number(l.x.low), number(l.x.high), tenth(tenths(left)), tenth(tenths(right)),
		tenth(tenths(l.panes[0].top)), tenth(tenths(lowest.top+lowest.height)))
}
