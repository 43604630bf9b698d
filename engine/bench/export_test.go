package bench

// Propagate is for tests against published examples, which have no machine.
func Propagate(middle []float64, inputs []string, correlation func(i, j int) float64, shaken func(i int, by float64) []float64) []Doubtful {
	return propagate(middle, inputs, correlation, shaken)
}

// Until gives a wiring at a time before now, with what was done to it until then.
func (w *Wiring) Until(seconds float64) *Wiring {
	c := *w
	c.now, c.board = seconds, nil
	return &c
}

// Asked gives the answer to a question where something is wrong.
func (d *Dictionary) Asked(ask, fault string) string {
	for _, l := range d.d.Looks {
		if l.Ask == ask {
			return l.Answers[l.Shows[d.fault(fault)]]
		}
	}
	return ""
}
