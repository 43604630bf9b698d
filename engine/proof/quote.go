package proof

import (
	"fmt"
	"math"
	"math/big"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"slipring/engine/diag"
	"slipring/engine/language"
	"slipring/engine/lesson"
)

// Form is how a quote prints a number: the unit that the author wrote, the
// space before it, the decimals, and the minus sign.
type Form struct {
	number language.Number
	gap    string   // between number and unit, as a page prints it
	unit   string   // "" when none is written
	told   string   // the unit of what it is bound to
	scale  *big.Rat // from told to unit
}

// Print gives x, in the unit that it was told in, in this form. x is finite.
func (f Form) Print(x float64) string { return f.agreeing(f.number.InForm(x, f.scale)) }

// with gives a number with the unit as it is written.
func (f Form) with(n language.Number) string { return n.String() + f.gap + f.unit }

// agreeing gives a number with its unit in the singular or plural, in a
// language that chooses.
func (f Form) agreeing(n language.Number) string {
	f.unit = n.Language.Agree(f.unit, n)
	return f.with(n)
}

// labels finds the meaning of every bound text.
func (c *checker) labels() {
	c.lesson.Body.Walk(func(n *lesson.Node) bool {
		switch {
		case n.Kind == lesson.Bound:
			c.label(n)
		case n.Kind == lesson.Insert && !c.foreign(n):
			c.insert(n)
		}
		return true
	})
}

func (c *checker) label(n *lesson.Node) {
	if c.foreign(n) {
		return
	}
	if f, ok := c.facts[n.Name]; ok {
		c.fact(n, f)
		return
	}
	if v, ok := c.values[n.Name]; ok {
		c.quote(n, v.Number, v.Unit, "the model")
		return
	}
	if claim, ok := c.claims[n.Name]; ok {
		c.claim(n, claim)
		return
	}
	if entries := c.cards[n.Name]; len(entries) > 0 {
		for _, e := range entries[1:] {
			if e.Value != entries[0].Value || e.Unit != entries[0].Unit {
				c.say(n.Offset, ruleMeanings,
					fmt.Sprintf("%q is %v %s on card %q and %v %s on card %q",
						n.Name, entries[0].Value, entries[0].Unit, entries[0].card, e.Value, e.Unit, e.card),
					"tell the one that you mean as a value of its own, and quote that")
				return
			}
		}
		c.quote(n, entries[0].Value, entries[0].Unit, "the card")
		return
	}
	if slug, ok := strings.CutPrefix(n.Name, "lesson."); ok {
		if other := c.lessons[slug]; other != nil {
			c.report.Links[n] = other
			c.report.Printed[n] = words(n)
			return
		}
	}
	if c.cite(n) {
		return
	}
	c.say(n.Offset, ruleUnknown, fmt.Sprintf("nothing defines the label %q", n.Name), c.unknownHint(n.Name))
}

func (c *checker) unknownHint(name string) string {
	near := diag.Nearest(name, c.known)
	shown := slices.IndexFunc(c.shown, func(s Shown) bool { return s.Name == name && s.told() })
	switch {
	case c.entry():
		return c.factHint(name, near)
	case near != "":
		return fmt.Sprintf("did you mean %q?", near)
	case shown >= 0:
		kind := lesson.EmbedKindOf(c.shown[shown].Kind)
		return fmt.Sprintf("that is a %s: place it with ![%s](%s:%s)", kind.Name, kind.Says, kind.Name, name)
	case strings.HasPrefix(name, sourcePrefix), strings.HasPrefix(name, termPrefix):
		return c.citeHint(name)
	case strings.HasPrefix(name, "card.") && !c.opened:
		return "no cell opens a machine card: open it with bench.Open"
	case strings.HasPrefix(name, "card."):
		return "write card.PART.KEY, with part and key as on the machine card"
	case strings.HasPrefix(name, "lesson."):
		return "name a lesson by its folder without the number"
	}
	if !labelForm.MatchString(name) {
		return "if no label is meant, put code between backticks, or write \\[ for the bracket"
	}
	return fmt.Sprintf("tell it in a cell, as with tell.Value(%q, ...)", name)
}

func (c *checker) quote(n *lesson.Node, x float64, told, source string) {
	q, at, problem, hint := readQuote(c.language, n)
	if problem != "" {
		c.say(n.Offset, ruleForm, fmt.Sprintf("%s (%s)", problem, n.Name), hint)
		return
	}
	if math.IsNaN(x) || math.IsInf(x, 0) {
		c.say(n.Offset, ruleValue, fmt.Sprintf("%s gives %v, which no page can print (%s)", source, x, n.Name),
			"look for a division by zero, or a run that did not settle")
		return
	}
	q.told, q.scale = told, big.NewRat(1, 1)
	if q.unit != "" {
		var ok bool
		if q.scale, ok = c.language.Factor(told, q.unit); !ok {
			hint := unitHint(c.language, told)
			if !c.language.Knows(q.unit) && strings.Contains(q.unit, " ") {
				hint = "put other words outside of the brackets"
			}
			c.say(n.Offset, ruleUnit, fmt.Sprintf("%q is written, but %s %s", oneLine(q.with(q.number)), n.Name, inUnit(told)), hint)
			return
		}
	}
	c.report.Forms[n] = q
	c.report.Quotes++
	computed := q.number.InForm(x, q.scale)
	c.report.Printed[n] = q.agreeing(computed)
	if computed.Digits == q.number.Digits && computed.Negative() == q.number.Negative() {
		return
	}
	d := Drift{
		Node: n, Written: q.with(q.number), Computed: q.agreeing(computed),
		Offset: n.Offset + at, Number: computed.String(),
	}
	d.End = d.Offset + len(q.number.String())
	if c.entry() {
		c.differs(n, d)
		return
	}
	c.report.Drifts = append(c.report.Drifts, d)
	c.say(n.Offset, RuleDrift, fmt.Sprintf("%q is written, but %s gives %s (%s)", oneLine(d.Written), source, oneLine(d.Computed), n.Name),
		"find out why it changed; if it is right, slipring proof -amend writes it in")
}

