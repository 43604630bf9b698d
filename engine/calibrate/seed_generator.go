package calibrate

import (
	"maps"
	"math"
	"slices"
	"strings"

	"slipring/engine/machine"
	"slipring/engine/reading"
)

// alike gives what was read in the same situation as another reading.
func (p *problem) alike(r reading.Reading, quantity string) (float64, bool) {
	i := slices.IndexFunc(p.readings, func(o reading.Reading) bool { return o.Quantity == quantity && o.How.Key() == r.How.Key() })
	if i < 0 {
		return 0, false
	}
	return p.readings[i].Value, true
}

// unloaded gives the output voltages that were read with nothing connected but
// what the regulator takes, of a generator and a regulator as the card has them,
// each with its speed.
func (p *problem) unloaded() (volts []reading.Reading, speeds []float64) {
	for _, r := range p.readings {
		loaded := r.How.FullLoad || r.How.Load.Bells > 0 || r.How.Load.Resistance > 0 || r.How.Load.Watts > 0 || r.How.Brushes
		for name := range maps.Keys(r.How.Changed) {
			loaded = loaded || strings.HasPrefix(name, "regulator.") || strings.HasPrefix(name, "generator.")
		}
		speed, ok := p.alike(r, "speed")
		if r.How.Held > 0 {
			speed, ok = r.How.Held, true
		}
		if r.Quantity == "output voltage" && !loaded && ok && speed > 0 && r.Value > 0 {
			volts, speeds = append(volts, r), append(speeds, speed)
		}
	}
	return volts, speeds
}

// curve gives the slope or the bend of the generator's curve from the field
// currents and the voltages at its open rings, by the closed form of
// machine.Magnetization: with K = sqrt(2) V/w, and r the residual,
//
//	(i/(K - r))^p = 1/Slope^p + i^p/(Slope Saturation)^p
//
// which is a straight line over i^p. Two points give both; of points that lie
// close together, each gives the one with the other from the card.
func (p *problem) curve(name string) (float64, bool) {
	var g machine.Generator
	if !p.card.Read("generator", &g) {
		return 0, false
	}
	sharp := g.Field.Sharpness
	if _, ok := p.card.Constant(generatorSlope); !ok || sharp < 1 {
		return 0, false // a measured curve stands there
	}
	var xs, ys, slopes, bends []float64
	volts, speeds := p.unloaded()
	for k, r := range volts {
		i, ok := p.alike(r, "generator field current")
		rise := math.Sqrt2*r.Value/(2*math.Pi*speeds[k]) - g.Field.Residual
		if !ok || i <= 0 || rise <= 0 {
			continue
		}
		x, y := math.Pow(i, sharp), math.Pow(i/rise, sharp)
		xs, ys = append(xs, x), append(ys, y)
		slopes = append(slopes, math.Pow((1+x/math.Pow(g.Field.Saturation, sharp))/y, 1/sharp))
		if bend := x / (y*math.Pow(g.Field.Slope, sharp) - 1); bend > 0 {
			bends = append(bends, math.Pow(bend, 1/sharp))
		}
	}
	both := slices.ContainsFunc(p.constants, func(c machine.Constant) bool { return c.Name() == generatorSlope }) &&
		slices.ContainsFunc(p.constants, func(c machine.Constant) bool { return c.Name() == generatorBend })
	if both {
		if len(xs) < 2 || slices.Max(xs) < 1.3*slices.Min(xs) {
			if name == generatorBend {
				return 0, false
			}
			return middle(slopes)
		}
		low, high := slices.Index(xs, slices.Min(xs)), slices.Index(xs, slices.Max(xs))
		gradient := (ys[high] - ys[low]) / (xs[high] - xs[low])
		if at := ys[low] - gradient*xs[low]; gradient > 0 && at > 0 {
			if name == generatorSlope {
				return math.Pow(at, -1/sharp), true
			}
			return math.Pow(at/gradient, 1/sharp), true
		}
	}
	if name == generatorSlope {
		return middle(slopes)
	}
	return middle(bends)
}

// weight gives the weight of the regulator's plunger from the voltages that it
// held, as the pull of its coil there: half of the inductance's slope times the
// mean square of the current through resistance and inductance. What spring and
// contact add is left out.
func (p *problem) weight() (float64, bool) {
	var r machine.Regulator
	if !p.card.Read("regulator", &r) {
		return 0, false
	}
	var found []float64
	volts, speeds := p.unloaded()
	for k, v := range volts {
		current := v.Value / math.Hypot(r.CoilResistance, 2*math.Pi*speeds[k]*r.CoilInductance)
		found = append(found, r.CoilInductanceSlope/2*current*current)
	}
	return middle(found)
}
