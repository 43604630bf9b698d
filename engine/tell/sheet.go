package tell

import (
	"fmt"
	"math"
	"regexp"
	"strconv"

	"slipring/engine/waveform"
)

// Misuse is what a Sheet panics with when a cell hands it something that no
// page could show. The door in engine/cell turns it into a message at the
// cell's line; nothing else recovers it.
type Misuse struct {
	Text string // what is wrong
	Hint string // the next step
}

func (m Misuse) Error() string { return m.Text }

// Sheet collects what the cells of one lesson tell. The zero value is ready.
type Sheet struct {
	result Result
	kinds  map[string]string // what each name was told as
	depth  int               // of knobs that are being told
	frames int               // of these knobs together
	bounds Bounds
	points int // told so far

	sounding float64 // s, of all sounds and their frames, told so far
}

// Result gives what has been told so far.
func (s *Sheet) Result() Result { return s.result }

var nameForm = regexp.MustCompile(`^[a-z][a-z0-9]*([.-][a-z0-9]+)*$`)

// What the pages can hold: file systems take names of 255 bytes, and a float64
// has no more than 17 digits that mean something.
const (
	longestName  = 100
	mostDecimals = 17
)

// name claims a name for a thing that is told. A lesson may use each name once.
func (s *Sheet) name(kind, name string) {
	if !nameForm.MatchString(name) {
		if len(name) > longestName {
			name = name[:longestName]
		}
		panic(Misuse{
			fmt.Sprintf("%q cannot be the name of a %s", name, kind),
			`use small letters, digits, dots and dashes, such as "idle.speed"`})
	}
	if len(name) > longestName {
		panic(Misuse{
			fmt.Sprintf("the name of a %s has %d letters, more than %d", kind, len(name), longestName),
			"shorten it; names stand in the lesson's labels and in the names of files"})
	}
	if had, ok := s.kinds[name]; ok {
		panic(Misuse{
			fmt.Sprintf("%q was told before, as a %s", name, had),
			"give each value, claim, figure and table of a lesson a name of its own"})
	}
	if s.kinds == nil {
		s.kinds = map[string]string{}
	}
	s.kinds[name] = kind
}

func finite(kind, name string, xs ...float64) {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			panic(Misuse{
				fmt.Sprintf("%s %q is %v, which no page can print", kind, name, x),
				"look for a division by zero, or for a figure of a part that the set has not"})
		}
	}
}

// Value tells a number, in the given unit ("" for a pure number).
func (s *Sheet) Value(name string, number float64, unit string) {
	s.name("value", name)
	finite("value", name, number)
	visible("the unit", "value", name, unit)
	s.result.Values = append(s.result.Values, Value{Name: name, Number: number, Unit: unit})
}

// Within tells the claim that number lies within tolerance of target, where
// tolerance is in per cent of target when its unit is "%", and otherwise in
// the unit of target.
func (s *Sheet) Within(name string, number, target, tolerance float64, unit string) {
	s.name("claim", name)
	finite("claim", name, number, target, tolerance)
	off := math.Abs(number - target)
	if unit == "%" {
		if target == 0 {
			panic(Misuse{
				fmt.Sprintf("claim %q asks for per cent of zero", name),
				"give the tolerance in the unit of the target"})
		}
		off = 100 * off / math.Abs(target)
	}
	targetUnit := unit
	if unit == "%" {
		targetUnit = ""
	}
	s.claim(name, off <= tolerance, number,
		fmt.Sprintf("%s is off %s by %s", short(number), short(target), with(off, unit)),
		Limit{tolerance, unit}, Limit{target, targetUnit})
}

// Below tells the claim that number is less than limit, both in unit.
func (s *Sheet) Below(name string, number, limit float64, unit string) {
	s.name("claim", name)
	finite("claim", name, number, limit)
	s.claim(name, number < limit, number, "the model gives "+with(number, unit), Limit{limit, unit})
}

