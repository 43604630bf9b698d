package plot

import (
	"encoding/xml"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/tell"
)

// element is any element of a drawing.
type element struct {
	XMLName  xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Text     string     `xml:",chardata"`
	Children []element  `xml:",any"`
}

func (e element) attr(name string) string {
	for _, a := range e.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func (e element) number(t *testing.T, name string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(e.attr(name), 64)
	if err != nil {
		t.Fatalf("attribute %s of %s: %v", name, e.XMLName.Local, err)
	}
	return x
}

// is says whether the element has a class.
func (e element) is(class string) bool {
	for _, c := range strings.Fields(e.attr("class")) {
		if c == class {
			return true
		}
	}
	return false
}

func (e element) all(visit func(element)) {
	visit(e)
	for _, c := range e.Children {
		c.all(visit)
	}
}

// with lists the elements below e that have a class.
func (e element) with(class string) []element {
	var out []element
	e.all(func(x element) {
		if x.is(class) {
			out = append(out, x)
		}
	})
	return out
}

func parse(t *testing.T, svg string) element {
	t.Helper()
	var root element
	d := xml.NewDecoder(strings.NewReader(svg))
	d.Strict = true
	if err := d.Decode(&root); err != nil {
		t.Fatalf("the drawing is not XML: %v", err)
	}
	return root
}

func drawn(t *testing.T, f tell.Figure, s Settings) element {
	t.Helper()
	d, err := Draw(f, s)
	if err != nil {
		t.Fatal(err)
	}
	return parse(t, d.SVG)
}

// vertices follows the path data of a line (SVG 2, section 9.3) and gives each
// point that the pen stops at.
func vertices(t *testing.T, d string) (x, y []float64) {
	t.Helper()
	var px, py, startX, startY float64
	rest := d
	command := byte(0)
	next := func() float64 {
		rest = strings.TrimLeft(rest, " ,")
		end := 0
		for end < len(rest) && (rest[end] >= '0' && rest[end] <= '9' || rest[end] == '.' || rest[end] == '-' && end == 0) {
			end++
		}
		v, err := strconv.ParseFloat(rest[:end], 64)
		if err != nil {
			t.Fatalf("path data %q at %q: %v", d, rest, err)
		}
		rest = rest[end:]
		return v
	}
	for rest = strings.TrimLeft(rest, " "); rest != ""; rest = strings.TrimLeft(rest, " ") {
		if c := rest[0]; c >= 'A' && c <= 'z' {
			command, rest = c, rest[1:]
		}
		switch command {
		case 'M':
			px, py = next(), next()
			startX, startY = px, py
		case 'm':
			px, py = px+next(), py+next()
			startX, startY = px, py
		case 'l':
			px, py = px+next(), py+next()
		case 'h':
			px += next()
		case 'v':
			py += next()
		case 'z':
			px, py = startX, startY
			continue
		default:
			t.Fatalf("path data %q has a command %c", d, command)
		}
		x, y = append(x, px), append(y, py)
	}
	return x, y
}

// scale is a straight line from the values that labels at an axis say to the
// px at which they stand.
type scale struct{ at, per float64 }

func (s scale) px(value float64) float64 { return s.at + s.per*value }

func value(t *testing.T, label string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(strings.Replace(label, "\u2212", "-", 1), 64)
	if err != nil {
		t.Fatalf("label %q is no number", label)
	}
	return x
}

// scales reads both axes of a pane off its labels, as a reader does: the
// horizontal ones are centred below a tick, the vertical ones end at it.
func scales(t *testing.T, pane, lowest element) (x, y scale) {
	t.Helper()
	fit := func(from element, anchor, coordinate string) scale {
		var v, p []float64
		for _, e := range from.with("label") {
			if e.attr("text-anchor") == anchor {
				v, p = append(v, value(t, e.Text)), append(p, e.number(t, coordinate))
			}
		}
		if len(v) < 2 {
			t.Fatalf("an axis has %d labels", len(v))
		}
		last := len(v) - 1
		per := (p[last] - p[0]) / (v[last] - v[0])
		return scale{p[0] - per*v[0], per}
	}
	y = fit(pane, "end", "y")
	y.at -= digitHeight / 2 * 14 // from the base line to the middle of a digit
	return fit(lowest, "middle", "x"), y
}

// Every point of a line stands where the labels at its axes say. The labels
// are rounded to tenths of a px at both ends, hence the tolerance.
func TestLinesStandWhereLabelsSay(t *testing.T) {
	for _, f := range []tell.Figure{lineAndMarks(), fan()} {
		root := drawn(t, f, Settings{})
		panes := root.with("pane")
		x, y := scales(t, panes[0], panes[len(panes)-1])
		for i, l := range f.Panes[0].Lines {
			if l.Marks || i >= styles {
				continue
			}
			path := root.with("line-" + strconv.Itoa(i+1))[0]
			px, py := vertices(t, path.attr("d"))
			if len(px) < 2 {
				t.Fatalf("line %d has %d points", i+1, len(px))
			}
			for k := range px {
				// the value of the data at the point's x
				v := (px[k] - x.at) / x.per
				if want := y.px(at(l, v)); math.Abs(want-py[k]) > 0.5 {
					t.Errorf("%s, line %d, at x %.4g: drawn at %.2f px, but the labels put it at %.2f px", f.Name, i+1, v, py[k], want)
				}
			}
			if first := x.px(l.X[0]); math.Abs(px[0]-first) > 0.3 {
				t.Errorf("%s, line %d begins at %.2f px, not at %.2f px", f.Name, i+1, px[0], first)
			}
			if last := x.px(l.X[len(l.X)-1]); math.Abs(px[len(px)-1]-last) > 0.3 {
				t.Errorf("%s, line %d ends at %.2f px, not at %.2f px", f.Name, i+1, px[len(px)-1], last)
			}
		}
	}
}

// at gives a line's value by straight interpolation.
func at(l tell.Line, x float64) float64 {
	for i := 1; i < len(l.X); i++ {
		if x <= l.X[i] {
			f := (x - l.X[i-1]) / (l.X[i] - l.X[i-1])
			return l.Y[i-1] + f*(l.Y[i]-l.Y[i-1])
		}
	}
	return l.Y[len(l.Y)-1]
}

// A stepped line goes only level and upright, and turns at the data's own
// instants.
func TestSteps(t *testing.T) {
	f := oneTurn()
	root := drawn(t, f, Settings{})
	panes := root.with("pane")
	x, _ := scales(t, panes[1], panes[1])
	px, py := vertices(t, panes[0].with("line")[0].attr("d"))
	var changes []float64
	for k := 1; k < len(px); k++ {
		if px[k] != px[k-1] && py[k] != py[k-1] {
			t.Errorf("the step from %v, %v to %v, %v is slanted", px[k-1], py[k-1], px[k], py[k])
		}
		if py[k] != py[k-1] {
			changes = append(changes, px[k])
		}
	}
	if len(changes) != 2 {
		t.Fatalf("the contact changes %d times, not twice", len(changes))
	}
	for k, when := range []float64{0.004, 0.007} {
		if math.Abs(changes[k]-x.px(when)) > 0.3 {
			t.Errorf("change %d stands at %.1f px, not at %.1f px", k+1, changes[k], x.px(when))
		}
	}
	if py[0] <= py[2] {
		t.Error("open is drawn above closed")
	}
}

// Marks stand at the points of the data.
func TestMarks(t *testing.T) {
	f := lineAndMarks()
	root := drawn(t, f, Settings{})
	pane := root.with("pane")[0]
	x, y := scales(t, pane, pane)
	px, py := vertices(t, root.with("marks-2")[0].attr("d"))
	l := f.Panes[0].Lines[1]
	if len(px) != 4*len(l.X) {
		t.Fatalf("%d corners for %d diamonds", len(px), len(l.X))
	}
	for i := range l.X {
		mx := (px[4*i] + px[4*i+2]) / 2
		my := (py[4*i+1] + py[4*i+3]) / 2
		if math.Abs(mx-x.px(l.X[i])) > 0.5 || math.Abs(my-y.px(l.Y[i])) > 0.5 {
			t.Errorf("mark %d stands at %.1f, %.1f, not at %.1f, %.1f", i, mx, my, x.px(l.X[i]), y.px(l.Y[i]))
		}
	}
}

// Before each name of a line stands a piece of it in the same dash pattern, at
// the height of the name and left of it, so that nobody has to tell lines by
// colour. Names of marks have a mark there.
func TestNamesHaveSamples(t *testing.T) {
	for _, f := range []tell.Figure{lineAndMarks(), fan()} {
		root := drawn(t, f, Settings{})
		var want []string
		for k, l := range f.Panes[0].Lines {
			if !l.Marks {
				want = append(want, fmt.Sprintf("key line-%d", k%styles+1))
			}
		}
		var got []string
		for _, e := range root.with("key") {
			got = append(got, e.attr("class"))
			x, y := vertices(t, e.attr("d"))
			style := strings.TrimPrefix(e.attr("class"), "key line-")
			beside := false
			for _, n := range root.with("name-" + style) {
				left, base := n.number(t, "x"), n.number(t, "y")
				beside = beside || len(x) == 2 && x[1] < left && x[1] > left-14 && y[0] < base && y[0] > base-2*14
			}
			if !beside {
				t.Errorf("%s: the sample %q stands beside no name", f.Name, e.attr("class"))
			}
		}
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("%s has the samples %q, want %q", f.Name, got, want)
		}
	}
}
