package sift

import eq "slipring/engine/equation"

// Explained gives the equations of a search: what is believed after a look, and
// which look comes next.
func Explained() eq.Part {
	const byKleer = "J. de Kleer and B. C. Williams: Diagnosing Multiple Faults, Artificial Intelligence 32 (1987), 97-130"
	weight := eq.Said("w_i", "how often the cause is so, beside others", "")
	chance := eq.Said("q_i", "chance of what the look showed, if the cause is so", "")
	return eq.Part{
		Name: "search",
		What: "Which of many causes it is, and what to look at next.",
		Equations: []eq.Equation{
			{
				Key: "search.alike", Closed: true, By: []string{"bench.Wiring.Dictionary", "bench.Dictionary.Shows", "bench.Dictionary.Alike", "bench.Dictionary.Group", "bench.Dictionary.Groups", "bench.Dictionary.Signatures", "bench.Dictionary.Faults", "bench.Dictionary.Stops"},
				Gives: "two causes look alike when each look shows the same of both",
				TeX:   `L_k\left(i\right) = L_k\left(j\right)`,
				Symbols: []eq.Symbol{eq.From("L_k", "board.lamp", "what the look shows: a lamp, a needle, a bell, a measurement", ""), eq.Said("k", "number of each look", ""),
					eq.Said("i", "number of one cause", ""), eq.Said("j", "number of another", "")},
				Source: byKleer,
			},
			{
				Key: "search.next", Closed: true, By: []string{"bench.Dictionary.Sifted", "bench.Dictionary.Halved", "bench.Dictionary.InOrder"},
				Gives: "what a look is worth: the doubt that it takes away on the average, over what it costs",
				TeX:   `g = \frac{1}{c} \left(H - \sum_r p_r H_r\right)`,
				Symbols: []eq.Symbol{eq.Said("g", "what the look is worth", ""), eq.Said("c", "what it costs", ""), eq.From("H", "search.doubt", "doubt before it, in bits", ""),
					eq.Said("r", "each answer that it may give", ""), eq.Said("p_r", "chance of that answer", ""), eq.From("H_r", "search.doubt", "doubt after that answer, in bits", "")},
				Source: byKleer,
			},
			{
				Key: "search.doubt", Closed: true,
				Gives:   "doubt about which cause it is, in bits",
				TeX:     `H = -\frac{1}{\ln 2} \sum_i p_i \ln p_i`,
				Symbols: []eq.Symbol{eq.Said("H", "doubt", ""), eq.Said("i", "number of each cause", ""), eq.From("p_i", "search.weights", "chance that it is this cause", "")},
				Source:  "C. E. Shannon: A Mathematical Theory of Communication, Bell System Technical Journal 27 (1948), section 6",
			},
			{
				Key: "search.weights", Closed: true, By: []string{"bench.Dictionary.Learned"},
				Gives:   "chance of each cause after a look (Bayes)",
				TeX:     `p_i = \frac{w_i q_i}{\sum_k w_k q_k}`,
				Symbols: []eq.Symbol{eq.Said("p_i", "chance that it is this cause", ""), weight, chance, eq.Said("w_k", "the same of each cause", ""), eq.Said("q_k", "the same of each cause", "")},
				Source:  byKleer,
			},
		},
		Assumptions: []string{"One thing is wrong at a time.", "A look is read as it is with a chance that stands beside it, and looks do not mislead together."},
	}
}
