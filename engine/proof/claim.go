package proof

import (
	"fmt"
	"math"
	"math/big"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"slipring/engine/language"
	"slipring/engine/lesson"
	"slipring/engine/tell"
)

// numeral in running text; what comes before it is looked at separately
var (
	numeral     = regexp.MustCompile(`\p{Nd}+(?:[.,]\p{Nd}+)*`)
	groupSign   = regexp.MustCompile(`^[ '’\x{a0}\x{202f}\x{2009}]$`)
	grouping    = regexp.MustCompile(`^\p{Nd}{1,3}(?:[ '’\x{a0}\x{202f}\x{2009}]\p{Nd}{3})*$`)
	threeDigits = regexp.MustCompile(`^\p{Nd}{3}(?:[.,]\p{Nd}+)*$`)
)

func (c *checker) claim(n *lesson.Node, claim tell.Claim) {
	c.report.Claims++
	claim.Limits = c.limitsOf(claim)
	text := oneLine(words(n))
	c.report.Printed[n] = text
	if !claim.Holds {
		c.say(n.Offset, ruleFalse, fmt.Sprintf("%q is claimed, but does not hold%s (%s)", text, found(claim), n.Name),
			"find out why; a claim is never amended, so change the words or the model")
	}
	for i, r := range text {
		if r > unicode.MaxASCII && unicode.IsNumber(r) {
			c.say(n.Offset, ruleNumeral, fmt.Sprintf("%q in %q cannot be compared with a limit (%s)", text[i:i+utf8.RuneLen(r)], text, n.Name),
				"write numbers with the digits 0 to 9")
			return
		}
	}
	for _, at := range numerals(text) {
		written := text[at[0]:at[1]]
		plain := strings.Replace(written, c.language.Decimal, ".", 1)
		if strings.Trim(plain, "0123456789") != "" && (strings.Count(plain, ".") > 1 || strings.Contains(plain, ",") || !strings.Contains(written, c.language.Decimal)) {
			c.say(n.Offset, ruleNumeral, fmt.Sprintf("%q in %q cannot be compared with a limit (%s)", written, text, n.Name),
				"write numbers without separators, with one decimal "+c.language.DecimalName()+" at most")
			continue
		}
		sign := signBefore(text[:at[0]])
		unit, length, _ := c.language.UnitAfter(text[at[1]:])
		if !slices.ContainsFunc(claim.Limits, func(l tell.Limit) bool { return equalsLimit(c.language, sign+plain, unit, l) }) {
			shown := text[at[0]-len(sign) : at[1]+length]
			c.say(n.Offset, ruleNumeral, fmt.Sprintf("%q is written in %q, but the claim was told with %s (%s)", shown, text, limits(c.language, claim), n.Name),
				"let words and claim say the same")
		}
	}
}

// numerals finds the numbers in running text. Groups of three digits with one
// sign between them are one number.
func numerals(text string) [][]int {
	var list [][]int
	for _, at := range numeral.FindAllStringIndex(text, -1) {
		last := len(list) - 1
		if last >= 0 && groupSign.MatchString(text[list[last][1]:at[0]]) && grouping.MatchString(text[list[last][0]:list[last][1]]) &&
			threeDigits.MatchString(text[at[0]:at[1]]) {
			list[last] = []int{list[last][0], at[1]}
			continue
		}
		list = append(list, at)
	}
	return list
}

// found says what a claim was computed to be, to follow "does not hold".
func found(claim tell.Claim) string {
	if claim.Found == "" {
		return ""
	}
	return ": " + strings.TrimSpace(claim.Found)
}

// signBefore gives the minus sign that a numeral has in front, as against a
// dash between two numbers or words.
func signBefore(text string) string {
	for _, sign := range []string{"-", language.Minus} {
		if rest, ok := strings.CutSuffix(text, sign); ok {
			last, _ := utf8.DecodeLastRuneInString(rest)
			if rest == "" || unicode.IsSpace(last) || last == '(' {
				return sign
			}
		}
	}
	return ""
}

// equalsLimit says whether a numeral, with a decimal point, and its unit are a
// told limit. A limit may have been computed, so the last bits do not count.
func equalsLimit(g *language.Language, written, unit string, l tell.Limit) bool {
	told := l.Unit
	if quantity, _ := g.Quantity(unit); unit == "" || told == "" && quantity != "1" {
		unit, told = "", "" // one of the two does not say
	}
	f, ok := g.Factor(told, unit)
	if !ok || math.IsInf(l.Number, 0) || math.IsNaN(l.Number) {
		return false
	}
	x, err := strconv.ParseFloat(strings.Replace(written, language.Minus, "-", 1), 64)
	if err != nil {
		return false
	}
	exact := new(big.Rat).SetFloat64(l.Number)
	want, _ := exact.Mul(exact, f).Float64()
	return math.Abs(x-want) <= 1e-12*math.Abs(want)
}

// limitsOf gives a claim's limits with their units. The target of a tolerance
// in per cent is in the unit in which the number itself was told as a value.
func (c *checker) limitsOf(claim tell.Claim) []tell.Limit {
	list := slices.Clone(claim.Limits)
	if len(list) == 2 && list[0].Unit == "%" && list[1].Unit == "" {
		list[1].Unit = c.comparedUnit(claim)
	}
	return list
}

// comparedUnit gives the unit of the number that a claim is about, where a
// value was told with just that number.
func (c *checker) comparedUnit(claim tell.Claim) string {
	found := map[string]bool{}
	unit := ""
	for _, v := range c.values {
		if v.Number == claim.Number {
			found[v.Unit], unit = true, v.Unit
		}
	}
	if len(found) != 1 {
		return ""
	}
	return unit
}

func limits(g *language.Language, claim tell.Claim) string {
	if len(claim.Limits) == 0 {
		return "no number"
	}
	var list []string
	for _, l := range claim.Limits {
		written := strings.Replace(strconv.FormatFloat(l.Number, 'g', -1, 64), ".", g.Decimal, 1)
		if rest, negative := strings.CutPrefix(written, "-"); negative && g.Minus != "" {
			written = g.Minus + rest
		}
		list = append(list, strings.TrimSpace(written+" "+l.Unit))
	}
	return strings.Join(list, " and ")
}
