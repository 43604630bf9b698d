package circuit

// battery is a source of direct current.
func battery() kind {
	return kind{
		name: "battery", about: "a source of direct current", source: true,
		values: []Description{
			{"voltage", "V", Positive, "voltage with no current drawn"},
			{"resistance", "ohm", NotNegative, "resistance of its cells and their leads"},
		},
		marks: []string{"+", "-"},
		work: func(b *builder) {
			b.branch("+", "-", branch{source: true, power: true, e: b.value("voltage"), r: b.value("resistance")})
		},
	}
}

// alternator is a source that alternates, all of them in step.
func alternator() kind {
	return kind{
		name: "alternator", about: "a source of alternating current that runs all the time", source: true,
		values: []Description{
			{"voltage", "V", Positive, "r.m.s. voltage with no current drawn"},
			{"frequency", "Hz", Positive, "frequency"},
			{"resistance", "ohm", NotNegative, "resistance of its winding"},
		},
		marks: []string{"1", "2"},
		work: func(b *builder) {
			b.branch("1", "2", branch{source: true, swings: true, power: true, e: b.value("voltage"), hz: b.value("frequency"), r: b.value("resistance")})
		},
	}
}
