package page

import (
	"encoding/json"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strconv"
	"unicode"
	"unicode/utf8"

	"slipring/engine/lesson"
	"slipring/engine/tell"
	"slipring/render/plot"
)

// KnobData is the identifier of the element in which a page keeps what
// its knobs change.
const KnobData = "knobs.data"

// turning collects what the knobs of one page change, in the form in which the
// page's script reads it. Things point to knobs, and frames to texts, by their
// index. Frames stand in the order of package tell.
type turning struct {
	Knobs   []turningKnob    `json:"knobs"`
	Texts   []string         `json:"texts"`
	Bound   []*turningBound  `json:"bound"`
	Figures []*turningFigure `json:"figures"`
	Sounds  []*turningSound  `json:"sounds"`

	texts   map[string]int
	bound   map[string]int
	figures map[string]*turningFigure
}

type turningKnob struct {
	Start  int       `json:"start"`
	Text   []int     `json:"text"` // of each position
	Number []float64 `json:"number"`
}

// turningBound is a bound text: a number, with its text in each frame, or a
// claim, which has none. Number is 0 in the frames in which a claim is false.
type turningBound struct {
	By     []int     `json:"by"`
	Text   []int     `json:"text,omitempty"`
	Number []float64 `json:"number"`
}

type turningFigure struct {
	By       []int         `json:"by"`
	In       []string      `json:"in"`       // identifiers of its drawings
	Describe []int         `json:"describe"` // of each frame
	Paths    []plot.Moving `json:"paths"`
}

// turningSound is a sound, with the link to its file in each frame.
type turningSound struct {
	By   []int    `json:"by"`
	In   []string `json:"in"` // identifiers of its places
	File []string `json:"file"`
}

func newTurning(in Input) *turning {
	t := &turning{
		// An empty list is none for JSON, unlike a nil one.
		Knobs: []turningKnob{}, Texts: []string{}, Bound: []*turningBound{}, Figures: []*turningFigure{}, Sounds: []*turningSound{},
		texts: map[string]int{}, bound: map[string]int{}, figures: map[string]*turningFigure{},
	}
	for _, k := range in.Result.Knobs {
		var one turningKnob
		one.Start = k.Start
		for i, x := range k.Positions {
			one.Text = append(one.Text, t.text(position(in, k, i)))
			one.Number = append(one.Number, x)
		}
		t.Knobs = append(t.Knobs, one)
	}
	return t
}

// text gives the index of a text.
func (t *turning) text(s string) int {
	i, had := t.texts[s]
	if !had {
		i = len(t.Texts)
		t.texts[s] = i
		t.Texts = append(t.Texts, s)
	}
	return i
}

func (t *turning) add(b *turningBound) int {
	key := fmt.Sprint(b.By, b.Text, b.Number)
	i, had := t.bound[key]
	if !had {
		i = len(t.Bound)
		t.bound[key] = i
		t.Bound = append(t.Bound, b)
	}
	return i
}

// position writes where a knob stands, with as few decimals as all of its
// positions need.
func position(in Input, k tell.Knob, i int) string {
	return withUnit(in.Lesson.Tongue().Number(k.Positions[i], decimalsOf(k)), k.Unit)
}

// decimalsOf gives how many decimals all positions of a knob need.
func decimalsOf(k tell.Knob) int {
	decimals := 0
	for ; decimals < 12; decimals++ {
		exact := true
		for _, x := range k.Positions {
			scaled := x * math.Pow10(decimals)
			exact = exact && math.Abs(scaled-math.Round(scaled)) < 1e-6
		}
		if exact {
			break
		}
	}
	return decimals
}

// withUnit puts a no-break space between a number and its unit.
func withUnit(number, unit string) string {
	if unit == "" {
		return number
	}
	return number + "\u00a0" + unit
}

// by gives the indexes of the knobs that something was told under.
func (p *printer) by(f tell.Framed) []int {
	var by []int
	for _, name := range f.Knobs {
		by = append(by, slices.IndexFunc(p.in.Result.Knobs, func(k tell.Knob) bool { return k.Name == name }))
	}
	return by
}

// follows gives the attribute by which an element follows knobs: "" on paper,
// and for what was told under none.
func (p *printer) follows(f tell.Framed, b turningBound) string {
	if p.turning == nil || len(f.Knobs) == 0 {
		return ""
	}
	b.By = p.by(f)
	return fmt.Sprintf(` data-bound="%d"`, p.turning.add(&b))
}

