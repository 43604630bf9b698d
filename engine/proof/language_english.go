package proof

import "regexp"

// englishWords are the units in words, as in table symbols.
var englishWords = [...]unit{
	{"per cent", "1", 1, 100}, {"percent", "1", 1, 100},
	{"ampere", "A", 1, 1}, {"amperes", "A", 1, 1}, {"amp", "A", 1, 1}, {"amps", "A", 1, 1},
	{"milliampere", "A", 1, 1000}, {"milliamperes", "A", 1, 1000},
	{"volt", "V", 1, 1}, {"volts", "V", 1, 1},
	{"ohms", "ohm", 1, 1},
	{"watt", "W", 1, 1}, {"watts", "W", 1, 1},
	{"volt-amperes", "VA", 1, 1},
	{"metre", "m", 1, 1}, {"metres", "m", 1, 1}, {"millimetre", "m", 1, 1000}, {"millimetres", "m", 1, 1000},
	{"second", "s", 1, 1}, {"seconds", "s", 1, 1}, {"millisecond", "s", 1, 1000}, {"milliseconds", "s", 1, 1000},
	{"minute", "s", 60, 1}, {"minutes", "s", 60, 1}, {"hour", "s", 3600, 1}, {"hours", "s", 3600, 1}, {"ampere-hours", "A h", 1, 1},
	{"hertz", "Hz", 1, 1},
	{"turns a second", "Hz", 1, 1}, {"turns per second", "Hz", 1, 1}, {"r/s", "Hz", 1, 1},
	{"cycles a second", "Hz", 1, 1}, {"cycles per second", "Hz", 1, 1}, {"times a second", "Hz", 1, 1},
	{"turns a minute", "Hz", 1, 60}, {"turns per minute", "Hz", 1, 60}, {"r/min", "Hz", 1, 60}, {"times a minute", "Hz", 1, 60},
	{"revolutions a second", "Hz", 1, 1}, {"revolutions per second", "Hz", 1, 1},
	{"revolutions a minute", "Hz", 1, 60}, {"revolutions per minute", "Hz", 1, 60}, {"rpm", "Hz", 1, 60},
	{"turn", "turn", 1, 1}, {"turns", "turn", 1, 1},
	{"kilogram", "kg", 1, 1}, {"kilograms", "kg", 1, 1}, {"gram", "kg", 1, 1000}, {"grams", "kg", 1, 1000},
	{"degree", "degree", 1, 1}, {"degrees", "degree", 1, 1},
}

// english keeps number and unit as the author wrote them.
var english = language{
	decimal:     ".",
	decimalName: "point",
	gap:         " ",
	example:     "a number such as 0.5 or 12: no comma, no zeros in front, a digit on both sides of the point",
	plain:       plainForm("."),
	grouped:     groupedForm(","),
	units:       append(symbols[:len(symbols):len(symbols)], englishWords[:]...),
	syllables:   syllables,
	compares:    &englishComparing,
	hard:        hardEnglish,
	dead: dead{
		proved: regexp.MustCompile(`(?i)\bprov(?:e|es|ed|en|ing)\b[^.!?\n]{0,60}?\bdead\b|\babsence of voltage\b`),
		with: []*regexp.Regexp{
			regexp.MustCompile(`(?i)\btester`), regexp.MustCompile(`(?i)\bknown (?:live )?source\b`), regexp.MustCompile(`(?i)\bbefore and after`)},
		how: "with a tester made for it, tried on a known source before and after",
	},
	agree: func(unit string, _ number) string { return unit },
}
