package site

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	ui "slipring/render/words"
)

// hangingPath holds a dot, which is in no lesson's name.
const hangingPath = "handout/hanging.sheet.html"

// hangingSheet is the edition of the sheet for whoever hangs the screens.
const hangingSheet = "hanging"

type hangingPage struct {
	waiting
	Screens []hungPage
	Larger  string // by which the button makes text larger
	Start   string // path of the kiosk's first page
}

// hungPage is a screen in the words of the page. Lengths are written in mm.
type hungPage struct {
	hung
	words *ui.Words
	nth   int
	most  float64 // by which the button makes text larger
}

// hanging makes the sheet, where the house states its screens.
func (b *builder) hanging() (shell, bool) {
	most, err := larger(b.House.Screens)
	if err != nil {
		b.fail(err)
		return shell{}, false
	}
	p := hangingPage{waiting: b.waits(), Larger: b.words.Number(most, 2), Start: "kiosk/index.html"}
	for i, s := range b.House.Screens {
		h, err := hang(s)
		if err != nil {
			b.fail(err)
			return shell{}, false
		}
		p.Screens = append(p.Screens, hungPage{h, b.words, i + 1, most})
	}
	return shell{Title: b.title(b.words.Text("hanging.title")), From: b.from(), Page: p}, len(p.Screens) > 0
}

// Hangs says whether there is a sheet for hanging screens, and leads to it.
func (s shell) Hangs() string {
	if len(s.House.Screens) == 0 {
		return ""
	}
	return s.To(hangingPath)
}

// ID is a name for the screen's section.
func (h hungPage) ID() string { return fmt.Sprintf("screen.%d", h.nth) }

func (h hungPage) mm(x float64) string     { return h.words.Number(math.Round(x), 0) }
func (h hungPage) number(x float64) string { return h.words.Number(x, 1) }

// Low and High are the window for the lower edge, rounded inward.
func (h hungPage) Low() string  { return h.words.Number(math.Ceil(h.Lowest), 0) }
func (h hungPage) High() string { return h.words.Number(math.Floor(h.Highest), 0) }

// Says fills a text of the section hanging, all of which may name any number of
// the screen.
func (h hungPage) says(key string, names ...string) template.HTML {
	all := map[string]any{
		"name": h.Name, "low": h.Low(), "high": h.High(), "wide": h.mm(h.Width), "tall": h.mm(h.Height),
		"inches": h.words.Number(h.Diagonal/25.4, 1), "across": h.Screen.Wide, "up": h.Screen.High, "distance": h.mm(h.Distance),
		"capital": h.words.Number(h.Smallest, 2), "angle": h.words.Number(h.Angle, 2), "larger": h.words.Number(h.most, 2),
		"reached": h.words.Number(angle(h.Needed*h.most, h.Distance), 2), "target": h.number(h.Target),
		"least": h.mm(leastReach), "most": h.mm(mostReach), "eye": h.mm(lowestEye),
	}
	var fill []any
	for _, name := range names {
		fill = append(fill, name, all[name])
	}
	return h.words.HTML("hanging."+key, fill...)
}

func (h hungPage) Size() template.HTML {
	key := "size-across"
	if h.Portrait() {
		key = "size-upright"
	}
	return h.says(key, "inches", "wide", "tall")
}

func (h hungPage) Browser() template.HTML { return h.says("browser", "across", "up") }
func (h hungPage) Readers() template.HTML { return h.says("readers", "distance") }
func (h hungPage) Caption() template.HTML { return h.says("caption", "least", "most", "eye") }
func (h hungPage) Edge() template.HTML {
	return h.words.HTML("hanging.edge", "b", ui.Tag("b"), "low", h.Low(), "high", h.High())
}

// check is one line of what was checked.
type check struct{ What, Rule, Asked, Here template.HTML }

// Checks lists what the screen was checked against. What only those can see to
// who stand before it says so.
func (h hungPage) Checks() []check {
	one := func(name string, here ...string) check {
		text := func(part string) template.HTML { return h.words.HTML("hanging." + name + part) }
		return check{text(""), text("-rule"), text("-asked"), h.says(name+"-here", here...)}
	}
	return []check{
		one("capitals", "capital"), one("angle", "angle", "distance", "larger", "reached"), one("targets", "target"),
		one("reach", "low", "high"), one("eye"), one("floor"),
	}
}