func inUnit(told string) string {
	if told == "" {
		return "has no unit"
	}
	return "is in " + told
}

func unitHint(g *language.Language, told string) string {
	list := g.Partners(told)
	if _, ok := g.Factor(told, told); ok && told != "" {
		list = append([]string{told}, list...)
	}
	if len(list) == 0 {
		return "leave the unit out, or tell the value in that unit"
	}
	return "write it in " + strings.Join(list[:min(len(list), 4)], ", ") + ", or tell the value in the unit that you mean"
}

var (
	// space between number and unit, as it may stand in the file
	fileSpace = regexp.MustCompile(`^(?:[\s\x{a0}\x{202f}\x{2009}]|&nbsp;|&#160;|&#x[aA]0;|&thinsp;)+`)

	labelForm = regexp.MustCompile(`^[a-z][a-z0-9]*([.-][a-z0-9]+)*$`) // what a cell may tell

	exponent = regexp.MustCompile(`^[-\x{2212}+]?[0-9.,]+ ?(?:[eE][-+\x{2212}]?[0-9]|[x\x{d7}·*] ?10)`)
)

// readQuote reads a bound text as one number with an optional unit. at is where
// the number begins in the bound text. When it is no quote, problem says so and
// hint what to do.
func readQuote(g *language.Language, n *lesson.Node) (q Form, at int, problem, hint string) {
	bad := func(hint string) (Form, int, string, string) {
		return Form{}, 0, fmt.Sprintf("a quote holds one number and its unit, not %q", oneLine(n.Text)), hint
	}
	for _, child := range n.Children {
		if child.Kind != lesson.Text && child.Kind != lesson.SoftBreak {
			return bad("put emphasis and code around the brackets, not into them")
		}
	}
	text := strings.TrimSpace(words(n))
	m := g.Plain.FindStringSubmatch(text)
	rest := ""
	if m != nil {
		rest = text[len(m[0]):]
	}
	next, _ := utf8.DecodeRuneInString(rest)
	unit := strings.TrimSpace(rest)
	first, _ := utf8.DecodeRuneInString(unit)
	switch {
	case g.Grouped.MatchString(text):
		return bad("write large numbers without separators")
	case exponent.MatchString(text):
		return bad("write the number without an exponent; another unit may help, such as mA for A")
	case g.Range.MatchString(text):
		return bad("a range is two quotes, each bound to its own value")
	case strings.HasPrefix(text, "+"):
		return bad("leave the plus sign out")
	case m == nil && strings.HasPrefix(strings.TrimLeft(text, "-"+language.Minus), g.Decimal):
		return bad("write a zero before the decimal " + g.DecimalName())
	case m == nil:
		return bad("put the number first, and other words outside of the brackets")
	case unicode.IsDigit(next) || next == '.' || next == ',':
		return bad("write " + g.Example())
	case unit != "" && !unicode.IsLetter(first) && first != '%' && first != '°':
		return bad("only a unit may stand behind the number")
	}
	q.number = language.Number{Sign: m[1], Digits: strings.Replace(m[2], g.Decimal, ".", 1), Decimals: len(m[3]), Language: g}
	q.unit = strings.Join(strings.Fields(unit), " ")
	if q.unit != "" {
		q.gap = rest[:len(rest)-len(strings.TrimLeftFunc(rest, unicode.IsSpace))]
		if strings.Trim(q.gap, " \t\r\n") == "" && q.gap != "" {
			q.gap = g.Gap
		}
		if q.gap == "" && g.NeedsGap && q.unit != "°" {
			return bad("put a no-break space between number and unit")
		}
	}
	// The number must stand in the file as it reads, for amending it.
	at = len(fileSpace.FindString(n.Text))
	if !strings.HasPrefix(n.Text[at:], m[0]) {
		return bad("write the number itself with plain digits, and a minus as - or " + language.Minus)
	}
	return q, at, "", ""
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// words gives a text without its markup, on one line.
func words(n *lesson.Node) string {
	var b strings.Builder
	n.Walk(func(n *lesson.Node) bool {
		switch n.Kind {
		case lesson.Text, lesson.CodeSpan, lesson.RawHTML, lesson.Formula:
			b.WriteString(n.Text)
		case lesson.SoftBreak, lesson.HardBreak:
			b.WriteByte(' ')
		}
		return true
	})
	return b.String()
}
