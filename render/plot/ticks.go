package plot

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
)

const minus = "\u2212"

// ticks gives the marks of an axis from gonum's choice of values (Talbot, Lin
// and Hanrahan, IEEE TVCG 16(6), 2010), with labels of our own: gonum's round
// 20.35 to 20.
func ticks(r span) []plot.Tick {
	marks := plot.DefaultTicks{}.Ticks(r.low, r.high)
	var major []float64
	for _, t := range marks {
		if !t.IsMinor() {
			major = append(major, t.Value)
		}
	}
	labels := together(major)
	for i := range marks {
		if !marks[i].IsMinor() {
			marks[i].Label, labels = labels[0], labels[1:]
		}
	}
	return marks
}

// together writes numbers that stand at one axis, all with as few decimals as
// tell them apart and show them to a millionth of their distance.
func together(xs []float64) []string {
	step, most := math.Inf(1), 0.0
	for i, x := range xs {
		most = max(most, math.Abs(x))
		if i > 0 {
			step = min(step, math.Abs(x-xs[i-1]))
		}
	}
	if math.IsInf(step, 1) {
		step = most
	}
	decimals := 0
	for ; decimals < 12 && !shown(xs, decimals, step); decimals++ {
	}
	out := make([]string, len(xs))
	for i, x := range xs {
		if most >= 1e7 || decimals == 12 {
			out[i] = short(x)
			continue
		}
		out[i] = signed(strconv.FormatFloat(x, 'f', decimals, 64))
	}
	return out
}

func shown(xs []float64, decimals int, step float64) bool {
	for _, x := range xs {
		written, err := strconv.ParseFloat(strconv.FormatFloat(x, 'f', decimals, 64), 64)
		if err != nil || math.Abs(written-x) > 1e-6*step {
			return false
		}
	}
	return true
}

// signed writes a number with the sign that typesetters use, and no sign at
// zero.
func signed(number string) string {
	digits, negative := strings.CutPrefix(number, "-")
	if !negative {
		return number
	}
	if strings.Trim(digits, "0.") == "" {
		return digits
	}
	return minus + digits
}

// short writes a number with four significant digits.
func short(x float64) string {
	s := strconv.FormatFloat(x, 'g', 4, 64)
	if mantissa, exponent, ok := strings.Cut(s, "e"); ok {
		if n, err := strconv.Atoi(exponent); err == nil && n >= -4 && n < 9 {
			s = strconv.FormatFloat(round4(x), 'f', -1, 64)
		} else if err == nil {
			return signed(mantissa) + " × 10^" + signed(strconv.Itoa(n))
		}
	}
	return signed(s)
}

func round4(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 3, 64), 64)
	if err != nil {
		return x
	}
	return y
}

// apart takes the labels off marks until those left do not touch: every
// second, third and so on is kept, counted from the one nearest to zero, so
// that round numbers stay.
func apart(marks []plot.Tick, r span, length float64, size func(label string) float64) []plot.Tick {
	var major []int
	for i, t := range marks {
		if !t.IsMinor() {
			major = append(major, i)
		}
	}
	zero := 0
	for k, i := range major {
		if math.Abs(marks[i].Value) < math.Abs(marks[major[zero]].Value) {
			zero = k
		}
	}
	for every := 1; ; every++ {
		var kept []int
		for k, i := range major {
			if (k-zero)%every == 0 {
				kept = append(kept, i)
			}
		}
		if len(kept) > 1 && touching(marks, kept, r, length, size) {
			continue
		}
		out := make([]plot.Tick, 0, len(marks))
		for i, t := range marks {
			keep := false
			for _, k := range kept {
				keep = keep || k == i
			}
			if !keep {
				t.Label = ""
			}
			out = append(out, t)
		}
		return out
	}
}

func touching(marks []plot.Tick, kept []int, r span, length float64, size func(string) float64) bool {
	for k := 1; k < len(kept); k++ {
		a, b := marks[kept[k-1]], marks[kept[k]]
		distance := math.Abs(b.Value-a.Value) / r.span() * length
		if distance < (size(a.Label)+size(b.Label))/2 {
			return true
		}
	}
	return false
}
