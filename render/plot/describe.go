package plot

import (
	"fmt"
	"strings"

	"slipring/engine/tell"
)

// describe says in words what the data are: the span of the horizontal axis,
// and of each line either its range or, where it only switches between 0 and
// 1, for what part of the time it is at 1.
func describe(f tell.Figure) string {
	x := newRange()
	for _, p := range f.Panes {
		for _, l := range p.Lines {
			x.add(l.X...)
		}
	}
	sentences := []string{fmt.Sprintf("%s: between %s.", capital(or(f.X.Label, "Horizontal axis")), between(x, f.X.Unit))}
	for _, p := range f.Panes {
		for _, l := range p.Lines {
			sentences = append(sentences, describeLine(p, l, len(p.Lines) > 1))
		}
	}
	return strings.Join(sentences, " ")
}

func describeLine(p tell.Pane, l tell.Line, several bool) string {
	name := or(l.Label, p.Y.Label)
	if several && p.Y.Label != "" && l.Label != p.Y.Label {
		name = strings.TrimPrefix(p.Y.Label+", "+l.Label, ", ")
	}
	name = capital(or(name, "Vertical axis"))
	if twoValued(l) && l.X[len(l.X)-1] > l.X[0] {
		at, off := "at 1", "at 0"
		if contact(p, l) {
			at, off = "closed", "open"
		}
		high := share(l)
		return fmt.Sprintf("%s: %s for %s %% of the time, %s for %s %%, with %s.",
			name, off, short(100*(1-high)), at, short(100*high), changes(l))
	}
	y := newRange()
	y.add(l.Y...)
	points := ""
	if l.Marks {
		points = fmt.Sprintf(" at %d points", len(l.X))
		if len(l.X) == 1 {
			points = " at 1 point"
		}
	}
	if y.low == y.high {
		return fmt.Sprintf("%s: %s%s throughout.", name, with(short(y.low), p.Y.Unit), points)
	}
	if short(y.low) == short(y.high) {
		return fmt.Sprintf("%s: about %s%s throughout.", name, with(short(y.low), p.Y.Unit), points)
	}
	return fmt.Sprintf("%s: between %s%s.", name, between(y, p.Y.Unit), points)
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

func changes(l tell.Line) string {
	n := 0
	for i := 1; i < len(l.Y); i++ {
		if l.Y[i] != l.Y[i-1] {
			n++
		}
	}
	if n == 1 {
		return "1 change"
	}
	return fmt.Sprintf("%d changes", n)
}

// contact says whether a line shows a contact, which is 1 while closed.
func contact(p tell.Pane, l tell.Line) bool { return twoValued(l) && named(p, l) }

// named says whether a line has the name of a contact.
func named(p tell.Pane, l tell.Line) bool {
	return p.Y.Unit == "" && (strings.HasSuffix(l.Label, "contact") || strings.HasSuffix(p.Y.Label, "contact"))
}

func between(r span, unit string) string {
	return with(short(r.low)+" and "+short(r.high), unit)
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
