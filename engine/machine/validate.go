package machine

import (
	"fmt"
	"math"
)

// Flaw is a fault in a card: which constant it is about, what is wrong and what to do.
type Flaw struct {
	Part   string
	Key    string // "" when the flaw is about the part as a whole
	Reason string
	Next   string
}

func (f Flaw) Error() string {
	if f.Key == "" {
		return fmt.Sprintf("%s: %s", f.Part, f.Reason)
	}
	return fmt.Sprintf("%s.%s: %s", f.Part, f.Key, f.Reason)
}

// Validate gives what is wrong with the card's values, in the order of its
// entries; nothing when the machine can be built.
func (c Card) Validate() []Flaw {
	var out []Flaw
	for _, s := range c.Slots() {
		if s.Unused != "" {
			if *s.Constant != (Constant{}) {
				out = append(out, Flaw{Part: s.Part, Key: s.Key, Reason: s.Unused, Next: "leave it out, or add the part that uses it to the card"})
			}
			continue
		}
		if f, ok := s.check(); !ok {
			out = append(out, f)
		}
	}
	if len(out) > 0 {
		return out // the rules below assume sound values
	}
	return append(c.validateParts(), c.validateGovernor()...)
}

func (s Slot) check() (Flaw, bool) {
	flaw := func(reason, next string) (Flaw, bool) {
		return Flaw{Part: s.Part, Key: s.Key, Reason: reason, Next: next}, false
	}
	if s.Constant.Unit == "" {
		return flaw("it has no unit", fmt.Sprintf("give it the unit %s", UnitChoices(s.Unit)))
	}
	if _, ok := Multiple(s.Unit, s.Constant.Unit); !ok {
		return flaw(fmt.Sprintf("the unit %q does not fit", s.Constant.Unit),
			fmt.Sprintf("give the value in %s", UnitChoices(s.Unit)))
	}
	v := s.Constant.Value
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return flaw(fmt.Sprintf("%v is not a number of %s", v, s.Unit), "give a finite number")
	case s.Bounds == Positive && v <= 0:
		return flaw(fmt.Sprintf("%g %s is impossible", v, s.Constant.Unit), "give a value above zero")
	case s.Bounds == NotNegative && v < 0:
		return flaw(fmt.Sprintf("%g %s is impossible", v, s.Constant.Unit), "give zero or a value above it")
	case s.Bounds == AtLeastOne && v < 1:
		return flaw(fmt.Sprintf("%g %s is impossible", v, s.Constant.Unit), "give 1 or a value above it")
	case s.Bounds == WholeNumber && (v < 1 || v != math.Trunc(v)):
		return flaw(fmt.Sprintf("%g is not a number of them", v), "give a whole number from 1")
	}
	return Flaw{}, true
}

func (c Card) validateParts() []Flaw {
	var out []Flaw
	need := func(part string, has bool, needed string, needs bool) {
		if has && !needs {
			out = append(out, Flaw{Part: part, Reason: fmt.Sprintf("it cannot work without a %s", needed),
				Next: fmt.Sprintf("add the part [%s] to the card", needed)})
		}
	}
	need("fuse", c.Fuse != nil, "motor", c.Motor != nil)
	need("motor", c.Motor != nil, "battery", c.Battery != nil)
	need("motor", c.Motor != nil, "shaft", c.Shaft != nil)
	need("ac-motor", c.ACMotor != nil, "shaft", c.Shaft != nil)
	need("governor", c.Governor != nil, "shaft", c.Shaft != nil)
	need("generator", c.Generator != nil, "shaft", c.Shaft != nil)
	need("regulator", c.Regulator != nil, "generator", c.Generator != nil)
	need("rheostat", c.Rheostat != nil, "generator", c.Generator != nil)
	need("bell", c.Bell != nil, "generator", c.Generator != nil)
	need("full-load", c.FullLoad != nil, "bell", c.Bell != nil)
	need("full-load", c.FullLoad != nil, "rheostat", c.Rheostat != nil)
	if c.Battery != nil && c.Motor == nil {
		out = append(out, Flaw{Part: "battery", Reason: "nothing draws a current from it without a motor",
			Next: "add the part [motor] to the card, or leave the battery out"})
	}
	if c.Motor != nil && c.ACMotor != nil {
		out = append(out, Flaw{Part: "ac-motor", Reason: "the set is driven either by a battery or by the mains, not by both",
			Next: "remove the part [ac-motor] or the part [motor]"})
	}
	if c.Shaft == nil {
		out = append(out, Flaw{Part: "shaft", Reason: "the card has no shaft, so nothing can turn",
			Next: "add the part [shaft] to the card"})
	}
	return out
}

// A governor whose weight is out when it is down needs a spring frequency of
// more than sqrt(2) times the shaft speed: gravity acts once a turn, the
// centrifugal pull takes off one square of the speed, and inertia the other.
func (c Card) validateGovernor() []Flaw {
	if c.Governor == nil {
		return nil
	}
	g := NewGovernor(*c.Governor)
	if least := math.Sqrt2 * g.ContactSpeed; g.SpringFrequency <= least {
		return []Flaw{{Part: "governor", Key: "spring-frequency",
			Reason: fmt.Sprintf("%g Hz is too soft: it must be more than sqrt(2) times the contact speed, %.4g Hz", g.SpringFrequency, least),
			Next:   "check both spring-frequency and contact-speed"}}
	}
	return nil
}
