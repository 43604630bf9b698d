package machine

import eq "slipring/engine/equation"

func (g *governor) explain(string) eq.Part {
	var (
		speed   = eq.Said(`\omega`, "angular speed of the shaft", "rad/s")
		gravity = eq.Said("g", "pull of gravity, 9.81 m/s²", "m/s2")
		travel  = eq.Said("x", "travel of the weight past the contact", "m")
		radius  = eq.Card("r", "governor.radius")
		touches = eq.Angular(`\omega_c`, "governor.contact-speed")
		spring  = eq.Angular(`\omega_0`, "governor.spring-frequency")
		damping = eq.Card(`\zeta`, "governor.damping")
		offset  = eq.From("S", "governor.offset", "where the weight would rest without gravity", "m")
		swing   = eq.From("A", "governor.swing", "swing that gravity makes once a turn", "m")
		kappa   = eq.From(`\kappa`, "governor.kappa", "how much of the pull of the spring is left at this speed", "")
		open    = eq.From("d", "governor.open", "part of each turn for which the contact is open", "")
	)
	return eq.Part{
		What: "A weight on a leaf spring turns with the shaft and closes a contact when it moves out. Closed, the contact holds the motor back.",
		Equations: []eq.Equation{
			{
				Key:   "governor.motion",
				Gives: "how the weight moves: swung outward, drawn by gravity, held by its spring, its damping and the contact",
				TeX:   `\ddot{x} = \omega^2 \left(r + x\right) + g \cos\theta - \omega_c^2 r - \omega_0^2 x - 2 \zeta \omega_0 \dot{x} - \frac{F}{m}`,
				Symbols: []eq.Symbol{travel, speed, radius, gravity, eq.Said(`\theta`, "angle of the shaft, 0 when the weight is straight down", "rad"),
					touches, spring, damping, eq.From("F", "governor.contact", "force of contact and stop on the weight", "N"), eq.Card("m", "governor.weight")},
				Source: byPhysics1,
			},
			{
				Key:   "governor.contact",
				Gives: "force of contact and stop on the weight; the contact is closed while the weight is out past it, and the stop pushes only past its place",
				TeX:   `F = k_c x \left(1 + \lambda \dot{x}\right) + k_s \left(x - x_s\right) + c_s \dot{x}`,
				Symbols: []eq.Symbol{eq.Said("F", "force of contact and stop on the weight", "N"), travel, eq.Card("k_c", "governor.contact-stiffness"), eq.Card(`\lambda`, "governor.contact-loss"),
					eq.Card("k_s", "governor.stop-stiffness"), eq.Card("x_s", "governor.stop-travel"), eq.Card("c_s", "governor.stop-damping")},
				Source: byPractice,
			},
			{
				Key: "governor.offset", Closed: true, By: []string{"machine.Governor.Offset"},
				Gives:   "where the weight would rest at a speed, without gravity",
				TeX:     `S = \frac{\left(\omega^2 - \omega_c^2\right) r}{\omega_0^2 - \omega^2}`,
				Symbols: []eq.Symbol{eq.Said("S", "where the weight would rest without gravity", "m"), speed, touches, radius, spring},
				Source:  ownModel,
			},
			{
				Key: "governor.swing", Closed: true, By: []string{"machine.Governor.Amplitude"},
				Gives:   "swing that gravity makes once a turn",
				TeX:     `A = \frac{g}{\sqrt{\left(\omega_0^2 - 2\omega^2\right)^2 + \left(2\zeta\omega_0\omega\right)^2}}`,
				Symbols: []eq.Symbol{eq.Said("A", "swing that gravity makes once a turn", "m"), gravity, spring, speed, damping},
				Source:  byPhysics1,
			},
			{
				Key: "governor.open", Closed: true, By: []string{"machine.Governor.OpenFraction", "bench.Set.OpenFractionRule"},
				Gives:   "part of each turn for which a contact that does not press on the weight is open",
				TeX:     `d = 1 - \frac{1}{\pi} \arccos\left(-\frac{S}{A}\right)`,
				Symbols: []eq.Symbol{eq.Said("d", "part of each turn for which the contact is open", ""), offset, swing},
				Source:  ownModel,
			},
			{
				Key: "governor.kappa", Closed: true,
				Gives:   "how much of the pull of the spring is left at this speed",
				TeX:     `\kappa = \frac{\omega_0^2 - 2\omega^2}{\omega_0^2 - \omega^2}`,
				Symbols: []eq.Symbol{eq.Said(`\kappa`, "how much of the pull of the spring is left at this speed", ""), spring, speed},
				Source:  ownModel,
			},
			{
				Key: "governor.slope", Closed: true, By: []string{"machine.Governor.OpenFractionSlope"},
				Gives:   "how much less of the turn the contact is open for each turn a second more",
				TeX:     `D = -\frac{4 \omega r \kappa}{g \sin\left(\pi d\right)}`,
				Symbols: []eq.Symbol{eq.Said("D", "change of the open part for each turn a second", "s"), speed, radius, kappa, gravity, open},
				Source:  ownModel,
			},
			{
				Key: "governor.band", Closed: true, By: []string{"machine.Governor.BandLow", "machine.Governor.BandHigh", "machine.Governor.BandWidth", "bench.Set.Band"},
				Gives:   "speeds between which the governor can steer: below, the contact stays open all the turn, above, closed",
				TeX:     `\omega^2 = \omega_c^2 \pm \frac{g}{r \kappa}`,
				Symbols: []eq.Symbol{speed, touches, gravity, radius, kappa},
				Source:  ownModel,
			},
			{
				Key: "governor.fitted", Closed: true, By: []string{"machine.RadiusFromPoints", "machine.ContactSpeedFromPoints"},
				Gives: "radius from two readings of speed and open part",
				TeX:   `r \kappa = \frac{g \left(\cos \pi d - \cos \pi a\right)}{\omega^2 - \nu^2}`,
				Symbols: []eq.Symbol{radius, kappa, gravity, open, eq.Said("a", "open part of the second reading", ""), speed,
					eq.Said(`\nu`, "angular speed of the second reading", "rad/s")},
				Source: ownModel,
			},
		},
		Assumptions: []string{"The weight moves along one line, in and out.", "Gravity pulls across the shaft, which lies level.", "The closed forms are for a contact that does not press on the weight."},
	}
}

