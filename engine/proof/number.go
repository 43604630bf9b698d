package proof

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

const minus = "\u2212"

// number is a number as somebody wrote it.
type number struct {
	sign     string // "", "-" or U+2212
	digits   string // with a decimal point where there is one
	decimals int

	language *language // nil for English
}

func (n number) String() string {
	if n.language == nil {
		return n.sign + n.digits
	}
	return n.sign + strings.Replace(n.digits, ".", n.language.decimal, 1)
}

// negative says whether the number is below zero; -0.00 is not.
func (n number) negative() bool { return n.sign != "" && strings.Trim(n.digits, "0.") != "" }

// inForm gives x times f with as many decimals as a written number has, by
// correct rounding of the exact product (ties go to the even digit, as in
// IEEE 754 and Go's strconv), under a sign of the form that the written number
// has. Zero has no sign. x is finite.
func (n number) inForm(x float64, f *big.Rat) number {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return number{digits: strconv.FormatFloat(x, 'g', -1, 64)}
	}
	exact := new(big.Rat).SetFloat64(math.Abs(x))
	exact.Mul(exact, new(big.Rat).Abs(f))
	shift := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n.decimals)), nil)
	top := new(big.Int).Mul(exact.Num(), shift)
	whole, rest := new(big.Int).QuoRem(top, exact.Denom(), new(big.Int))
	switch twice := rest.Lsh(rest, 1); twice.Cmp(exact.Denom()) {
	case 1:
		whole.Add(whole, big.NewInt(1))
	case 0:
		if whole.Bit(0) == 1 {
			whole.Add(whole, big.NewInt(1))
		}
	}
	digits := whole.String()
	if n.decimals > 0 {
		if missing := n.decimals + 1 - len(digits); missing > 0 {
			digits = strings.Repeat("0", missing) + digits
		}
		point := len(digits) - n.decimals
		digits = digits[:point] + "." + digits[point:]
	}
	result := number{digits: digits, decimals: n.decimals, language: n.language}
	if x < 0 && whole.Sign() != 0 {
		result.sign = "-"
		if n.sign != "" {
			result.sign = n.sign
		}
		if n.language != nil && n.language.minus != "" {
			result.sign = n.language.minus
		}
	}
	return result
}
