// Package equation says what an equation of the engine is: its formula, what
// each of its symbols means, and where it is taken from.
//
//	for _, part := range machine.Explained() { ... part.Equations ... }
//
// The packages that compute hold their equations beside the code that solves
// them; this one only gives them a form. It computes and draws nothing. All
// sentences are in English; package words has them in other languages.
package equation

// Part is a part of the machine, or a piece of theory that is about no part.
type Part struct {
	Name        string // as a card names it, such as "governor"
	What        string // a sentence
	Equations   []Equation
	Assumptions []string // sentences

	// Beside says of constants that stand in no equation what they are for, by
	// the key that they have on the card.
	Beside map[string]string
}

// Equation is one of the equations that govern a part.
type Equation struct {
	Key     string // PART.WORD, such as "governor.offset"
	Gives   string // what it gives, or says, in a sentence
	TeX     string // as package math sets it
	Symbols []Symbol
	Closed  bool     // a formula that is worked out at once; not one that the whole set is solved with step by step
	By      []string // names of the engine that compute it: machine.Governor.Offset
	Source  string   // author, title and section
}

// Symbol is a symbol of an equation. It stands for a constant of the card, for
// what another equation gives, or for what Words say.
type Symbol struct {
	TeX      string
	Factor   string // TeX, before a constant: 2 pi of a frequency
	Constant string // PART.KEY
	Equation string // key
	Words    string // needed where it is neither
	Unit     string // SI, of what is no constant; "" for a pure number
}

// Card makes a symbol that stands for a constant of the card.
func Card(tex, constant string) Symbol { return Symbol{TeX: tex, Constant: constant} }

// Angular makes one that stands for 2 pi times a constant.
func Angular(tex, constant string) Symbol {
	return Symbol{TeX: tex, Factor: `2\pi`, Constant: constant}
}

// From makes one that another equation gives.
func From(tex, key, words, unit string) Symbol {
	return Symbol{TeX: tex, Equation: key, Words: words, Unit: unit}
}

// Said makes one that words say.
func Said(tex, words, unit string) Symbol { return Symbol{TeX: tex, Words: words, Unit: unit} }
