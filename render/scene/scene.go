// Package scene draws a house's whole demonstration as SVG, from the
// description in its lessons folder.
//
//	drawing := scene.Draw(read, scene.Settings{ID: "scene", Language: "en"})
//
// The drawing holds classes instead of colours, so that a page's style sheet
// decides how it looks: below the class whole those of materials (Materials),
// line and thin (strokes), glow (what shines), gone (what stands there no
// more), part, lit and dim (one part among the others), ring (around what is
// lit), mark (a number in its disc), hit (what a finger may touch) and flow (a
// current that moves). Nothing is told by colour alone.
//
// What moves with a machine is drawn with a name, and Moves says how;
// package motion plays it.
package scene

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/card"
	"slipring/render/markup"
)

// Settings says how a scene is drawn. The zero value works.
type Settings struct {
	ID          string     // of the drawing, unique on its page; "scene" when empty
	Class       string     // one more, for a page that plays it
	Language    string     // of the scene's words; not said when empty
	Description string     // for those who listen
	Lesson      string     // parts about it are lit and have a ring; the others are dimmed where there are any
	View        [4]float64 // the stretch of the sheet that is drawn, as Near gives it, without what does not reach into it; all when 0
	Marks       float64    // height of the numbers, in units of the sheet; no numbers when 0

	// Mark gives what stands in the disc of a part; its number when nil, and no
	// disc where it gives "".
	Mark func(card.ScenePart) string

	// Link gives where a touch on a part leads; "" for nowhere.
	Link func(card.ScenePart) string

	// Still gives what each moving thing has at the instant that is drawn:
	// names of attributes and their values by turns. What it does not name
	// stands still.
	Still map[string][]string
}

// Move says how a thing of the drawing moves.
type Move struct {
	Part string // the name of the thing in data-part
	Does Doing
	By   string  // what it goes by: one of the constants below
	X, Y float64 // what it turns about
}

// Doing is what a thing of a drawing does when it moves.
type Doing string

// What things do, and what by.
const (
	Turns  Doing = "turn"  // by degrees
	Slides Doing = "slide" // its dashes, by units
	Shows  Doing = "show"  // while a contact is closed

	ByShaft    = "angle"   // of the shaft
	ByHammer   = "hammer"  // to and fro with the output's current
	ByOutput   = "sway"    // what the output's current has carried
	ByBattery  = "drift"   // what the motor's current has carried
	ByGovernor = "contact" // of the governor
)

// Dash is the length, in units of the sheet, after which the dashes of a
// current repeat.
const Dash = 24

// Shapes lists what parts can draw.
func Shapes() []card.Shape {
	var all []card.Shape
	for _, s := range table() {
		all = append(all, s.Shape)
	}
	return all
}

// Materials lists what parts can be made of.
func Materials() []string {
	return []string{"iron", "dark", "brass", "copper", "wood", "stone", "paper", "glass", "earth", "water"}
}

// Draw draws a scene. The same scene with the same settings gives the same
// bytes.
func Draw(s card.Scene, set Settings) string {
	svg, _ := drawn(s, set)
	return svg
}

// Moves lists what moves in a scene, in the order in which it is drawn.
func Moves(s card.Scene) []Move {
	_, moves := drawn(s, Settings{})
	return moves
}

