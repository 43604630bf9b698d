package reading

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"slipring/engine/rows"
)

var (
	numberForm = regexp.MustCompile(`^([-+]?\d+)(?:[.,](\d+))?(?:[eE]([-+]?\d{1,2}))?$`)
	sizeForm   = regexp.MustCompile(`^(\S+)\s*(%)?(?:\s+of\s+(\S+)\s*(\S.*)?)?$`)
)

// number reads a number with a point or a comma, and gives what half of its
// last digit is worth.
func number(text string) (x, half float64, ok bool) {
	text = strings.ReplaceAll(text, "−", "-")
	m := numberForm.FindStringSubmatch(text)
	if m == nil {
		return 0, 0, false
	}
	x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || math.IsInf(x, 0) {
		return 0, 0, false
	}
	exponent, _ := strconv.Atoi(m[3])
	return x, 0.5 * math.Pow(10, float64(exponent-len(m[2]))), true
}

// doubt reads how far the reading may be off.
func (p *parser) doubt(r *Reading, own, class, instrument rows.Field, value, half, times float64) {
	if own.Text == "" && class.Text == "" {
		p.say(own, "this reading has no uncertainty",
			"write in uncertainty how far it may well be off, in the unit of the value or in %, or in class what the meter's plate says, such as 1.5 % of 60 V")
		return
	}
	for _, f := range []rows.Field{own, class} {
		if r.Unit == "%" && strings.HasSuffix(f.Text, "%") {
			p.say(f, fmt.Sprintf("%q of a value in %% can mean two things", f.Text), "write the number alone, which then is in the unit of the value, or give the value with the unit 1")
			return
		}
	}
	// Half of the last digit, as likely anywhere within.
	r.U = half * times / math.Sqrt(3)
	if own.Text != "" {
		u, ok := size(own.Text, value, "", nil)
		if !ok || u <= 0 {
			p.say(own, fmt.Sprintf("%q is no uncertainty", own.Text), "write one standard deviation as a number above 0 in the unit of the value, such as 0.02, or as a part of it, such as 0.5 %")
			return
		}
		r.U = math.Hypot(r.U, u*times)
	}
	if class.Text == "" {
		return
	}
	if instrument.Text == "" {
		p.say(class, "this reading has a class, and no instrument", "name the instrument, the same way in each reading: its error is the same in all of them")
		return
	}
	limit, ok := size(class.Text, value, r.Unit, func(unit string) (float64, bool) {
		if r.Quantity == "" {
			return 1, unit == r.Unit
		}
		of, fits := Factor(r.SIUnit, unit)
		return of / times, fits
	})
	if !ok || limit <= 0 {
		p.say(class, fmt.Sprintf("%q is no class of an instrument", class.Text), "write what its plate says: 1 % (of what it shows), 1.5 % of 60 V (of its full scale), or a number in the unit of the value")
		return
	}
	r.Class = limit * times / math.Sqrt(3)
}

// size reads how large an error may be: 0.02, 0.5 %, and with a scale given
// also 1.5 % of 60 V.
func size(text string, value float64, unit string, scale func(unit string) (float64, bool)) (float64, bool) {
	m := sizeForm.FindStringSubmatch(text)
	if m == nil {
		return 0, false
	}
	percent := m[2] != "" || strings.HasSuffix(m[1], "%")
	x, _, ok := number(strings.TrimSuffix(m[1], "%"))
	switch {
	case !ok || x < 0 || m[3] != "" && (!percent || scale == nil):
		return 0, false
	case m[3] != "":
		full, _, ok := number(m[3])
		if m[4] != "" {
			unit = strings.TrimSpace(m[4])
		}
		times, fits := scale(unit)
		return x / 100 * full * times, ok && fits
	case percent:
		return x / 100 * math.Abs(value), true
	}
	return x, true
}
