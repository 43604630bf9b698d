package tell

import (
	"fmt"
	"maps"
	"math"
	"slices"
)

// Knob is a control on the figures of a lesson. The cell computed everything
// that it told under the knob once at each position.
type Knob struct {
	Name      string
	Label     string
	Unit      string
	Positions []float64 // in even steps
	Start     int       // index of the position that shows first, and in print
}

// Range says where a knob can stand: at Steps positions from From to To, both
// counted, in even steps. Start must be one of them; it is what shows first and
// in print. Label is what the knob is called on the page.
type Range struct {
	From, To float64
	Steps    int
	Start    float64
	Unit     string
	Label    string
}

// Turn is the short form of a Range: what the reader turns, from where, to
// where, and in which unit. It has 11 positions and starts at the first. In and
// At change that, as in tell.Turn("brake", 0.5, 6, "N m").In(12).At(2).
func Turn(label string, from, to float64, unit string) Range {
	return Range{Label: label, From: from, To: to, Unit: unit, Steps: 11, Start: from}
}

// In gives the range with another number of positions, both ends counted.
func (r Range) In(positions int) Range {
	r.Steps = positions
	return r
}

// At gives the range with another start, which is one of its positions.
func (r Range) At(start float64) Range {
	r.Start = start
	return r
}

// Framed names the knobs under which something was told. It then has one frame
// for each position of the knob or, of two knobs, for each pair of positions,
// with those of the second knob running fastest.
type Framed struct {
	Knobs []string `json:",omitempty"`
}

// Knob tells a knob: it calls at with each position, and whatever is told in
// there has a frame for each. One more knob may be told within.
func (s *Sheet) Knob(name string, r Range, at func(x float64)) {
	s.name("knob", name)
	most := s.bounds.frames()
	k := r.knob(name, most)
	if s.depth == 2 {
		panic(Misuse{
			fmt.Sprintf("knob %q would be the third on its figures", name),
			"two knobs are the most that a reader can follow; leave one out"})
	}
	frames := max(s.frames, 1) * len(k.Positions)
	if frames > most {
		panic(Misuse{
			fmt.Sprintf("with knob %q there are %d frames", name, frames),
			fmt.Sprintf("%d are the most; give the knobs fewer steps; the flag -frames allows more", most)})
	}
	outer, points, sounding := *s, s.points, s.sounding
	sheets := make([]Sheet, len(k.Positions))
	for i, x := range k.Positions {
		*s = Sheet{depth: outer.depth + 1, frames: frames, bounds: outer.bounds, points: points, sounding: sounding}
		at(x)
		sheets[i], points, sounding = *s, s.points, s.sounding
	}
	*s = outer
	s.points, s.sounding = points, sounding
	first := sheets[k.Start]
	for i, sheet := range sheets {
		k.sameNames(first, sheet, i)
	}
	for _, n := range slices.Sorted(maps.Keys(first.kinds)) {
		s.name(first.kinds[n], n)
	}
	s.result.Knobs = append(s.result.Knobs, k)
	s.join(k, sheets)
}

func (r Range) knob(name string, most int) Knob {
	bad := func(what, next string) {
		panic(Misuse{fmt.Sprintf("knob %q %s", name, what), next})
	}
	finite("knob", name, r.From, r.To, r.Start)
	visible("the label", "knob", name, r.Label)
	visible("the unit", "knob", name, r.Unit)
	if r.Label == "" {
		bad("has no label", `say what the reader turns, such as Label: "load"`)
	}
	if r.Steps < 2 {
		bad(fmt.Sprintf("has %d steps", r.Steps), fmt.Sprintf("give it from 2 to %d positions", most))
	}
	if r.Steps > most {
		bad(fmt.Sprintf("has %d steps", r.Steps), fmt.Sprintf("give it from 2 to %d positions; the flag -frames allows more", most))
	}
	if r.From == r.To {
		bad("goes from a position to itself", "let From and To differ")
	}
	k := Knob{Name: name, Label: r.Label, Unit: r.Unit, Start: -1}
	for i := range r.Steps {
		f := float64(i) / float64(r.Steps-1)
		// Rounded to twelve digits, so that 0.1 steps are 0.3 and not
		// 0.30000000000000004.
		x := rounded(r.From*(1-f)+r.To*f, max(math.Abs(r.From), math.Abs(r.To)))
		if math.IsNaN(x) || i > 0 && x == k.Positions[i-1] {
			bad("has positions that lie too close together to be told apart", "let From and To differ more")
		}
		k.Positions = append(k.Positions, x)
		if math.Abs(x-r.Start) <= 1e-9*math.Abs(r.To-r.From) {
			k.Start = i
		}
	}
	if k.Start < 0 {
		near := k.Positions[0]
		for _, x := range k.Positions {
			if math.Abs(x-r.Start) < math.Abs(near-r.Start) {
				near = x
			}
		}
		bad(fmt.Sprintf("starts at %s, which is not one of its positions", short(r.Start)), "the nearest is "+short(near))
	}
	return k
}

