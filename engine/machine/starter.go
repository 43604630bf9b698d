package machine

import "math"

// StarterSections gives the resistances in ohm of a starter's n sections, the
// one cut out first coming first, for a total resistance of the armature
// circuit at the first stud and that of the armature alone, both in ohm. Each
// stud's resistance is the same part of the one before it, so that the current
// swings between the same two limits on each (the classical design, as in B. L.
// and A. K. Theraja, A Textbook of Electrical Technology, Vol. II, ch. 30).
func StarterSections(total, armature float64, n int) []float64 {
	if n < 1 || !(total > armature && armature > 0) {
		return nil
	}
	ratio := math.Pow(armature/total, 1/float64(n))
	out := make([]float64, n)
	r := total
	for i := range out {
		out[i] = r * (1 - ratio)
		r *= ratio
	}
	return out
}

// StarterCount gives the number of sections, usually not a whole number, with
// which the current swings between the limits most and least in A:
// n = ln(total/armature)/ln(most/least).
func StarterCount(total, armature, most, least float64) float64 {
	return math.Log(total/armature) / math.Log(most/least)
}

// starterTolerance is the part by which the current of a starter may pass a
// limit of its design, rather than that a section more is built.
const starterTolerance = 0.01

// Starter gives the sections in ohm of a starter that holds the armature
// current between two limits in A, within a hundredth of them, at a terminal
// voltage in V: as few as do it. With n sections the current falls to
// most (armature/total)^(1/n) on each stud.
func (m *Motor) Starter(terminal, most, least float64) []float64 {
	total := m.ArmatureResistance + m.AddedResistance(terminal, 0, most)
	n := StarterCount(total, m.ArmatureResistance, most, least*(1-starterTolerance))
	return StarterSections(total, m.ArmatureResistance, int(math.Ceil(n-1e-9)))
}

// notch cuts out the next section of the starter.
func (s *Simulation) notch() {
	if s.notched < len(s.how.Notches) {
		s.sys.starter = max(0, s.sys.starter-s.how.Notches[s.notched])
		s.notched++
	}
	if s.notched == len(s.how.Notches) {
		s.sys.starter = 0
	}
}
