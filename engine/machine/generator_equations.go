package machine

import eq "slipring/engine/equation"

func (g *generator) explain(part string) eq.Part {
	var (
		constant = eq.From("K", "generator.iron-curve", "machine constant at the present field", "V s")
		speed    = eq.Said(`\omega`, "angular speed of the shaft", "rad/s")
		turns    = eq.Said("n", "speed of the shaft", "Hz")
		angle    = eq.Said(`\theta`, "electrical angle of the rings", "rad")
		brushes  = eq.Said("i_d", "current of the brushes", "A")
		rings    = eq.Said("i_a", "current of the slip rings", "A")
		armature = eq.Card("R_a", "generator.armature-resistance")
		field    = eq.Said("i", "field current", "A")
		circuit  = eq.Said("R", "resistance of the field circuit", "ohm")
	)
	return eq.Part{
		What: "It makes the bells' alternating current at two slip rings, and feeds its own field through brushes.",
		Equations: []eq.Equation{
			{
				Key:     "generator.emf",
				Gives:   "voltage of the turning winding at an instant",
				TeX:     `e = K \omega \sin\theta`,
				Symbols: []eq.Symbol{eq.Said("e", "voltage of the turning winding", "V"), constant, speed, angle},
				Source:  byPhysics2,
			},
			{
				Key:   "generator.rings",
				Gives: "voltage at the slip rings: what the winding makes, less what its resistance and inductance take",
				TeX:   `v = e - R_a \left(i_a + i_d \sin\theta\right) - L_a \dot{i_a}`,
				Symbols: []eq.Symbol{eq.Said("v", "voltage at the slip rings", "V"), eq.From("e", "generator.emf", "voltage of the turning winding", "V"), armature, rings, brushes, angle,
					eq.Card("L_a", "generator.armature-inductance")},
				Source: byCoil,
			},
			{
				Key:     "generator.brushes",
				Gives:   "direct voltage at the brushes, which feeds the field",
				TeX:     `V_d = K \omega - R_a \left(i_d + i_a \sin\theta\right)`,
				Symbols: []eq.Symbol{eq.Said("V_d", "voltage at the brushes", "V"), constant, speed, armature, brushes, rings, angle},
				Source:  byPhysics2,
			},
			{
				Key:   "generator.field",
				Gives: "how the field current changes; the resistor counts only while the regulator contact is open",
				TeX:   `\left(L_l + N s\right) \dot{i} = V_d - \left(R_f + R_x\right) i`,
				Symbols: []eq.Symbol{field, eq.From("V_d", "generator.brushes", "voltage at the brushes", "V"), eq.Card("L_l", "generator.field-leakage-inductance"), eq.Card("N", "generator.field-linkage"),
					eq.From("s", "generator.iron-curve", "slope of the curve of the iron", "V s/A"), eq.Card("R_f", "generator.field-resistance"), eq.Card("R_x", "generator.field-resistor")},
				Source: bySteinmetz,
			},
			ironCurve("generator"),
			{
				Key:     "generator.torque",
				Gives:   "torque that the generator and its loads ask for, but for that lost in the iron",
				TeX:     `T_g = K \left(i_d + i_a \sin\theta\right)`,
				Symbols: []eq.Symbol{eq.Said("T_g", "torque of the generator", "N m"), constant, brushes, rings, angle},
				Source:  byPhysics2,
			},
			{
				Key: "generator.critical", Closed: true, By: []string{"machine.Magnetization.CriticalResistance", "machine.Magnetization.CriticalSpeed"},
				Gives:   "largest resistance of the field circuit with which it builds up at a speed, or the lowest speed with a resistance; on a measured curve, the steepest line takes the place of the slope",
				TeX:     `R = 2\pi n c`,
				Symbols: []eq.Symbol{circuit, turns, eq.Card("c", "generator.constant-slope")},
				Source:  bySteinmetz,
			},
			{
				Key: "generator.builds-to", Closed: true, By: []string{"machine.Magnetization.BuildsUpTo", "machine.LineCrossing"},
				Gives:   "voltage to which it builds up: where its curve crosses the line of the resistance",
				TeX:     `2\pi n K = R i`,
				Symbols: []eq.Symbol{turns, constant, circuit, field},
				Source:  bySteinmetz,
			},
			{
				Key: "generator.builds-in", Closed: true, By: []string{"machine.Generator.BuildUpTime"},
				Gives: "time in which the field rises from nothing to a current, before saturation tells",
				TeX:   `t = \frac{L}{2\pi n c - R} \ln\left(1 + \frac{i \left(2\pi n c - R\right)}{2\pi n K_r}\right)`,
				Symbols: []eq.Symbol{eq.Said("t", "time", "s"), eq.Said("L", "inductance of the field winding", "H"), turns, eq.Card("c", "generator.constant-slope"), circuit, field,
					eq.Card("K_r", "generator.residual-constant")},
				Source: bySteinmetz,
			},
			ironLoss("generator"),
		},
		Assumptions: []string{"The current of the armature does not weaken the field.", "Windings keep the resistance that the card gives; they do not warm up."},
		Beside:      map[string]string{"open-circuit": "The curve as it was measured stands in the place of the formula of the iron."},
	}
}

