package proof

import (
	"regexp"
	"strings"
)

// frenchWord is a unit in words. One of it is num/den of its quantity's base.
type frenchWord struct {
	one, many string
	quantity  string
	num, den  int64
}

// frenchWords are the units in words. Names and plurals of units are those of
// the International System of Units, 9th edition, French text; tr/min and tr/s
// are the French symbols of what English writes r/min and r/s (ISO 80000-3,
// French text - from memory).
var frenchWords = [...]frenchWord{
	{"pour cent", "pour cent", "1", 1, 100},
	{"ampère", "ampères", "A", 1, 1}, {"milliampère", "milliampères", "A", 1, 1000},
	{"volt", "volts", "V", 1, 1}, {"ohm", "ohms", "ohm", 1, 1}, {"watt", "watts", "W", 1, 1}, {"voltampère", "voltampères", "VA", 1, 1},
	{"mètre", "mètres", "m", 1, 1}, {"millimètre", "millimètres", "m", 1, 1000},
	{"seconde", "secondes", "s", 1, 1}, {"milliseconde", "millisecondes", "s", 1, 1000},
	{"minute", "minutes", "s", 60, 1}, {"heure", "heures", "s", 3600, 1}, {"ampère-heure", "ampères-heures", "A h", 1, 1},
	{"hertz", "hertz", "Hz", 1, 1},
	{"tour par seconde", "tours par seconde", "Hz", 1, 1}, {"tr/s", "tr/s", "Hz", 1, 1},
	{"cycle par seconde", "cycles par seconde", "Hz", 1, 1}, {"fois par seconde", "fois par seconde", "Hz", 1, 1},
	{"tour par minute", "tours par minute", "Hz", 1, 60}, {"tr/min", "tr/min", "Hz", 1, 60}, {"fois par minute", "fois par minute", "Hz", 1, 60},
	{"tour", "tours", "turn", 1, 1},
	{"kilogramme", "kilogrammes", "kg", 1, 1}, {"gramme", "grammes", "kg", 1, 1000},
	{"degré", "degrés", "degree", 1, 1},
}

// french writes a comma before the decimals, U+2212 before a negative number,
// and a no-break space between a number and its unit, per cent included (The
// International System of Units, 9th edition, French text, section 5.4).
var french = language{
	decimal:     ",",
	decimalName: "comma",
	minus:       minus,
	gap:         "\u00a0",
	needsGap:    true,
	example:     "a number such as 0,5 or 12: a comma before decimals, no zeros in front, a digit on both sides of the comma",
	plain:       plainForm(","),
	grouped:     groupedForm(""),
	units:       frenchUnits(),
	syllables:   frenchSyllables,
	compares:    &frenchComparing,
	hard:        hardFrench,
	dead: dead{
		proved: regexp.MustCompile(`(?i)\bvérifi\pL*[^.!?\n]{0,60}?\bhors tension\b|\bhors tension\b[^.!?\n]{0,30}?\bvérifi|\babsence de tension\b`),
		with: []*regexp.Regexp{
			regexp.MustCompile(`(?i)\bvérificateur|\btesteur|\bappareil`), regexp.MustCompile(`(?i)\bsource connue\b`), regexp.MustCompile(`(?i)\bavant et après`)},
		how: "avec un vérificateur fait pour cela, essayé sur une source connue avant et après",
	},
	agree: agreeFrench,
}

func frenchUnits() []unit {
	units := append([]unit{}, symbols[:]...)
	for _, w := range frenchWords {
		for _, written := range [...]string{w.one, w.many} {
			if _, had := findUnit(units, written); !had {
				units = append(units, unit{written, w.quantity, w.num, w.den})
			}
		}
	}
	return units
}

// agreeFrench gives a unit in words in the singular below two, whatever the
// decimals: 0,7 tour, 1,9 tour, 2,0 tours (plural rules of CLDR for French).
func agreeFrench(unit string, n number) string {
	whole, _, _ := strings.Cut(n.digits, ".")
	for _, w := range frenchWords {
		switch {
		case unit != w.one && unit != w.many:
		case whole == "0" || whole == "1":
			return w.one
		default:
			return w.many
		}
	}
	return unit
}
