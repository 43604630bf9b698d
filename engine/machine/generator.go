package machine

import (
	"fmt"
	"math"

	"slipring/engine/waveform"
)

// Generator is the self-excited generator: one armature winding with a
// commutator, which feeds its own shunt field, and two slip rings for the
// output. Both carry the same EMF, so its crest at the rings is the direct
// EMF at the brushes.
//
// The windings of one axis share the armature resistance. There is neither
// armature reaction nor a transformer EMF: the model has both or neither, or
// it would make energy of nothing.
type Generator struct {
	ArmatureResistance float64 // ohm
	ArmatureInductance float64 // H, towards the slip rings
	FieldResistance    float64 // ohm
	FieldResistor      float64 // ohm, shorted by the regulator contact
	Field              Magnetization
	Iron               Iron
}

func (g *Generator) describe(c *constants) {
	c.need("shaft")
	c.add(&g.ArmatureResistance, "armature-resistance", "ohm", Positive, "resistance of the armature winding")
	c.add(&g.ArmatureInductance, "armature-inductance", "H", NotNegative, "inductance of the armature towards the slip rings")
	c.add(&g.FieldResistance, "field-resistance", "ohm", Positive, "resistance of the shunt field winding")
	c.add(&g.FieldResistor, "field-resistor", "ohm", Positive, "resistor in the field circuit that the regulator contact shorts")
	c.unused("regulator", "nothing puts it into the field circuit without a regulator")
	g.Field.describe(c)
	g.Iron.describe(c)
	c.table(func(speed float64, rows [][]float64) {
		var amps, volts []float64
		for _, row := range rows {
			amps, volts = append(amps, row[0]), append(volts, row[1])
		}
		g.Field.Curve, g.Field.Residual = NewCurve(amps, volts, speed)
	}, []Column{{"field current", "A"}, {"voltage", "V"}}, "open-circuit", "Hz", Positive,
		"open-circuit curve as it was measured: field current and voltage, at so many turns a second",
		"the open-circuit curve stands in its place", "residual-constant", "constant-slope", "saturation-current", "saturation-sharpness")
}

func (g *Generator) flaws(c Card) []Flaw {
	if !g.Field.Curve.measured() {
		return nil
	}
	flaw := func(reason, next string) []Flaw { return []Flaw{{Key: "open-circuit", Reason: reason, Next: next}} }
	if g.Field.Curve.amps[0] != 0 {
		return flaw("it does not begin at no field current", "let its first row be 0 and the voltage that the residual makes")
	}
	for k, rise := range g.Field.Curve.rise {
		if k > 0 && rise <= g.Field.Curve.rise[k-1] {
			return flaw(fmt.Sprintf("the voltage does not rise from row %d to row %d", k, k+1), "measure with rising field current, and leave out what is no better than its neighbour")
		}
	}
	return nil
}

// BuildUpTime gives the time in s in which the field current of the spinning,
// unloaded generator rises from nothing to a current in A, at a speed in turns
// a second with a field circuit of a resistance in ohm, before saturation tells:
//
//	t = tau ln(1 + i/i_r),  tau = L/(Slope w - R),  i_r = Residual w/(Slope w - R)
//
// It is infinite below the critical speed, and without residual.
func (g *Generator) BuildUpTime(speed, resistance, current float64) float64 {
	w := 2 * math.Pi * speed
	excess := g.Field.CriticalResistance(speed) - resistance
	if excess <= 0 || g.Field.Residual <= 0 {
		return math.Inf(1)
	}
	return g.Field.Inductance(0) / excess * math.Log1p(current*excess/(g.Field.Residual*w))
}

// What can happen to a generator.
const (
	ResidualLost         Action = "residual lost"
	ResidualReversed     Action = "residual reversed"
	FieldLeadsReversed   Action = "generator field leads reversed"
	GeneratorBrushLifted Action = "generator commutator brush lifted"
	RingBrushLifted      Action = "slip-ring brush lifted"
	BellFuseBlown        Action = "distributing fuse blown"
)

