package circuit

var times = []Description{
	{"pick-up-time", "s", Positive, "time from when the coil is fed enough until the contacts change"},
	{"release-time", "s", Positive, "time from when the coil is fed too little until the contacts change back; long on a slow relay"},
}

// relay is a neutral relay: it asks how much direct current flows, and not which
// way.
func relay() kind {
	return kind{
		name: "relay", about: "a relay on direct current",
		values: append([]Description{
			ohms,
			{"pick-up", "A", Positive, "current at which it operates"},
			{"release", "A", Positive, "current at which it falls back, less than it operates at"},
		}, times...),
		marks: []string{"A1", "A2"}, moves: true,
		work: func(b *builder) {
			b.coiled(b.branch("A1", "A2", branch{r: b.value("resistance")}), directCurrent)
		},
	}
}

// detector is a relay that watches an alternating voltage, and hears only what
// lies in its band.
func detector() kind {
	return kind{
		name: "detector", about: "a relay on the r.m.s. voltage of what alternates within a band",
		values: append([]Description{
			ohms,
			{"pick-up", "V", Positive, "r.m.s. voltage at which it operates"},
			{"release", "V", Positive, "r.m.s. voltage at which it falls back, less than it operates at"},
			{"lowest-frequency", "Hz", Positive, "lower end of its band"},
			{"highest-frequency", "Hz", Positive, "upper end of its band"},
		}, times...),
		marks: []string{"A1", "A2"}, moves: true,
		work: func(b *builder) {
			b.coiled(b.branch("A1", "A2", branch{r: b.value("resistance")}), swingVoltage)
			m := &b.movers[len(b.movers)-1]
			m.low, m.high = b.value("lowest-frequency"), b.value("highest-frequency")
		},
	}
}

// flasher is an interrupter: while it is fed, its contacts move to and fro.
func flasher() kind {
	return kind{
		name: "flasher", about: "an interrupter, whose contacts move to and fro while it is fed",
		values: []Description{
			ohms,
			{"pick-up", "V", Positive, "direct voltage from which on it works"},
			{"off-time", "s", Positive, "time for which its contacts are at rest"},
			{"on-time", "s", Positive, "time for which they are not"},
		},
		marks: []string{"A1", "A2"}, moves: true, needs: true,
		work: func(b *builder) {
			k := b.branch("A1", "A2", branch{r: b.value("resistance")})
			b.moves(mover{branch: k, by: directVoltage, pick: b.value("pick-up"), operate: b.value("off-time"), release: b.value("on-time"), beats: true})
		},
	}
}

// fuse melts when it has carried its melting current for its melting time
// without a break; it has no memory of what it carried before. Its contact moves
// as it blows.
func fuse() kind {
	return kind{
		name: "fuse", about: "a fuse; a contact of it moves as it blows",
		values: []Description{
			ohms,
			{"melting-current", "A", Positive, "r.m.s. current that melts it"},
			{"melting-time", "s", Positive, "time for which it has to flow"},
		},
		marks: []string{"1", "2"}, moves: true,
		work: func(b *builder) {
			k := b.branch("1", "2", branch{r: b.value("resistance")})
			b.moves(mover{branch: k, by: allCurrent, pick: b.value("melting-current"), operate: b.value("melting-time"), melts: true})
		},
	}
}

// key is worked by hand.
func key() kind {
	return kind{
		name: "key", about: "a key, worked by hand; with stays = true it stays where it is put",
		moves: true, needs: true,
		work: func(b *builder) { b.moves(mover{branch: -1}) },
	}
}

// contact is worked by something that is no part of the wiring.
func contact() kind {
	return kind{
		name: "contact", about: "a contact that something beside the wiring works, such as a float or a door",
		moves: true, needs: true,
		work: func(b *builder) { b.moves(mover{branch: -1}) },
	}
}
