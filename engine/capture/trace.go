package capture

import (
	"fmt"
	"math"
	"sort"

	"slipring/engine/diag"
	"slipring/engine/waveform"
)

// Size of the screen when its slant has been taken out, at most.
const (
	mostColumns = 3600
	mostRows    = 900
	// ownColumns are those of an instrument's own screen when nothing says how many:
	// more pixels in a photograph do not beat them.
	ownColumns = 500
	// What the middle of a stroke is off by, in pixels: each by itself, and all rises
	// against all falls. Found with 108 drawings with and without slant, JPEG and
	// noise, thin and thick, whose strokes stood anywhere: 0.06 to 0.08, and 0.02 to 0.05.
	// What rounds a stroke before it is drawn is the grain's.
	strokeScatter, strokeCommon = 0.07, 0.03
	// zeroRead is how finely the place of 0 V is read where its digits say no more, in
	// divisions: as a ruler or the small ticks of a graticule give it (common practice,
	// no source).
	zeroRead = 0.1
)

// strip is one trace on the straightened screen: how much of its colour is in
// each place, by columns.
type strip struct {
	columns, rows int
	weight        []uint8 // column by column
}

func (s strip) at(x, y int) float64 { return float64(s.weight[x*s.rows+y]) / 255 }

// traces reads all traces off the straightened screen.
func (p *picture) traces() *Capture {
	var own []lab
	for _, t := range p.Traces {
		own = append(own, toLab(float64(t.Colour.R)/255, float64(t.Colour.G)/255, float64(t.Colour.B)/255))
	}
	gate := newGates(own)
	nx, ny := min(mostColumns, int(1.5*p.width)), min(mostRows, int(1.5*p.height))
	strips := make([]strip, len(own))
	for i := range strips {
		strips[i] = strip{nx, ny, make([]uint8, nx*ny)}
	}
	const shift = 8 - gateBits
	for x := range nx {
		u := (float64(x) + 0.5) / float64(nx) * float64(p.Columns)
		for y := range ny {
			r, g, b, ok := p.photo.between(p.lens.at(u, (float64(y)+0.5)/float64(ny)*float64(p.Rows)))
			if !ok {
				continue
			}
			k := int(r)>>shift<<(2*gateBits) | int(g)>>shift<<gateBits | int(b)>>shift
			for i := range strips {
				strips[i].weight[x*ny+y] = gate.weight[i][k]
			}
		}
	}
	c := &Capture{File: p.file}
	for i, s := range strips {
		if ch, ok := p.channel(p.Traces[i].Name, s); ok {
			c.Channels = append(c.Channels, ch)
		}
	}
	if diag.HasError(p.messages) {
		return nil
	}
	if p.VoltsPerDivision == 0 {
		p.say(diag.Warning, "the volts a division are not given, so that heights are not measured", "give them, seconds and volts with a comma between: "+p.write("per-division", "0.01,20"))
	}
	if p.TimePerDivision == 0 {
		p.say(diag.Warning, "the time a division is not given, so that only parts of a turn are measured", "give it, seconds and volts with a comma between: "+p.write("per-division", "0.01,20"))
	}
	return c
}

// looks is what a trace looks like, column by column, in rows.
type looks struct {
	middle, total []float64
	hidden        int // columns in which hardly anything of it is seen
	thick         float64
}

func (s strip) looks() looks {
	l := looks{middle: make([]float64, s.columns), total: make([]float64, s.columns)}
	for x := range s.columns {
		for y := range s.rows {
			l.total[x] += s.at(x, y)
		}
	}
	sorted := append([]float64(nil), l.total...)
	sort.Float64s(sorted)
	// a quarter from below: what is steep is taller than the trace is thick
	l.thick = sorted[len(sorted)/4]
	if l.thick < 0.3 {
		l.thick = sorted[len(sorted)/2]
	}
	for x := range s.columns {
		l.total[x], l.middle[x] = s.main(x, 1.5*l.thick)
	}
	last := -1
	for x, t := range l.total {
		if t < 0.3*l.thick || t == 0 {
			l.hidden++
			continue
		}
		// what is hidden is drawn straight from side to side
		for k := last + 1; k < x; k++ {
			l.middle[k] = l.middle[x]
			if last >= 0 {
				l.middle[k] = l.middle[last] + (l.middle[x]-l.middle[last])*float64(k-last)/float64(x-last)
			}
		}
		last = x
	}
	for k := last + 1; k < len(l.middle) && last >= 0; k++ {
		l.middle[k] = l.middle[last]
	}
	return l
}

