package circuit

var ohms = Description{"resistance", "ohm", Positive, "resistance"}

// resistor is a resistor.
func resistor() kind {
	return kind{
		name: "resistor", about: "a resistor",
		values: []Description{ohms},
		marks:  []string{"1", "2"},
		work:   func(b *builder) { b.branch("1", "2", branch{r: b.value("resistance")}) },
	}
}

// coil is a winding with an inductance that does not change.
func coil() kind {
	return kind{
		name: "coil", about: "a winding",
		values: []Description{ohms, {"inductance", "H", NotNegative, "inductance"}},
		marks:  []string{"1", "2"},
		work: func(b *builder) {
			b.branch("1", "2", branch{r: b.value("resistance"), l: b.value("inductance")})
		},
	}
}

// capacitor is a capacitor: no way for direct current.
func capacitor() kind {
	return kind{
		name: "capacitor", about: "a capacitor",
		values: []Description{{"capacitance", "F", Positive, "capacitance"}},
		marks:  []string{"1", "2"},
		work:   func(b *builder) { b.branch("1", "2", branch{c: b.value("capacitance")}) },
	}
}

// strip is a row of terminals, none joined to another.
func strip() kind {
	return kind{
		name: "strip", about: "a row of terminals, none joined to another; says terminals = how many",
		work: func(*builder) {},
	}
}
