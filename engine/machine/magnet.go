package machine

import "math"

// Magnetization is the open-circuit curve of a machine, as its machine
// constant K (volts for each rad/s, or N m for each ampere) over field
// current i:
//
//	K(i) = Residual + Slope i / (1 + (|i|/Saturation)^p)^(1/p)
//
// with p the Sharpness of the bend. p = 1 is Froelich's curve; p = 2 suits
// most machines. The field winding links a flux of Leakage i + Linkage K(i),
// so that its inductance falls as the iron saturates and no energy is lost or
// gained.
type Magnetization struct {
	Residual   float64 // V s
	Slope      float64 // V s/A
	Saturation float64 // A
	Sharpness  float64 // p, at least 1; 0 means 2
	Linkage    float64 // Wb for each V s
	Leakage    float64 // H
}

// describe adds the constants of a field winding's magnetization to those of
// its machine.
func (m *Magnetization) describe(c *constants) {
	c.add(&m.Linkage, "field-linkage", "1", Positive, "flux linkage of the field winding for each V s of machine constant")
	c.add(&m.Leakage, "field-leakage-inductance", "H", Positive, "inductance of the field winding that does not serve the armature")
	c.add(&m.Residual, "residual-constant", "V s", AnyFinite, "machine constant left with no field current")
	c.add(&m.Slope, "constant-slope", "V s/A", Positive, "rise of the machine constant with field current before saturation")
	c.add(&m.Saturation, "saturation-current", "A", Positive, "field current at which the straight line would reach full saturation")
	c.add(&m.Sharpness, "saturation-sharpness", "1", AtLeastOne, "how sharply the curve bends into saturation: 1 gently, 2 as most machines, more for a sharp knee")
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
	x := math.Abs(k-m.Residual) / (m.Slope * m.Saturation)
	if x >= 1 {
		return math.Copysign(math.Inf(1), k-m.Residual)
	}
	p := m.sharpness()
	return math.Copysign(m.Saturation*x/math.Pow(1-math.Pow(x, p), 1/p), k-m.Residual)
}

// CriticalResistance gives the greatest resistance in ohm of its field circuit
// with which a self-excited machine without residual builds up at a speed in
// turns a second: the slope of its curve at the start, R = Slope 2 pi n.
func (m *Magnetization) CriticalResistance(speed float64) float64 {
	return emf(m.SlopeAt(0), 2*math.Pi*speed)
}

// CriticalSpeed gives the speed in turns a second below which a self-excited
// machine without residual does not build up with a field circuit of a
// resistance in ohm: n = R/(2 pi Slope).
func (m *Magnetization) CriticalSpeed(resistance float64) float64 {
	return resistance / (2 * math.Pi * m.SlopeAt(0))
}

// BuildsUpTo gives the EMF in V to which a self-excited machine builds up at a
// speed in turns a second with a field circuit of a resistance in ohm, all
// other current left aside: where the curve crosses the line E = R i.
func (m *Magnetization) BuildsUpTo(speed, resistance float64) float64 {
	most := emf(m.Slope*m.Saturation+math.Abs(m.Residual), 2*math.Pi*speed) / resistance
	return LineCrossing(func(i float64) float64 { return emf(m.Constant(i), 2*math.Pi*speed) }, resistance, most)
}

// LineCrossing gives the voltage in V at which an open-circuit curve, volts
// over field current in A, last crosses the line of a resistance in ohm, for
// currents from 0 up to most. It is 0 when the curve stays below the line.
func LineCrossing(curve func(current float64) float64, resistance, most float64) float64 {
	const parts = 2000
	above := func(i float64) bool { return curve(i) >= resistance*i }
	for k := parts - 1; k >= 0; k-- {
		low, high := most*float64(k)/parts, most*float64(k+1)/parts
		if !above(low) {
			continue
		}
		for range 60 {
			if middle := (low + high) / 2; above(middle) {
				low = middle
			} else {
				high = middle
			}
		}
		return resistance * low
	}
	return 0
}

func (m *Magnetization) sharpness() float64 {
	if m.Sharpness == 0 {
		return 2
	}
	return m.Sharpness
}

func (m *Magnetization) at(i float64) (k, slope float64) {
	x := i / m.Saturation
	switch m.Sharpness {
	case 0, 2:
		r := 1 / math.Sqrt(1+x*x)
		return m.Residual + m.Slope*i*r, m.Slope * r * r * r
	case 1:
		r := 1 / (1 + math.Abs(x))
		return m.Residual + m.Slope*i*r, m.Slope * r * r
	}
	p := m.Sharpness
	b := 1 + math.Pow(math.Abs(x), p)
	r := math.Pow(b, -1/p)
	return m.Residual + m.Slope*i*r, m.Slope * r / b
}

// Stored gives the magnetic energy in J of the field winding at current i in A:
// the integral of i dPsi.
func (m *Magnetization) Stored(i float64) float64 {
	x := math.Abs(i / m.Saturation)
	scale := m.Linkage * m.Slope * m.Saturation * m.Saturation
	var area float64 // integral of x d(x/(1+x^p)^(1/p)) from 0 to x
	switch p := m.sharpness(); p {
	case 2:
		h := math.Sqrt(1 + x*x)
		area = x * x / (h * (1 + h))
	case 1:
		area = x*x/(1+x) - (x - math.Log1p(x))
	default:
		// by Simpson's rule; only an audit asks for it
		const parts = 1000
		whole := 0.0
		for k := 0; k <= parts; k++ {
			u := x * float64(k) / parts
			whole += float64(2+2*(k%2)) * u / math.Pow(1+math.Pow(u, p), 1/p)
		}
		end := x / math.Pow(1+math.Pow(x, p), 1/p)
		area = x*end - (whole-end)*x/parts/3
	}
	return m.Leakage*i*i/2 + scale*area
}
