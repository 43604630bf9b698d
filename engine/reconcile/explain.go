package reconcile

import eq "slipring/engine/equation"

// Explained gives the equations by which old drawings and continuity readings are
// weighed.
func Explained() eq.Part {
	const own = "own choice: what prototypes on invented boards asked the fewest tests with"
	way := eq.Said("i", "number of one way in which wires may run", "")
	return eq.Part{
		Name: "drawings",
		What: "Old drawings of one board that differ, what a continuity tester shows, and what to test next.",
		Equations: []eq.Equation{
			{
				Key: "drawings.chance", Closed: true, By: []string{"bench.Wiring.Drawings", "bench.Drawings.Wire", "bench.Drawings.Wires", "bench.Drawings.First", "bench.Drawings.Read", "bench.Drawings.Readings", "bench.Drawings.Contradictions"},
				Gives: "chance of one way in which wires may run, after a reading (Bayes)",
				TeX:   `p_i = \frac{w_i q_i}{\sum_k w_k q_k}`,
				Symbols: []eq.Symbol{eq.Said("p_i", "chance of one way in which wires may run", ""), way, eq.From("w_i", "drawings.weight", "its weight before the reading, beside others", ""),
					eq.Said("q_i", "chance that the tester shows what it did, if they run so", ""), eq.Said("w_k", "the same of each way", ""), eq.Said("q_k", "the same of each way", "")},
				Source: "J. de Kleer and B. C. Williams: Diagnosing Multiple Faults, Artificial Intelligence 32 (1987), 97-130",
			},
			{
				Key: "drawings.weight", Closed: true,
				Gives: "weight of one way before any reading: how well each drawing agrees with it, where a drawing may be a copy of the one before",
				TeX:   `\ln w_i = \ln v_i + \sum_d \ln\left(\left(1 - c\right) f_d + c s_d\right)`,
				Symbols: []eq.Symbol{eq.Said("w_i", "its weight before the reading, beside others", ""), way, eq.Said("v_i", "how often wires run so, whatever is drawn", ""), eq.Said("d", "number of the drawing, in the order of dates", ""),
					eq.Said("c", "chance that a drawing was copied there", ""), eq.Said("f_d", "chance that somebody draws this who looks at the board", ""), eq.Said("s_d", "1 where the drawing before has the same, 0 else", "")},
				Source: "common practice, no source: a copy says hardly more than what it was copied from",
			},
			{
				Key: "drawings.count", Closed: true, By: []string{"bench.Drawings.Count", "bench.Drawings.Sheets"},
				Gives:   "wires of one verdict: found where a wire is all but certain and a closed reading hangs on it, likely where no such reading does, not there where it hardly can be, else an open question",
				TeX:     `n = \sum_w 1`,
				Symbols: []eq.Symbol{eq.Said("n", "wires of the verdict", ""), eq.From("w", "drawings.chance", "each wire whose chance is in its bounds", "")},
				Source:  own,
			},
			{
				Key: "drawings.fit", Closed: true, By: []string{"bench.Drawings.Fit"},
				Gives:   "share of the wires at a part, drawn or there, that are expected to be both",
				TeX:     `s = \frac{\sum_d p_d}{n_d + \sum_u p_u}`,
				Symbols: []eq.Symbol{eq.Said("s", "how well a drawing fits a part", ""), eq.From("p_d", "drawings.chance", "chance of each wire that it has there", ""), eq.Said("d", "number of such a wire", ""), eq.Said("n_d", "how many these are", ""), eq.From("p_u", "drawings.chance", "chance of each wire that it lacks there", ""), eq.Said("u", "number of such a wire", "")},
				Source:  "P. Jaccard: The Distribution of the Flora in the Alpine Zone, New Phytologist 11 (1912), 37-50 (from memory)",
			},
			{
				Key: "drawings.test", Closed: true, By: []string{"bench.Drawings.Tests"},
				Gives:   "what a test is worth: wires that it is expected to make certain, and something for its information, over the root of its cost",
				TeX:     `g = \frac{n + 0.6 H}{\sqrt{c}}`,
				Symbols: []eq.Symbol{eq.Said("g", "what the test is worth", ""), eq.Said("n", "wires that it is expected to make certain", ""), eq.From("H", "search.doubt", "information of its answer, in bits", ""), eq.Said("c", "its cost, beside that of a test within one frame", "")},
				Source:  own,
			},
		},
		Assumptions: []string{
			"A tester is wrong now and then, and never twice for the same reason but at a dirty terminal.",
			"Continuity knows nets and not wires: a wire beside another path cannot be told from none.",
		},
	}
}
