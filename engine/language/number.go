package language

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// Minus is the sign before a negative number in print.
const Minus = "\u2212"

// Number is a number as somebody wrote it, or the form of one.
type Number struct {
	Sign     string // "", "-" or U+2212
	Digits   string // with a decimal point where there is one
	Decimals int

	Language *Language // nil for English
}

func (n Number) String() string {
	if n.Language == nil {
		return n.Sign + n.Digits
	}
	return n.Sign + strings.Replace(n.Digits, ".", n.Language.Decimal, 1)
}

// Negative says whether the number is below zero; -0.00 is not.
func (n Number) Negative() bool { return n.Sign != "" && strings.Trim(n.Digits, "0.") != "" }

// InForm gives x times f with as many decimals as a written number has, by
// correct rounding of the exact product (ties go to the even digit, as in
// IEEE 754 and Go's strconv), under a sign of the form that the written number
// has. Zero has no sign. x is finite.
func (n Number) InForm(x float64, f *big.Rat) Number {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return Number{Digits: strconv.FormatFloat(x, 'g', -1, 64)}
	}
	exact := new(big.Rat).SetFloat64(math.Abs(x))
	exact.Mul(exact, new(big.Rat).Abs(f))
	shift := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n.Decimals)), nil)
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
	if n.Decimals > 0 {
		if missing := n.Decimals + 1 - len(digits); missing > 0 {
			digits = strings.Repeat("0", missing) + digits
		}
		point := len(digits) - n.Decimals
		digits = digits[:point] + "." + digits[point:]
	}
	result := Number{Digits: digits, Decimals: n.Decimals, Language: n.Language}
	if x < 0 && whole.Sign() != 0 {
		result.Sign = "-"
		if n.Sign != "" {
			result.Sign = n.Sign
		}
		if n.Language != nil && n.Language.Minus != "" {
			result.Sign = n.Language.Minus
		}
	}
	return result
}

// Number writes x with fixed decimals as the language does, rounded as a quote
// is: correctly from the exact binary value, zero without a sign, U+2212 before
// a negative number, no thousands signs. What is not finite is written as Go
// writes it.
func (l *Language) Number(x float64, decimals int) string {
	return Number{Sign: Minus, Decimals: max(decimals, 0), Language: l}.InForm(x, big.NewRat(1, 1)).String()
}