func (r *regulator) explain(string) eq.Part {
	coil := eq.Said("i", "current of the solenoid", "A")
	rise := eq.Said("z", "height of the plunger above the contact", "m")
	return eq.Part{
		What: "A solenoid lifts a plunger when the bells' voltage rises. Down, the plunger's contact gives the generator its full field.",
		Equations: []eq.Equation{
			{
				Key:   "regulator.coil",
				Gives: "how the current of the solenoid changes",
				TeX:   `\left(L_c + b z\right) \dot{i} = v - \left(R_c + b \dot{z}\right) i`,
				Symbols: []eq.Symbol{coil, rise, eq.From("v", "generator.rings", "voltage at the slip rings", "V"), eq.Card("R_c", "regulator.coil-resistance"),
					eq.Card("L_c", "regulator.coil-inductance"), eq.Card("b", "regulator.coil-inductance-slope")},
				Source: byCoil,
			},
			{
				Key:   "regulator.plunger",
				Gives: "how the plunger moves: the solenoid lifts, and weight, spring, dashpot, contact leaf and stop hold back",
				TeX:   `M \ddot{z} = \frac{1}{2} b i^2 - W - k z - c \dot{z} - F`,
				Symbols: []eq.Symbol{rise, coil, eq.Card("M", "regulator.plunger-mass"), eq.Card("b", "regulator.coil-inductance-slope"), eq.Card("W", "regulator.plunger-weight"),
					eq.Card("k", "regulator.spring-stiffness"), eq.Card("c", "regulator.damping"), eq.From("F", "regulator.contact", "force of leaf and stop on the plunger", "N")},
				Source: byPhysics1,
			},
			{
				Key:   "regulator.contact",
				Gives: "force of leaf and stop on the plunger; each pushes only while it is touched, and the contact makes a little below the point of touch and breaks a little above",
				TeX:   `F = k_c z \left(1 - \lambda \dot{z}\right) + k_s \left(z - z_s\right)\left(1 + \mu \dot{z}\right), \qquad z = \pm h`,
				Symbols: []eq.Symbol{eq.Said("F", "force of leaf and stop on the plunger", "N"), rise, eq.Card("k_c", "regulator.contact-stiffness"), eq.Card(`\lambda`, "regulator.contact-loss"),
					eq.Card("k_s", "regulator.stop-stiffness"), eq.Card("z_s", "regulator.stop-travel"), eq.Card(`\mu`, "regulator.stop-loss"), eq.Card("h", "regulator.contact-hysteresis")},
				Source: byPractice,
			},
			{
				Key: "regulator.dither", Closed: true, By: []string{"machine.Regulator.Dither"},
				Gives: "ripple that the alternating pull puts on the plunger, twice in each period",
				TeX:   `A = \frac{W}{M \sqrt{\left(\omega_2^2 - \frac{k + a k_c}{M}\right)^2 + \left(\frac{c \omega_2}{M}\right)^2}}`,
				Symbols: []eq.Symbol{eq.Said("A", "ripple of the plunger", "m"), eq.Said(`\omega_2`, "twice the angular speed of the shaft", "rad/s"), eq.Said("a", "part of the time for which the contact is closed", ""),
					eq.Card("W", "regulator.plunger-weight"), eq.Card("M", "regulator.plunger-mass"), eq.Card("k", "regulator.spring-stiffness"), eq.Card("k_c", "regulator.contact-stiffness"), eq.Card("c", "regulator.damping")},
				Source: byPhysics1,
			},
		},
		Assumptions: []string{"The iron of the solenoid does not saturate.", "Sparks at the regulator contact do not count."},
	}
}

