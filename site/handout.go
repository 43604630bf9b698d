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
	b.handoutPage(base+".html", b.words.Text("handout.window"), handoutPage{e, false})
	b.handoutPage(base+"-guide.html", b.words.Text("handout.window-guide"), handoutPage{e, true})
}

func (b *builder) handoutPage(path, window string, p handoutPage) {
	s := shell{Title: b.title(p.Lesson.Title, window), From: b.from(p.entry), Of: p.entry, Print: true, Page: p}
	if p.Handout().Moves {
		s.moves()
	}
	b.write(path, "handout", s)
}
