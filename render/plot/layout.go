package plot

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"slipring/engine/tell"
	"slipring/engine/waveform"
	"slipring/render/markup"
)

// All distances are in units of the text's size.
const (
	paneHeight   = 10.5 // of the data of a pane
	switchHeight = 2.6  // of the data of a pane that only switches
	titleHeight  = 1.7  // of the line above a pane that names its quantity
	paneGap      = 0.9  // below a pane
	leastPane    = 4.4  // of the data of a pane that is lowered
	leastSwitch  = 2    // of the data of a pane that only switches, lowered
	footHeight   = 3.2  // of the axis below the lowest pane
	tickLength   = 0.35
	numberGap    = 0.35 // between a tick and its number
	nameGap      = 0.9  // between the data and the names at its right
)

// layout is a figure with everything measured that its drawing needs.
type layout struct {
	figure tell.Figure
	frames [][]tell.Pane // all that share its axes
	width  float64
	height float64
	text   float64
	x      span
	foot   []string // lines of the name of the quantity below
	panes  []pane
	letter lettering
	names  float64 // px, width of the names at the right; 0 when there are none
	left   float64 // px, of all data
	right  float64
	err    error

	still     bool // frames are not wanted
	movesOnly bool // draw only what differs between frames

	said speech
}

// pane is one set of axes. Its data stand between top and top+height, in px
// from the upper edge of the figure.
type pane struct {
	tell.Pane
	y           span
	ticks       []plot.Tick
	top, height float64
	least       float64 // px, to which the height may be lowered
	names       []name
	title       []string // lines of the name of its quantity
	known       float64  // px from the left, of what names its band; 0 when nothing does
}

func layOut(f tell.Figure, s Settings) *layout {
	l := &layout{figure: f, frames: allFrames(f), width: s.Width, text: s.Text}
	if l.said, l.err = speechOf(s); l.err != nil {
		return l
	}
	l.letter, l.err = newLettering()
	if l.err != nil {
		return l
	}
	l.x = newRange()
	marks := false
	for _, panes := range l.frames {
		for _, p := range panes {
			for _, line := range p.Lines {
				l.x.add(line.X...)
				marks = marks || line.Marks
			}
		}
	}
	if marks {
		l.x = l.x.wide(0.02) // or marks at the ends would be cut by the frame
	} else {
		l.x = l.x.wide(0)
	}
	for i := range f.Panes {
		l.panes = append(l.panes, l.pane(i))
	}
	l.nameLines()
	l.nameAxes()
	l.nameBands()
	l.stack(s.Height, s.Tallest)
	l.nameNear()
	return l
}

// pane measures a pane, over all frames.
func (l *layout) pane(i int) pane {
	p := l.figure.Panes[i]
	out := pane{Pane: p, y: newRange(), height: paneHeight * l.text, least: leastPane * l.text}
	switches := true
	for _, panes := range l.frames {
		for _, line := range panes[i].Lines {
			out.y.add(line.Y...)
			out.y.add(line.Low...)
			out.y.add(line.High...)
			switches = switches && twoValued(line)
		}
	}
	if !switches {
		out.y = out.y.wide(0.06)
		out.ticks = l.said.ticks(ticks(out.y))
		return out
	}
	out.y = span{-0.12, 1.12}
	out.height, out.least = switchHeight*l.text, leastSwitch*l.text
	out.ticks = []plot.Tick{{Value: 0, Label: "0"}, {Value: 1, Label: "1"}}
	switch p.Lines[0].Kind {
	case waveform.Contact:
		out.ticks = []plot.Tick{{Value: 0, Label: l.said.words.Text("figure.open")}, {Value: 1, Label: l.said.words.Text("figure.closed")}}
	case waveform.Working:
		out.ticks = []plot.Tick{{Value: 0, Label: l.said.words.Text("figure.off")}, {Value: 1, Label: l.said.words.Text("figure.on")}}
	}
	return out
}

// stack puts the panes above each other. Where the wanted height leaves more
// than is needed, the data of all panes grow alike; where the tallest leaves
// less, they shrink alike, each to its least.
func (l *layout) stack(wanted, tallest float64) {
	foot := (footHeight + more(l.foot) - paneGap) * l.text
	fixed, data := foot, 0.0
	for _, p := range l.panes {
		fixed += (titleHeight + more(p.title) + paneGap) * l.text
		data += p.height
	}
	if grow := max((wanted-fixed)/data, 1); tallest <= 0 || fixed+grow*data <= tallest {
		for i := range l.panes {
			l.panes[i].height *= grow
		}
	} else {
		l.lower(tallest - fixed)
	}
	y := 0.0
	for i := range l.panes {
		p := &l.panes[i]
		p.top = y + (titleHeight+more(p.title))*l.text
		y = p.top + p.height + paneGap*l.text
	}
	l.height = math.Ceil(y + foot)
}

// nameAxes breaks the names of quantities where they are wider than the figure.
func (l *layout) nameAxes() {
	lines := func(a tell.Axis) []string {
		words := quantity(l.said.axis(a))
		if l.letter.width(words, l.text) <= l.width {
			return []string{words}
		}
		broken := l.broken(words, l.width)
		for _, line := range broken {
			if l.letter.width(line, l.text) > l.width {
				l.err = fmt.Errorf("%g px are too narrow for %q on its axis", l.width, line)
			}
		}
		return broken
	}
	for i := range l.panes {
		l.panes[i].title = lines(l.panes[i].Y)
	}
	l.foot = lines(l.figure.X)
}

