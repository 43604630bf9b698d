package page

import (
	"fmt"
	"html/template"
	gomath "math"
	"strconv"
	"strings"

	"slipring/engine/equation"
	"slipring/engine/machine"
	"slipring/engine/story"
	"slipring/render/math"
)

// Explainer prints equations, with what cards say of their symbols.
type Explainer struct {
	Words interface {
		Text(key string, fill ...any) string
		HTML(key string, fill ...any) template.HTML
		Constant(doc string) string
		Localize(number string) string
	}
	Cards []machine.Card // the first that has a constant says how large it is
	Links Links
}

func (x Explainer) find(name string) (card string, c machine.Constant, ok bool) {
	for _, one := range x.Cards {
		if c, ok := one.Constant(name); ok && c.Origin != "" { // which a card gives
			return one.Name, c, true
		}
	}
	c, _ = machine.Described(name)
	return "", c, false
}

// toPart puts the way to an equation on its part's page around words.
func (x Explainer) toPart(key, words string) string {
	if x.Links.Part == nil {
		return words
	}
	href := x.Links.Part(key)
	if href == "" {
		return words
	}
	return fmt.Sprintf(`<a class="part" href="%s">%s</a>`, escape(href), words)
}

// names prints the names of equations, with the way to each.
func (x Explainer) names(keys []string) template.HTML {
	var out []string
	for _, key := range keys {
		e, _ := story.Find(key)
		words := escape(x.Words.Constant(e.Gives))
		words, _, _ = strings.Cut(words, ":")
		words, _, _ = strings.Cut(words, ";")
		out = append(out, "<li>"+x.toPart(key, strings.TrimSpace(words))+"</li>")
	}
	return template.HTML("<ul>" + strings.Join(out, "") + "</ul>")
}

// constants prints constants of a card by name.
func (x Explainer) constants(names []string) template.HTML {
	var out []string
	for _, name := range names {
		card, c, ok := x.find(name)
		words := escape(x.Words.Constant(c.Doc))
		if ok {
			words += " " + x.amount(card, c)
		}
		if words != "" {
			out = append(out, "<li>"+words+"</li>")
		}
	}
	return template.HTML("<ul>" + strings.Join(out, "") + "</ul>")
}

// amount prints how large a constant is, with the way into the logbook.
func (x Explainer) amount(card string, c machine.Constant) string {
	value, doubt := Digits(c.Value, c.Uncertainty, c.Origin)
	number := escape(withUnit(x.Words.Localize(value), UnitSymbol(c.Unit)))
	if doubt != "" {
		number += " ± " + escape(x.Words.Localize(doubt))
	}
	if x.Links.Card == nil {
		return number
	}
	return fmt.Sprintf(`<a class="logged" href="%s">%s</a>`, escape(x.Links.Card(card, c)), number)
}

// Equation prints an equation: what it gives, its formula, what each symbol
// stands for, and its source.
func (x Explainer) Equation(e equation.Equation) template.HTML {
	var b strings.Builder
	fmt.Fprintf(&b, "<p class=\"gives\">%s</p>\n", x.toPart(e.Key, escape(capital(x.Words.Constant(e.Gives)))))
	set, err := math.Render(e.TeX, true)
	if err != nil {
		set = "<code>" + escape(e.TeX) + "</code>" // which a test finds
	}
	fmt.Fprintf(&b, "<div class=\"formula\" tabindex=\"0\">%s</div>\n<table class=\"symbols\"><tbody>\n", set)
	for _, s := range e.Symbols {
		x.symbol(&b, s)
	}
	b.WriteString("</tbody></table>\n")
	fmt.Fprintf(&b, "<p class=\"origin\">%s</p>\n", x.Words.HTML("story.source", "source", x.Source(e.Source)))
	return template.HTML(b.String())
}

// Source prints the source of an equation, with the way to it in the list of all.
func (x Explainer) Source(source string) template.HTML {
	words := escape(x.Words.Constant(source))
	if x.Links.Source != nil {
		if href := x.Links.Source(source); href != "" {
			words = fmt.Sprintf(`<a class="source-of" href="%s">%s</a>`, escape(href), words)
		}
	}
	return template.HTML(words)
}

func (x Explainer) symbol(b *strings.Builder, s equation.Symbol) {
	sign, _ := math.Render(s.TeX, false)
	fmt.Fprintf(b, `<tr><th scope="row"><span class="sign">%s</span> `, sign)
	if s.Constant == "" {
		words := escape(x.Words.Constant(s.Words))
		if s.Equation != "" {
			words = x.toPart(s.Equation, words)
		}
		fmt.Fprintf(b, "%s</th><td class=\"amount\">%s</td></tr>\n", words, escape(UnitSymbol(s.Unit)))
		return
	}
	card, c, ok := x.find(s.Constant)
	fmt.Fprintf(b, "%s</th>", escape(x.Words.Constant(c.Doc)))
	if !ok {
		fmt.Fprintf(b, "<td class=\"amount\">%s</td></tr>\n", escape(UnitSymbol(c.SIUnit)))
		return
	}
	b.WriteString(`<td class="amount">`)
	if s.Factor != "" {
		factor, _ := math.Render(s.Factor, false)
		fmt.Fprintf(b, "%s · ", factor)
	}
	fmt.Fprintf(b, "%s <span class=\"from\">%s</span></td></tr>\n", x.amount(card, c), escape(x.Words.Text(OriginText(c.Origin))))
}

// Plain writes a number in full where that is not too long to read.
func Plain(x float64) string {
	if a := gomath.Abs(x); a != 0 && (a < 1e-7 || a >= 1e9) {
		return Exact(x)
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// Digits writes a constant's value and its uncertainty, which is "" when it counts as
// exact. A card keeps more digits of what was fitted than a reader has use for: that is
// written to two digits of its uncertainty (JCGM 100:2008, 7.2.6). What people wrote
// stays as they wrote it.
func Digits(value, uncertainty float64, from machine.Origin) (number, doubt string) {
	switch {
	case uncertainty == 0:
		return Plain(value), ""
	case from != machine.Fitted:
		return Plain(value), Plain(uncertainty)
	}
	u, decimals := twoDigits(uncertainty)
	if u < 1e-7 || gomath.Abs(value) >= 1e9 {
		return Plain(value), Plain(u)
	}
	if decimals == 0 {
		last := gomath.Pow10(int(gomath.Floor(gomath.Log10(u))) - 1)
		value = gomath.Round(value/last) * last
	}
	return strconv.FormatFloat(value, 'f', decimals, 64), strconv.FormatFloat(u, 'f', decimals, 64)
}

// OriginText names the text that says where constants of an origin come from.
func OriginText(o machine.Origin) string {
	return "origin." + strings.ReplaceAll(string(o), " ", "-")
}

// UnitSymbol writes a card's unit with the symbols of the International System
// of Units: half-high dots for products, raised powers (9th edition, section
// 5.4). The unit one is not written.
func UnitSymbol(unit string) string {
	switch unit {
	case "1":
		return ""
	case "%":
		return unit
	}
	fields := strings.Fields(unit)
	for i, f := range fields {
		fields[i] = strings.NewReplacer("ohm", "Ω", "deg", "°", "uF", "µF", "um", "µm", "2", "²").Replace(f)
	}
	return strings.Join(fields, "·")
}