// On paper the picture is at most so large, in mm, and its letters so high.
const (
	pictureWide, pictureHigh = 180., 92.
	pictureText              = 3.5
)

// Picture draws the screen at its lowest and at its highest, to scale.
func (h hungPage) Picture() template.HTML {
	const left, gap = 0.16, 0.10 // of the whole width, for what stands beside the screens
	top := max(h.Highest+h.Height, mostReach) + 40
	wide := (2*h.Width + 60) / (1 - left - gap)
	scale := min(pictureWide/wide, pictureHigh/(top+120))
	text := pictureText / scale
	wide = max(wide, 60*text/3)
	high := top + 2*text
	y := func(above float64) float64 { return top - above }
	var out strings.Builder
	id := h.ID()
	fmt.Fprintf(&out, `<svg class="wall" viewBox="0 0 %.0f %.0f" width="%.0fmm" height="%.0fmm" role="img" aria-labelledby="%s.title %s.desc">`,
		wide, high, wide*scale, high*scale, id, id)
	fmt.Fprintf(&out, `<title id="%s.title">%s</title><desc id="%s.desc">%s</desc>`, id, h.says("picture", "name"), id, h.says("described", "low", "high", "least", "most"))
	fmt.Fprintf(&out, `<defs><pattern id="%s.hatch" width="%.0f" height="%.0f" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hatch" vector-effect="non-scaling-stroke" d="M0 0V%.0f"/></pattern></defs>`,
		id, text/2, text/2, text/2)
	from := left * wide
	fmt.Fprintf(&out, `<rect class="reach" x="%.0f" y="%.0f" width="%.0f" height="%.0f"/>`, from, y(mostReach), wide-from, mostReach-leastReach)
	mark := func(class string, above float64, label string) {
		fmt.Fprintf(&out, `<path class="%s" vector-effect="non-scaling-stroke" d="M%.0f %.0fH%.0f"/>`, class, from, y(above), wide)
		fmt.Fprintf(&out, `<text x="%.0f" y="%.0f" font-size="%.0f" text-anchor="end">%s</text>`, from-text/3, y(above)+text/3, text, template.HTMLEscapeString(label))
	}
	mark("limit", mostReach, h.mm(mostReach))
	mark("eye", lowestEye, h.mm(lowestEye))
	mark("limit", leastReach, h.mm(leastReach))
	mark("floor", 0, h.words.Text("hanging.ground"))
	room := (wide - from - 2*h.Width) / 3
	for i, edge := range [...]float64{h.Lowest, h.Highest} {
		x := from + room + float64(i)*(h.Width+room)
		label := h.words.Text("hanging.lowest", "edge", h.Low())
		if i == 1 {
			label = h.words.Text("hanging.highest", "edge", h.High())
		}
		fmt.Fprintf(&out, `<rect class="glass" vector-effect="non-scaling-stroke" x="%.0f" y="%.0f" width="%.0f" height="%.0f"/>`, x, y(edge+h.Height), h.Width, h.Height)
		fmt.Fprintf(&out, `<rect class="controls" fill="url(#%s.hatch)" x="%.0f" y="%.0f" width="%.0f" height="%.0f"/>`,
			id, x, y(edge+(1-h.Zone.Top)*h.Height), h.Width, (h.Zone.Bottom-h.Zone.Top)*h.Height)
		fmt.Fprintf(&out, `<path class="edge" vector-effect="non-scaling-stroke" d="M%.0f %.0fV%.0f"/>`, x+h.Width/2, y(edge), y(0))
		fmt.Fprintf(&out, `<text x="%.0f" y="%.0f" font-size="%.0f" text-anchor="middle">%s</text>`, x+h.Width/2, y(0)+1.3*text, text, template.HTMLEscapeString(label))
	}
	out.WriteString("</svg>")
	return template.HTML(out.String())
}
