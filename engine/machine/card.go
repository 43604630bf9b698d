package machine

import (
	"fmt"
	"maps"
	"slices"
)

// Card is everything that is known about one set.
type Card struct {
	Name     string
	Title    string
	Invented bool     // demonstration data, not a real machine
	Revised  string   // YYYY-MM-DD
	Parts    []Part   // in the order of a logbook
	Together Together `json:",omitzero"`
}

// Together says of constants how their doubts go together, since they were
// fitted to the same readings. A zero value says that none do.
type Together struct {
	Constants   []string    // PART.KEY
	Correlation [][]float64 // a row for each: symmetric, positive definite, with 1 on its diagonal
}

// Of gives the correlation of the doubts of two constants, from -1 to 1; 0 of
// those that were not fitted together.
func (t Together) Of(a, b string) float64 {
	if a == b {
		return 1
	}
	i, j := slices.Index(t.Constants, a), slices.Index(t.Constants, b)
	if i < 0 || j < 0 {
		return 0
	}
	return t.Correlation[i][j]
}

// Part is a part on a card, with its constants by their keys. A card that was
// copied by assignment shares them; see Clone.
type Part struct {
	Name  string
	Kind  string // what it is, one of PartNames; "" when its name says it
	Given map[string]Given
}

func (p Part) kind() string {
	if p.Kind == "" {
		return p.Name
	}
	return p.Kind
}

// Has says whether the card has a part of that name, or one of that kind.
func (c Card) Has(part string) bool { return c.at(part) >= 0 }

// at finds the part of a name, or else the first of that kind.
func (c Card) at(part string) int {
	if i := c.named(part); i >= 0 {
		return i
	}
	return slices.IndexFunc(c.Parts, func(p Part) bool { return p.kind() == part })
}

func (c Card) named(part string) int {
	return slices.IndexFunc(c.Parts, func(p Part) bool { return p.Name == part })
}

// Kind gives the kind of the card's part of a name; "" when it has none.
func (c Card) Kind(part string) string {
	if i := c.named(part); i >= 0 {
		return c.Parts[i].kind()
	}
	return ""
}

// Fit gives the card an empty part of the given name, unless it has it. It
// says whether there is such a part.
func (c *Card) Fit(part string) bool { return c.FitAs(part, "") }

// FitAs does the same for a part of a kind under a name of its own, of which
// a card may have several. The name of one kind does not go to another.
func (c *Card) FitAs(name, kind string) bool {
	fresh := Part{Name: name, Kind: kind, Given: map[string]Given{}}
	kinds := PartNames()
	rank := slices.Index(kinds, fresh.kind())
	if rank < 0 || fresh.kind() != name && slices.Contains(kinds, name) {
		return false
	}
	if c.named(name) >= 0 {
		return true
	}
	before := slices.IndexFunc(c.Parts, func(p Part) bool { return slices.Index(kinds, p.kind()) > rank })
	if before < 0 {
		before = len(c.Parts)
	}
	c.Parts = slices.Insert(slices.Clone(c.Parts), before, fresh)
	return true
}

// Put writes a constant of a part that the card has.
func (c *Card) Put(part, key string, g Given) { c.Parts[c.at(part)].Given[key] = g }

// Constants lists every constant that counts on the card, in the order of a
// logbook. One that the card does not give has no unit, which Validate reports.
func (c Card) Constants() []Constant {
	return slices.DeleteFunc(c.all(), func(one Constant) bool { return one.Unused != "" })
}

// all lists the constants of the card's parts, with those of no effect.
func (c Card) all() []Constant {
	var out []Constant
	for _, p := range c.Parts {
		list, _ := Describe(p.kind())
		for _, d := range list {
			one := Constant{Part: p.Name, Description: d, Given: p.Given[d.Key]}
			if d.effect != "" && !c.Has(d.effect) || d.instead != "" && !p.Given[d.instead].empty() {
				one.Unused = d.why
			}
			if d.Columns == nil || !one.empty() {
				out = append(out, one)
			}
		}
	}
	return out
}

// Constant finds the constant called PART.KEY, which may be one of no effect.
// It fails when the card has not that part, or the part no such constant.
func (c Card) Constant(name string) (Constant, bool) {
	for _, one := range c.all() {
		if one.Name() == name {
			return one, true
		}
	}
	return Constant{}, false
}

// Read fills a model with the constants of the part of a name, or of the first
// of that kind, in SI units. It says whether the card has such a part. The card
// must have been validated.
func (c Card) Read(part string, into Model) bool {
	i := c.at(part)
	if i >= 0 {
		into.describe(&constants{given: c.Parts[i].Given})
	}
	return i >= 0
}

// With gives a copy of the card with the constant PART.KEY changed to value,
// in the SI unit of that constant. The changed constant is marked as assumed.
func (c Card) With(name string, value float64) (Card, error) {
	one, ok := c.Constant(name)
	if !ok {
		return c, fmt.Errorf("the card %q has no constant %q", c.Name, name)
	}
	out := c.Clone()
	out.Put(one.Part, one.Key, Given{Value: value, Unit: one.SIUnit, Origin: Assumed, Note: "changed for a what-if", Rows: one.Rows, Units: one.Units})
	if p := out.Validate(); len(p) > 0 {
		return c, p[0]
	}
	return out, nil
}

// Clone gives a card that shares nothing with c.
func (c Card) Clone() Card {
	c.Parts = slices.Clone(c.Parts)
	for i := range c.Parts {
		c.Parts[i].Given = maps.Clone(c.Parts[i].Given)
	}
	c.Together.Constants = slices.Clone(c.Together.Constants)
	c.Together.Correlation = slices.Clone(c.Together.Correlation)
	for i, row := range c.Together.Correlation {
		c.Together.Correlation[i] = slices.Clone(row)
	}
	return c
}
