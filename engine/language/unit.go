package language

import (
	"math/big"
	"strings"
	"unicode"
	"unicode/utf8"
)

// unit is one way to write a unit. One of it is num/den of its quantity's
// base.
type unit struct {
	written  string
	quantity string
	num, den int64
}

// symbols is the table of what may be written in any language for what was
// told. Two units of one quantity are partners: a value told in one may be
// quoted in the other. A unit that is neither here nor among the words of the
// lesson's language can be quoted only as it was told, and a number with it is
// not noticed when it is bound to nothing.
//
// The factors are those of the SI prefixes, of per cent, and of sixty seconds
// to the minute and sixty minutes to the hour (The International System of
// Units, 9th edition, tables 7 and 8), and of the foot and the pound (NIST
// Special Publication 811, appendix B.8, from memory). Horsepowers and candles
// of different countries differ, so that none has a partner. A turn of a two-pole machine's shaft is one cycle, which makes
// turns and cycles a second the same number as hertz.
var symbols = [...]unit{
	{"%", "1", 1, 100}, {"", "1", 1, 1},
	{"A", "A", 1, 1}, {"mA", "A", 1, 1000}, {"A h", "A h", 1, 1}, {"Ah", "A h", 1, 1},
	{"V", "V", 1, 1}, {"mV", "V", 1, 1000}, {"kV", "V", 1000, 1},
	{"ohm", "ohm", 1, 1}, {"Ω", "ohm", 1, 1}, {"\u2126", "ohm", 1, 1}, {"kohm", "ohm", 1000, 1}, {"kΩ", "ohm", 1000, 1}, {"Mohm", "ohm", 1000000, 1}, {"MΩ", "ohm", 1000000, 1},
	{"W", "W", 1, 1}, {"kW", "W", 1000, 1},
	{"VA", "VA", 1, 1}, {"V A", "VA", 1, 1}, {"kVA", "VA", 1000, 1},
	{"m", "m", 1, 1}, {"mm", "m", 1, 1000}, {"cm", "m", 1, 100}, {"um", "m", 1, 1000000}, {"µm", "m", 1, 1000000}, {"μm", "m", 1, 1000000},
	{"s", "s", 1, 1}, {"min", "s", 60, 1}, {"h", "s", 3600, 1}, {"ms", "s", 1, 1000}, {"us", "s", 1, 1000000}, {"µs", "s", 1, 1000000}, {"μs", "s", 1, 1000000},
	{"Hz", "Hz", 1, 1}, {"kHz", "Hz", 1000, 1},
	{"N m", "N m", 1, 1}, {"mN m", "N m", 1, 1000}, {"N", "N", 1, 1}, {"mN", "N", 1, 1000},
	{"kg", "kg", 1, 1}, {"g", "kg", 1, 1000},
	{"H", "H", 1, 1}, {"mH", "H", 1, 1000},
	{"F", "F", 1, 1}, {"uF", "F", 1, 1000000}, {"µF", "F", 1, 1000000}, {"μF", "F", 1, 1000000},
	{"°", "degree", 1, 1}, {"deg", "degree", 1, 1}, {"°C", "°C", 1, 1},
	{"dB", "dB", 1, 1},
	{"J", "J", 1, 1}, {"kJ", "J", 1000, 1}, {"W h", "J", 3600, 1}, {"Wh", "J", 3600, 1}, {"kW h", "J", 3600000, 1}, {"kWh", "J", 3600000, 1},
	{"Pa", "Pa", 1, 1}, {"kPa", "Pa", 1000, 1}, {"mbar", "Pa", 100, 1}, {"bar", "Pa", 100000, 1},
	{"l/s", "l/s", 1, 1}, {"l/min", "l/s", 1, 60}, {"m/s", "m/s", 1, 1},
	{"ft", "m", 3048, 10000}, {"lb", "kg", 45359237, 100000000},
	{"hp", "hp", 1, 1}, {"PS", "PS", 1, 1}, {"cp", "cp", 1, 1}, {"cd", "cd", 1, 1}, {"lx", "lx", 1, 1},
}