// Above tells the claim that number is greater than limit, both in unit.
func (s *Sheet) Above(name string, number, limit float64, unit string) {
	s.name("claim", name)
	finite("claim", name, number, limit)
	s.claim(name, number > limit, number, "the model gives "+with(number, unit), Limit{limit, unit})
}

// Claim tells a claim that has no number in it.
func (s *Sheet) Claim(name string, holds bool) {
	s.name("claim", name)
	s.claim(name, holds, 0, "")
}

func (s *Sheet) claim(name string, holds bool, number float64, found string, limits ...Limit) {
	for _, l := range limits {
		visible("the unit", "claim", name, l.Unit)
	}
	s.result.Claims = append(s.result.Claims, Claim{Name: name, Holds: holds, Limits: limits, Number: number, Found: found})
}

// Chart tells a figure of signals over time, one pane a signal.
func (s *Sheet) Chart(name string, signals waveform.Set) {
	s.Figure(chart(name, signals))
}

// Figure tells a figure that the cell put together itself.
func (s *Sheet) Figure(f Figure) {
	s.name("figure", f.Name)
	if len(f.Panes) == 0 {
		panic(Misuse{fmt.Sprintf("figure %q has no pane", f.Name), "give it at least one pane with one line"})
	}
	f.X.visible(f.Name)
	for _, p := range f.Panes {
		p.Y.visible(f.Name)
		for _, l := range p.Lines {
			s.count("figure", f.Name, len(l.X)+len(l.Low)+len(l.High))
			visible("the label of a line", "figure", f.Name, l.Label)
		}
		if len(p.Lines) == 0 {
			panic(Misuse{fmt.Sprintf("figure %q has a pane without a line", f.Name), "give each pane at least one line"})
		}
		for _, l := range p.Lines {
			if len(l.X) != len(l.Y) || len(l.X) == 0 {
				panic(Misuse{
					fmt.Sprintf("line %q of figure %q has %d x values and %d y values", l.Label, f.Name, len(l.X), len(l.Y)),
					"give each point of the line both an x and a y"})
			}
			finite("figure", f.Name, l.X...)
			finite("figure", f.Name, l.Y...)
			l.band(f.Name)
		}
	}
	s.result.Figures = append(s.result.Figures, f)
}

// Table tells a table.
func (s *Sheet) Table(t Table) {
	s.name("table", t.Name)
	if len(t.Columns) == 0 || len(t.Rows) == 0 {
		panic(Misuse{fmt.Sprintf("table %q is empty", t.Name), "give it at least one column and one row"})
	}
	for _, c := range t.Columns {
		if c.Decimals < 0 || c.Decimals > mostDecimals {
			panic(Misuse{
				fmt.Sprintf("column %q of table %q asks for %d decimals", c.Head, t.Name, c.Decimals),
				fmt.Sprintf("give it from 0 to %d", mostDecimals)})
		}
		visible("the head of a column", "table", t.Name, c.Head)
		visible("the unit of a column", "table", t.Name, c.Unit)
	}
	for i, row := range t.Rows {
		s.count("table", t.Name, len(row))
		if len(row) != len(t.Columns) {
			panic(Misuse{
				fmt.Sprintf("row %d of table %q has %d entries for %d columns", i+1, t.Name, len(row), len(t.Columns)),
				"give each row one entry a column"})
		}
		for _, e := range row {
			finite("table", t.Name, e.Number)
			visible("an entry", "table", t.Name, e.Text)
		}
	}
	s.result.Tables = append(s.result.Tables, t)
}

// Number is a table entry that holds a number.
func Number(x float64) Entry { return Entry{Number: x} }

// Text is a table entry that holds words.
func Text(t string) Entry { return Entry{Text: t} }

// with writes a number with its unit, which may be none.
func with(x float64, unit string) string {
	if unit == "" {
		return short(x)
	}
	return short(x) + " " + unit
}

func short(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
