package machine

import eq "slipring/engine/equation"

func (m *motor) explain(part string) eq.Part {
	var (
		terminal = eq.From("V", "battery.terminal", "voltage at the motor", "V")
		armature = eq.Said("I", "armature current of the motor", "A")
		speed    = eq.Said(`\omega`, "angular speed of the shaft", "rad/s")
		constant = eq.From("K", "motor.iron-curve", "machine constant at the present field", "V s")
		field    = eq.Said("i", "field current", "A")
		back     = eq.From("E", "motor.emf", "voltage that the turning armature makes against the battery", "V")
		brushes  = []eq.Symbol{eq.Card("R_a", "motor.armature-resistance"), eq.Card("V_b", "motor.brush-drop"), eq.Card("I_b", "motor.brush-drop-current")}
		winding  = []eq.Symbol{eq.Card("R_f", "motor.field-resistance"), eq.Card("R_x", "motor.field-resistor")}
	)
	return eq.Part{
		What: "It turns the shaft. While the governor contact is closed its field is full, and it runs slower.",
		Equations: []eq.Equation{
			{
				Key: "motor.emf", Closed: true, By: []string{"machine.Motor.BackEMF"},
				Gives:   "voltage that the turning armature makes against the battery",
				TeX:     `E = K \omega`,
				Symbols: []eq.Symbol{eq.Said("E", "voltage that the turning armature makes against the battery", "V"), constant, speed},
				Source:  byPhysics2,
			},
			{
				Key:   "motor.armature",
				Gives: "how the armature current changes: what is left of the voltage drives it",
				TeX:   `L_a \dot{I} = V - E - R_a I - V_b \frac{I}{\sqrt{I^2 + I_b^2}}`, By: []string{"machine.Motor.ArmatureVoltage"},
				Symbols: append([]eq.Symbol{terminal, back, armature, eq.Card("L_a", "motor.armature-inductance")}, brushes...),
				Source:  byCoil,
			},
			{
				Key: "motor.torque", Closed: true, By: []string{"machine.Motor.Torque", "machine.Motor.ArmatureCurrent"},
				Gives:   "torque with which the motor drives the shaft",
				TeX:     `T_m = K I`,
				Symbols: []eq.Symbol{eq.Said("T_m", "torque of the motor", "N m"), constant, armature},
				Source:  byChapman,
			},
			{
				Key:     "motor.field",
				Gives:   "how the field current changes; the resistor counts only while the governor contact is open",
				TeX:     `\left(L_l + N s\right) \dot{i} = V - \left(R_f + R_x\right) i`,
				Symbols: append([]eq.Symbol{terminal, field, eq.Card("L_l", "motor.field-leakage-inductance"), eq.Card("N", "motor.field-linkage"), eq.From("s", "motor.iron-curve", "slope of the curve of the iron", "V s/A")}, winding...),
				Source:  bySteinmetz,
			},
			{
				Key: "motor.field-steady", Closed: true, By: []string{"machine.Motor.FieldCurrent"},
				Gives:   "field current once it has settled; the resistor counts only while the governor contact is open",
				TeX:     `i = \frac{V}{R_f + R_x}`,
				Symbols: append([]eq.Symbol{terminal, field}, winding...),
				Source:  byOhm,
			},
			ironCurve("motor"),
			{
				Key: "motor.speed", Closed: true, By: []string{"machine.Motor.Speed"},
				Gives:   "steady speed at an armature current and a field",
				TeX:     `n = \frac{1}{2\pi K}\left(V - R_a I - V_b \frac{I}{\sqrt{I^2 + I_b^2}}\right)`,
				Symbols: append([]eq.Symbol{eq.Said("n", "speed of the shaft", "Hz"), constant, terminal, armature}, brushes...),
				Source:  byChapman,
			},
			{
				Key: "motor.starter", Closed: true, By: []string{"machine.Motor.AddedResistance", "machine.Motor.StalledCurrent"},
				Gives:   "resistance that a starter puts before the armature for it to take a current; no resistance gives the current of the stalled motor",
				TeX:     `R_s = \frac{V - E}{I} - R_a - \frac{V_b}{\sqrt{I^2 + I_b^2}}`,
				Symbols: append([]eq.Symbol{eq.Said("R_s", "resistance of the starter", "ohm"), terminal, back, armature}, brushes...),
				Source:  "DOE Fundamentals Handbook, Electrical Science, vol. 2 (DOE-HDBK-1011/2-92), U.S. Department of Energy, Module 6, DC Motors, p. 12",
			},
			{
				Key: "motor.studs", Closed: true, By: []string{"machine.Motor.Starter", "machine.StarterSections", "machine.StarterCount", "bench.Set.Starter"},
				Gives: "number of a starter's sections, on each of which the current swings between the same two limits",
				TeX:   `z = \frac{\ln\left(R_t / R_a\right)}{\ln\left(I / J\right)}`,
				Symbols: []eq.Symbol{eq.Said("z", "number of sections, rounded up", ""), eq.Said("R_t", "resistance of starter and armature on the first stud", "ohm"),
					eq.Card("R_a", "motor.armature-resistance"), eq.Said("I", "largest current", "A"), eq.Said("J", "smallest current", "A")},
				Source: byTheraja,
			},
			ironLoss("motor"),
		},
		Assumptions: []string{"The current of the armature does not weaken the field.", "Windings keep the resistance that the card gives; they do not warm up.", "Sparks at the governor contact do not count."},
	}
}

// ironCurve is the magnetization of a machine.
func ironCurve(part string) eq.Equation {
	return eq.Equation{
		Key: part + ".iron-curve", Closed: true,
		By:    []string{"machine.Magnetization.Constant", "machine.Magnetization.SlopeAt", "machine.Magnetization.CurrentFor", "machine.Magnetization.Inductance"},
		Gives: "machine constant over field current: the iron saturates; a curve that was measured stands in its place when the card has one",
		TeX:   `K = K_r + \frac{c i}{\left(1 + \left|i / i_s\right|^p\right)^{1/p}}`,
		Symbols: []eq.Symbol{eq.Said("K", "machine constant: volts for each rad/s, or N m for each ampere", "V s"), eq.Card("K_r", part+".residual-constant"),
			eq.Card("c", part+".constant-slope"), eq.Said("i", "field current", "A"), eq.Card("i_s", part+".saturation-current"), eq.Card("p", part+".saturation-sharpness")},
		Source: byFroelich,
	}
}

// ironLoss is what turning the iron through a field costs.
func ironLoss(part string) eq.Equation {
	return eq.Equation{
		Key: part + ".iron-loss", By: []string{"machine.Iron.LossTorque"},
		Gives: "torque lost in the iron, from about 1 rad/s on",
		TeX:   `T_i = \left(\frac{K}{K_0}\right)^2 \left(T_h + c_e \omega\right)`,
		Symbols: []eq.Symbol{eq.Said("T_i", "torque lost in the iron", "N m"), eq.From("K", part+".iron-curve", "machine constant at the present field", "V s"),
			eq.Card("K_0", part+".iron-reference"), eq.Card("T_h", part+".iron-hysteresis"), eq.Card("c_e", part+".iron-eddy"), eq.Said(`\omega`, "angular speed of the shaft", "rad/s")},
		Source: byPractice,
	}
}
