package machine

// Screws are the adjusting screws of the two regulators. Turned to the right,
// that of the governor moves its contact outward, and that of the voltage
// regulator stretches the plunger's spring: machine.Governor.ContactSpeedAt and
// machine.Regulator.WeightWith say what comes of it.
type Screws struct {
	GovernorPitch  float64 // m a turn
	RegulatorPitch float64 // m a turn
}

func (s *Screws) describe(c *constants) {
	c.need("governor", "regulator")
	c.add(&s.GovernorPitch, "governor-pitch", "m", Positive, "way that one turn of its screw moves the governor contact outward")
	c.add(&s.RegulatorPitch, "regulator-pitch", "m", Positive, "way that one turn of its screw stretches the spring of the regulator's plunger")
}

// screws says what a turn does, and does nothing by itself.
type screws struct{ Screws }

func (s *screws) copy() part   { c := *s; return &c }
func (s *screws) join(*system) {}
