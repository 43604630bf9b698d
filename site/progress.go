package site

import (
	"encoding/json"
	"html/template"

	"slipring/render/page"
)

// signOffPath holds a dash behind the folder, where lessons have folders only.
const signOffPath = "course/sign-off.html"

// Course is for templates.
func (e *lessonPages) Course() page.Course { return e.course }

// Marks gives what a browser has to know of a lesson to count what is done.
func (e *lessonPages) Marks() (string, error) {
	text, err := json.Marshal(struct {
		Lesson    string   `json:"lesson"`
		Revised   string   `json:"revised"`
		Cautions  []string `json:"cautions"`
		Questions []string `json:"questions"`
	}{e.Lesson.Slug, e.revised(), append([]string{}, e.course.Marks.Cautions...), append([]string{}, e.course.Marks.Questions...)})
	return string(text), err
}

// revised is the date of the lesson as it was written, whatever the language.
func (e *lessonPages) revised() string {
	if e.Lesson.Base != nil {
		return e.Lesson.Base.Facts.Revised
	}
	return e.Lesson.Facts.Revised
}

// Keep is the name under which a browser keeps the progress. It holds that of
// the house, since pages from a disk may share what is kept.
func (s shell) Keep() string { return "slipring.course." + s.House.Name }

// ProgressWords are what the script says.
func (s shell) ProgressWords() (string, error) {
	w := s.Words
	text, err := json.Marshal(map[string]string{
		"caution":   w.Text("progress.caution"),
		"end":       w.Text("progress.end"),
		"read":      w.Text("progress.read"),
		"again":     w.Text("progress.again"),
		"cautions":  w.Text("progress.cautions", "n", "{n}", "of", "{of}"),
		"questions": w.Text("progress.questions", "n", "{n}", "of", "{of}"),
		"later":     w.Text("progress.later", "n", "{n}"),
		"shown":     w.Text("progress.shown", "n", "{n}"),
		"due":       w.Text("progress.due", "n", "{n}"),
		"dueHere":   w.Text("progress.due-here", "n", "{n}"),
		"flag":      w.Text("progress.due-flag"),
		"nothing":   w.Text("progress.due-nothing"),
		"done":      w.Text("progress.done"),
		"open":      w.Text("progress.open"),
	})
	return string(text), err
}

// Tries says how many of a lesson's questions were answered, and how, with a
// place for each number.
func (s shell) Tries(questions int) template.HTML {
	count := func(how string) template.HTML { return template.HTML(`<span class="count ` + how + `"></span>`) }
	return s.Words.HTML("sign-off.tries", "first", count("first"), "later", count("later"), "shown", count("shown"), "n", questions)
}

// ReviewDay is the place for the day from which on questions are asked again,
// which a browser fills in as far as it knows.
func (s shell) ReviewDay() template.HTML { return `<span class="when"></span>` }

// Needed gives links to the lessons that come before another.
func (s shell) Needed(e *lessonPages) template.HTML { return s.lessonLinks(s.edition.needs(e)) }

// needs lists the lessons that a lesson names as coming first.
func (e *edition) needs(of *lessonPages) []*lessonPages {
	var list []*lessonPages
	for _, need := range of.Lesson.Facts.Needs {
		for _, other := range e.lessons {
			if other.Lesson.Slug == need {
				list = append(list, other)
			}
		}
	}
	return list
}

type courseMapPage struct {
	Course, Beside []*lessonPages
	Signed         signed
	surveyed
}

// courseMap is the page of contents of the course.
func (b *builder) courseMap() (shell, bool) {
	return shell{Title: b.title(b.words.Text("course.title")), From: b.from(b.lessons...), Page: courseMapPage{b.course(), b.beside(), b.signedFor(),
		b.survey("course/index.html", "course", b.course())}}, true
}

type signOffPage struct {
	Lessons []*lessonPages
	Hazards []page.Notice // of the house
	Roles   []string
	Signers []string
	Signed  signed
}

// signOff is the sheet on which a volunteer and a supervisor sign for the
// course: a form that a browser fills in as far as it knows.
func (b *builder) signOff() (shell, bool) {
	say := b.words.Text
	p := signOffPage{
		Lessons: b.course(),
		// 29 CFR 1910.147(c)(7)(i) has the same three, and what each has to know.
		Roles:   []string{say("sign-off.works"), say("sign-off.near"), say("sign-off.visits")},
		Signers: []string{say("sign-off.volunteer"), say("sign-off.supervisor")},
		Signed:  b.signedFor(),
	}
	for _, h := range b.House.Hazards {
		p.Hazards = append(p.Hazards, page.NoticeOf(h, b.words))
	}
	return shell{Title: b.title(b.words.Text("sign-off.title")), From: b.from(p.Lessons...), Page: p}, true
}
