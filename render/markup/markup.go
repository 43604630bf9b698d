// Package markup writes words and lengths as drawings and formulas have them.
package markup

import (
	"encoding/xml"
	"math"
	"strconv"
	"strings"
)

// Escape makes text fit for an element or an attribute of XML.
func Escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a strings.Builder takes all that is written to it
	return b.String()
}

// Tenths writes a number rounded to tenths, halves upward, as scripts do.
func Tenths(x float64) string {
	return strconv.FormatFloat(math.Floor(10*x+0.5)/10+0, 'f', -1, 64)
}