// tellable is what a cell may tell a value in and have it quoted in another
// unit: cells are written in English.
func tellable() []unit { return Of(english).units }

func findUnit(units []unit, written string) (unit, bool) {
	for _, u := range units {
		if u.written == written {
			return u, true
		}
	}
	return unit{}, false
}

// Quantity names the base of what a unit measures, such as "m" for "mm". It says
// whether the language has the unit.
func (l *Language) Quantity(written string) (quantity string, ok bool) {
	u, ok := findUnit(l.units, written)
	return u.quantity, ok
}

// IsSymbol says whether all languages write this unit alike.
func IsSymbol(written string) bool {
	_, ok := findUnit(symbols[:], written)
	return ok
}

// Knows says whether somebody who writes this means a unit, be it of another
// language.
func (l *Language) Knows(written string) bool {
	_, ours := findUnit(l.units, written)
	_, told := findUnit(tellable(), written)
	return ours || told
}

// Factor says by what a value told in one unit has to be multiplied to be
// written in another.
func (l *Language) Factor(told, written string) (f *big.Rat, ok bool) {
	from, known := findUnit(tellable(), told)
	if told == written && !known {
		return big.NewRat(1, 1), true
	}
	to, alsoKnown := findUnit(l.units, written)
	if !known || !alsoKnown || from.quantity != to.quantity {
		return nil, false
	}
	return big.NewRat(from.num*to.den, from.den*to.num), true
}

// Partners lists how else a value told in a unit may be written.
func (l *Language) Partners(told string) []string {
	var list []string
	if from, ok := findUnit(tellable(), told); ok {
		for _, u := range l.units {
			if u.quantity == from.quantity && u.written != told && u.written != "" {
				list = append(list, u.written)
			}
		}
	}
	return list
}

// Same gives the unit that a cell tells and that a value told in one unit is
// written in, and the written unit itself when there is none: the same answer
// for "turns per second" and "tours par seconde".
func (l *Language) Same(told, written string) string {
	scale, ok := l.Factor(told, written)
	if !ok {
		return written
	}
	for _, u := range tellable() {
		if same, fits := Of(english).Factor(told, u.written); fits && same.Cmp(scale) == 0 {
			return u.written
		}
	}
	return written
}

// UnitAfter finds the unit of the table that stands at the beginning of text,
// which follows a number, and how many bytes the space before it and the unit
// take. The longest that fits is meant, and no letter or digit may follow it.
func (l *Language) UnitAfter(text string) (written string, length int, ok bool) {
	gap := 0
	for gap < len(text) {
		r, size := utf8.DecodeRuneInString(text[gap:])
		if !unicode.IsSpace(r) {
			break
		}
		gap += size
	}
	rest := text[gap:]
	hyphen := gap == 0 && strings.HasPrefix(rest, "-")
	if hyphen {
		gap, rest = 1, rest[1:] // "a 48-volt battery"
	}
	for _, u := range l.units {
		if len(u.written) <= len(written) || u.written == "" {
			continue
		}
		if n, fits := unitFits(rest, u.written); fits {
			if gap == 0 && u.written == "s" || hyphen && len(u.written) == 1 {
				continue // "the 1920s", "model 2-A"
			}
			written, length, ok = u.written, gap+n, true
		}
	}
	return written, length, ok
}

// unitFits says whether text begins with a unit, where any run of spaces
// stands for a space in it.
func unitFits(text, written string) (length int, ok bool) {
	i := 0
	for _, w := range written {
		if w == ' ' {
			start := i
			for i < len(text) {
				r, size := utf8.DecodeRuneInString(text[i:])
				if !unicode.IsSpace(r) {
					break
				}
				i += size
			}
			if i == start {
				return 0, false
			}
			continue
		}
		r, size := utf8.DecodeRuneInString(text[i:])
		if i >= len(text) || r != w {
			return 0, false
		}
		i += size
	}
	if next, _ := utf8.DecodeRuneInString(text[i:]); i < len(text) && (unicode.IsLetter(next) || unicode.IsDigit(next)) {
		return 0, false
	}
	return i, true
}