func drawn(s card.Scene, set Settings) (string, []Move) {
	if set.ID == "" {
		set.ID = "scene"
	}
	p := &pen{still: set.Still, slant: slant}
	if set.View == [4]float64{} {
		set.View = [4]float64{0, 0, s.Width, s.Height}
	}
	role := "img"
	if set.Link != nil {
		role = "group" // what is inside can be reached
	}
	about := []string{"class", strings.TrimSpace(set.Class + " whole"), "id", set.ID, "xmlns", "http://www.w3.org/2000/svg", "viewBox", ViewBox(set.View), "role", role}
	if set.Language != "" {
		about = append(about, "lang", set.Language)
	}
	about = append(about, "aria-labelledby", set.ID+"-title")
	if set.Description != "" {
		about = append(about, "aria-describedby", set.ID+"-desc")
	}
	p.open("svg", about...)
	p.text("title", s.Title, "id", set.ID+"-title")
	if set.Description != "" {
		p.text("desc", set.Description, "id", set.ID+"-desc")
	}
	lit := map[string]bool{}
	for _, one := range s.About(set.Lesson) {
		lit[one.Label] = true
	}
	p.open("g")
	for i, one := range s.Parts {
		class := "part"
		switch {
		case lit[one.Label]:
			class += " lit"
		case len(lit) > 0:
			class += " dim"
		}
		if one.Gone {
			class += " gone"
		}
		if !inside(one, set.View) {
			continue
		}
		p.open("g", "class", class, "id", partID(set.ID, i))
		paint(p, one)
		p.close("g")
	}
	p.close("g")
	for _, one := range s.Parts {
		if lit[one.Label] {
			ring(p, s, one)
		}
	}
	if set.Marks > 0 {
		for _, t := range tags(s, set) {
			t.draw(p, set, lit[t.of.Label])
		}
	}
	if set.Link != nil {
		for _, t := range Touched(s, set.Link) {
			p.open("a", "href", t.To, "tabindex", "-1", "aria-hidden", "true")
			p.element("rect", "class", "hit", "fill", "none", "x", markup.Tenths(t.Box[0]), "y", markup.Tenths(t.Box[1]), "width", markup.Tenths(t.Box[2]), "height", markup.Tenths(t.Box[3]), "rx", "18")
			p.close("a")
		}
	}
	p.close("svg")
	return p.String(), p.moves
}

// paint draws a part at each of its places.
func paint(p *pen, one card.ScenePart) {
	all := table()
	i := slices.IndexFunc(all, func(s shape) bool { return s.Name == one.Draws })
	if i < 0 {
		return // package card lets no such shape through
	}
	p.of, p.lit = one.Of, one.Lit
	if all[i].Line {
		all[i].draw(p, one)
		return
	}
	for _, at := range one.At {
		p.open("g", "transform", "translate("+markup.Tenths(at[0])+" "+markup.Tenths(at[1])+")")
		all[i].draw(p, one)
		p.close("g")
	}
}

// Box gives the smallest box around a part, or around its n-th place.
func box(one card.ScenePart) (x, y, w, h float64) {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, at := range one.At {
		x0, y0 = min(x0, at[0]-one.Width/2), min(y0, at[1]-one.Height/2)
		x1, y1 = max(x1, at[0]+one.Width/2), max(y1, at[1]+one.Height/2)
	}
	return x0, y0, x1 - x0, y1 - y0
}

// places gives a box for each place of a part; a line has one for all points.
func places(one card.ScenePart) (all [][4]float64) {
	if one.Width == 0 {
		x, y, w, h := box(one)
		return [][4]float64{{x, y, w, h}}
	}
	for _, at := range one.At {
		all = append(all, [4]float64{at[0] - one.Width/2, at[1] - one.Height/2, one.Width, one.Height})
	}
	return all
}

// ring draws the line around what is lit.
func ring(p *pen, s card.Scene, one card.ScenePart) {
	if one.Width == 0 {
		return // a line is lit along itself
	}
	const room = 12
	for _, b := range places(one) {
		x0, y0 := max(b[0]-room, 4), max(b[1]-room, 4)
		x1, y1 := min(b[0]+b[2]+room, s.Width-4), min(b[1]+b[3]+room, s.Height-4)
		p.element("rect", "class", "ring", "fill", "none", "stroke", "currentColor", "x", markup.Tenths(x0), "y", markup.Tenths(y0), "width", markup.Tenths(x1-x0), "height", markup.Tenths(y1-y0), "rx", "26")
	}
}

// finger is how wide and high, in units of the sheet, what can be touched is at
// least.
const finger = 104

// Touch is a box on the sheet in which a touch leads somewhere: left, top, width
// and height.
type Touch struct {
	To  string
	Box [4]float64
}

