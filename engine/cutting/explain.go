package cutting

import eq "slipring/engine/equation"

// Explained gives the equations of a list of wire to cut.
func Explained() eq.Part {
	const (
		house = "common practice, no source; what is left over is the house's"
		iec   = "IEC 60028 for the copper; IEC 60228 lets a cable have up to an eighth more"
	)
	var (
		length = eq.From("l", "cutting.length", "length of one wire as it is cut", "m")
		amps   = eq.From("I", "cutting.current", "current of one wire", "A")
		area   = eq.Said("A", "cross-section of the copper", "mm2")
		warm   = eq.Said("t", "temperature of the copper in °C", "")
		steep  = eq.Said("a", "rise of the resistance for each degree, 0.00393", "")
		number = eq.Said("k", "number of each wire of a group", "")
	)
	return eq.Part{
		Name: "cutting",
		What: "The list of wire to cut: how long, how thick, and what there is to buy.",
		Equations: []eq.Equation{
			{
				Key: "cutting.length", Closed: true, By: []string{"bench.CutWire.Length", "bench.CutGroup.Length", "bench.CutOrder.Length"},
				Gives: "length of one wire: along the rows and up the sides of the frames, the runs between them, and what is left over at both ends; rounded up to the next step",
				TeX:   `l = \left|x_1 - x_2\right| + \left|y_1 - y_2\right| + r + 2 s`,
				Symbols: []eq.Symbol{eq.Said("l", "length of one wire as it is cut", "m"), eq.Said("x_1", "way across to one end, and x_2 to the other", "m"), eq.Said("y_1", "way up to one end, and y_2 to the other", "m"),
					eq.Said("r", "runs between frames; each way on a frame then ends where wires leave it", "m"), eq.Said("s", "left over at each end", "m")},
				Source: house,
			},
			{
				Key: "cutting.current", Closed: true, By: []string{"bench.CutWire.Amps"},
				Gives:   "current that one wire has to carry: the most of all states that were tried, or what the house says of its group, where that is more",
				TeX:     `I = \max\left(I_h, \max_z I_z\right)`,
				Symbols: []eq.Symbol{eq.Said("I", "current of one wire", "A"), eq.Said("I_h", "what the house says", "A"), eq.From("I_z", "board.nodes", "current in one of the states", "A"), eq.Said("z", "number of the state", "")},
				Source:  "comparison of what was computed",
			},
			{
				Key: "cutting.guard", Closed: true, By: []string{"bench.CutWire.Guard"},
				Gives:   "what the fuses before one wire pass for good, together: the wire has to carry that too",
				TeX:     `I_f = \sum_f I_m`,
				Symbols: []eq.Symbol{eq.Said("I_f", "what all of them pass for good", "A"), eq.Said("f", "number of the fuse", ""), eq.Said("I_m", "current at which it begins to melt", "A")},
				Source:  "common practice, no source: who chooses wire by its fuse takes the current that the fuse lets flow as long as it likes",
			},
			{
				Key: "cutting.drop", Closed: true, By: []string{"bench.CutWire.Lost", "bench.CutGroup.Lost"},
				Gives:   "voltage that the wires of a group lose, all of them in a row; that is too much where they stand side by side, never too little",
				TeX:     `U = \sum_k 1.13 \frac{l I}{58 A} \left(1 + a \left(t - 20\right)\right)`,
				Symbols: []eq.Symbol{eq.Said("U", "voltage that is lost", "V"), number, length, amps, area, steep, warm},
				Source:  iec,
			},
			{
				Key: "cutting.area", Closed: true, By: []string{"bench.CutGroup.Needs", "bench.CutGroup.Allowed", "bench.CutWire.Area", "bench.CutOrder.Area"},
				Gives:   "cross-section with which a group would lose just what it may; the next thicker wire in stock is taken, unless fuse or strength ask for more",
				TeX:     `A = \frac{1.13}{58 p U_0} \left(1 + a \left(t - 20\right)\right) \sum_k l I`,
				Symbols: []eq.Symbol{area, eq.Said("p", "share of the voltage that may be lost", ""), eq.Said("U_0", "voltage of the group", "V"), steep, warm, number, length, amps},
				Source:  iec,
			},
			{
				Key: "cutting.reason", Closed: true, By: []string{"bench.CutWire.Why", "bench.CutWire.Gauge"},
				Gives:   "cross-section of one wire: the most that fuse, drop and strength ask for, and the next thicker wire in stock; the one that asks for most is the reason",
				TeX:     `A = \max\left(A_f, A_u, A_s\right)`,
				Symbols: []eq.Symbol{area, eq.Said("A_f", "that of the thinnest wire in stock which carries its current and what its fuses pass for good", "mm2"), eq.From("A_u", "cutting.area", "that with which its group loses what it may", "mm2"), eq.Said("A_s", "the smallest that the house hangs", "mm2")},
				Source:  house,
			},
			{
				Key: "cutting.count", Closed: true, By: []string{"bench.Cutting.Count", "bench.Cutting.Left", "bench.Cutting.Orders", "bench.Cutting.Crowded", "bench.CutGroup.Count", "bench.CutOrder.Count"},
				Gives:   "wires of the list, or of a part of it",
				TeX:     `n = \sum_k 1`,
				Symbols: []eq.Symbol{eq.Said("n", "how many", ""), eq.Said("k", "number of each wire that is counted", "")},
				Source:  "comparison of what was computed",
			},
			{
				Key: "cutting.order", Closed: true, By: []string{"bench.CutOrder.Buy"},
				Gives:   "wire of one thickness and colour to buy, rounded up to the next step",
				TeX:     `L = \left(1 + w\right) \sum_k l`,
				Symbols: []eq.Symbol{eq.Said("L", "wire to buy", "m"), eq.Said("w", "part that is ordered besides, for what is cut wrongly", ""), number, length},
				Source:  house,
			},
		},
		Assumptions: []string{
			"Wires follow the rows and the sides of their frames; the way between two terminals of one part is not counted, and the slack has to cover it.",
			"What a wire of a thickness may carry is said by the house, with where that comes from. Neither heat nor bundles are reckoned here: the local code and a licensed person decide.",
			"Currents are noted while nothing changes, and shortly after each key is pressed; the peaks of a starting motor lie between.",
		},
	}
}
