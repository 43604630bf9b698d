package site

import (
	"slices"
	"strings"

	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/render/page"
)

// courseLinks gives the links of a lesson's course page, which stands two
// folders deep.
func (b *builder) courseLinks() page.Links {
	return page.Links{
		Lesson: func(l *lesson.Lesson) string {
			for _, e := range b.lessons {
				if e.Lesson.Slug == l.Slug {
					return "../" + strings.TrimPrefix(e.CoursePath(), "course/")
				}
			}
			return "../" + l.Slug + "/index.html"
		},
		Card: func(card string, e machine.Entry) string {
			return "../../" + b.path("logbook/index.html") + "#" + constantID(card, e)
		},
		Term: func(label string) string {
			return "../" + strings.TrimPrefix(b.path(glossaryPath), "course/") + "#" + label
		},
		File:  numbersFile,
		Sound: soundFile,
		Code:  b.codeLink,
	}
}

type coursePage struct {
	*lessonPages
	Needs          []*lessonPages
	Before, Behind *lessonPages
}

func (b *builder) coursePage(e *lessonPages) {
	p := coursePage{lessonPages: e, Needs: b.needs(e)}
	if course := b.course(); !e.Lesson.Facts.Beside {
		i := slices.Index(course, e)
		if i > 0 {
			p.Before = course[i-1]
		}
		if i+1 < len(course) {
			p.Behind = course[i+1]
		}
	}
	s := shell{Title: b.title(e.Lesson.Title, b.words.Text("course.window")), From: b.from(e), Of: e, Page: p}
	if e.course.Knobs != "" {
		s.turns()
	}
	if e.course.Moves {
		s.moves()
	}
	if e.course.Sounds {
		s.hears()
	}
	if e.course.Asks {
		s.asks()
	}
	s.keeps()
	if len(b.versions("course/"+e.Lesson.Slug+"/index.html", e)) > 0 {
		s.Scripts = append(s.Scripts, "places", "language")
	}
	b.write("course/"+e.Lesson.Slug+"/index.html", "course", s)
}

// course lists the lessons of the course, in its order.
func (b *builder) course() []*lessonPages {
	return slices.DeleteFunc(slices.Clone(b.lessons), func(e *lessonPages) bool { return e.Lesson.Facts.Beside })
}

// beside lists the lessons that stand beside the course.
func (b *builder) beside() []*lessonPages {
	return slices.DeleteFunc(slices.Clone(b.lessons), func(e *lessonPages) bool { return !e.Lesson.Facts.Beside })
}

// indexes makes the pages that lead to others.
func (b *builder) indexes() {
	all := b.from(b.lessons...)
	b.write("index.html", "start", shell{Title: b.startTitle(), From: all, Page: b.course()})
	b.courseMap()
	b.signOff()
	b.handoutMap()
	b.kioskStart()
}
