package site

import "slipring/render/page"

type handoutPage struct {
	*entry
	page.Handout
	Edition string // what it is called at its top
	Guide   bool
}

// LargePrintPath holds a dot, which no lesson's name does.
func (e *entry) LargePrintPath() string {
	return e.edition.path("handout/" + e.Lesson.Slug + ".large.html")
}

// handoutPages makes the editions of a lesson's handout.
func (b *builder) handoutPages(e *entry) {
	base, say := "handout/"+e.Lesson.Slug, b.words.Text
	b.handoutPage(base+".html", say("handout.window"), handoutPage{e, e.handout, say("handout.visitors"), false})
	b.handoutPage(base+"-guide.html", say("handout.window-guide"), handoutPage{e, e.guide, say("handout.guide"), true})
	b.handoutPage(base+".large.html", say("handout.window-large"), handoutPage{e, e.large, say("handout.large"), false}, "handout-large")
}

func (b *builder) handoutPage(path, window string, p handoutPage, styles ...string) {
	s := shell{Title: b.title(p.Lesson.Title, window), From: b.from(p.entry), Of: p.entry, Print: true, Page: p}
	if p.Moves {
		s.moves()
	}
	s.Styles = append(s.Styles, styles...)
	b.write(path, "handout", s)
}

// handoutMap is the page that leads to all handouts.
func (b *builder) handoutMap() {
	b.write("handout/index.html", "handout-map", shell{
		Title: b.title(b.words.Text("handout.title")), From: b.from(b.lessons...), Page: b.lessons})
}