// quoteFollows does that for a quote.
func (p *printer) quoteFollows(n *lesson.Node, v tell.Value) string {
	form, ok := p.in.Report.Forms[n]
	if p.turning == nil || !ok {
		return ""
	}
	b := turningBound{Number: v.Frames}
	for _, x := range v.Frames {
		b.Text = append(b.Text, p.turning.text(form.Print(x)))
	}
	return p.follows(v.Framed, b)
}

// claimFollows does it for a claim that is not true everywhere, which only an
// author ever sees.
func (p *printer) claimFollows(c tell.Claim) string {
	if !slices.Contains(c.Frames, false) {
		return ""
	}
	var b turningBound
	for _, holds := range c.Frames {
		if holds {
			b.Number = append(b.Number, 1)
		} else {
			b.Number = append(b.Number, 0)
		}
	}
	return p.follows(c.Framed, b)
}

// entryFollows does it for an entry of a table.
func (p *printer) entryFollows(t tell.Table, row, column int) string {
	changes := slices.ContainsFunc(t.Frames, func(rows [][]tell.Entry) bool { return rows[row][column] != t.Rows[row][column] })
	if p.turning == nil || !changes {
		return ""
	}
	var b turningBound
	for _, rows := range t.Frames {
		e := rows[row][column]
		text := p.in.Lesson.Told(e.Text)
		if text == "" {
			text = p.ui.Number(e.Number, t.Columns[column].Decimals)
		}
		b.Number = append(b.Number, e.Number)
		b.Text = append(b.Text, p.turning.text(text))
	}
	return p.follows(t.Framed, b)
}

// figureFollows notes what moves in a drawing.
func (p *printer) figureFollows(f tell.Figure, id string, frames *plot.Frames) {
	if frames == nil || p.turning == nil {
		return
	}
	had := p.turning.figures[f.Name]
	if had == nil {
		had = &turningFigure{By: p.by(f.Framed), Paths: frames.Paths}
		for _, s := range frames.Descriptions {
			had.Describe = append(had.Describe, p.turning.text(s))
		}
		p.turning.figures[f.Name] = had
		p.turning.Figures = append(p.turning.Figures, had)
	}
	had.In = append(had.In, id)
}

// knobs prints the knobs of something that is about to be placed. Without a
// script, and on paper, they only say at which position it is shown.
func (p *printer) knobs(f tell.Framed) {
	for _, k := range f.Under(p.in.Result.Knobs) {
		p.line()
		value := fmt.Sprintf(`<data class="setting" value="%s">%s</data>`, Exact(k.Positions[k.Start]), escape(position(p.in, k, k.Start)))
		if p.turning == nil {
			p.putf("<p class=\"knob\"><strong>%s</strong> %s</p>\n", escape(capital(p.in.Lesson.Told(k.Label))), value)
			continue
		}
		p.has(Knobs)
		index := slices.IndexFunc(p.in.Result.Knobs, func(o tell.Knob) bool { return o.Name == k.Name })
		id := escape(p.id("knob." + k.Name))
		p.putf("<div class=\"knob\" data-knob=\"%d\"><label class=\"called\" for=\"%s\">%s</label> %s\n", index, id, escape(p.in.Lesson.Told(k.Label)), value)
		p.putf("<div class=\"dial\" hidden>%s<input type=\"range\" id=\"%s\" min=\"0\" max=\"%d\" step=\"1\" value=\"%d\" aria-valuetext=\"%s\" autocomplete=\"off\"></div></div>\n",
			p.dial(k), id, len(k.Positions)-1, k.Start, escape(position(p.in, k, k.Start)))
	}
}

// capital writes words with a capital at their beginning.
func capital(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	return string(unicode.ToUpper(first)) + words[size:]
}

// data gives what the page's script reads: "" where there is no knob to turn.
func (p *printer) data() template.HTML {
	if !slices.Contains(p.features, Knobs) {
		return ""
	}
	// encoding/json writes <, > and & as escapes, so that nothing in a text can
	// end the element.
	text, err := json.Marshal(p.turning)
	if err != nil {
		p.fail(p.in.Lesson.Body, "knob", "the frames of knobs cannot be written: "+err.Error(), "this is a mistake in Slipring, not in a lesson; please report it")
		return ""
	}
	return template.HTML("<script type=\"application/json\" id=" + strconv.Quote(KnobData) + ">" + string(text) + "</script>\n")
}
