package page

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"slipring/engine/card"
	"slipring/engine/lesson"
)

// Marks names what a volunteer can be through with in a lesson. A browser
// keeps these names. They are made of the words themselves, in the language
// that the lesson was written in, those of the house about a caution's hazard
// among them: a caution or a question that has changed has another name, and
// wants to be read anew.
type Marks struct {
	Cautions  []string
	Questions []string
}

// marking names the cautions and questions that a page prints.
type marking struct {
	names map[*lesson.Node]string
	Marks
}

func newMarking(l *lesson.Lesson, hazards card.Hazards) *marking {
	m := &marking{names: map[*lesson.Node]string{}}
	for _, kind := range []lesson.Kind{lesson.Caution, lesson.QuestionBlock} {
		own := all(l.Body, kind)
		base, written := l, own
		if l.Base != nil {
			if of := all(l.Base.Body, kind); len(of) == len(own) {
				base, written = l.Base, of
			}
		}
		had := map[string]int{}
		for i, n := range written {
			text := base.Source[n.Offset:n.End:n.End]
			if kind == lesson.Caution {
				h := hazardOf(hazards, n.Hazard)
				text = fmt.Appendf(text, "%s %s", h.Signal, h.Text())
			}
			sum := sha256.Sum256(text)
			name := hex.EncodeToString(sum[:5])
			had[name]++
			if had[name] > 1 {
				name = fmt.Sprintf("%s.%d", name, had[name])
			}
			m.names[own[i]] = name
		}
	}
	return m
}

// mark gives the attribute that names a caution or a question, "" for readers
// whose progress nobody keeps.
func (p *printer) mark(n *lesson.Node) string {
	if p.marking == nil {
		return ""
	}
	name := p.marking.names[n]
	if n.Kind == lesson.Caution {
		p.marking.Cautions = append(p.marking.Cautions, name)
	} else {
		p.marking.Questions = append(p.marking.Questions, name)
	}
	return fmt.Sprintf(" data-mark=\"%s\"", name)
}
