package page

import (
	"fmt"
	"html/template"
	gomath "math"
	"regexp"
	"slices"
	"strings"

	"slipring/engine/equation"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/story"
	"slipring/engine/tell"
	"slipring/render/math"
)

// StoryID is the identifier, on a course page, of where a quoted number comes
// from, and EquationID that of an equation there.
func StoryID(label string) string  { return "story." + label }
func EquationID(key string) string { return "equation." + key }

// Story is where one quoted number comes from, in short.
type Story struct {
	Label     string // that quotes are bound to
	Printed   string // as the first of them prints it
	Equations []string
}

// mostEquations is how many equations a story names.
const mostEquations = 8

// stories collects what a page's quotes are bound to.
type stories struct {
	list  []Story
	with  [][]string // keys of equations that act together; many stories share them
	plain int        // depth of what must not hold a link: labels, headings, links
}

// together gives the place of keys among those that act together.
func (s *stories) together(keys []string) int {
	i := slices.IndexFunc(s.with, func(had []string) bool { return slices.Equal(had, keys) })
	if i < 0 {
		i = len(s.with)
		s.with = append(s.with, keys)
	}
	return i
}

func withID(i int) string { return fmt.Sprintf("with.%d", i+1) }

// telling prints what opens the story of a quote.
func (p *printer) telling(label, printed string, inner func()) {
	if p.stories == nil || p.stories.plain > 0 {
		inner()
		return
	}
	if !slices.ContainsFunc(p.stories.list, func(s Story) bool { return s.Label == label }) {
		p.stories.list = append(p.stories.list, Story{Label: label, Printed: printed})
	}
	p.putf(`<a class="told" href="#%s">`, escape(StoryID(label)))
	inner()
	p.put("</a>")
}

// plainly prints what must not hold links of quotes.
func (p *printer) plainly(inner func()) {
	if p.stories != nil {
		p.stories.plain++
		defer func() { p.stories.plain-- }()
	}
	inner()
}

// told finds what the cells say of a number.
func (in Input) told(name string) (lesson.Told, bool) {
	for _, bare := range []string{name, strings.TrimSuffix(strings.TrimSuffix(name, ".least"), ".most")} {
		for _, t := range in.Told {
			if t.Name == bare {
				return t, true
			}
		}
	}
	for _, t := range in.Told {
		if !strings.Contains(t.Name, "*") {
			continue
		}
		form := "^" + strings.ReplaceAll(regexp.QuoteMeta(t.Name), `\*`, ".+") + "$"
		if regexp.MustCompile(form).MatchString(name) {
			return t, true
		}
	}
	return lesson.Told{}, false
}

func (in Input) value(name string) (tell.Value, bool) {
	i := slices.IndexFunc(in.Result.Values, func(v tell.Value) bool { return v.Name == name })
	if i < 0 {
		return tell.Value{}, false
	}
	return in.Result.Values[i], true
}

// equations gives the keys of the equations that a number leans on: the nearest
// first, and only those of parts that the lesson's cards have.
func (in Input) equations(t lesson.Told) []string {
	var keys []string
	take := func(key string) {
		part, _, _ := strings.Cut(key, ".")
		if part == "low-tone" && slices.Contains(t.Leans, "bench.Set.HighTone") && !slices.Contains(t.Leans, "bench.Set.LowTone") {
			key = "high" + strings.TrimPrefix(key, "low")
		}
		_, ofMachine := machine.Describe(part)
		on := slices.ContainsFunc(in.Opened(), func(c machine.Card) bool { return c.Has(part) })
		if (on || !ofMachine) && !slices.Contains(keys, key) && len(keys) < mostEquations {
			keys = append(keys, key)
		}
	}
	var all [][]string
	for _, name := range t.Leans {
		all = append(all, story.Decides(name))
	}
	for _, these := range all {
		if len(these) > 0 {
			take(these[0])
		}
	}
	for _, these := range all {
		for _, key := range these {
			take(key)
		}
	}
	return keys
}

// constants gives the constants of a card that a number is made of.
func constants(t lesson.Told) []string {
	out := slices.Clone(t.Constants)
	for _, name := range t.Leans {
		for _, c := range story.Constants(name) {
			if !slices.Contains(out, c) {
				out = append(out, c)
			}
		}
	}
	return out
}

