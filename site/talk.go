package site

import (
	"slices"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/render/page"
)

// talkSheet is the edition of the sheets for talks about what can go wrong.
const talkSheet = "talk"

// signers is how many people can sign on the sheet of a talk. Such talks are
// held with five to ten (common practice, no source).
const signers = 10

type talkPage struct {
	*lessonPages
	page.Talk
	Signers []struct{}
}

// talks is the reader of the sheets for talks.
func talks() reader {
	return reader{
		name: talkSheet,
		kind: kind{path: "handout/%s.talk.html", template: "talk", paper: true}, // a dot is in no lesson's name
		print: func(_ *builder, e *lessonPages) (messages []diag.Message) {
			e.talk, messages = page.NewTalk(e.Input)
			return messages
		},
		page: func(b *builder, e *lessonPages) (shell, bool) {
			return shell{Title: b.title(e.Lesson.Title, b.words.Text("talk.window")), Page: talkPage{e, e.talk, make([]struct{}, signers)}}, hasTalk(e)
		},
	}
}

// hasTalk says whether there is a sheet for a talk about a lesson.
func hasTalk(e *lessonPages) bool {
	return !e.Lesson.Facts.Beside && slices.ContainsFunc(e.Lesson.Body.Children, func(n *lesson.Node) bool { return n.Kind == lesson.TalkBlock })
}

// Talks says whether there is a sheet for a talk about a lesson, and leads to
// it.
func (s shell) Talks(e *lessonPages) string {
	if !hasTalk(e) {
		return ""
	}
	return s.Link(e.Path(talkSheet))
}
