package site

import (
	"strings"

	"slipring/render/page"
)

type handoutPage struct {
	*lessonPages
	page.Handout
	Edition string // what it is called at its top
	Guide   bool
}

// LargePrintPath holds a dot, which no lesson's name does.
func (e *lessonPages) LargePrintPath() string {
	return e.edition.path("handout/" + e.Lesson.Slug + ".large.html")
}

// handoutPages makes the editions of a lesson's handout.
func (b *builder) handoutPages(e *lessonPages) {
	base, say := "handout/"+e.Lesson.Slug, b.words.Text
	b.handoutPage(base+".html", say("handout.window"), handoutPage{e, e.handout, say("handout.visitors"), false})
	b.handoutPage(base+"-guide.html", say("handout.window-guide"), handoutPage{e, e.guide, say("handout.guide"), true})
	b.handoutPage(base+".large.html", say("handout.window-large"), handoutPage{e, e.large, say("handout.large"), false}, "handout-large")
}

func (b *builder) handoutPage(path, window string, p handoutPage, styles ...string) {
	s := shell{Title: b.title(p.Lesson.Title, window), From: b.from(p.lessonPages), Of: p.lessonPages, Print: true, Page: p}
	if p.Moves {
		s.moves()
	}
	s.Styles = append(s.Styles, styles...)
	b.write(path, "handout", s)
}

// handoutMap is the page that leads to all handouts.
func (b *builder) handoutMap() {
	b.write("handout/index.html", "handout-map", shell{
		Title: b.title(b.words.Text("handout.title")), From: b.from(b.lessons...), Page: b.course()})
}

// Sheet is a page that is made to be printed.
type Sheet struct {
	Path    string // in the tree
	Edition string // one of SheetEditions
}

// SheetEditions lists what sheets there are: three of each lesson, and the one
// on which a volunteer signs for the whole course.
func SheetEditions() []string { return []string{"visitors", "guide", "large", "sign-off"} }

// Sheets lists the pages that Build makes to be printed, in each language.
func Sheets(in Input) []Sheet {
	editions, err := newEditions(in)
	if err != nil {
		return nil // Build says why
	}
	var sheets []Sheet
	for _, edition := range editions {
		for _, e := range edition.lessons {
			if edition.own(e) && !e.Lesson.Facts.Beside {
				sheets = append(sheets, Sheet{e.HandoutPath(), "visitors"}, Sheet{e.GuidePath(), "guide"}, Sheet{e.LargePrintPath(), "large"})
			}
		}
		sheets = append(sheets, Sheet{edition.path(signOffPath), "sign-off"})
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
