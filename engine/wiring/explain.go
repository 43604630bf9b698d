package wiring

import eq "slipring/engine/equation"

// Explained gives the equations of copper wire.
func Explained() eq.Part {
	length, area := eq.Said("l", "length of one wire", "m"), eq.Said("A", "cross-section of the copper", "mm2")
	resistance := eq.Said("R", "resistance of both wires together", "ohm")
	const book = "IEC 60028, the International Annealed Copper Standard"
	return eq.Part{
		Name: "wire",
		What: "The copper of the bell lines.",
		Equations: []eq.Equation{
			{
				Key: "wire.loop", Closed: true, By: []string{"wiring.Loop.Resistance", "wiring.Resistance"},
				Gives: "resistance of a pair of wires, out and back",
				TeX:   `R = \frac{2 l}{58 A}\left(1 + a \left(t - 20\right)\right)`,
				Symbols: []eq.Symbol{resistance, length, area, eq.Said("t", "temperature of the copper in °C", ""),
					eq.Said("a", "rise of the resistance for each degree, 0.00393", "")},
				Source: book,
			},
			{
				Key: "wire.drop", Closed: true, By: []string{"wiring.Loop.Drop", "wiring.Loop.Gauge", "wiring.Loop.Size"},
				Gives:   "voltage that a pair of wires loses; the thinnest wire that loses little enough is chosen by it",
				TeX:     `U = R I`,
				Symbols: []eq.Symbol{eq.Said("U", "voltage that is lost", "V"), eq.From("R", "wire.loop", "resistance of both wires together", "ohm"), eq.Said("I", "current", "A")},
				Source:  "Ohm's law",
			},
			{
				Key: "wire.gauge", Closed: true, By: []string{"wiring.Gauge.Diameter", "wiring.Gauge.Area", "wiring.Gauge.Mils", "wiring.Gauge.Resistance"},
				Gives:   "diameter in mm of a number of the American wire gauge",
				TeX:     `D = 0.127 \cdot 92^{\frac{36 - n}{39}}`,
				Symbols: []eq.Symbol{eq.Said("D", "diameter in mm", "mm"), eq.Said("n", "number of the gauge", "")},
				Source:  "ASTM B258",
			},
		},
		Assumptions: []string{"The copper is annealed and of standard conductivity, all of it at one temperature."},
	}
}
