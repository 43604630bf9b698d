package site

import (
	"fmt"
	"html/template"

	"slipring/render/page"
)

func kioskScripts() []string { return []string{"screens", "kiosk"} }

// screen is one screen of a lesson on the kiosk. The first shows the lesson's
// title and its cautions in full, so that nobody reaches a panel past them.
type screen struct {
	page.Panel
	First      bool
	Number, Of int // from 1
	ID         string
	Back, Next string // links; "" at either end
}

type kioskPage struct {
	*entry
	Cautions []template.HTML
	Screens  []screen
	Knobs    template.HTML
	Idle     int // seconds without a touch, then back to the map; 0 leaves it to the script
}

func (b *builder) kioskPage(e *entry) {
	p := kioskPage{entry: e, Cautions: e.kiosk.Cautions, Knobs: e.kiosk.Knobs, Idle: b.House.Idle}
	of := len(e.kiosk.Panels) + 1
	for i := range of {
		s := screen{First: i == 0, Number: i + 1, Of: of, ID: screenID(i)}
		if i > 0 {
			s.Panel = e.kiosk.Panels[i-1]
			s.Back = "#" + screenID(i-1)
		}
		if i+1 < of {
			s.Next = "#" + screenID(i+1)
		}
		p.Screens = append(p.Screens, s)
	}
	s := shell{
		Title:   b.title(e.Lesson.Title, b.words.Text("kiosk.window")),
		From:    b.from(e),
		Of:      e,
		Kiosk:   true,
		Scripts: kioskScripts(),
		Page:    p,
	}
	if e.kiosk.Knobs != "" {
		s.turns()
	}
	if e.kiosk.Moves {
		s.moves()
	}
	if e.kiosk.Sounds {
		s.hears()
	}
	b.write("kiosk/"+e.Lesson.Slug+".html", "kiosk", s)
}

// screenID holds a dot, which no heading's identifier does.
func screenID(i int) string { return fmt.Sprintf("screen.%d", i+1) }

// Entry is for the template.
func (p kioskPage) Entry() *entry { return p.entry }
