package circuit

import eq "slipring/engine/equation"

// Explained gives the equations of a board: how its network is solved, and when
// what is on it moves, lights and sounds.
func Explained() eq.Part {
	const (
		byNodes = "C.-W. Ho, A. E. Ruehli and P. A. Brennan: The Modified Nodal Approach to Network Analysis, IEEE Trans. Circuits and Systems 22 (1975), 504-509"
		byOhm   = "Ohm's law"
		byRelay = "a relay in two levels and two times, as its entry among the parts gives them; its coil and its armature are not followed"
		byLight = "common practice, no source: at half its voltage a lamp gives a tenth of its light"
		bySwing = "J. Bird: Electrical Circuit Theory and Technology, chapter 24"
		bySum   = "superposition: frequencies that differ do not disturb each other"
	)
	var (
		volts     = eq.From("U", "board.branch", "voltage across a part", "V")
		amps      = eq.From("I", "board.nodes", "current through a part", "A")
		impedance = eq.From("Z", "board.impedance", "impedance of a part", "ohm")
		frequency = eq.Said("f", "frequency, 0 for direct current", "Hz")
	)
	return eq.Part{
		Name: "board",
		What: "The board that starts and watches the set: its parts, its wires, and what its lamps then show.",
		Equations: []eq.Equation{
			{
				Key: "board.nodes", Closed: true, By: []string{"bench.Wiring.Amps", "bench.Wiring.WireAmps"},
				Gives:   "currents of all parts: wherever wires meet, as much comes as goes",
				TeX:     `\sum_k I_k = 0`,
				Symbols: []eq.Symbol{eq.Said("k", "number of each part that is joined there", ""), eq.From("I_k", "board.branch", "current of that part, counted towards the place", "A")},
				Source:  byNodes,
			},
			{
				Key: "board.branch", Closed: true, By: []string{"bench.Wiring.Volts"},
				Gives:   "voltage across a part, from its current; of a battery or a set, with what it gives of itself",
				TeX:     `U = E + Z I`,
				Symbols: []eq.Symbol{eq.Said("U", "voltage across a part", "V"), eq.Said("E", "what the part gives of itself; 0 for all but sources", "V"), impedance, amps},
				Source:  byNodes,
			},
			{
				Key: "board.impedance", Closed: true,
				Gives:   "impedance of a part, from its entry",
				TeX:     `Z = R + j\left(2 \pi f L - \frac{1}{2 \pi f C}\right)`,
				Symbols: []eq.Symbol{eq.Said("Z", "impedance of a part", "ohm"), eq.Said("R", "its resistance", "ohm"), eq.Said("j", "unit of what runs a quarter of a swing ahead", ""), frequency, eq.Said("L", "its inductance", "H"), eq.Said("C", "its capacitance; a part without one lacks the fraction", "F")},
				Source:  bySwing,
			},
			{
				Key: "board.together", Closed: true, By: []string{"bench.Wiring.Alternating", "bench.Wiring.Meter"},
				Gives:   "r.m.s. voltage of all frequencies together; a meter on the board shows it with the direct voltage",
				TeX:     `U = \sqrt{\sum_f U_f^2}`,
				Symbols: []eq.Symbol{eq.Said("U", "r.m.s. voltage", "V"), frequency, eq.From("U_f", "board.branch", "r.m.s. voltage of one frequency", "V")},
				Source:  bySum,
			},
			{
				Key: "board.ohms", Closed: true, By: []string{"bench.Wiring.Ohms", "bench.Wiring.Joined"},
				Gives:   "resistance between two terminals with all power off: the voltage of a tester over the current that it drives",
				TeX:     `R = \frac{U}{I}`,
				Symbols: []eq.Symbol{eq.Said("R", "resistance between two terminals", "ohm"), eq.From("U", "board.branch", "voltage of the tester at its leads", "V"), eq.From("I", "board.nodes", "current that it drives", "A")},
				Source:  byOhm,
			},
			{
				Key: "board.relay", Closed: true, By: []string{"bench.Wiring.When", "bench.Wiring.Operated", "bench.Wiring.Timeline"},
				Gives: "time at which a relay operates: its pick-up time after its current has reached its pick-up",
				TeX:   `I \ge I_p,\qquad t = t_0 + t_p`,
				Symbols: []eq.Symbol{eq.From("I", "board.nodes", "current of its coil; of a detector, the voltage within its band", "A"), eq.Said("I_p", "its pick-up", "A"),
					eq.Said("t", "time at which it operates", "s"), eq.Said("t_0", "time at which the current reached the pick-up", "s"), eq.Said("t_p", "its pick-up time", "s")},
				Source: byRelay,
			},
			{
				Key: "board.lamp", Closed: true, By: []string{"bench.Wiring.Lit", "bench.Wiring.Lamps", "bench.Wiring.Causes"},
				Gives:   "whether a lamp is lit: from half of its voltage on",
				TeX:     `U \ge \frac{U_n}{2}`,
				Symbols: []eq.Symbol{volts, eq.Said("U_n", "voltage for which the lamp is made", "V")},
				Source:  byLight,
			},
			{
				Key: "board.bell", Closed: true, By: []string{"bench.Wiring.Rings"},
				Gives:   "whether a bell of the board rings: while its current is at least its pick-up",
				TeX:     `I \ge I_p`,
				Symbols: []eq.Symbol{eq.From("I", "board.nodes", "current of the bell", "A"), eq.Said("I_p", "its pick-up", "A")},
				Source:  byRelay,
			},
		},
		Assumptions: []string{
			"Nothing on the board takes time but its relays and their like: all else follows at once.",
			"Wires have no resistance of their own.",
			"A lamp has the resistance at every voltage that it has when it burns.",
			"A relay whose current sinks below its pick-up before its time is over does not operate; it falls back in the same way, at its release.",
			"A fuse melts by its current and a time, and remembers nothing.",
		},
	}
}
