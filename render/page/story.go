package page

import (
	"cmp"
	"fmt"
	"html/template"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/equation"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/story"
	"slipring/engine/tell"
)

// StoryID is the identifier, on a course page, of where a quoted number comes
// from, and EquationID that of an equation there.
func StoryID(label string) string  { return "story." + label }
func EquationID(key string) string { return "equation." + key }

// Story is where one quoted number or one claim comes from, in short.
type Story struct {
	Label     string // that quotes are bound to
	Printed   string // as the first of them prints it; "" for a claim
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

// telling prints what opens the story of a quote or a claim.
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

func (in Input) claim(name string) (tell.Claim, bool) {
	i := slices.IndexFunc(in.Result.Claims, func(c tell.Claim) bool { return c.Name == name })
	if i < 0 {
		return tell.Claim{}, false
	}
	return in.Result.Claims[i], true
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
	show := func(key string, claim bool) bool {
		there := slices.Contains(shown, key)
		if !there && !claim {
			shown, there = append(shown, key), true
		}
		return there
	}
	slices.SortStableFunc(p.stories.list, func(a, b Story) int { return cmp.Compare(claimed(a), claimed(b)) })
	for i := 0; i < len(p.stories.list); i++ { // which grows
		label := p.stories.list[i].Label
		p.putf("<div class=\"story\" id=\"%s\">\n", escape(StoryID(label)))
		var keys []string
		if v, ok := p.in.value(label); ok {
			keys = p.storyOf(v, explains, show)
		} else if card, c, ok := p.in.Constant(label); ok {
			keys = p.storyOfConstant(card, c, explains)
		} else if c, ok := p.in.claim(label); ok {
			keys = p.storyOfClaim(c, explains, show)
		}
		p.stories.list[i].Equations = keys
		p.put("</div>\n")
	}
	for i, keys := range p.stories.with {
		p.putf("<div class=\"with\" id=\"%s\">\n%s\n</div>\n", withID(i), explains.names(keys))
	}
	for _, key := range shown {
		e, _ := story.Find(key)
		p.putf("<div class=\"equation\" id=\"%s\">\n%s</div>\n", escape(EquationID(key)), explains.Equation(e))
	}
	return p.piece()
}

// ofInstruments says whether a name of the engine gives what was read off the
// machine.
func ofInstruments(name string) bool {
	return strings.HasPrefix(name, "bench.Log.") || slices.Contains([]string{"bench.Shelf.Readings", "bench.Shelf.Capture", "bench.Set.Readings"}, name)
}

// claimed is 1 for a claim, and 0 for a number.
func claimed(s Story) int {
	if s.Printed == "" {
		return 1
	}
	return 0
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
func (p *printer) storyOf(v tell.Value, explains Explainer, show func(string, bool) bool) []string {
	number := p.ui.Localize(Plain(v.Number))
	p.putf(`<p class="whole"><data value="%s">%s</data>`, Exact(v.Number), escape(number))
	if unit := UnitSymbol(v.Unit); unit != "" {
		p.putf(" <span class=\"unit\">%s</span>", escape(unit))
	}
	if v.Uncertainty > 0 {
		p.putf(" <span class=\"doubt\">± %s</span>", escape(p.ui.Number(twoDigits(v.Uncertainty))))
	}
	p.putf(" <code translate=\"no\">%s</code></p>\n", escape(v.Name))
	return p.madeBy(v.Name, v.Uncertainty > 0, false, explains, show)
}

// storyOfClaim prints where it comes from that a claim is true.
func (p *printer) storyOfClaim(c tell.Claim, explains Explainer, show func(string, bool) bool) []string {
	said := p.ui.Text("story.holds")
	if !c.Holds {
		n := 0
		for _, holds := range c.Frames {
			if holds {
				n++
			}
		}
		said = p.ui.Text("story.holds-at", "n", n, "of", len(c.Frames))
	}
	p.putf("<p class=\"whole\"><b>%s</b> <code translate=\"no\">%s</code></p>\n", escape(said), escape(c.Name))
	return p.madeBy(c.Name, false, true, explains, show)
}

// madeBy prints what a cell made something of that it told: the equations, the
// constants, and its lines. A claim has so many constants behind it, on two sides,
// that they stand in its equations alone; and it leads to the page of an equation
// that no number of the lesson has brought here, since pages grow long.
func (p *printer) madeBy(name string, doubtful, claim bool, explains Explainer, show func(string, bool) bool) []string {
	t, ok := p.in.told(name)
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
		text, others := "story.solved", "story.with"
		if first.Closed {
			text, others = "story.closed", "story.into"
		}
		if show(keys[0], claim) {
			p.putf("<p>%s <a class=\"main\" href=\"#%s\">%s</a></p>\n", escape(p.ui.Text(text)), escape(EquationID(keys[0])), escape(p.ui.Constant(first.Gives)))
		} else {
			p.putf("<p>%s</p>\n%s\n", escape(p.ui.Text(text)), explains.names(keys[:1]))
		}
		if len(keys) > 1 {
			p.putf("<p>%s <a class=\"main\" href=\"#%s\">%s</a></p>\n", escape(p.ui.Text(others)), withID(p.stories.together(keys[1:])), escape(p.ui.Text("story.others", "n", len(keys)-1)))
		}
	case slices.ContainsFunc(t.Leans, ofInstruments):
		p.putf("<p class=\"read\">%s</p>\n", escape(p.ui.Text("story.readings")))
	case len(made) > 0 || len(t.Of) > 0:
	case claim:
		p.own("story.own-claim")
	case len(t.Knobs) == 0:
		p.own("story.chosen")
	default:
		p.own("story.own")
	}
	if len(made) > 0 && (!claim || len(keys) == 0) {
		p.say("story.constants", "constants", explains.constants(made))
	}
	for _, name := range t.Knobs {
		if i := slices.IndexFunc(p.in.Result.Knobs, func(k tell.Knob) bool { return k.Name == name }); i >= 0 {
			p.say("story.knob", "knob", p.in.Lesson.Told(p.in.Result.Knobs[i].Label))
		}
	}
	if doubtful && len(t.Shaken) > 0 {
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
	written := strconv.FormatFloat(u, 'e', 1, 64) // always reads back
	rounded, _ = strconv.ParseFloat(written, 64)
	_, exponent, _ := strings.Cut(written, "e")
	n, _ := strconv.Atoi(exponent)
	return rounded, max(1-n, 0)
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
	number, doubt := Digits(c.Value, c.Uncertainty, c.Origin)
	p.putf(`<p class="whole"><data value="%s">%s</data> <span class="unit">%s</span>`, Exact(c.Value), escape(p.ui.Localize(number)), escape(UnitSymbol(c.Unit)))
	if doubt != "" {
		p.putf(" <span class=\"doubt\">± %s</span>", escape(p.ui.Localize(doubt)))
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