func rounded(x, size float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(size))-11)
	if unit < 1 {
		return math.Round(x*math.Round(1/unit)) / math.Round(1/unit)
	}
	return math.Round(x/unit) * unit
}

// sameNames sees to it that position i told what the start told.
func (k Knob) sameNames(start, other Sheet, i int) {
	differ := func(a, b map[string]string, at int) {
		for _, n := range slices.Sorted(maps.Keys(a)) {
			if a[n] != b[n] {
				panic(Misuse{
					fmt.Sprintf("%s %q is not told where knob %q stands at %s", a[n], n, k.Name, short(k.Positions[at])),
					"tell the same names at every position of a knob"})
			}
		}
	}
	differ(start.kinds, other.kinds, i)
	differ(other.kinds, start.kinds, k.Start)
}

// join puts what was told at each position of a knob together, in the order of
// the start. Things that were told under an inner knob already have frames.
func (s *Sheet) join(k Knob, at []Sheet) {
	unequal := func(kind, name, what string) {
		panic(Misuse{
			fmt.Sprintf("%s %q has other %s at other positions of knob %q", kind, name, what, k.Name),
			"let only its numbers depend on the knob"})
	}
	under := func(f Framed) Framed { return Framed{append([]string{k.Name}, f.Knobs...)} }
	start := at[k.Start].result
	for _, inner := range start.Knobs {
		for _, o := range at {
			if i := slices.IndexFunc(o.result.Knobs, func(x Knob) bool { return x.Name == inner.Name }); !same(inner, o.result.Knobs[i]) {
				unequal("knob", inner.Name, "positions")
			}
		}
		s.result.Knobs = append(s.result.Knobs, inner)
	}
	for _, v := range start.Values {
		all := Value{Name: v.Name, Number: v.Number, Unit: v.Unit, Uncertainty: v.Uncertainty, Framed: under(v.Framed)}
		for _, o := range at {
			f := named(o.result.Values, func(x Value) string { return x.Name }, v.Name)
			if f.Unit != v.Unit || len(f.Frames) != len(v.Frames) {
				unequal("value", v.Name, "units or knobs")
			}
			all.Frames = frames(all.Frames, f.Number, f.Frames)
			own := f.Uncertainties
			if own == nil && len(f.Frames) > 0 {
				own = make([]float64, len(f.Frames))
			}
			all.Uncertainties = frames(all.Uncertainties, f.Uncertainty, own)
		}
		if !slices.ContainsFunc(all.Uncertainties, func(u float64) bool { return u != 0 }) {
			all.Uncertainties = nil
		}
		s.result.Values = append(s.result.Values, all)
	}
	for _, c := range start.Claims {
		all := Claim{Name: c.Name, Limits: c.Limits, Number: c.Number, Holds: true, Found: c.Found, Framed: under(c.Framed)}
		for i, o := range at {
			f := named(o.result.Claims, func(x Claim) string { return x.Name }, c.Name)
			if !slices.Equal(f.Limits, c.Limits) || len(f.Frames) != len(c.Frames) {
				unequal("claim", c.Name, "limits or knobs")
			}
			if all.Holds && !f.Holds {
				all.Holds = false
				all.Found = fmt.Sprintf("with %s at %s: %s", k.Label, with(k.Positions[i], k.Unit), f.Found)
			}
			all.Frames = frames(all.Frames, f.Holds, f.Frames)
		}
		s.result.Claims = append(s.result.Claims, all)
	}
	for _, g := range start.Figures {
		all := Figure{Name: g.Name, X: g.X, Panes: g.Panes, Framed: under(g.Framed)}
		for _, o := range at {
			f := named(o.result.Figures, func(x Figure) string { return x.Name }, g.Name)
			if f.X != g.X || !SameForm(f.Panes, g.Panes) || len(f.Frames) != len(g.Frames) {
				unequal("figure", g.Name, "axes, lines or knobs")
			}
			all.Frames = frames(all.Frames, f.Panes, f.Frames)
		}
		s.result.Figures = append(s.result.Figures, all)
	}
	for _, t := range start.Tables {
		all := Table{Name: t.Name, Columns: t.Columns, Rows: t.Rows, Framed: under(t.Framed)}
		for _, o := range at {
			f := named(o.result.Tables, func(x Table) string { return x.Name }, t.Name)
			if !slices.Equal(f.Columns, t.Columns) || len(f.Rows) != len(t.Rows) || len(f.Frames) != len(t.Frames) {
				unequal("table", t.Name, "columns, rows or knobs")
			}
			all.Frames = frames(all.Frames, f.Rows, f.Frames)
		}
		s.result.Tables = append(s.result.Tables, all)
	}
	for _, h := range start.Sounds {
		all := Sound{Name: h.Name, Heard: h.Heard, Framed: under(h.Framed)}
		for _, o := range at {
			f := named(o.result.Sounds, func(x Sound) string { return x.Name }, h.Name)
			if len(f.Frames) != len(h.Frames) {
				unequal("sound", h.Name, "knobs")
			}
			all.Frames = frames(all.Frames, f.Heard, f.Frames)
		}
		s.result.Sounds = append(s.result.Sounds, all)
	}
}

