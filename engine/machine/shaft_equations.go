package machine

import eq "slipring/engine/equation"

func (h *shaft) explain(string) eq.Part {
	speed := eq.Said(`\omega`, "angular speed of the shaft", "rad/s")
	return eq.Part{
		What: "It carries all that turns. What drives it and what holds it back add up here, and that makes the speed.",
		Equations: []eq.Equation{
			{
				Key:   "shaft.balance",
				Gives: "how the speed changes: the motor drives, load and losses hold back, and the governor's weight swings along",
				TeX:   `\left(J + m \rho^2\right) \dot{\omega} = T_m - T_g - T_f - T_i - T_b - m \rho \left(g \sin\theta + 2 \omega \dot{x}\right)`,
				Symbols: []eq.Symbol{speed, eq.Card("J", "shaft.inertia"), eq.From("T_m", "motor.torque", "torque of the motor", "N m"),
					eq.From("T_g", "generator.torque", "torque that the generator and its loads ask for, with that of the tones", "N m"),
					eq.From("T_f", "shaft.losses", "torque lost in bearings, brushes and air", "N m"),
					eq.From("T_i", "motor.iron-loss", "torque lost in the iron", "N m"),
					eq.Said("T_b", "torque of a brake on the shaft", "N m"), eq.Card("m", "governor.weight"),
					eq.Said(`\rho`, "distance of the governor's weight from the axis", "m"), eq.Said("g", "pull of gravity, 9.81 m/s²", "m/s2"),
					eq.Said(`\theta`, "angle of the shaft, 0 when the weight is straight down", "rad"),
					eq.From("x", "governor.motion", "travel of the weight past the contact", "m")},
				Source: byRotation,
			},
			{
				Key: "shaft.losses", By: []string{"machine.Shaft.LossTorque"},
				Gives: "torque lost in bearings, brushes and air, from about 1 rad/s on",
				TeX:   `T_f = T_d + c_v \omega + c_w \omega^2`,
				Symbols: []eq.Symbol{eq.Said("T_f", "torque lost in bearings, brushes and air", "N m"), speed, eq.Card("T_d", "shaft.friction"),
					eq.Card("c_v", "shaft.viscous-friction"), eq.Card("c_w", "shaft.windage")},
				Source: byPractice,
			},
		},
		Assumptions: []string{"The shaft is stiff: all that sits on it turns together."},
	}
}

func (o *output) explain(string) eq.Part {
	return eq.Part{
		What: "What the nameplate promises at the two slip rings.",
		Equations: []eq.Equation{{
			Key: "output.nameplate", Closed: true,
			Gives:   "strength of a winding that gives the nameplate's voltage; it stands in for a generator that the card has not",
			TeX:     `K = \frac{\sqrt{2} V_n}{2\pi f_n}`,
			Symbols: []eq.Symbol{eq.Said("K", "machine constant", "V s"), eq.Card("V_n", "output.voltage"), eq.Card("f_n", "output.frequency")},
			Source:  byPhysics2,
		}, {
			Key:     "output.turn",
			Gives:   "voltage of the turning winding at an instant",
			TeX:     `e = K \omega \sin\left(\theta + \theta_0\right)`,
			Symbols: []eq.Symbol{eq.Said("e", "voltage of the turning winding", "V"), eq.From("K", "output.nameplate", "machine constant", "V s"), eq.Said(`\omega`, "angular speed of the shaft", "rad/s"), eq.Said(`\theta`, "angle of the shaft, 0 when the weight is straight down", "rad"), eq.Card(`\theta_0`, "output.angle")},
			Source:  byPhysics2,
		}},
	}
}

func (t *tone) explain(part string) eq.Part {
	rest := []eq.Symbol{eq.Card("k", part+".linkage-slope"), eq.Card("I_e", part+".exciting-current")}
	speed := eq.Said("n", "speed of the shaft", "Hz")
	teeth := eq.Card("N", part+".teeth")
	return eq.Part{
		What: "A wheel with teeth that turns past a winding: each tooth makes one swing of its tone.",
		Equations: []eq.Equation{
			{
				Key: part + ".pitch", Closed: true, By: []string{"machine.Tone.Frequency", "machine.Frequency"},
				Gives: "frequency of the tone", TeX: `f = N n`,
				Symbols: []eq.Symbol{eq.Said("f", "frequency of the tone", "Hz"), teeth, speed},
				Source:  byElements,
			},
			{
				Key: part + ".open-voltage", Closed: true, By: []string{"machine.Tone.OpenVoltage"},
				Gives: "r.m.s. voltage of the winding that feeds no line", TeX: `E = \frac{2\pi n N k I_e}{\sqrt{2}}`,
				Symbols: append([]eq.Symbol{eq.Said("E", "r.m.s. voltage of the open winding", "V"), teeth, speed}, rest...),
				Source:  byPhysics2,
			},
			{
				Key: part + ".voltage", Closed: true, By: []string{"machine.Tone.Voltage"},
				Gives: "r.m.s. voltage on the tone line", TeX: `U = \frac{E R_l}{\sqrt{\left(R_w + R_l\right)^2 + \left(2\pi n N L_w\right)^2}}`,
				Symbols: []eq.Symbol{eq.Said("U", "r.m.s. voltage on the tone line", "V"), eq.From("E", part+".open-voltage", "r.m.s. voltage of the open winding", "V"), teeth, speed,
					eq.Card("R_l", part+".load-resistance"), eq.Card("R_w", part+".winding-resistance"), eq.Card("L_w", part+".winding-inductance")},
				Source: byCoil,
			},
		},
		Assumptions: []string{"The tone is a pure sine; real teeth add overtones."},
	}
}
