package machine

import "math"

// Magnetization is the open-circuit curve of a machine, as its machine
// constant K (volts for each rad/s, or N m for each ampere) over field
// current i:
//
//	K(i) = Residual + Slope i / sqrt(1 + (i/Saturation)^2)
//
// The field winding links a flux of Leakage i + Linkage K(i), so that its
// inductance falls as the iron saturates and no energy is lost or gained.
type Magnetization struct {
	Residual   float64 // V s
	Slope      float64 // V s/A
	Saturation float64 // A
	Linkage    float64 // Wb for each V s
	Leakage    float64 // H
}

// Constant gives K in V s at field current i in A.
func (m *Magnetization) Constant(i float64) float64 {
	k, _ := m.at(i)
	return k
}

// SlopeAt gives dK/di in V s/A at field current i in A.
func (m *Magnetization) SlopeAt(i float64) float64 {
	_, slope := m.at(i)
	return slope
}

// Inductance gives the inductance of the field winding in H against small
// changes of the field current i in A.
func (m *Magnetization) Inductance(i float64) float64 {
	return m.Leakage + m.Linkage*m.SlopeAt(i)
}

// CurrentFor gives the field current in A that makes the machine constant k,
// in V s. It is infinite when the iron cannot reach k.
func (m *Magnetization) CurrentFor(k float64) float64 {
	x := (k - m.Residual) / (m.Slope * m.Saturation)
	if x >= 1 || x <= -1 {
		return math.Copysign(math.Inf(1), x)
	}
	return m.Saturation * x / math.Sqrt(1-x*x)
}

func (m *Magnetization) at(i float64) (k, slope float64) {
	x := i / m.Saturation
	r := 1 / math.Sqrt(1+x*x)
	return m.Residual + m.Slope*i*r, m.Slope * r * r * r
}