// branch is what hangs on the rings of a generator.
type branch interface {
	// on finds that generator.
	on(s *system) *generator
	// live says whether its circuit is closed.
	live() bool
	// draw gives its current in A; and, since it obeys L i' = v - drop, what it
	// adds to the sums of 1/L and of drop/L.
	draw(y []float64) (current, share, drops float64)
	// dead takes all out of its states.
	dead(y []float64)
}

// feeding finds the generator that a load hangs on: the n-th of its kind on the
// n-th, or on the first where there are not so many.
func feeding[P comparable](s *system, load P) *generator {
	if g := partner[*generator](s, load); g != nil {
		return g
	}
	return s.generator
}

// generator is the generator at work, with what hangs on its rings.
type generator struct {
	Generator
	exciting int
	output   *output
	shaft    *shaft
	contact  *contact   // that shorts the field resistor
	coil     *regulator // whose coil is fed from the commutator; nil when none is
	branches []branch
	closed   []branch // those whose circuits are closed

	polarity    float64 // -1 with the field leads reversed
	brushLifted bool    // of the commutator
	ringLifted  bool

	at circuits // at the instant for which the derivative is worked out

	inArmature, inField, inIron int
}

func (g *generator) copy() part { c := *g; return &c }

func (g *generator) set(Setup) { g.polarity = 1 }

func (g *generator) join(s *system) {
	g.output, g.shaft, g.contact, g.coil = s.output, s.shaft, new(contact), nil
	if r := partner[*regulator](s, g); r != nil {
		g.contact = &r.regulating
		if r.coilOnBrushes {
			g.coil = r
		}
	}
	g.branches, g.closed = nil, nil
	each(s, func(b branch) {
		if b.on(s) == g {
			g.branches = append(g.branches, b)
		}
	})
	g.exciting = s.state("field current", 0.1, true)
	s.signal("output current", "A", waveform.Current, func(_ float64, y []float64) float64 { return g.electric(y).iac })
	s.signal("commutator voltage", "V", waveform.Voltage, func(_ float64, y []float64) float64 { return g.electric(y).dc })
	s.shows("generator field current", "A", waveform.Current, g.exciting, 1)
	g.inArmature, g.inField, g.inIron = s.spends("generator armature"), s.spends("generator field"), s.spends("generator iron")
	g.actions(s)
}

func (g *generator) actions(s *system) {
	stopped := func(what Action, sentence string, change func()) {
		s.act(action{what: what, sentence: "The set was stopped, and " + sentence, do: func(_ *Simulation, _ Change, y []float64) {
			change()
			g.deadAgain(y)
		}})
	}
	stopped(ResidualLost, "the generator's iron has lost the magnetism that it should keep.",
		func() { g.Field.Residual = 0 })
	stopped(ResidualReversed, "the magnetism that the generator's iron keeps has been reversed.",
		func() { g.Field.Residual = -g.Field.Residual })
	stopped(FieldLeadsReversed, "the leads of the generator's field have been changed over.",
		func() { g.polarity = -g.polarity })
	s.fault(GeneratorBrushLifted, "A brush is off the generator's commutator, so its field carries no current.",
		func() { g.brushLifted = true })
	s.fault(RingBrushLifted, "A brush is off its slip ring, so nothing reaches the bells or the regulator.",
		func() { g.ringLifted = true })
	s.fault(BellFuseBlown, "The fuse of the bell lines is blown, and all load is gone.",
		func() { s.put(Load{Torque: s.load.Torque}) })
}

// deadAgain takes the generator and all on its rings back to a standing start,
// its field dead.
func (g *generator) deadAgain(y []float64) {
	y[g.exciting] = 0
	for _, b := range g.branches {
		b.dead(y)
	}
}

// circuits is what stands at the generator's brushes and rings at an instant.
type circuits struct {
	crest float64 // V, crest of the EMF: also the direct EMF
	emf   float64 // V, at the rings
	dc    float64 // V, at the commutator brushes
	ac    float64 // V, at the rings under load
	idc   float64 // A, out of the commutator brushes
	iac   float64 // A, out of the rings
}