func (s *screws) explain(string) eq.Part {
	turns := eq.Said("a", "turns of the screw to the right, from where it was found", "")
	return eq.Part{
		What: "The two adjusting screws. That of the governor moves its contact, that of the voltage regulator stretches the plunger's spring.",
		Equations: []eq.Equation{
			{
				Key: "screws.governor", Closed: true, By: []string{"bench.Set.WithScrews", "bench.Set.WithContactOut", "machine.Governor.ContactSpeedAt"},
				Gives: "speed at which the weight would rest at its contact without gravity, once the contact has been moved",
				TeX:   `\nu^2 = \frac{\omega_c^2 r + \omega_0^2 p a}{r + p a}`,
				Symbols: []eq.Symbol{eq.Said(`\nu`, "angular speed at which the weight would rest at the moved contact", "rad/s"), eq.Angular(`\omega_c`, "governor.contact-speed"), eq.Card("r", "governor.radius"),
					eq.Angular(`\omega_0`, "governor.spring-frequency"), eq.Card("p", "screws.governor-pitch"), turns},
				Source: ownModel,
			},
			{
				Key: "screws.regulator", Closed: true, By: []string{"machine.Regulator.WeightWith"},
				Gives: "force that holds the plunger down, once its spring has been stretched",
				TeX:   `U = W + k p a`,
				Symbols: []eq.Symbol{eq.Said("U", "force that holds the plunger down, its spring stretched", "N"), eq.Card("W", "regulator.plunger-weight"), eq.Card("k", "regulator.spring-stiffness"),
					eq.Card("p", "screws.regulator-pitch"), turns},
				Source: byPhysics1,
			},
		},
		Assumptions: []string{"A screw has no play, and its lock nut does not move it."},
	}
}
