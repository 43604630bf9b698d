package bench

// Propagate is for tests against published examples, which have no machine.
func Propagate(middle []float64, inputs []string, correlation func(i, j int) float64, shaken func(i int, by float64) []float64) []Doubtful {
	return propagate(middle, inputs, correlation, shaken)
}
