package motion

import (
	"math"
	"strconv"
	"strings"

	ui "slipring/render/words"
)

// words are the labels and sentences of one language. Their numbers come as
// text.
type words struct{ *ui.Words }

// controls are the words on and at the controls.
func (w words) controls() controlWords {
	return controlWords{
		Play: w.Text("motion.play"), Pause: w.Text("motion.pause"), Position: w.Text("motion.in-turn"),
		States: [2]string{w.Text("motion.contact-open"), w.Text("motion.contact-closed")}, Again: w.Text("motion.again"),
	}
}

// number writes a number with a count of decimals.
func (w words) number(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if digits, negative := strings.CutPrefix(s, "-"); negative {
		s = digits
		if strings.Trim(digits, "0.") != "" {
			s = "\u2212" + digits
		}
	}
	return strings.Replace(s, ".", w.Decimal(), 1)
}

// digits writes a number with a count of significant digits.
func (w words) digits(x float64, n int) string {
	if x == 0 {
		return "0"
	}
	return w.number(x, max(0, n-1-int(math.Floor(math.Log10(math.Abs(x))))))
}

// plain writes a number with three significant digits at most.
func (w words) plain(x float64) string {
	s := w.digits(x, 3)
	if strings.Contains(s, w.Decimal()) {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), w.Decimal())
	}
	return s
}

// times writes a factor rounded to two significant digits.
func (w words) times(x float64) string {
	unit := math.Pow(10, math.Floor(math.Log10(x))-1)
	return w.digits(math.Round(x/unit)*unit, 2)
}

func (w words) percent(part float64) string {
	return w.Text("motion.percent", "n", w.number(100*part, 0))
}

func (w words) count(n int) string {
	switch n {
	case 1:
		return w.Text("motion.once")
	case 2:
		return w.Text("motion.twice")
	}
	return w.Text("motion.times", "n", strconv.Itoa(n))
}

// rounds says how many turns a motion shows, and how long each takes.
func (w words) rounds(c course) string {
	each := c.span
	if c.turns > 0 {
		each /= c.turns
	}
	ms := w.digits(1000*each, 3)
	switch n := math.Round(c.turns); {
	case c.whole() && n == 1:
		return w.Text("motion.turn", "ms", ms)
	case c.whole():
		return w.Text("motion.turns", "turns", w.number(n, 0), "ms", ms)
	}
	return w.Text("motion.turns", "turns", w.digits(c.turns, 2), "ms", ms)
}

// contact says how often a contact closes, and for how much of the time, with
// the text of a key.
func (w words) contact(c course, name, key string) string {
	closed := c.closures(name)
	share := c.closedShare(name)
	switch {
	case len(closed) == 0:
		return w.Text("motion.stays-open")
	case share > 1-1e-9:
		return w.Text("motion.stays-closed")
	}
	return w.Text(key, "times", w.count(closings(c, closed)), "part", w.percent(share))
}

// closings counts the closures of a motion that repeats: one that is cut by
// its ends counts once.
func closings(c course, closed []stretch) int {
	n := len(closed)
	if n > 1 && closed[0].from == c.from && closed[n-1].to == c.from+c.span {
		n--
	}
	return n
}

func sentences(s ...string) string { return strings.Join(s, " ") }
