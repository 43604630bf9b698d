package plot

import (
	"math"
	"strings"

	"slipring/engine/tell"
	"slipring/engine/waveform"
)

// describe says in words what the data are: the span of the horizontal axis,
// and of each line either its range or, where it only switches between 0 and
// 1, for what part of the time it is at 1.
func describe(f tell.Figure, said speech) string {
	x := newRange()
	for _, p := range f.Panes {
		for _, l := range p.Lines {
			x.add(l.X...)
		}
	}
	low, high := said.between(x, f.X.Unit)
	sentences := []string{said.words.Text("figure.between", "name", capital(or(said.told(f.X.Label), said.words.Text("figure.horizontal"))), "low", low, "high", high)}
	for _, p := range f.Panes {
		for _, l := range p.Lines {
			sentences = append(sentences, describeLine(p, l, len(p.Lines) > 1, said))
			if banded(l) {
				sentences = append(sentences, describeBand(f, p, l, said))
			}
		}
	}
	return strings.Join(sentences, " ")
}

func describeLine(p tell.Pane, l tell.Line, several bool, said speech) string {
	w := said.words
	line, axis := said.told(l.Label), said.told(p.Y.Label)
	name := or(line, axis)
	if several && axis != "" && line != axis {
		name = strings.TrimPrefix(axis+", "+line, ", ")
	}
	name = said.measured(l, capital(or(name, w.Text("figure.vertical"))))
	if twoValued(l) && l.X[len(l.X)-1] > l.X[0] {
		high := share(l)
		off, on := said.short(100*(1-high))+" %", said.short(100*high)+" %"
		switch l.Kind {
		case waveform.Contact:
			return w.Text("figure.contact", "name", name, "off", off, "on", on, "n", changes(l))
		case waveform.Working:
			return w.Text("figure.working", "name", name, "off", off, "on", on, "n", changes(l))
		}
		return w.Text("figure.steps", "name", name, "off", off, "on", on, "n", changes(l))
	}
	y := newRange()
	y.add(l.Y...)
	low, high := said.between(y, p.Y.Unit)
	value := with(said.short(y.low), p.Y.Unit)
	switch flat, about := y.low == y.high, short(y.low) == short(y.high); {
	case flat && l.Marks:
		return w.Text("figure.throughout-at", "name", name, "value", value, "n", len(l.X))
	case flat:
		return w.Text("figure.throughout", "name", name, "value", value)
	case about && l.Marks:
		return w.Text("figure.about-at", "name", name, "value", value, "n", len(l.X))
	case about:
		return w.Text("figure.about", "name", name, "value", value)
	case l.Marks:
		return w.Text("figure.between-at", "name", name, "low", low, "high", high, "n", len(l.X))
	}
	return w.Text("figure.between", "name", name, "low", low, "high", high)
}

// measured gives a line's name, with a word where the line was measured.
func (s speech) measured(l tell.Line, name string) string {
	if l.Measured {
		return s.words.Text("figure.measured", "name", name)
	}
	return name
}

// describeBand says how far a line's band reaches where it is widest.
func describeBand(f tell.Figure, p tell.Pane, l tell.Line, said speech) string {
	widest := 0
	for i := range l.X {
		if l.High[i]-l.Low[i] > l.High[widest]-l.Low[widest] {
			widest = i
		}
	}
	low, high := said.between(span{l.Low[widest], l.High[widest]}, p.Y.Unit)
	return said.words.Text("figure.doubt", "name", said.measured(l, capital(or(said.told(l.Label), said.told(p.Y.Label)))),
		"low", low, "high", high, "at", with(said.short(l.X[widest]), f.X.Unit))
}

// share gives the part of the time for which a stepped line is at 1.
func share(l tell.Line) float64 {
	at := 0.0
	for i := 1; i < len(l.X); i++ {
		if l.Y[i-1] == 1 {
			at += l.X[i] - l.X[i-1]
		}
	}
	return at / (l.X[len(l.X)-1] - l.X[0])
}

// changes counts how often a stepped line changes.
func changes(l tell.Line) int {
	n := 0
	for i := 1; i < len(l.Y); i++ {
		if l.Y[i] != l.Y[i-1] {
			n++
		}
	}
	return n
}

// between gives the two ends of a range, the second with its unit. Digits that
// are less than a hundredth of the range are of no use to a listener.
func (s speech) between(r span, unit string) (low, high string) {
	return s.short(toHundredth(r.low, r)), with(s.short(toHundredth(r.high, r)), unit)
}

// toHundredth rounds to a power of ten that is at most a hundredth of a range.
func toHundredth(x float64, r span) float64 {
	places := 2 - math.Floor(math.Log10(r.high-r.low))
	if !(places > -300 && places < 300) { // the range is nothing, or has no end
		return x
	}
	if scale := math.Pow(10, math.Abs(places)); places > 0 {
		x = math.Round(x*scale) / scale
	} else {
		x = math.Round(x/scale) * scale
	}
	return x + 0 // no -0
}

func with(number, unit string) string { return strings.TrimSpace(number + " " + unit) }

// quantity names an axis with its unit, as in "speed, Hz".
func quantity(a tell.Axis) string {
	switch {
	case a.Unit == "":
		return a.Label
	case a.Label == "":
		return a.Unit
	}
	return a.Label + ", " + a.Unit
}

func or(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