// more is the height of all lines of a name but the first.
func more(lines []string) float64 { return float64(max(len(lines)-1, 0)) * lineHeight }

// lower makes panes lower until their data take a height together, or all have
// their least.
func (l *layout) lower(height float64) {
	for done := false; !done; {
		done = true
		free, data := height, 0.0
		for _, p := range l.panes {
			if p.height > p.least {
				data += p.height
			} else {
				free -= p.height
			}
		}
		for i := range l.panes {
			p := &l.panes[i]
			if p.height <= p.least {
				continue
			}
			if to := p.height * free / data; to > p.least {
				p.height = to
			} else {
				p.height, done = p.least, false // the others have to give more
			}
		}
	}
}

// drawPanes draws all panes of the figure on a canvas.
func (l *layout) drawPanes() (*canvas, error) {
	if l.err != nil {
		return nil, l.err
	}
	c := newCanvas(l.height)
	c.framed = !l.still
	left, right := l.left, l.right
	if right-left < 6*l.text {
		return nil, fmt.Errorf("%g px are too narrow for it", l.width)
	}
	xticks := l.xTicks(right - left)
	for i := range l.panes {
		l.drawPane(c, i, left, right, xticks)
	}
	c.flush()
	return c, c.err
}

// draw writes the whole SVG element.
func (l *layout) draw(s Settings, description string) (string, error) {
	c, err := l.drawPanes()
	if err != nil {
		return "", err
	}
	var b strings.Builder
	id := markup.Escape(s.ID)
	fmt.Fprintf(&b, "<svg class=\"plot\" id=\"%s\" viewBox=\"0 0 %s %s\" role=\"img\" aria-labelledby=\"%s-title %s-desc\" font-size=\"%s\" fill=\"currentColor\"%s>\n",
		id, tenth(tenths(l.width)), tenth(tenths(l.height)), id, id, tenth(tenths(l.text)), l.axis())
	fmt.Fprintf(&b, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", id, markup.Escape(s.Title), id, markup.Escape(description))
	b.WriteString(c.out.String())
	b.WriteString("</svg>\n")
	return b.String(), nil
}

// frame gives the left and right edge of all data: what the widest numbers at
// the left and the names at the right leave.
func (l *layout) frame() (left, right float64) {
	for _, p := range l.panes {
		for _, t := range p.ticks {
			left = max(left, l.letter.width(t.Label, l.text))
		}
	}
	left += (tickLength + numberGap) * l.text
	right = l.width - 1
	if l.names > 0 {
		right -= l.names + nameGap*l.text
	}
	// room for the half of a number that stands below an end
	for _, t := range l.said.ticks(ticks(l.x)) {
		if t.IsMinor() {
			continue
		}
		half := l.letter.width(t.Label, l.text) / 2
		at := (t.Value - l.x.low) / l.x.span()
		if at < 0.1 {
			left = max(left, half)
		}
		if at > 0.9 {
			right = min(right, l.width-1-half)
		}
	}
	return left, right
}

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

func (l *layout) xTicks(length float64) []plot.Tick {
	gap := l.text
	return apart(l.said.ticks(ticks(l.x)), l.x, length, func(label string) float64 { return l.letter.width(label, l.text) + gap })
}

// drawPane draws one pane into a group of its own: its grid, its axes, its
// lines, and the names of these.
func (l *layout) drawPane(c *canvas, index int, left, right float64, xticks []plot.Tick) {
	p, lowest := &l.panes[index], index == len(l.panes)-1
	c.group("pane")
	area := draw.Canvas{Canvas: c, Rectangle: vg.Rectangle{
		Min: vg.Point{X: vg.Length(left), Y: vg.Length(l.height - p.top - p.height)},
		Max: vg.Point{X: vg.Length(right), Y: vg.Length(l.height - p.top)},
	}}
	yticks := apart(p.ticks, p.y, p.height, func(string) float64 { return 1.2 * l.text })

	g := plot.New()
	g.BackgroundColor = nil
	g.HideAxes() // ours leave room for each other
	g.X.Color, g.Y.Color, g.X.Padding, g.Y.Padding = role("axis"), role("axis"), 0, 0
	if !l.movesOnly {
		g.Add(grid{xticks, yticks}, axes{c, l, p, xticks, yticks, lowest})
		if p.known > 0 {
			g.Add(bandKey{p, l, c})
		}
	}
	for i, line := range p.Lines {
		if banded(line) {
			g.Add(band{line, i})
		}
	}
	for i, line := range p.Lines {
		if line.Marks {
			g.Add(marks{line, i, c})
		} else {
			g.Add(trace{line, i})
		}
	}
	// Adding widens the axes to the data, so they are set behind it.
	g.X.Min, g.X.Max, g.Y.Min, g.Y.Max = l.x.low, l.x.high, p.y.low, p.y.high
	g.Draw(area)
	l.drawNames(c, index, area)
	c.end()
}