func (b *bell) explain(string) eq.Part {
	current := eq.Said("i", "current of one bell", "A")
	volts := eq.From("v", "generator.rings", "voltage at the slip rings", "V")
	parts := []eq.Symbol{eq.Card("R", "bell.resistance"), eq.Card("L", "bell.inductance"), eq.Card("C", "bell.capacitance")}
	return eq.Part{
		What: "One of the signal bells, with the capacitor that lets only alternating current through.",
		Equations: []eq.Equation{
			{
				Key:     "bell.current",
				Gives:   "how the current of one bell changes, and the voltage of its capacitor",
				TeX:     `L \dot{i} = v - R i - u, \qquad C \dot{u} = i`,
				Symbols: append([]eq.Symbol{current, volts, eq.Said("u", "voltage of its capacitor", "V")}, parts...),
				Source:  byRLC,
			},
			{
				Key: "bell.impedance", Closed: true, By: []string{"machine.Bell.Impedance"},
				Gives:   "what one bell puts against an alternating current",
				TeX:     `Z = \sqrt{R^2 + \left(2\pi f L - \frac{1}{2\pi f C}\right)^2}`,
				Symbols: append([]eq.Symbol{eq.Said("Z", "impedance of one bell", "ohm"), eq.Said("f", "frequency", "Hz")}, parts...),
				Source:  byRLC,
			},
		},
		Assumptions: []string{"All bells that ring are alike.", "The stroke of the clapper does not act back on the current."},
	}
}

func (r *rheostat) explain(string) eq.Part {
	return eq.Part{
		What: "Lamps, or a load resistor, across the slip rings.",
		Equations: []eq.Equation{{
			Key:   "rheostat.current",
			Gives: "how the current of the lamps changes",
			TeX:   `\tau R \dot{i} = v - R i`,
			Symbols: []eq.Symbol{eq.Said("i", "current of the lamps", "A"), eq.From("v", "generator.rings", "voltage at the slip rings", "V"),
				eq.Said("R", "resistance that is put on", "ohm"), eq.Card(`\tau`, "rheostat.time-constant")},
			Source: byCoil,
		}},
		Assumptions: []string{"Lamps have the same resistance cold and hot."},
	}
}

func (l *fullLoad) explain(string) eq.Part {
	return eq.Part{
		What: "What the house calls full load.",
		Beside: map[string]string{
			"bells":           "Says how many bells ring at once; each obeys the equations of the bell.",
			"lamp-resistance": "The resistance in the equation of the lamps.",
		},
	}
}
