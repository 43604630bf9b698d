package machine

import eq "slipring/engine/equation"

func (b *battery) explain(string) eq.Part {
	return eq.Part{
		What: "It drives the motor and feeds its field. Its voltage sinks a little under current.",
		Equations: []eq.Equation{{
			Key: "battery.terminal", Closed: true, By: []string{"machine.Battery.Terminal"},
			Gives: "voltage that is left at the motor when the battery gives a current",
			TeX:   `V = V_0 - R_b I`,
			Symbols: []eq.Symbol{eq.Said("V", "voltage at the motor", "V"), eq.Card("V_0", "battery.voltage"),
				eq.Card("R_b", "battery.resistance"), eq.Said("I", "current that the battery gives", "A")},
			Source: byOhm,
		}},
		Assumptions: []string{"The battery does not run down while it is watched.", "Its resistance is the same at every current."},
		Beside:      map[string]string{"cells": "A dead cell takes its share of the voltage away; nothing else asks for it."},
	}
}

func (f *fuse) explain(string) eq.Part {
	current := eq.Said("I", "armature current of the motor", "A")
	return eq.Part{
		What: "It melts when the armature takes too much current for too long.",
		Equations: []eq.Equation{
			{
				Key:   "fuse.heat",
				Gives: "how fast the fuse warms, its heat taken as the square of a current; it melts when the heat reaches the square of the melting current",
				TeX:   `\dot{q} = \frac{I^2 - q}{\tau}, \qquad q = I_m^2`,
				Symbols: []eq.Symbol{eq.Said("q", "heat of the fuse", "A2"), current, eq.Card(`\tau`, "fuse.time-constant"),
					eq.Card("I_m", "fuse.melting-current")},
				Source: byPractice,
			},
			{
				Key: "fuse.melts", Closed: true, By: []string{"machine.Fuse.MeltingTime"},
				Gives:   "time after which a steady current melts a cold fuse",
				TeX:     `t = -\tau \ln\left(1 - \frac{I_m^2}{I^2}\right)`,
				Symbols: []eq.Symbol{eq.Said("t", "time", "s"), current, eq.Card(`\tau`, "fuse.time-constant"), eq.Card("I_m", "fuse.melting-current")},
				Source:  byPractice,
			},
		},
		Assumptions: []string{"The fuse warms as one body with one time constant.", "Fuses of one rating differ; the card says how much that is in doubt."},
	}
}

func (m *acMotor) explain(string) eq.Part {
	return eq.Part{
		What: "It takes the battery motor's place on a set that is driven by the mains.",
		Equations: []eq.Equation{
			{
				Key:   "ac-motor.cage",
				Gives: "torque of the starting cage", By: []string{"machine.ACMotor.Torque"},
				TeX: `T = \frac{2 T_m}{\frac{s}{s_m} + \frac{s_m}{s}}, \qquad s = 1 - \frac{n p}{f}`,
				Symbols: []eq.Symbol{eq.Said("T", "torque on the shaft", "N m"), eq.Card("T_m", "ac-motor.pull-out-torque"),
					eq.Said("s", "slip, as a part of the synchronous speed", ""), eq.Card("s_m", "ac-motor.pull-out-slip"),
					eq.Said("n", "speed of the shaft", "Hz"), eq.Card("p", "ac-motor.pole-pairs"), eq.Card("f", "ac-motor.supply-frequency")},
				Source: "the formula of Kloss (from memory)",
			},
			{
				Key:   "ac-motor.step",
				Gives: "torque in step with the mains", By: []string{"machine.ACMotor.LoadAngle"},
				TeX: `T = T_s \sin \delta`,
				Symbols: []eq.Symbol{eq.Said("T", "torque on the shaft", "N m"), eq.Card("T_s", "ac-motor.synchronous-torque"),
					eq.Said(`\delta`, "electrical angle by which the poles lag", "rad")},
				Source: "A. E. Fitzgerald, C. Kingsley and S. D. Umans: Electric Machinery, chapter on synchronous machines (from memory)",
			},
		},
		Assumptions: []string{"The mains give the same voltage whatever the motor takes."},
	}
}