// tellStories prints the stories of all quotes, and the equations that they lead
// to.
func (p *printer) tellStories() template.HTML {
	if len(p.stories.list) == 0 {
		return ""
	}
	p.has(Stories)
	explains := Explainer{Words: p.ui, Cards: p.in.Opened(), Links: p.links}
	var shown []string
	show := func(key string) {
		if !slices.Contains(shown, key) {
			shown = append(shown, key)
		}
	}
	for i := 0; i < len(p.stories.list); i++ { // which grows
		label := p.stories.list[i].Label
		p.putf("<div class=\"story\" id=\"%s\">\n", escape(StoryID(label)))
		var keys []string
		if v, ok := p.in.value(label); ok {
			keys = p.storyOf(v, explains, show)
		} else if card, c, ok := p.in.Constant(label); ok {
			keys = p.storyOfConstant(card, c, explains)
		}
		p.stories.list[i].Equations = keys
		p.put("</div>\n")
	}
	for i, keys := range p.stories.with {
		p.putf("<div class=\"with\" id=\"%s\">\n%s\n</div>\n", withID(i), p.ui.HTML("story.with", "equations", explains.names(keys)))
	}
	for _, key := range shown {
		e, _ := story.Find(key)
		p.putf("<div class=\"equation\" id=\"%s\">\n%s</div>\n", escape(EquationID(key)), explains.Equation(e))
	}
	return p.piece()
}

// say prints a text as a paragraph.
func (p *printer) say(key string, fill ...any) {
	p.putf("<div class=\"says\">%s</div>\n", p.ui.HTML(key, fill...))
}

// own says that a number is the lesson's own: no equation of the engine and no
// card is behind it.
func (p *printer) own(key string) {
	p.putf("<p class=\"own\">%s</p>\n", escape(p.ui.Text(key)))
}

// storyOf prints where a number comes from that a cell told.
func (p *printer) storyOf(v tell.Value, explains Explainer, show func(string)) []string {
	number := p.ui.Localize(Exact(v.Number))
	p.putf(`<p class="whole"><data value="%s">%s</data>`, Exact(v.Number), escape(number))
	if unit := UnitSymbol(v.Unit); unit != "" {
		p.putf(" <span class=\"unit\">%s</span>", escape(unit))
	}
	if v.Uncertainty > 0 {
		p.putf(" <span class=\"doubt\">± %s</span>", escape(p.ui.Number(twoDigits(v.Uncertainty))))
	}
	p.putf(" <code translate=\"no\">%s</code></p>\n", escape(v.Name))
	t, ok := p.in.told(v.Name)
	if !ok {
		p.say("story.unread")
		return nil
	}
	keys := p.in.equations(t)
	made := constants(t)
	if len(t.Of) > 0 {
		p.say("story.of", "numbers", p.made(t.Of))
	}
	switch {
	case len(keys) > 0:
		first, _ := story.Find(keys[0])
		text := "story.solved"
		if first.Closed {
			text = "story.closed"
		}
		show(keys[0])
		p.putf("<p>%s <a class=\"main\" href=\"#%s\">%s</a></p>\n", escape(p.ui.Text(text)), escape(EquationID(keys[0])), escape(p.ui.Constant(first.Gives)))
		if len(keys) > 1 {
			p.putf("<p><a class=\"main\" href=\"#%s\">%s</a></p>\n", withID(p.stories.together(keys[1:])), escape(p.ui.Text("story.others", "n", len(keys)-1)))
		}
	case slices.Contains(t.Leans, "bench.Shelf.Readings"):
		p.own("story.readings")
	case len(made) == 0 && len(t.Of) == 0 && len(t.Knobs) == 0:
		p.own("story.chosen")
	case len(made) == 0 && len(t.Of) == 0:
		p.own("story.own")
	}
	if len(made) > 0 {
		p.say("story.constants", "constants", explains.constants(made))
	}
	for _, name := range t.Knobs {
		if i := slices.IndexFunc(p.in.Result.Knobs, func(k tell.Knob) bool { return k.Name == name }); i >= 0 {
			p.say("story.knob", "knob", p.in.Lesson.Told(p.in.Result.Knobs[i].Label))
		}
	}
	if v.Uncertainty > 0 && len(t.Shaken) > 0 {
		p.say("story.doubt", "constants", explains.constants(t.Shaken))
	}
	if len(keys) == 0 && len(p.in.Report.Sources) > 0 {
		p.putf("<p><a class=\"sources-here\" href=\"#sources.here\">%s</a></p>\n", escape(p.ui.Text("story.sources")))
	}
	p.lines(t)
	return keys
}

