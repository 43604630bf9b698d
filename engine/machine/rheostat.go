package machine

// Rheostat is the load rheostat, whose resistance a Load gives.
type Rheostat struct {
	TimeConstant float64 // s
}

func (r *Rheostat) describe(c *constants) {
	c.need("generator")
	c.add(&r.TimeConstant, "time-constant", "s", Positive, "inductance of the load rheostat for each ohm of it")
}

// BellBusShort is what can happen at a load rheostat.
const BellBusShort Action = "short on the bell bus"

// rheostat is the load rheostat at work.
type rheostat struct {
	Rheostat
	generator  *generator
	output     *output
	current    int
	ohm, henry float64 // 0 is off
	spent      int
}

func (r *rheostat) copy() part { c := *r; return &c }

func (r *rheostat) join(s *system) {
	r.generator, r.output = r.on(s), s.output
	r.current = s.state("current", 1, false) // follows the others within a part of a turn, and is the least exact
	r.spent = s.spends("rheostat")
	s.fault(BellBusShort, "Something lies across the bell bus bars: half an ohm in place of the bells.",
		func() { s.put(Load{Torque: s.load.Torque, Resistance: 0.5}) })
}

func (r *rheostat) put(l Load) {
	r.ohm = l.Resistance
	if l.Watts > 0 {
		r.ohm = r.output.Voltage * r.output.Voltage / l.Watts
	}
	r.henry = r.TimeConstant * r.ohm
}

func (r *rheostat) on(s *system) *generator { return feeding(s, r) }

func (r *rheostat) live() bool { return r.ohm > 0 }

func (r *rheostat) draw(y []float64) (current, share, drops float64) {
	i := y[r.current]
	return i, 1 / r.henry, r.ohm * i / r.henry
}

func (r *rheostat) add(_ *instant, y, d []float64) {
	if r.ohm > 0 && !r.generator.ringLifted {
		d[r.current] = (r.generator.at.ac - r.ohm*y[r.current]) / r.henry
	}
}

func (r *rheostat) still(y []float64) {
	if r.ohm == 0 || r.generator.ringLifted {
		y[r.current] = 0
	}
}

func (r *rheostat) dead(y []float64) { y[r.current] = 0 }

func (r *rheostat) ask(e *estimate, _ []float64) {
	if r.ohm > 0 {
		e.electric += e.half / (r.ohm + r.generator.ArmatureResistance)
	}
}

func (r *rheostat) account(_ *instant, y, lines []float64) {
	lines[r.spent] += r.ohm * y[r.current] * y[r.current]
}

func (r *rheostat) stored(y []float64) float64 { return r.henry * y[r.current] * y[r.current] / 2 }
