package machine

import "slipring/engine/equation"

// explaining is a part that says by which equations it works. They stand in a
// file beside the part's own: governor_equations.go holds those that governor.go
// solves.
type explaining interface {
	// explain is told what the card calls the part.
	explain(name string) equation.Part
}

// Explained gives the equations of each part that a card may name, in the order
// of a logbook.
func Explained() []equation.Part {
	var out []equation.Part
	for _, k := range kinds {
		if p, ok := k.make().(explaining); ok {
			one := p.explain(k.name)
			one.Name = k.name
			out = append(out, one)
		}
	}
	return out
}

// Sources of equations that stand in books. Which printed examples the code was
// held against stands with the tests.
const (
	byPhysics1  = "S. J. Ling, J. Sanny and W. Moebs: University Physics, Volume 1, OpenStax, 6.3 (force on a circle) and 15.5 (damped oscillations; section from memory)"
	byPhysics2  = "S. J. Ling, J. Sanny and W. Moebs: University Physics, Volume 2, OpenStax, 13.6 (generators and back emf)"
	byOhm       = "S. J. Ling, J. Sanny and W. Moebs: University Physics, Volume 2, OpenStax, 10.1 (source with inner resistance; section from memory)"
	byCoil      = "S. J. Ling, J. Sanny and W. Moebs: University Physics, Volume 2, OpenStax, 14.4 (resistance and inductance in series; section from memory)"
	byRLC       = "S. J. Ling, J. Sanny and W. Moebs: University Physics, Volume 2, OpenStax, 15.3 (resistance, inductance and capacitance in series; section from memory)"
	byRotation  = "S. J. Ling, J. Sanny and W. Moebs: University Physics, Volume 1, OpenStax, 10.7 (Newton's second law for rotation; section from memory)"
	bySteinmetz = "C. P. Steinmetz: Theory and Calculation of Transient Electric Phenomena and Oscillations, McGraw-Hill, 1909, section I, chapter III"
	byChapman   = "S. J. Chapman: Electric Machinery Fundamentals, 4th ed., McGraw-Hill, Example 9-1"
	byTheraja   = "B. L. Theraja and A. K. Theraja: A Textbook of Electrical Technology, vol. II, ch. 30"
	byElements  = "C. P. Steinmetz: Theoretical Elements of Electrical Engineering, 4th ed., McGraw-Hill"
	byFroelich  = "the curve that bears Froelich's name (C. P. Steinmetz: Theory and Calculation of Electric Circuits, chapter III), with a bend whose sharpness can be chosen"
	byPractice  = "common practice, no source"
	ownModel    = "worked out here from the equations of motion, and held against their solution step by step"
)
