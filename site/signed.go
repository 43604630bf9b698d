package site

import (
	"encoding/json"
	"fmt"
	"strings"

	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/render/page"
)

// signed is what a signature on the sign-off sheet stands for. When some of it
// changes, volunteers sign again: 29 CFR 1910.147(c)(7)(iii) asks for new
// training when a machine or a procedure changes.
type signed struct {
	Items  []signedItem
	Digest string // of all, in short
}

// signedItem is one thing that may change by itself.
type signedItem struct {
	Name   string `json:"name"` // the same in all languages, as is the digest
	Title  string `json:"title"`
	Digest string `json:"digest"`
}

// JSON gives the items for the script that compares them.
func (s signed) JSON() (string, error) {
	text, err := json.Marshal(s.Items)
	return string(text), err
}

func (s *signed) add(name, title, content string) {
	s.Items = append(s.Items, signedItem{name, title, digest([]byte(content))[:12]})
}

// signedFor lists the constants of each machine card that the course opens,
// what the house says of each hazard, the lessons about safety, and the
// cautions of all others.
func (b *builder) signedFor() signed {
	var s signed
	for _, c := range b.from(b.course()...).Cards {
		s.add("card."+c.Name, b.words.Text("logbook.card", "card", c.Name), constants(c))
	}
	for _, h := range b.House.Hazards {
		n := page.NoticeOf(h, b.words)
		content := h.Signal + h.Text()
		for _, tag := range b.House.Languages {
			content += h.In[tag].Text()
		}
		s.add("hazard."+h.Name, b.words.Text("notice.line", "signal", n.Signal, "hazard", h.Say(b.words.Language()).Hazard), content)
	}
	for _, e := range b.course() {
		base := e.Lesson
		if base.Base != nil {
			base = base.Base
		}
		var whole, cautions string
		for _, l := range append([]*lesson.Lesson{base}, base.Translations...) {
			whole += string(l.Source)
			for _, n := range l.Body.Children {
				if n.Kind == lesson.Caution {
					cautions += string(l.Source[n.Offset:n.End])
				}
			}
		}
		switch {
		case base.Facts.Safety:
			s.add("lesson."+base.Slug, e.Lesson.Title, whole)
		case cautions != "":
			s.add("cautions."+base.Slug, b.words.Text("signed.cautions", "lesson", e.Lesson.Title), cautions)
		}
	}
	var all strings.Builder
	for _, i := range s.Items {
		fmt.Fprintln(&all, i.Name, i.Digest)
	}
	s.Digest = digest([]byte(all.String()))[:12]
	return s
}

// constants writes the values of a card, without what is said about them.
func constants(c machine.Card) string {
	var b strings.Builder
	for _, e := range c.Constants() {
		fmt.Fprintln(&b, e.Part, e.Key, e.Value, e.Unit)
		if e.Rows != nil {
			fmt.Fprintln(&b, e.Rows, e.Units)
		}
	}
	return b.String()
}

// SignedKeep is the name under which a browser keeps what was signed for.
func (s shell) SignedKeep() string { return "slipring.signed." + s.House.Name }

// SignedWords are what the script says.
func (s shell) SignedWords() (string, error) {
	w := s.Words
	text, err := json.Marshal(map[string]string{
		"on":      w.Text("signed.on", "date", "{date}"),
		"again":   w.Text("signed.again", "date", "{date}"),
		"expired": w.Text("signed.expired", "date", "{date}"),
	})
	return string(text), err
}
