package site

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"slipring/engine/tell"
	"slipring/render/motion"
	"slipring/render/page"
)

// The two screens of the kiosk's first page.
const (
	attractID = "kiosk.attract"
	mapID     = "kiosk.map"
)

// kioskStart is the page that the kiosk begins with and comes back to: a
// screen that calls visitors, and the map of all lessons.
type kioskStart struct {
	waiting
	Lessons []*lessonPages
	Invite  string        // one line
	Figure  template.HTML // a told motion; "" where no lesson has any
	surveyed
	Begin []beginning // one a language
}

// beginning is a way into the kiosk in one language, in the words of that
// language.
type beginning struct {
	Language, Name, Touch string
	Href                  string
}

func (b *builder) kioskStart() (shell, bool) {
	on := b.kioskLessons()
	p := kioskStart{waiting: b.waits(), Lessons: on, Invite: b.words.Text("kiosk.invite")}
	for _, e := range b.editions {
		begin := beginning{e.words.Language(), e.words.Name(), e.words.Text("kiosk.touch"), "#" + mapID}
		if e != b.edition {
			begin.Href = relative(b.path("kiosk/index.html"), e.path("kiosk/index.html")) + begin.Href
		}
		p.Begin = append(p.Begin, begin)
	}
	p.surveyed = b.survey("kiosk/index.html", "kiosk", on)
	s := shell{Title: b.title(b.words.Text("kiosk.title")), From: b.from(on...)}
	if m, ok := attraction(on, p.Whole != ""); ok {
		drawing, err := motion.Draw(m, motion.Settings{ID: "motion.attract", Words: b.words, Scene: b.Scene})
		if err != nil {
			b.fail(err)
			return s, false
		}
		p.Invite = b.invitation(m.Mechanism)
		p.Figure = attractFigure(drawing)
		s.Features = append(s.Features, page.Motions)
	}
	s.Page = p
	return s, true
}

// attraction chooses what turns on the kiosk's first screen: the whole set,
// where it is drawn and a lesson tells it; or else the governor of the first
// lesson that tells one; or else the first motion of all.
func attraction(lessons []*lessonPages, drawn bool) (m tell.Motion, ok bool) {
	best := 0
	for _, e := range lessons {
		for _, one := range e.Result.Motions {
			worth := 1
			switch one.Mechanism {
			case tell.Whole:
				if worth = 3; !drawn {
					worth = 0
				}
			case tell.Governor:
				worth = 2
			}
			if worth > best {
				m, best = one, worth
			}
		}
	}
	return m, best > 0
}

// invitation gives the line that goes with a mechanism.
func (b *builder) invitation(m tell.Mechanism) string {
	if key := fmt.Sprintf("kiosk.invite-%s", m); slices.Contains(b.words.Keys(), key) {
		return b.words.Text(key)
	}
	return b.words.Text("kiosk.invite")
}

func attractFigure(d motion.Drawing) template.HTML {
	var out strings.Builder
	out.WriteString("<figure class=\"motion\" data-autoplay>\n" + d.SVG)
	// Draw writes <, > and & in the data as escapes.
	out.WriteString("<script type=\"application/json\" class=\"motion-data\">" + d.Data + "</script>\n")
	out.WriteString("<p class=\"motion-note\">" + template.HTMLEscapeString(d.Note) + "</p>\n</figure>\n")
	return template.HTML(out.String())
}

// Start gives a link to the kiosk's beginning, which is in the house's first
// language whatever the last visitor chose.
func (s shell) Start() string { return relative(s.path, "kiosk/index.html") }

// Nth counts the lessons of the map from 1.
func (s shell) Nth(i int) int { return i + 1 }

// Panels gives the lesson's screens on the kiosk.
func (e *lessonPages) Panels() []page.Panel { return e.kiosk.Panels }
