package machine

import (
	"math"
	"strings"
)

var nan = math.NaN()

// prefixed unit: a multiple of an SI unit that a card may use
type multiple struct {
	si, written string
	factor      float64
}

var multiples = [...]multiple{
	{"m", "mm", 1e-3}, {"m", "um", 1e-6},
	{"kg", "g", 1e-3},
	{"H", "mH", 1e-3},
	{"F", "uF", 1e-6},
	{"A", "mA", 1e-3},
	{"V", "mV", 1e-3},
	{"ohm", "kohm", 1e3},
	{"s", "ms", 1e-3},
	{"1", "%", 1e-2},
	{"N m", "mN m", 1e-3},
}

// Multiple says by what a value in the written unit has to be multiplied to
// be in the given SI unit. It fails when written is neither that unit nor a
// multiple of it that a card may use.
func Multiple(si, written string) (factor float64, ok bool) {
	if written == si {
		return 1, true
	}
	for _, m := range multiples {
		if m.si == si && m.written == written {
			return m.factor, true
		}
	}
	return 0, false
}

// UnitChoices says in words which units may be written for a constant whose
// SI unit is si, such as "m, mm or um".
func UnitChoices(si string) string {
	all := []string{si}
	for _, m := range multiples {
		if m.si == si {
			all = append(all, m.written)
		}
	}
	if len(all) == 1 {
		return all[0]
	}
	return strings.Join(all[:len(all)-1], ", ") + " or " + all[len(all)-1]
}