// twoDigits rounds a doubt to two digits (JCGM 100:2008, 7.2.6), and says how many
// decimals that leaves.
func twoDigits(u float64) (rounded float64, decimals int) {
	place := tell.Place(u) + 1
	per := gomath.Pow(10, float64(place))
	return gomath.Round(u*per) / per, max(place, 0)
}

// made prints the names of other numbers, which have stories of their own then.
func (p *printer) made(names []string) template.HTML {
	var out []string
	for _, name := range names {
		v, ok := p.in.value(name)
		if !ok {
			continue
		}
		printed := withUnit(p.ui.Localize(fmt.Sprintf("%.4g", v.Number)), UnitSymbol(v.Unit))
		if !slices.ContainsFunc(p.stories.list, func(s Story) bool { return s.Label == name }) {
			p.stories.list = append(p.stories.list, Story{Label: name, Printed: printed})
		}
		out = append(out, fmt.Sprintf(`<a class="told" href="#%s"><code translate="no">%s</code> %s</a>`, escape(StoryID(name)), escape(name), escape(printed)))
	}
	return template.HTML(strings.Join(out, ", "))
}

// mostVia is how many lines of definitions a story shows.
const mostVia = 4

// lines prints the line of the cell that told a number, below those that define
// what stands in it.
func (p *printer) lines(t lesson.Told) {
	var lines []string
	for _, at := range append([]lesson.Place{t.Place}, t.Via[:min(len(t.Via), mostVia)]...) {
		lines = append(lines, p.sourceLine(at))
	}
	slices.Reverse(lines)
	p.putf("<pre class=\"line\" tabindex=\"0\"><code>%s</code></pre>\n", strings.Join(lines, "\n"))
}

// sourceLine gives a stretch of a cell as one line.
func (p *printer) sourceLine(at lesson.Place) string {
	source := p.in.Lesson.Cells[at.Cell].Source
	line, rest, more := strings.Cut(source[at.From:min(at.To, len(source))], "\n")
	if line = strings.TrimRight(line, " \t"); more && strings.TrimSpace(rest) != "" {
		line += " …"
	}
	return escape(line)
}

// storyOfConstant prints where a number comes from that stands on a card.
func (p *printer) storyOfConstant(card string, c machine.Constant, explains Explainer) []string {
	p.putf(`<p class="whole"><data value="%s">%s</data> <span class="unit">%s</span>`, Exact(c.Value), escape(p.ui.Localize(Exact(c.Value))), escape(UnitSymbol(c.Unit)))
	if c.Uncertainty > 0 {
		p.putf(" <span class=\"doubt\">± %s</span>", escape(p.ui.Localize(Exact(c.Uncertainty))))
	}
	p.putf(" <code translate=\"no\">%s</code></p>\n", escape(c.Name()))
	p.say("story.card", "what", p.ui.Constant(c.Doc), "card", template.HTML("<b>"+escape(card)+"</b>"), "origin", p.ui.Text(OriginText(c.Origin)))
	if p.links.Note != nil {
		if note := p.links.Note(card, c); note != "" {
			p.putf("<p>%s</p>\n", note)
		}
	}
	if p.links.Card != nil {
		p.putf("<p><a class=\"logged\" href=\"%s\">%s</a></p>\n", escape(p.links.Card(card, c)), escape(p.ui.Text("story.logbook")))
	}
	var keys []string
	for _, part := range story.Parts() {
		for _, e := range part.Equations {
			if slices.ContainsFunc(e.Symbols, func(s equation.Symbol) bool { return s.Constant == c.Name() }) {
				keys = append(keys, e.Key)
			}
		}
	}
	if len(keys) > 0 {
		p.say("story.serves", "equations", explains.names(keys))
	}
	return keys
}

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
		if c, ok := one.Constant(name); ok {
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
	number := escape(withUnit(x.Words.Localize(Exact(c.Value)), UnitSymbol(c.Unit)))
	if c.Uncertainty > 0 {
		number += " ± " + escape(x.Words.Localize(Exact(c.Uncertainty)))
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
	fmt.Fprintf(b, `<tr><td class="sign">%s</td>`, sign)
	if s.Constant == "" {
		words := escape(x.Words.Constant(s.Words))
		if s.Equation != "" {
			words = x.toPart(s.Equation, words)
		}
		fmt.Fprintf(b, "<th scope=\"row\">%s</th><td class=\"amount\">%s</td></tr>\n", words, escape(UnitSymbol(s.Unit)))
		return
	}
	card, c, ok := x.find(s.Constant)
	fmt.Fprintf(b, "<th scope=\"row\">%s</th>", escape(x.Words.Constant(c.Doc)))
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