// main gives how much of the trace is in a column, and its middle, without what
// lies apart from it: what compression leaves around another trace may have this
// one's hue.
func (s strip) main(x int, gap float64) (total, middle float64) {
	sum, moment, last := 0.0, 0.0, -1
	end := func() {
		if sum > total {
			total, middle = sum, moment/sum
		}
		sum, moment = 0, 0
	}
	for y := range s.rows {
		w := s.at(x, y)
		if w < 0.15 {
			continue
		}
		if last >= 0 && float64(y-last) > gap+1 {
			end()
		}
		last = y
		sum += w
		moment += w * (float64(y) + 0.5)
	}
	end()
	return total, middle
}

// channel makes a channel of a trace.
func (p *picture) channel(name string, s strip) (Channel, bool) {
	l := s.looks()
	peaks := make([]float64, s.columns)
	for x := range peaks {
		for y := range s.rows {
			peaks[x] = max(peaks[x], s.at(x, y))
		}
	}
	sort.Float64s(peaks)
	// the gate opens at a quarter of the chroma: this is 0.3 of it
	if peaks[len(peaks)/2] < 0.1 || l.thick <= 0 {
		p.say(diag.Error, fmt.Sprintf("the colour of trace %q is not there, or only in places", name), "look its colour up in the picture with a drawing program, and give it: "+p.write("trace", "NAME=#RRGGBB"))
		return Channel{}, false
	}
	if l.thick > 0.25*float64(s.rows) {
		p.say(diag.Error, fmt.Sprintf("the colour of trace %q is all over the screen", name), "look its colour up in the picture with a drawing program, and give it: "+p.write("trace", "NAME=#RRGGBB"))
		return Channel{}, false
	}
	perDivision, timePer := p.VoltsPerDivision, p.TimePerDivision
	unit := "V"
	if perDivision == 0 {
		perDivision, unit = 1, "div"
	}
	if timePer == 0 {
		timePer = 1
	}
	span := timePer * float64(p.Columns)
	rowsPer := float64(s.rows) / float64(p.Rows)
	zero, given := p.zeroOf(name)
	if zero.Read == 0 {
		zero.Read = zeroRead
	}
	volts := func(row float64) float64 { return (float64(p.Rows)/2 - zero.Divisions - row/rowsPer) * perDivision }
	pixel, pixelUp := span/p.width, perDivision*float64(p.Rows)/p.height
	thick := l.thick / float64(s.rows) * p.height * pixel // as a time: a trace is as thick as wide, in pixels
	thickUp := l.thick / rowsPer * perDivision
	own := p.OwnColumns
	if own == 0 {
		own = ownColumns
	}
	c := Channel{Name: name, Unit: unit, Step: span / float64(s.columns), grain: span / float64(own), counted: p.OwnColumns > 0, guessed: p.OwnColumns == 0, scale: p.VoltsPerDivision == 0, timeless: p.TimePerDivision == 0}
	c.From = c.Step / 2
	c.place = diag.Message{File: p.file, Rule: "capture"}
	c.Y = make([]float64, s.columns)
	for x := range c.Y {
		c.Y[x] = volts(l.middle[x])
	}
	c.seen = &seen{
		edge:     math.Hypot(0.25*pixel, 0.02*thick),
		fraction: math.Hypot(0.01*thick, 0.1*pixel),
		period:   p.periodDoubt(),
		level:    math.Hypot(0.25*pixelUp, 0.05*thickUp),
		zero:     zero.Read / math.Sqrt(12) * perDivision,
		zeroRead: zero.Read,
		hidden:   float64(l.hidden) > 0.005*float64(s.columns),
	}
	if !given {
		c.seen.zeroless = "where 0 V lies is not given; give it in divisions above the middle line, such as " + p.write("zero", name+"=-3")
	}
	if !p.levels(&c, s, l, volts, pixel) {
		return Channel{}, false
	}
	top, bottom := math.Inf(1), math.Inf(-1)
	for x, t := range l.total {
		if t > 0.3*l.thick {
			top, bottom = min(top, l.middle[x]), max(bottom, l.middle[x])
		}
	}
	if !c.seen.twoLevels {
		c.seen.fraction = strokeCommon * pixel
	}
	if top < 0.55*l.thick || bottom > float64(s.rows)-0.55*l.thick {
		c.clipped = true
		p.say(diag.Warning, fmt.Sprintf("trace %q reaches the edge of the screen, where it clips", name), "choose more volts a division and record again; times are measured, heights are not")
	}
	return c, true
}

