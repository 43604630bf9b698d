package site

import (
	"html/template"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/render/page"
)

type coursePage struct {
	*lessonPages
	Needs          []*lessonPages
	Before, Behind *lessonPages
}

// NeedLinks gives links to the lessons that come first.
func (p coursePage) NeedLinks(s shell) template.HTML {
	var links []string
	for _, e := range p.Needs {
		links = append(links, string(s.lessonLink(e)))
	}
	return template.HTML(strings.Join(links, ", "))
}

func (b *builder) printCourse(e *lessonPages) (messages []diag.Message) {
	links := b.linksFrom("course", e)
	links.Lesson = b.lessonHref
	e.course, messages = page.NewCourse(e.Input, links)
	e.atMachine = page.NewAtMachine(e.Input, b.machineLinks(e)) // in which nothing is wrong that is not on the lesson's page too
	return messages
}

// lessonHref gives the link from one lesson of the course to another.
func (b *builder) lessonHref(l *lesson.Lesson) string {
	for _, e := range b.lessons {
		if e.Lesson.Slug == l.Slug {
			return "../" + strings.TrimPrefix(e.Path("course"), "course/")
		}
	}
	return "../" + l.Slug + "/index.html"
}

func (b *builder) coursePage(e *lessonPages) (shell, bool) {
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
	features := slices.Clone(e.course.Features)
	if len(b.versions("course/"+e.Lesson.Slug+"/index.html", e)) > 0 {
		features = append(features, versions)
	}
	return shell{Title: b.title(e.Lesson.Title, b.words.Text("course.window")), Features: features, Page: p}, true
}

// course lists the lessons of the course, in its order.
func (b *builder) course() []*lessonPages {
	return slices.DeleteFunc(slices.Clone(b.lessons), func(e *lessonPages) bool { return e.Lesson.Facts.Beside })
}

// Know is what a volunteer will know after the lesson, "" when it does not say
// so in its language.
func (e *lessonPages) Know() string { return e.Lesson.Facts.Know }

// beside lists the lessons that stand beside the course.
func (b *builder) beside() []*lessonPages {
	return slices.DeleteFunc(slices.Clone(b.lessons), func(e *lessonPages) bool { return !e.Lesson.Facts.Beside })
}

// start is the page that leads each reader to his own.
func (b *builder) start() (shell, bool) {
	return shell{Title: b.startTitle(), From: b.from(b.lessons...), Page: b.course()}, true
}
