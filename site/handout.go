package site

import (
	"strings"

	"slipring/engine/diag"
	"slipring/render/page"
)

type handoutPage struct {
	*lessonPages
	page.Handout
	Edition string // what it is called at its top
	Guide   bool
	Place   place // where in the whole set the lesson is
}

// Uncited counts the lesson's sources that the sheet does not cite.
func (p handoutPage) Uncited() int { return len(p.Report.Sources) - len(p.Sources) }

// sheet is the reader of one edition of a lesson's handout. Title and window are
// the keys of what it is called at its top and in the browser's window.
func sheet(name string, of page.Edition, path, title, window string, features ...page.Feature) reader {
	return reader{
		name: name,
		kind: kind{path: path, template: "handout", features: append([]page.Feature{page.WholeSet}, features...), paper: true},
		print: func(b *builder, e *lessonPages) (messages []diag.Message) {
			e.sheets[of], messages = page.NewHandout(e.Input, of)
			return messages
		},
		page: func(b *builder, e *lessonPages) (shell, bool) {
			p := handoutPage{e, e.sheets[of], b.words.Text(title), of == page.Guide, b.place(e, "whole", true)}
			return shell{Title: b.title(e.Lesson.Title, b.words.Text(window)), Features: p.Features, Page: p}, !e.Lesson.Facts.Beside
		},
	}
}

// handoutMap is the page that leads to all handouts.
func (b *builder) handoutMap() (shell, bool) {
	return shell{Title: b.title(b.words.Text("handout.title")), From: b.from(b.lessons...), Page: b.course()}, true
}

// Sheet is a page that is made to be printed.
type Sheet struct {
	Path    string // in the tree
	Edition string // one of SheetEditions
}

// signOffSheet is the edition of the sheet on which a volunteer signs for the
// whole course.
const signOffSheet = "sign-off"

// SheetEditions lists what sheets there are: those of each lesson, the one for
// the whole course, and the ones about the kiosk.
func SheetEditions() []string {
	var names []string
	for _, r := range readers() {
		if r.paper {
			names = append(names, r.name)
		}
	}
	return append(names, signOffSheet, machineSheet, hangingSheet, scriptSheet)
}

// Sheets lists the pages that Build makes to be printed, in each language.
func Sheets(in Input) []Sheet {
	editions, err := newEditions(in)
	if err != nil {
		return nil // Build says why
	}
	var sheets []Sheet
	for _, edition := range editions {
		spoken := false
		for _, e := range edition.lessons {
			spoken = spoken || edition.own(e) && onKiosk(in.House, e)
			for _, r := range readers() {
				if r.paper && edition.own(e) && !e.Lesson.Facts.Beside && (r.name != talkSheet || hasTalk(e)) {
					sheets = append(sheets, Sheet{e.Path(r.name), r.name})
				}
			}
		}
		sheets = append(sheets, Sheet{edition.path(signOffPath), signOffSheet})
		if edition.worked() {
			sheets = append(sheets, Sheet{edition.path(machinePath), machineSheet})
		}
		if len(in.House.Screens) > 0 {
			sheets = append(sheets, Sheet{edition.path(hangingPath), hangingSheet})
		}
		if spoken {
			sheets = append(sheets, Sheet{edition.path(scriptPath), scriptSheet})
		}
	}
	return sheets
}

// Name is a name for the sheet's file, without an ending. It differs from that
// of every other sheet.
func (s Sheet) Name() string {
	name := strings.TrimSuffix(s.Path, ".html")
	if own, ok := strings.CutPrefix(name, "handout/"); ok {
		return own
	}
	return strings.ReplaceAll(name, "/", ".") // a lesson's name holds no dot
}