// levels looks whether a trace goes between two levels, and finds its edges.
func (p *picture) levels(c *Channel, s strip, l looks, volts func(float64) float64, pixel float64) bool {
	g := waveform.Signal{T: make([]float64, s.columns), Y: l.middle}
	for x := range g.T {
		g.T[x] = float64(x)
	}
	states, err := g.StateLevels()
	if err != nil {
		return true
	}
	up, down := states.Low, states.High // rows are counted downwards
	step := down - up
	near := max(0.08*step, 0.5*l.thick)
	var atUp, atDown []float64
	full, seen := 0, 0
	tall := [2]int{} // columns at a level that are more than level
	for x, y := range l.middle {
		if l.total[x] < 0.3*l.thick {
			continue
		}
		seen++
		stroke := 0
		if l.total[x] > step+0.5*l.thick {
			stroke = 1
		}
		switch {
		case math.Abs(y-up) < near:
			atUp = append(atUp, y)
			tall[0] += stroke
		case math.Abs(y-down) < near:
			atDown = append(atDown, y)
			tall[1] += stroke
		case l.total[x] > 0.6*(step+l.thick):
			full++
		}
	}
	level := len(atUp) + len(atDown)
	if len(atUp) == 0 || len(atDown) == 0 || float64(level) < 0.5*float64(seen) || float64(level+full) < 0.88*float64(seen) {
		return true
	}
	if 2*tall[0] > len(atUp) || 2*tall[1] > len(atDown) {
		p.say(diag.Error, fmt.Sprintf("trace %q has a pulse of less than twice its own thickness, which is too narrow to be read", c.Name), "choose less time a division, and record again")
		return false
	}
	sort.Float64s(atUp)
	sort.Float64s(atDown)
	up, down = atUp[len(atUp)/2], atDown[len(atDown)/2]
	least := max(0.3*float64(s.rows)/float64(p.Rows), 1.5*l.thick)
	if down-up < least {
		p.say(diag.Error, fmt.Sprintf("the levels of trace %q are too close to each other for how thick it is", c.Name), "choose fewer volts a division and record again")
		return false
	}
	c.seen.twoLevels = true
	c.seen.high, c.seen.low = volts(up), volts(down)
	thick := l.thick / float64(s.rows) * p.height / p.width * float64(s.columns) // in columns
	edges, hidden, dots := s.edges(up, down, l.thick, thick)
	strokes := 0
	for i := range edges {
		if at, ok := s.stroke(edges[i].at, up+l.thick, down-l.thick, thick); ok {
			edges[i].at = at
			strokes++
		}
	}
	if strokes == 0 && p.OwnColumns == 0 { // dots: how far apart they are shows
		c.grain, c.guessed = max(c.grain, dots*c.Step), false
	}
	if strokes == len(edges) {
		c.seen.edge, c.seen.fraction = strokeScatter*pixel, strokeCommon*pixel
	}
	// A level that is hidden moves no edge whose stroke is seen.
	c.seen.hidden = strokes < len(edges) && (c.seen.hidden || float64(hidden) > 0.005*float64(s.columns))
	shortest := math.Inf(1)
	for i, e := range edges {
		if i > 0 {
			shortest = min(shortest, e.at-edges[i-1].at)
		}
	}
	if shortest < 2*thick {
		p.say(diag.Error, fmt.Sprintf("trace %q has a pulse of %.1f times its own thickness, which is too narrow to be read", c.Name, shortest/thick), "choose less time a division, and record again")
		return false
	}
	if shortest < 3*thick {
		p.say(diag.Warning, fmt.Sprintf("trace %q has a pulse of only %.1f times its own thickness", c.Name, shortest/thick), "choose less time a division for a surer fraction")
	}
	for _, e := range edges {
		c.seen.edges = append(c.seen.edges, edge{e.at * c.Step, e.rising})
	}
	return true
}

