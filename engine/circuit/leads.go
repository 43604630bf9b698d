package circuit

// Leads gives the pairs of terminals between which current can flow through a
// part, however its contacts stand, and those of them between which a part is a
// source: batteries, alternators, and the windings of sets.
func (w Wiring) Leads() (ways, sources [][2]string, err error) {
	b, err := Wiring{Parts: w.Parts}.laid()
	if err != nil {
		return nil, nil, err
	}
	names := make([]string, len(b.marks))
	for name, at := range b.marks {
		names[at] = name
	}
	for _, j := range b.net.joints {
		ways = append(ways, [2]string{names[j.a], names[j.b]})
	}
	for _, one := range b.net.branches {
		pair := [2]string{names[one.a], names[one.b]}
		ways = append(ways, pair)
		if one.source {
			sources = append(sources, pair)
		}
	}
	return ways, sources, nil
}
