package site

import "slipring/render/page"

type handoutPage struct {
	*entry
	Guide bool
}

// Handout is for the template.
func (p handoutPage) Handout() page.Handout {
	if p.Guide {
		return p.guide
	}
	return p.handout
}

// handoutPages makes both editions of a lesson's handout.
func (b *builder) handoutPages(e *entry) {
	base := "handout/" + e.Lesson.Slug
	b.write(base+".html", "handout", shell{
		Title: b.title(e.Lesson.Title, b.words.Text("handout.window")), From: b.from(e), Of: e, Print: true, Page: handoutPage{e, false},
	})
	b.write(base+"-guide.html", "handout", shell{
		Title: b.title(e.Lesson.Title, b.words.Text("handout.window-guide")), From: b.from(e), Of: e, Print: true, Page: handoutPage{e, true},
	})
}
