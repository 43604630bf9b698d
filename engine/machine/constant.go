package machine

import (
	"slices"
	"strings"
)

// Constant is one constant of a part: what belongs there, and what the card
// gives.
type Constant struct {
	Part string
	Description
	Given
	Unused string // why it would change nothing on this card, which then must not give it; "" when it counts
}

// Description is what a part declares of one of its constants.
type Description struct {
	Key    string // as written in the card file
	SIUnit string // a card may also use its multiples
	Bounds Bounds
	Doc    string

	// Columns are those of a table, which the card may leave out; nil for a number
	// alone. The number beside a table says at what its rows hold.
	Columns []Column

	effect  string // the part of the card without which the constant has no effect; "" when it always has
	instead string // the table of the same part that stands in its place when it is given
	why     string // the constant then has no effect
}

// leastRows is how many rows a table has to have.
const leastRows = 3

// Column is a column of a table.
type Column struct {
	Name   string
	SIUnit string
}

// Given is what a card says of a constant, as its author wrote it.
type Given struct {
	Value  float64
	Unit   string // such as "mm"
	Origin Origin
	Note   string
	Date   string // YYYY-MM-DD, of the measurement; "" when there is none

	// Uncertainty is the standard uncertainty of the value, in the same unit:
	// one standard deviation of what it may be (JCGM 100:2008, 2.3.1). A constant
	// without one counts as exact.
	Uncertainty float64 `json:",omitempty"`

	Rows  [][]float64 // of a table
	Units []string    // of its columns
}

// empty says whether the card gives nothing.
func (g Given) empty() bool {
	return g.Value == 0 && g.Unit == "" && g.Origin == "" && g.Note == "" && g.Date == "" && g.Uncertainty == 0 && g.Rows == nil && g.Units == nil
}

// rows gives a table in the SI units of its columns; nil when it does not fit
// them, which Validate reports.
func (g Given) rows(columns []Column) [][]float64 {
	var out [][]float64
	for _, row := range g.Rows {
		if len(row) != len(columns) || len(g.Units) != len(columns) {
			return nil
		}
		var one []float64
		for i, x := range row {
			factor, ok := Multiple(columns[i].SIUnit, g.Units[i])
			if !ok {
				return nil
			}
			one = append(one, x*factor)
		}
		out = append(out, one)
	}
	return out
}

// Origin says where a constant comes from.
type Origin string

// The origins that a card may name.
const (
	Nameplate      Origin = "nameplate"
	Measured       Origin = "measured"
	Fitted         Origin = "fitted" // to readings of the running set
	Drawing        Origin = "drawing"
	CommonPractice Origin = "common practice"
	Assumed        Origin = "assumed"
)

// Origins lists all of them, surest first.
func Origins() []Origin {
	return []Origin{Nameplate, Measured, Fitted, Drawing, CommonPractice, Assumed}
}

// Bounds says which values a constant may have.
type Bounds int

const (
	Positive    Bounds = iota // above zero
	NotNegative               // zero or above
	AnyFinite
	AtLeastOne
	WholeNumber // 1, 2, 3, ...
)

// Name gives the constant's name, PART.KEY.
func (c Constant) Name() string { return c.Part + "." + c.Key }

// SI gives the constant in its SI unit. It is NaN when the unit that the card
// gives does not fit, which Validate reports.
func (c Constant) SI() float64 { return c.Given.in(c.SIUnit) }

func (g Given) in(si string) float64 {
	factor, ok := Multiple(si, g.Unit)
	if !ok {
		return nan
	}
	return g.Value * factor
}

// Doubt gives the standard uncertainty of the constant in its SI unit; 0 when
// it counts as exact.
func (c Constant) Doubt() float64 {
	factor, _ := Multiple(c.SIUnit, c.Unit)
	return c.Uncertainty * factor
}

// Model is a part of a machine with its constants as numbers, such as *Motor.
type Model interface {
	// describe adds each constant that the part has, with where its number
	// belongs. Numbers of the card are there as soon as add returns.
	describe(c *constants)
}

// constants is what the describe method of a part is given: it collects the
// descriptions, and hands the numbers of a card to the part.
type constants struct {
	list  []Description
	given map[string]Given // of the part; nil while nothing but descriptions are asked for
	needs []string         // parts that the part cannot work without
	own   string           // the one of these that it has to itself; "" when it shares all
}

// add declares a constant. Its number in the unit goes to at, or stays as it is
// when the card does not give it.
func (c *constants) add(at *float64, key, unit string, b Bounds, doc string) {
	c.list = append(c.list, Description{Key: key, SIUnit: unit, Bounds: b, Doc: doc})
	if g := c.given[key]; !g.empty() {
		*at = g.in(unit)
	}
}

// unused says that the constant just declared has no effect without a part,
// and why.
func (c *constants) unused(part, why string) {
	last := &c.list[len(c.list)-1]
	last.effect, last.why = part, why
}

// table declares a constant that is a table, in the place of others of the part
// that were declared before, for a reason. What the card gives goes to read: the
// number beside the rows, and the rows, in SI units.
func (c *constants) table(read func(at float64, rows [][]float64), columns []Column, key, unit string, b Bounds, doc, why string, instead ...string) {
	for i := range c.list {
		if slices.Contains(instead, c.list[i].Key) {
			c.list[i].instead, c.list[i].why = key, why
		}
	}
	c.list = append(c.list, Description{Key: key, SIUnit: unit, Bounds: b, Doc: doc, Columns: columns})
	g := c.given[key]
	if rows := g.rows(columns); len(rows) >= leastRows {
		read(g.in(unit), rows)
	}
}

// need says that the part cannot work without others.
func (c *constants) need(parts ...string) { c.needs = append(c.needs, parts...) }

// needOwn says that it cannot work without one that it has to itself.
func (c *constants) needOwn(part string) {
	c.need(part)
	c.own = part
}

// Describe lists the constants of a part in the order of a logbook. It says
// whether there is such a part.
func Describe(part string) ([]Description, bool) {
	k, ok := find(part)
	if !ok {
		return nil, false
	}
	var c constants
	k.make().describe(&c)
	return c.list, true
}

// Described gives what belongs under the name PART.KEY on any card. It says
// whether there is such a constant.
func Described(name string) (Constant, bool) {
	part, key, _ := strings.Cut(name, ".")
	list, _ := Describe(part)
	for _, d := range list {
		if d.Key == key {
			return Constant{Part: part, Description: d}, true
		}
	}
	return Constant{}, false
}
