package machine

import (
	"fmt"
	"strings"
)

// Provenance says where a constant comes from.
type Provenance string

// The provenances that a card may name.
const (
	Nameplate      Provenance = "nameplate"
	Measured       Provenance = "measured"
	Drawing        Provenance = "drawing"
	CommonPractice Provenance = "common practice"
	Assumed        Provenance = "assumed"
)

// Provenances lists all of them, surest first.
func Provenances() []Provenance {
	return []Provenance{Nameplate, Measured, Drawing, CommonPractice, Assumed}
}

// Constant is one value of a card, as its author wrote it.
type Constant struct {
	Value float64
	Unit  string // as written, such as "mm"
	From  Provenance
	Note  string
	Date  string // YYYY-MM-DD, of the measurement; "" when there is none
}

// Card is everything that is known about one set. A part that is nil is left
// out of the machine.
type Card struct {
	Name     string
	Title    string
	Invented bool   // demonstration data, not a real machine
	Revised  string // YYYY-MM-DD

	Battery   *BatteryCard
	Fuse      *FuseCard
	Motor     *MotorCard
	ACMotor   *ACMotorCard
	Shaft     *ShaftCard
	Governor  *GovernorCard
	Output    *OutputCard
	Generator *GeneratorCard
	Regulator *RegulatorCard
	Rheostat  *RheostatCard
	Bell      *BellCard
	FullLoad  *FullLoadCard
	LowTone   *ToneCard
	HighTone  *ToneCard
}

// PartNames lists the parts that a card may have, in the order of a logbook.
func PartNames() []string {
	return []string{"battery", "fuse", "motor", "ac-motor", "shaft", "governor", "output",
		"generator", "regulator", "rheostat", "bell", "full-load", "low-tone", "high-tone"}
}

// Fit gives the card an empty part of the given name, unless it has it. It
// says whether there is such a part.
func (c *Card) Fit(part string) bool {
	switch part {
	case "battery":
		fit(&c.Battery)
	case "fuse":
		fit(&c.Fuse)
	case "motor":
		fit(&c.Motor)
	case "ac-motor":
		fit(&c.ACMotor)
	case "shaft":
		fit(&c.Shaft)
	case "governor":
		fit(&c.Governor)
	case "output":
		fit(&c.Output)
	case "generator":
		fit(&c.Generator)
	case "regulator":
		fit(&c.Regulator)
	case "rheostat":
		fit(&c.Rheostat)
	case "bell":
		fit(&c.Bell)
	case "full-load":
		fit(&c.FullLoad)
	case "low-tone":
		fit(&c.LowTone)
	case "high-tone":
		fit(&c.HighTone)
	default:
		return false
	}
	return true
}

func fit[T any](p **T) {
	if *p == nil {
		*p = new(T)
	}
}

// Entry is one constant of a card with its name and what it means.
type Entry struct {
	Part     string
	Key      string // as written in the card file
	Constant Constant
	Doc      string
}

// Entries lists every constant that the card gives, always in the same order.
func (c Card) Entries() []Entry {
	var out []Entry
	for _, s := range c.Slots() {
		if s.Unused != "" {
			continue
		}
		out = append(out, Entry{Part: s.Part, Key: s.Key, Constant: *s.Constant, Doc: s.Doc})
	}
	return out
}

// Find gives the place of the constant called PART.KEY on the card, or nil.
func (c *Card) Find(name string) *Slot {
	part, key, _ := strings.Cut(name, ".")
	for _, s := range c.Slots() {
		if s.Part == part && s.Key == key {
			return &s
		}
	}
	return nil
}

// With gives a copy of the card with the constant PART.KEY changed to value,
// in the SI unit of that constant. The changed constant is marked as assumed.
func (c Card) With(name string, value float64) (Card, error) {
	out := c.Clone()
	s := out.Find(name)
	if s == nil {
		return c, fmt.Errorf("the card %q has no constant %q", c.Name, name)
	}
	*s.Constant = Constant{Value: value, Unit: s.Unit, From: Assumed, Note: "changed for a what-if"}
	if p := out.Validate(); len(p) > 0 {
		return c, p[0]
	}
	return out, nil
}

// Clone gives a card that shares nothing with c.
func (c Card) Clone() Card {
	copyPart(&c.Battery)
	copyPart(&c.Fuse)
	copyPart(&c.Motor)
	copyPart(&c.ACMotor)
	copyPart(&c.Shaft)
	copyPart(&c.Governor)
	copyPart(&c.Output)
	copyPart(&c.Generator)
	copyPart(&c.Regulator)
	copyPart(&c.Rheostat)
	copyPart(&c.Bell)
	copyPart(&c.FullLoad)
	copyPart(&c.LowTone)
	copyPart(&c.HighTone)
	return c
}

func copyPart[T any](p **T) {
	if *p != nil {
		fresh := **p
		*p = &fresh
	}
}
