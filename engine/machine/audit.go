package machine

// Audit is where the energy of a run went, in J.
type Audit struct {
	Supplied float64
	Spent    []Spent
	Stored   float64 // rise of what windings, capacitors, springs and masses hold
	Arcs     float64 // lost from what is stored at the instants when something was switched
	Missing  float64 // Supplied - Spent - Stored - Arcs, which should be 0
}

// Spent is energy in J that went one way.
type Spent struct {
	Where string
	Joule float64
}

// Audit adds up the energy of the time since the simulation began. The machine
// must have been made with Setup.Audit; further coordinates of its state then
// count energy, one for each line of the account.
func (s *Simulation) Audit() Audit {
	y, m := s.solver.State(), s.sys
	if len(m.lines) == 0 {
		return Audit{}
	}
	a := Audit{Stored: m.stored(y) - s.storedAtStart, Arcs: s.arcs}
	for i, l := range m.lines {
		if joule := y[m.account+i]; l.supplied {
			a.Supplied += joule
		} else {
			a.Spent = append(a.Spent, Spent{l.where, joule})
		}
	}
	a.Missing = a.Supplied - a.Stored - a.Arcs
	for _, w := range a.Spent {
		a.Missing -= w.Joule
	}
	return a
}