// frames appends the frames of a thing told at one position: its own, where an
// inner knob made some, or else the thing itself.
func frames[T any](to []T, one T, own []T) []T {
	if len(own) > 0 {
		return append(to, own...)
	}
	return append(to, one)
}

// named finds the thing of that name, which sameNames has seen to be there.
func named[T any](things []T, name func(T) string, want string) T {
	return things[slices.IndexFunc(things, func(x T) bool { return name(x) == want })]
}

func same(a, b Knob) bool {
	return a.Label == b.Label && a.Unit == b.Unit && a.Start == b.Start && slices.Equal(a.Positions, b.Positions)
}

// SameForm says whether two figures differ in nothing but their points.
func SameForm(a, b []Pane) bool {
	return slices.EqualFunc(a, b, func(p, q Pane) bool {
		return p.Y == q.Y && slices.EqualFunc(p.Lines, q.Lines, func(l, m Line) bool {
			return l.Label == m.Label && l.Kind == m.Kind && l.Stepped == m.Stepped && l.Marks == m.Marks && l.Measured == m.Measured && (l.Low == nil) == (m.Low == nil)
		})
	})
}

// Under picks those of a lesson's knobs under which something was told, in
// the order in which its frames run.
func (f Framed) Under(knobs []Knob) []Knob {
	var out []Knob
	for _, name := range f.Knobs {
		if i := slices.IndexFunc(knobs, func(k Knob) bool { return k.Name == name }); i >= 0 {
			out = append(out, knobs[i])
		}
	}
	return out
}

// At gives where the knobs stand in the frame of an index. It is handed all
// knobs of the lesson.
func (f Framed) At(knobs []Knob, frame int) []float64 {
	under := f.Under(knobs)
	out := make([]float64, len(under))
	for i := len(under) - 1; i >= 0; i-- {
		n := len(under[i].Positions)
		out[i] = under[i].Positions[frame%n]
		frame /= n
	}
	return out
}

// Start gives the frame in which all knobs stand at their start. It is handed
// all knobs of the lesson.
func (f Framed) Start(knobs []Knob) int {
	at := 0
	for _, k := range f.Under(knobs) {
		at = at*len(k.Positions) + k.Start
	}
	return at
}