// edges finds where the trace goes from one level to the other, in columns. At
// an edge the stroke makes the trace as wide at both levels, so that the middle
// between where it leaves one and where it reaches the other has no bias,
// however thick it is. Hidden counts columns in which neither level is seen. Dots is
// how far apart two dots are between which the trace changes, in columns: from the
// middle of the last of one level to that of the first of the other, each as wide
// as the trace.
func (s strip) edges(up, down, thick, wide float64) (out []edge, hidden int, dots float64) {
	side := make([]float64, s.columns)
	seen := [2][]float64{make([]float64, s.columns), make([]float64, s.columns)} // at each level
	var apart []float64
	band := func(x int, middle float64) float64 {
		half := max(1, 0.25*thick)
		from, to := max(0, int(middle-half)), min(s.rows-1, int(middle+half))
		most := 0.0
		for y := from; y <= to; y++ {
			most += s.at(x, y)
		}
		return min(1, 1.15*most/float64(to-from+1))
	}
	for x := range side {
		above, below := band(x, up), band(x, down)
		side[x], seen[0][x], seen[1][x] = above-below, above, below
		if above+below < 0.5 {
			hidden++
		}
	}
	state, last := 0, 0
	reach := int(2*thick) + 4
	for x, v := range side {
		now := 0
		if v > 0.5 {
			now = 1
		} else if v < -0.5 {
			now = -1
		}
		if now == 0 {
			continue
		}
		if state != 0 && now != state {
			a, b := last, x
			sign := float64(now)
			for a > 0 && -sign*side[a] < 0.97 && last-a < reach && -sign*side[a-1] > -sign*side[a] {
				a--
			}
			for b < s.columns-1 && sign*side[b] < 0.97 && b-x < reach && sign*side[b+1] > sign*side[b] {
				b++
			}
			at := float64(a)
			for k := a; k <= b; k++ {
				at += (1 - sign*side[k]) / 2
			}
			if at > thick/2 && at < float64(s.columns)-thick/2 {
				out = append(out, edge{at, now > 0})
				from, to := seen[0], seen[1]
				if now > 0 {
					from, to = to, from
				}
				pitch := wide
				for k := a; k <= b; k++ { // columns that still show the one, and already the other
					pitch += 1 - from[k] - to[k]
				}
				apart = append(apart, pitch)
			}
		}
		state, last = now, x
	}
	if len(apart) > 0 {
		sort.Float64s(apart)
		dots = apart[len(apart)/2]
	}
	return out, hidden, dots
}

// stroke gives where the stroke of an edge stands, in columns: the median over
// the rows between the levels of its middle in each, so that a trace that hides
// a part of it, or an end of a level, moves it little. It fails where hardly any
// stroke is drawn.
func (s strip) stroke(near, from, to, thick float64) (at float64, ok bool) {
	reach := 2.5*thick + 2
	a, b := max(0, int(near-reach)), min(s.columns-1, int(near+reach))
	rows := 0
	var middles []float64
	for y := int(from); y < int(to); y++ {
		rows++
		sum, moment := 0.0, 0.0
		for x := a; x <= b; x++ {
			w := s.at(x, y)
			sum += w
			moment += w * (float64(x) + 0.5)
		}
		if sum > 0.7*thick && sum < 1.6*thick {
			middles = append(middles, moment/sum)
		}
	}
	if rows < 4 || len(middles) < max(3, rows/3) {
		return 0, false
	}
	sort.Float64s(middles)
	return middles[len(middles)/2], true
}