// circuits solves the algebraic part of the generator: with armature
// resistance R and inductance L, sin the sine of the electrical angle,
//
//	V_dc = E - R (i_dc + i_ac sin)
//	v_ac = e - R (i_ac + i_dc sin) - L di_ac/dt
//
// where di_ac/dt follows from the branches on the rings.
func (g *generator) circuits(c *circuits, y []float64, w, k, sin float64) {
	*c = circuits{crest: emf(k, w)}
	c.emf = c.crest * sin
	if !g.brushLifted {
		c.idc = g.polarity * y[g.exciting]
	}
	if g.coil != nil {
		c.idc += y[g.coil.coil]
	}
	if g.ringLifted {
		c.dc = c.crest - g.ArmatureResistance*c.idc
		return
	}
	// L di_ac/dt is (sum of 1/Lx) v - sum of drop/Lx over the branches
	var iac, share, drops float64
	for _, b := range g.closed {
		i, s, d := b.draw(y)
		iac += i
		share += s
		drops += d
	}
	c.iac = iac
	c.dc = c.crest - g.ArmatureResistance*(c.idc+iac*sin)
	c.ac = (c.emf - g.ArmatureResistance*(iac+c.idc*sin) + g.ArmatureInductance*drops) /
		(1 + g.ArmatureInductance*share)
}

// add adds the field, and the torque that the generator asks of the shaft. What
// hangs on it adds itself afterwards, and finds its voltages in at.
func (g *generator) add(x *instant, y, d []float64) {
	sin := x.sin*g.output.cos + x.cos*g.output.sin
	exciting := y[g.exciting]
	k, slope := g.Field.at(exciting)
	c := &g.at
	g.circuits(c, y, x.w, k, sin)
	if !g.brushLifted {
		r := g.FieldResistance
		if !g.contact.closed() {
			r += g.FieldResistor
		}
		d[g.exciting] = (g.polarity*c.dc - r*exciting) / (g.Field.Leakage + g.Field.Linkage*slope)
	}
	x.torque -= torque(k, c.idc+c.iac*sin) + g.Iron.loss(k, x.w, x.dir)
}

// electric gives what stands at the generator at a state, for observers.
func (g *generator) electric(y []float64) (c circuits) {
	g.circuits(&c, y, y[g.shaft.speed], g.Field.Constant(y[g.exciting]), math.Sin(y[g.shaft.angle]+g.output.Angle))
	return c
}

func (g *generator) closes() {
	g.closed = g.closed[:0]
	for _, b := range g.branches {
		if b.live() {
			g.closed = append(g.closed, b)
		}
	}
}

func (g *generator) still(y []float64) {
	if g.brushLifted {
		y[g.exciting] = 0
	}
}

// ask guesses the field at the nameplate's voltage.
func (g *generator) ask(e *estimate, y []float64) {
	k := g.output.Constant
	if k == 0 || k >= 0.95*(g.Field.reach()+g.Field.Residual) {
		k = 0.5 * g.Field.reach()
	}
	y[g.exciting] = g.Field.CurrentFor(k)
	// the torque of a current of 1/ohm at the EMF, mean over a cycle
	e.half = k * k * y[g.shaft.speed] / 2
}

func (g *generator) account(x *instant, y, lines []float64) {
	ig := y[g.exciting]
	k := g.Field.Constant(ig)
	sin := math.Sin(y[g.shaft.angle] + g.output.Angle)
	c := g.electric(y)
	lines[g.inArmature] += g.ArmatureResistance * (c.idc*c.idc + 2*c.idc*c.iac*sin + c.iac*c.iac)
	r := g.FieldResistance
	if !g.contact.closed() {
		r += g.FieldResistor
	}
	lines[g.inField] += r * ig * ig
	lines[g.inIron] += g.Iron.loss(k, x.w, x.dir) * x.w
}

func (g *generator) stored(y []float64) float64 {
	iac := g.electric(y).iac
	return g.Field.Stored(y[g.exciting]) + g.ArmatureInductance*iac*iac/2
}

func (g *generator) beyond(y []float64) string {
	if how := g.Field.beyond(y[g.exciting]); how != "" {
		return "the generator's iron " + how
	}
	return ""
}
