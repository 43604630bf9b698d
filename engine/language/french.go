package language

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
var french = Language{
	Tag:         "fr",
	Name:        "français",
	Decimal:     ",",
	DecimalName: "comma",
	Minus:       Minus,
	Gap:         "\u00a0",
	NeedsGap:    true,
	Example:     "a number such as 0,5 or 12: a comma before decimals, no zeros in front, a digit on both sides of the comma",
	Plain:       plainForm(","),
	Grouped:     groupedForm(""),
	units:       frenchUnits(),
	Syllables:   frenchSyllables,
	compares:    &frenchComparing,
	Guess:       regexp.MustCompile(`(?i)\b(?:devine[rz]?|devinons|pariez)\b|\bà votre avis\b`),
	Handles:     regexp.MustCompile(`(?i)\b(?:tourne[rz]?|déplace[rz]?|bouge[rz]?|règle[rz]?) (?:le|un|les|des) (?:boutons?|curseurs?)\b|\bcurseurs?\b|\ble bouton (?:dit|règle|allume)\b|\b(?:touche[rz]|appuye[rz]|effleure[rz]) (?:sur )?(?:le bouton|l’écran|l'écran|l’image|«)`),
	Hard:        hardFrench,
	Dead: Dead{
		proved: regexp.MustCompile(`(?i)\bvérifi\pL*[^.!?\n]{0,60}?\bhors tension\b|\bhors tension\b[^.!?\n]{0,30}?\bvérifi|\babsence de tension\b`),
		with: []*regexp.Regexp{
			regexp.MustCompile(`(?i)\bvérificateur|\btesteur|\bappareil`), regexp.MustCompile(`(?i)\bsource connue\b`), regexp.MustCompile(`(?i)\bavant et après`)},
		How: "avec un vérificateur fait pour cela, essayé sur une source connue avant et après",
	},
	Agree: agreeFrench,
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
func agreeFrench(unit string, n Number) string {
	whole, _, _ := strings.Cut(n.Digits, ".")
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

// frenchComparing are the same for French.
var frenchComparing = comparing{
	phrases: phrasesIn(`
		plus, moins, davantage, mieux, meilleur, meilleure, meilleurs, meilleures, pire, pires, moindre, moindres
		de plus en plus, de moins en moins, de plus que, de moins que
		supérieur* à, supérieur* au, supérieur* aux, inférieur* à, inférieur* au, inférieur* aux
		monte*, monté*, montait, descend*, baiss*, augment*, diminu*, tombe*, chute*, grandi*, grossit, grossir, grossissent
		croît*, croissent, décroît*, décroissent, allonge*, raccourci*, ralenti*, accélère*, accéléré*, accélérer*
		faibli*, affaibli*, renforc*, rédui*, double, doublent
		deux fois le, deux fois la, deux fois les, deux fois l, deux fois ce, deux fois sa, deux fois son, fois celle, fois celui`),
	idioms: phrasesIn(`
		plus ou moins, ni plus ni moins, au moins, du moins, à moins, pour le moins, tout au plus, au plus
		plus tard, de plus, en plus, non plus, sans plus, plus rien, plus aucun, plus aucune, plus jamais, plus personne
		le plus, la plus, les plus, des plus, le moins, la moins, les moins, des moins, le mieux, le moindre, la moindre
		le meilleur, la meilleure, les meilleurs, les meilleures, le pire, tant mieux
		ne plus, ne * plus, n * plus, ne * * plus, n * * plus
		monte* et descend*, laissez tomber, laisser tomber, laisse tomber`),
	never:   []string{"pas", "point", "jamais", "guère", "rien", "que", "qu"},
	request: regexp.MustCompile(`(?i)^\pL+ez\b[^,;:]*`),
}
