package schematic

// Style is one of two ways to draw a schematic.
type Style int

const (
	Then Style = iota // about 1910
	Now               // IEC 60617
)

// Where it is known from how a symbol of about 1910 looked. What is only said
// among people has no source. All symbols of IEC 60617 are drawn from memory.
const (
	// Miller and McMeen, Cyclopedia of Telephony and Telegraphy, vol. 1, under
	// "Conventional Symbol" of cells: a long thin line and a short heavy line side
	// by side, a number of pairs for a battery; the long thin line is the
	// positive plate.
	figure67 = "Fig. 67"
	// The same, under "Conventional Symbols" of coils: the ordinary symbol of an
	// induction coil is a pair of parallel zig-zag lines, one for each winding.
	figure114 = "Fig. 114"

	commonPractice = "" // no source
)

// symbol is how one kind of part is drawn, then and now.
type symbol struct {
	kind      string
	then, now func(p *pen)
	known     string // where the drawing of then was read
}

// symbols lists all of tell.SymbolKinds. The texts symbol.KIND are their names,
// and symbol-watch.KIND what to watch for.
func symbols() []symbol {
	return []symbol{
		{"battery", batteryThen, batteryNow, figure67},
		{"resistor", resistorThen, resistorNow, commonPractice},
		{"rheostat", func(p *pen) { resistorThen(p); adjust(p) }, func(p *pen) { resistorNow(p); adjust(p) }, commonPractice},
		{"coil", coilThen, coilNow, figure114},
		{"field winding", fieldThen, coilNow, commonPractice},
		{"armature", armatureThen, armatureNow, commonPractice},
		{"generator", generatorThen, generatorNow, commonPractice},
		{"relay coil", relayThen, relayNow, commonPractice},
		{"make contact", func(p *pen) { springs(p, 6) }, makeNow, commonPractice},
		{"break contact", func(p *pen) { springs(p, 3.5) }, breakNow, commonPractice},
		{"key", keyThen, func(p *pen) { makeNow(p); button(p) }, commonPractice},
		{"break key", breakKeyThen, func(p *pen) { breakNow(p); button(p) }, commonPractice},
		{"switch", switchThen, func(p *pen) { makeNow(p); handle(p) }, commonPractice},
		{"centrifugal contact", centrifugalThen, centrifugalNow, commonPractice},
		{"fuse", fuseThen, fuseNow, commonPractice},
		{"lamp", lampThen, lampNow, commonPractice},
		{"bell", bellThen, bellNow, commonPractice},
		{"voltmeter", meterThen("V"), meterNow("V"), commonPractice},
		{"ammeter", meterThen("A"), meterNow("A"), commonPractice},
		{"condenser", condenserThen, condenserNow, commonPractice},
		{"terminal", terminalThen, terminalNow, commonPractice},
		{"earth", func(p *pen) { earth(p, 5) }, func(p *pen) { earth(p, 3) }, commonPractice},
		{"frame", func(p *pen) { frame(p, 6) }, func(p *pen) { frame(p, 3) }, commonPractice},
	}
}

func symbolOf(kind string) (symbol, bool) {
	for _, s := range symbols() {
		if s.kind == kind {
			return s, true
		}
	}
	return symbol{}, false
}

// draw draws the symbol in a style.
func (s symbol) draw(p *pen, style Style) {
	if style == Then {
		s.then(p)
	} else {
		s.now(p)
	}
}

// ReadInPrint names the figure of the Cyclopedia in which the symbol of about
// 1910 of a kind was read; "" for what is common practice, without a source.
func ReadInPrint(kind string) string {
	s, _ := symbolOf(kind)
	return s.known
}
