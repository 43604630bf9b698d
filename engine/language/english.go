package language

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
var english = Language{
	Tag:         "en",
	Name:        "English",
	Decimal:     ".",
	DecimalName: "point",
	Gap:         " ",
	Example:     "a number such as 0.5 or 12: no comma, no zeros in front, a digit on both sides of the point",
	Plain:       plainForm("."),
	Grouped:     groupedForm(","),
	units:       append(symbols[:len(symbols):len(symbols)], englishWords[:]...),
	Syllables:   englishSyllables,
	compares:    &englishComparing,
	Guess:       regexp.MustCompile(`(?i)\bguess\b`),
	Handles:     regexp.MustCompile(`(?i)\bknobs?\b|\bsliders?\b|\b(?:touch|press|tap|push) (?:the |a |any )?(?:button|screen|picture|play|listen|answer)s?\b|\bswipe\b`),
	Hard:        hardEnglish,
	Dead: Dead{
		proved: regexp.MustCompile(`(?i)\bprov(?:e|es|ed|en|ing)\b[^.!?\n]{0,60}?\bdead\b|\babsence of voltage\b`),
		with: []*regexp.Regexp{
			regexp.MustCompile(`(?i)\btester`), regexp.MustCompile(`(?i)\bknown (?:live )?source\b`), regexp.MustCompile(`(?i)\bbefore and after`)},
		How: "with a tester made for it, tried on a known source before and after",
	},
	Agree: func(unit string, _ Number) string { return unit },
}

// englishComparing are the words by which a sentence says that one thing is
// more than another, or that something changes in one direction.
var englishComparing = comparing{
	phrases: phrasesIn(`
		more, less, fewer, better, worse, further, farther, * than, no * than, more and more, less and less
		longer, shorter, higher, lower, taller, larger, smaller, bigger, greater, deeper, shallower, wider, broader, narrower
		thicker, thinner, heavier, lighter, stronger, weaker, faster, slower, quicker, nearer, closer, steeper, flatter
		hotter, warmer, colder, cooler, louder, quieter, softer, harder, brighter, dimmer, darker, tighter, looser, stiffer
		smoother, rougher, finer, coarser, steadier, fuller, emptier, purer, easier, safer, sharper, gentler
		rise, rises, rose, risen, rising, fall, falls, fell, fallen, falling, drop, drops, dropped, dropping, climb*
		grow, grows, grew, grown, growing, shrink*, shrank, shrunk, sink, sinks, sank, sunk, sinking, increas*, decreas*
		slows, slowed, slowing, slow down, speed up, speeds up, sped up, go up, goes up, went up, go down, goes down, went down
		weaken*, strengthen*, lengthen*, shorten*, widen*, outlast*, raise, raises, lowers, reduc*, double, doubles, halve, halves
		twice as, twice the, twice that, twice its, twice what, half as, times as`),
	idioms: phrasesIn(`
		more or less, no more, no less, no longer, any more, any longer, once more, one more, two more, three more, some more, what is more
		no further, further on, rather than, other than, sooner or later, so much the better, had better, a closer look
		the lower half, the lower line, the lower curve, the lower wave, the lower figure, the lower picture, the lower part, the lower end
		rises and falls, rise and fall, rising and falling, the halves, two halves, both halves, drop a, drops a, dropped a, drop it
		drop out, drops out, dropped out, fall out, falls out, fall back, falls back, fell back, fall apart, falls apart`),
	request: regexp.MustCompile(`(?i)^(?:ask|compare|feel|guess|imagine|listen|look|press|put|ring|see|set|take|try|turn|watch)\b[^,;:]*`),
}
