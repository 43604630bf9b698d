// Package wiring knows copper wire: gauges, resistance, and what temperature
// and length do to it.
//
// The first call is ParseGauge("22") or a Gauge literal, then its Diameter,
// Area or Resistance; Loop asks how much voltage a pair of wires loses, and
// WindingTemperature turns a warm and a cold resistance into a temperature.
//
// It is no wiring code: the smallest wire for a voltage drop may be far too
// thin for the heat, the fuse or the handling. It knows annealed copper of
// standard conductivity only, no other metal, no alternating-current effects
// (at the frequencies of a ringing set they are nil in wire of these sizes)
// and no strands: of a stranded wire the area of copper counts.
package wiring

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Gauge is a number of the American wire gauge. 0, -1, -2 and -3 stand for
// 1/0 to 4/0; the larger the number, the thinner the wire.
type Gauge int

// The gauges that this package knows. Below 44 the diameters of ASTM B258 are
// rounded ones, not those of its formula (NBS Handbook 100, 1966, foreword).
const (
	Thickest Gauge = -3 // 4/0
	Thinnest Gauge = 44
)

const nextGauge = `write 4/0, 3/0, 2/0, 1/0 or a number from 1 to 44, such as 22`

// Flaw is what is wrong with a request, and the next step.
type Flaw struct {
	Text string
	Next string
}

func (f *Flaw) Error() string { return f.Text }

func flaw(next, format string, args ...any) error {
	return &Flaw{Text: fmt.Sprintf(format, args...), Next: next}
}

// ParseGauge reads a gauge as written on a drawing: "22", "No. 22", "22 AWG",
// "1/0", or "00" for 2/0.
func ParseGauge(s string) (Gauge, error) {
	word := strings.ToLower(strings.TrimSpace(s))
	word = strings.TrimSpace(strings.TrimPrefix(strings.TrimSuffix(word, "awg"), "awg"))
	word = strings.TrimSpace(strings.TrimPrefix(strings.TrimPrefix(word, "no."), "#"))
	if noughts, ok := strings.CutSuffix(word, "/0"); ok && len(noughts) == 1 && noughts >= "1" && noughts <= "4" {
		return Gauge(1 - int(noughts[0]-'0')), nil
	}
	if len(word) >= 1 && len(word) <= 4 && strings.Trim(word, "0") == "" {
		return Gauge(1 - len(word)), nil
	}
	n, err := strconv.Atoi(word)
	if err != nil || n < 1 || n > int(Thinnest) || strings.HasPrefix(word, "+") {
		return 0, flaw(nextGauge, "%q is not a wire gauge", s)
	}
	return Gauge(n), nil
}

// String writes the gauge as tables do: "22", "1/0", "4/0".
func (g Gauge) String() string {
	if g < 1 {
		return strconv.Itoa(1-int(g)) + "/0"
	}
	return strconv.Itoa(int(g))
}

// Diameter gives the bare diameter in mm: 0.005 in at No. 36 and
// 92^(1/39) = 1.1229 times as much for each number below (ASTM B258;
// NBS Circular 31).
func (g Gauge) Diameter() float64 {
	return 0.005 * 25.4 * math.Pow(92, float64(36-g)/39)
}

// Mils gives the bare diameter in thousandths of an inch.
func (g Gauge) Mils() float64 { return g.Diameter() / 25.4 * 1000 }

// Area gives the cross-section in mm².
func (g Gauge) Area() float64 {
	d := g.Diameter()
	return math.Pi / 4 * d * d
}

// Resistance gives the resistance of annealed copper wire of this gauge in
// ohm a metre at a temperature in C.
func (g Gauge) Resistance(celsius float64, rule Rule) (float64, error) {
	return Resistance(g.Area(), celsius, rule)
}

// OhmsPerThousandFeet turns ohm a metre into the unit of American tables.
func OhmsPerThousandFeet(ohmsPerMetre float64) float64 { return ohmsPerMetre * 304.8 }
