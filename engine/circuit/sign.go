package circuit

import "math"

// sign is a part that is seen or heard.
type sign struct {
	part, branch int
	by           sense
	full         float64 // of a lamp: its voltage; of a bell: the current at which it rings; of a meter: its full scale
	burnt        bool
	is           State
}

// A lamp below the first part of its voltage is dark, below the second dim. The
// light of a filament falls with about the 3.4th power of its voltage (common
// practice, no source): to a tenth at half of it.
const (
	darkBelow = 0.2
	dimBelow  = 0.5
)

func (s *sign) state(n *network) State {
	x := n.sense(s.branch, s.by, 0, math.Inf(1))
	switch s.by {
	case allVoltage: // a lamp
		switch {
		case s.burnt || x < darkBelow*s.full:
			return Dark
		case x < dimBelow*s.full:
			return Dim
		}
		return Lit
	case directCurrent: // a bell
		if x >= s.full*(1-slack) {
			return Rings
		}
		return Silent
	}
	return ""
}

// lamp is a lamp. Its resistance is that of the lamp when it burns, at any voltage.
func lamp() kind {
	return kind{
		name: "lamp", about: "a lamp; says its colour and the text on it",
		values: []Description{ohms, {"voltage", "V", Positive, "voltage for which it is made"}},
		marks:  []string{"X1", "X2"},
		work: func(b *builder) {
			b.shows(b.branch("X1", "X2", branch{r: b.value("resistance")}), allVoltage, b.value("voltage"))
		},
	}
}

// bell is a trembler bell on direct current: it rings as long as it is fed.
func bell() kind {
	return kind{
		name: "bell", about: "a bell that rings while direct current flows",
		values: []Description{ohms, {"pick-up", "A", Positive, "current from which on it rings"}},
		marks:  []string{"1", "2"},
		work: func(b *builder) {
			b.shows(b.branch("1", "2", branch{r: b.value("resistance")}), directCurrent, b.value("pick-up"))
		},
	}
}

func meterOf(unit string) []Description {
	return []Description{
		ohms,
		{"full-scale", unit, Positive, "reading at the end of its scale"},
		{"class", "1", Positive, "largest error, as a part of full scale (IEC 60051, from memory)"},
	}
}

// voltmeter and ammeter read the r.m.s. of all that stands there.
func voltmeter() kind {
	return kind{
		name: "voltmeter", about: "a voltmeter",
		values: meterOf("V"), marks: []string{"1", "2"},
		work: func(b *builder) {
			b.meters = append(b.meters, sign{part: b.number, branch: b.branch("1", "2", branch{r: b.value("resistance")}), by: allVoltage, full: b.value("full-scale")})
		},
	}
}

func ammeter() kind {
	return kind{
		name: "ammeter", about: "an ammeter",
		values: meterOf("A"), marks: []string{"1", "2"},
		work: func(b *builder) {
			b.meters = append(b.meters, sign{part: b.number, branch: b.branch("1", "2", branch{r: b.value("resistance")}), by: allCurrent, full: b.value("full-scale")})
		},
	}
}