// Touched gives the boxes of all parts that lead somewhere, none smaller than a
// finger. A line is touched at its number. Boxes that lead to the same place and
// lie over each other become one.
func Touched(s card.Scene, link func(card.ScenePart) string) (all []Touch) {
	for _, one := range s.Parts {
		to := link(one)
		if to == "" {
			continue
		}
		from := places(one)
		if one.Width == 0 {
			x, y := spot(s, one, finger/2)
			from = [][4]float64{{x, y, 0, 0}}
		}
		for _, b := range from {
			w, h := max(b[2], finger), max(b[3], finger)
			x := min(max(b[0]+b[2]/2-w/2, 0), s.Width-w)
			y := min(max(b[1]+b[3]/2-h/2, 0), s.Height-h)
			all = append(all, Touch{to, [4]float64{x, y, w, h}})
		}
	}
	for i := 0; i < len(all); i++ {
		for k := i + 1; k < len(all); k++ {
			if a, b := all[i], all[k]; a.To == b.To && over(a.Box, b.Box) {
				all[i].Box = joined(a.Box, b.Box)
				all = slices.Delete(all, k, k+1)
				i, k = -1, len(all) // look at all of them again
			}
		}
	}
	return all
}

// over says whether two boxes lie over each other.
func over(a, b [4]float64) bool {
	return a[0] < b[0]+b[2] && b[0] < a[0]+a[2] && a[1] < b[1]+b[3] && b[1] < a[1]+a[3]
}

// joined gives the box around two.
func joined(a, b [4]float64) [4]float64 {
	x, y := min(a[0], b[0]), min(a[1], b[1])
	return [4]float64{x, y, max(a[0]+a[2], b[0]+b[2]) - x, max(a[1]+a[3], b[1]+b[3]) - y}
}

func partID(id string, n int) string { return id + "." + strconv.Itoa(n) }

// inside says whether a part reaches into a stretch of the sheet.
func inside(one card.ScenePart, view [4]float64) bool {
	return slices.ContainsFunc(places(one), func(b [4]float64) bool { return over(b, view) })
}

// Crop draws a stretch of the sheet by the parts of a drawing of the whole, with
// an identifier, that stands on the same page. Only those that reach into it are
// asked for: a browser lays out each of them anew.
func Crop(s card.Scene, id string, view [4]float64) string {
	p := &pen{}
	p.open("svg", "class", "whole crop", "viewBox", ViewBox(view), "aria-hidden", "true")
	for i, one := range s.Parts {
		if inside(one, view) {
			p.element("use", "href", "#"+partID(id, i))
		}
	}
	p.close("svg")
	return p.String()
}

// Around gives a stretch of the sheet that shows what a lesson is about, as a
// viewBox: left, top, width and height, in the given proportion of width to
// height. Without a part about it, it is the whole sheet.
func Around(s card.Scene, lesson string, proportion float64) [4]float64 {
	about := s.About(lesson)
	if len(about) == 0 {
		return fit(s, 0, 0, s.Width, s.Height, proportion)
	}
	return Near(s, about[0], proportion)
}

// Near does the same for one part.
func Near(s card.Scene, one card.ScenePart, proportion float64) [4]float64 {
	b := places(one)[0]
	const room, least = 30, 190
	w, h := max(b[2]+2*room, least), max(b[3]+2*room, least/proportion)
	return fit(s, b[0]+b[2]/2-w/2, b[1]+b[3]/2-h/2, w, h, proportion)
}

// fit widens a box to a proportion, and moves it onto the sheet as far as it
// goes.
func fit(s card.Scene, x, y, w, h, proportion float64) [4]float64 {
	if w < h*proportion {
		x -= (h*proportion - w) / 2
		w = h * proportion
	} else {
		y -= (w/proportion - h) / 2
		h = w / proportion
	}
	if w <= s.Width {
		x = min(max(x, 0), s.Width-w)
	}
	if h <= s.Height {
		y = min(max(y, 0), s.Height-h)
	}
	return [4]float64{x, y, w, h}
}

// ViewBox writes a stretch of the sheet as the attribute has it.
func ViewBox(b [4]float64) string {
	return strings.Join([]string{markup.Tenths(b[0]), markup.Tenths(b[1]), markup.Tenths(b[2]), markup.Tenths(b[3])}, " ")
}
